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

/** Name what the picture shows where it shows it. */
function labels() {
  const at = last.equivalence_mL.value;
  const end = last.curve.at(-1);
  const half = last.curve.find((p) => p.reagent_mL >= at / 2);
  const shown = at < end.reagent_mL;
  return [
    { x: at, text: `equivalence point ${at.toFixed(1)} mL`, anchor: 2 * at > end.reagent_mL ? "end" : "start", dx: 2 * at > end.reagent_mL ? -0.5 : 0.5, dy: 0.8 },
    shown && half && { x: half.reagent_mL, y: half.lost_g, text: "reagent limits", kind: "rise", dx: 1.6, dy: 2.6 },
    shown && { x: end.reagent_mL, y: end.low_g, text: "sample limits", kind: "level", anchor: "end", dy: 1.6 },
  ].filter(Boolean);
}

function show() {
  const kind = (p) => (p >= 0.975 ? "" : p <= 0.025 ? "sure-sample" : "unsure");
  draw(picture, {
    curve: last.curve,
    at: last.equivalence_mL.value,
    labels: labels(),
    points: last.runs.map((run) => ({ x: run.reagent_mL, y: run.lost_g, name: run.run, kind: kind(run.p_reagent_limiting) })),
    xTitle: "reagent poured / mL",
    yTitle: "mass lost, expected / g",
  });
  const at = last.equivalence_mL;
  about.textContent = `${last.runs.length} cups; the equivalence point is expected at ${at.value.toFixed(1)} mL (${at.low.toFixed(1)} to ${at.high.toFixed(1)} mL). The band holds 95 of 100 such cups, with all that is not known beforehand. Circle: the reagent limits; square: the sample; diamond: either may.`;
  picture.setAttribute("aria-label", `Expected mass lost against reagent poured. ${about.textContent}`);
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
