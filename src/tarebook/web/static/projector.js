// The class's points as they arrive, large enough for the last row.
import { draw } from "./chart.js";

const PAUSE = 3000;
const FRESH = 12000;
const picture = document.getElementById("picture");
const state = document.getElementById("state");
const found = document.getElementById("found");
const box = document.getElementById("expected");
const seen = new Map();
let head = -1;
let last = null;
let first = true;

const percent = (quantity) => (quantity ? `${(100 * quantity.value).toFixed(1)} ± ${(100 * quantity.u).toFixed(1)}` : "–");

function show() {
  if (!last) return;
  const now = Date.now();
  const many = last.groups.length > 1;
  const points = [];
  for (const group of last.groups) {
    for (const point of group.points) {
      const key = `${group.group}\n${point.run}`;
      if (!seen.has(key)) seen.set(key, first ? 0 : now);
      const fresh = now - seen.get(key) < FRESH;
      const name = many ? (fresh ? `group ${group.group}` : "") : point.run;
      points.push({ x: point.reagent_mL, y: point.lost_g, kind: fresh ? "new" : "", name });
    }
  }
  first = false;
  draw(picture, {
    points,
    curve: box?.checked ? last.expected : [],
    xTitle: "reagent poured / mL",
    yTitle: "mass lost / g",
    large: true,
  });
  const done = last.groups.reduce((sum, group) => sum + group.n_complete, 0);
  const cups = last.groups.reduce((sum, group) => sum + group.n_runs, 0);
  document.getElementById("done").textContent = done;
  document.getElementById("cups").textContent = cups;
  picture.setAttribute("aria-label", `Mass lost against reagent poured: ${points.length} points of ${last.groups.length} groups.`);
  found.replaceChildren(...last.groups.map((group) => {
    const row = document.createElement("tr");
    const cells = [group.group, `${group.n_complete}/${group.n_runs}`, percent(group.full?.sample_mass_fraction), percent(group.usual?.sample_mass_fraction)];
    cells.forEach((text, place) => {
      const cell = document.createElement(place ? "td" : "th");
      if (!place) cell.scope = "row";
      cell.textContent = text;
      row.append(cell);
    });
    return row;
  }));
}

async function look() {
  let wait = PAUSE;
  try {
    const answer = await fetch(`/api/results?after=${head}`);
    if (answer.status === 401) { location.href = "/"; return; }
    const given = await answer.json();
    if (answer.ok) {
      if (given.changed) { last = given; head = given.pending ? -1 : given.head; }
      if (given.pending) wait = 1000;
      state.textContent = "Points appear as cups are weighed.";
    }
  } catch {
    state.textContent = "The app does not answer; trying again.";
  }
  show();
  setTimeout(look, wait);
}

box?.addEventListener("change", show);
addEventListener("resize", show);
look();
