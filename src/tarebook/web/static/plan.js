// The sliders: the curve follows at once, the words a moment after the last move.
import { draw } from "./chart.js";

const form = document.getElementById("wishes");
const picture = document.getElementById("picture");
const about = document.getElementById("about");
const part = document.getElementById("part");
const PAUSE = 500;
let last = null;
let asking = false;
let again = false;
let timer = 0;
let turn = 0;

const query = () => new URLSearchParams([...new FormData(form)].filter(([, value]) => value.trim()));

async function askCurve() {
  if (asking) { again = true; return; }
  asking = true;
  do {
    again = false;
    try {
      const answer = await fetch(`/api/plan?${query()}`);
      const given = await answer.json();
      if (answer.ok) { last = given; show(); } else { about.textContent = `${given.error.message} ${given.error.do}`; }
    } catch {
      about.textContent = "The app does not answer.";
    }
  } while (again);
  asking = false;
}

/** A place on the axis: tenths of a mL, or hundredths of a g. */
const shownAt = (value) => `${value.toFixed(last.axis.grows === "sample" ? 2 : 1)} ${last.axis.unit}`;

/** Name what the picture shows where it shows it. */
function labels() {
  const at = last.equivalence ? last.equivalence.value : Infinity;
  const end = last.curve.at(-1);
  const half = last.curve.find((p) => p.along >= at / 2);
  const shown = at < end.along;
  const { rising, beyond } = last.axis;
  const kind = (limits) => (limits === "sample" ? "level" : "rise");
  return [
    at < Infinity && { x: at, text: `equivalence point ${shownAt(at)}`, anchor: 2 * at > end.along ? "end" : "start", dx: 2 * at > end.along ? -0.5 : 0.5, dy: 0.8 },
    shown && half && { x: half.along, y: half.lost_g, text: `${rising} limits`, kind: kind(rising), dx: 1.6, dy: 2.6 },
    shown && { x: end.along, y: end.low_g, text: `${beyond} limits`, kind: kind(beyond), anchor: "end", dy: 1.6 },
  ].filter(Boolean);
}

function show() {
  const kind = (p) => (p >= 0.975 ? "" : p <= 0.025 ? "sure-sample" : "unsure");
  draw(picture, {
    curve: last.curve,
    at: last.equivalence?.value,
    labels: labels(),
    points: last.runs.map((run) => ({ x: run.along, y: run.lost_g, name: run.run, kind: kind(run.p_reagent_limiting) })),
    xTitle: last.axis.title,
    yTitle: "mass lost, expected / g",
  });
  const at = last.equivalence;
  const where = at ? `the equivalence point is expected at ${shownAt(at.value)} (${shownAt(at.low)} to ${shownAt(at.high)})` : "the sample's own acid may be enough for all of it";
  about.textContent = `${last.runs.length} cups; ${where}. The band holds 95 of 100 such cups, with all that is not known beforehand. Circle: the ${last.axis.acid} limits; square: the sample; diamond: not sure.`;
  picture.setAttribute("aria-label", `Expected mass lost against ${last.axis.grows === "sample" ? "the sample" : "reagent poured"}. ${about.textContent}`);
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
    else about.textContent = "The plan could not be worked out now. Press “Work it out” to try again.";
  } catch {
    about.textContent = "The app does not answer.";
  }
  if (mine === turn) part.removeAttribute("aria-busy");
}

function changed() {
  askCurve();
  clearTimeout(timer);
  timer = setTimeout(askWords, PAUSE);
}

for (const slider of form.querySelectorAll(".slide")) {
  const typed = document.getElementById(slider.dataset.for);
  slider.addEventListener("input", () => { typed.value = slider.value; changed(); });
  typed.addEventListener("input", () => {
    const number = Number(typed.value.replace(",", "."));
    if (number) slider.value = number;
    changed();
  });
}
document.getElementById("best").addEventListener("change", changed);
form.addEventListener("submit", (event) => { event.preventDefault(); clearTimeout(timer); askCurve(); askWords(); });
addEventListener("resize", () => last && show());
askCurve();
if (part.querySelector(".waiting")) askWords();
