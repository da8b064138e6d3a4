// The sliders: the curve follows at once, the words a moment after the last move.
import { byId, kindById } from "./bench/dom.js";
import { ask, failureWords } from "./bench/requests.js";
import { asWritten, say } from "./bench/words.js";
import { draw } from "./chart.js";

/**
 * What is to be expected of the row that is wished for. `rising` and `beyond`: what limits before the
 * equivalence point and after it.
 * @typedef {{
 *   axis: {unit: string, grows: "reagent" | "sample", rising: string, beyond: string, acid: string},
 *   curve: import("./chart.js").CurvePoint[],
 *   runs: {run: string, along: number, lost_g: number, p_reagent_limiting: number}[],
 *   equivalence: {value: number, low: number, high: number} | null,
 * }} Plan
 */

const form = kindById(HTMLFormElement, "wishes");
const picture = kindById(SVGSVGElement, "picture");
const about = byId("about");
const part = byId("part");
const PAUSE = 500;
/** What the server answers where there is no such row. */
const WISHED_WRONGLY = 400;
/** @type {Plan | null} */
let last = null;
let asking = false;
let again = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let turn = 0;

/** The wishes that were made, as an address names them. */
function query() {
  const made = [...new FormData(form)].map(([name, value]) => [name, String(value)]);
  return new URLSearchParams(made.filter(([, value]) => value?.trim()));
}

async function askCurve() {
  if (asking) { again = true; return; }
  asking = true;
  do {
    again = false;
    /** @type {import("./bench/requests.js").Answer<Plan>} */
    const answer = await ask(`/api/plan?${query()}`);
    if (answer.kind === "ok") {
      last = answer.body;
      show(last);
    } else {
      const words = failureWords(answer, say("pad-no-answer-now"));
      if (answer.kind === "refused" && answer.status === WISHED_WRONGLY) refuse(words);
      else about.textContent = words;
    }
  } while (again);
  asking = false;
}

/**
 * A place on the axis: tenths of a mL, or hundredths of a g.
 * @param {Plan["axis"]} axis
 * @param {number} value
 */
function shownAt(axis, value) {
  return `${asWritten(value.toFixed(axis.grows === "sample" ? 2 : 1))} ${axis.unit}`;
}

/**
 * Name what the picture shows where it shows it.
 * @param {Plan} plan
 */
function labels({ axis, curve, equivalence }) {
  /** @type {import("./chart.js").Label[]} */
  const made = [];
  const end = curve.at(-1);
  if (!equivalence || !end) return made;
  const at = equivalence.value;
  const kind = (/** @type {string} */ limits) => (limits === "sample" ? "level" : "rise");
  const late = 2 * at > end.along;
  made.push({ x: at, text: say("pad-equivalence-at", { at: shownAt(axis, at) }), anchor: late ? "end" : "start", dx: late ? -0.5 : 0.5, dy: 0.8 });
  if (at >= end.along) return made;
  const half = curve.find((p) => p.along >= at / 2);
  if (half) made.push({ x: half.along, y: half.lost_g, text: say("pad-limits", { what: axis.rising }), kind: kind(axis.rising), dx: 1.6, dy: 2.6 });
  made.push({ x: end.along, y: end.low_g, text: say("pad-limits", { what: axis.beyond }), kind: kind(axis.beyond), anchor: "end", dy: 1.6 });
  return made;
}

/**
 * Say why there is no such row: the curve of another one would seem to be its.
 * @param {string} words
 */
function refuse(words) {
  last = null;
  picture.replaceChildren();
  picture.classList.add("gone");
  about.textContent = words;
  about.classList.add("refused");
}

/** @param {Plan} plan */
function show(plan) {
  const { axis } = plan;
  picture.classList.remove("gone");
  about.classList.remove("refused");
  const kind = (/** @type {number} */ p) => (p >= 0.975 ? "" : p <= 0.025 ? "sure-sample" : "unsure");
  draw(picture, {
    curve: plan.curve,
    at: plan.equivalence?.value,
    labels: labels(plan),
    points: plan.runs.map((run) => ({ x: run.along, y: run.lost_g, name: run.run, kind: kind(run.p_reagent_limiting) })),
    xTitle: say("pad-axis", { grows: axis.grows }),
    yTitle: say("pad-mass-lost-expected"),
  });
  const at = plan.equivalence;
  const n = plan.runs.length;
  const where = at
    ? say("pad-plan-about", { n, at: shownAt(axis, at.value), low: shownAt(axis, at.low), high: shownAt(axis, at.high) })
    : say("pad-plan-about-none", { n });
  about.textContent = `${where} ${say("pad-plan-key", { acid: axis.acid })}`;
  picture.setAttribute("aria-label", `${say("pad-plan-picture", { grows: axis.grows })} ${about.textContent}`);
}

async function askWords() {
  const mine = (turn += 1);
  part.setAttribute("aria-busy", "true");
  const asked = query();
  try {
    const answer = await fetch(`/plan/part?${asked}`);
    if (mine !== turn) return;
    if (answer.ok) {
      const made = new DOMParser().parseFromString(await answer.text(), "text/html");
      part.replaceChildren(...made.body.childNodes);
      history.replaceState(null, "", `/plan?${asked}`);
    }
    else about.textContent = say("pad-plan-failed");
  } catch {
    about.textContent = say("pad-no-answer-now");
  }
  if (mine === turn) part.removeAttribute("aria-busy");
}

function changed() {
  void askCurve();
  clearTimeout(timer);
  timer = setTimeout(() => void askWords(), PAUSE);
}

for (const slider of /** @type {NodeListOf<HTMLInputElement>} */ (form.querySelectorAll("input.slide"))) {
  const typed = kindById(HTMLInputElement, slider.dataset.for ?? "");
  slider.addEventListener("input", () => { typed.value = asWritten(slider.value); changed(); });
  typed.addEventListener("input", () => {
    const number = Number(typed.value.replace(",", "."));
    if (number) slider.value = String(number);
    changed();
  });
}
byId("best").addEventListener("change", changed);
form.addEventListener("submit", (event) => { event.preventDefault(); clearTimeout(timer); void askCurve(); void askWords(); });
addEventListener("resize", () => last && show(last));
void askCurve();
if (part.querySelector(".waiting")) void askWords();
