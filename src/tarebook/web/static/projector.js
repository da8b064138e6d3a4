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
let due = true;

const percent = (quantity) => (quantity ? `${(100 * quantity.value).toFixed(1)} ± ${(100 * quantity.u).toFixed(1)}` : "–");

/** Half as much again as the plan and the model hold possible is a slip. */
function farthest() {
  if (!last.expected.length) return undefined;
  const most = (name) => 1.5 * Math.max(...last.expected.map((p) => p[name]));
  return { x: most("along"), y: most("high_g") };
}

function show() {
  if (!last) return;
  due = false;
  const now = Date.now();
  const many = last.groups.length > 1;
  const points = [];
  for (const group of last.groups) {
    for (const point of group.points) {
      const key = `${group.group}\n${point.run}`;
      const arrives = !seen.has(key) && !first;
      if (!seen.has(key)) seen.set(key, first ? 0 : now);
      const fresh = now - seen.get(key) < FRESH;
      // Once more, when it is no longer fresh.
      due ||= fresh;
      const whose = many ? `group ${group.group}` : point.run;
      const kind = `${fresh ? "new" : ""}${arrives ? " arrives" : ""}`;
      points.push({ x: point.along, y: point.lost_g, low: point.low_g ?? undefined, high: point.high_g ?? undefined, kind, whose, name: fresh || !many ? whose : "" });
    }
  }
  first = false;
  const curve = box?.checked ? last.expected : [];
  const end = curve.at(-1);
  draw(picture, {
    points,
    curve,
    labels: end ? [{ x: end.along, y: end.low_g, text: "expected by the model, with its 95 % band", anchor: "end", dy: 1.4 }] : [],
    xTitle: last.axis.title,
    xUnit: last.axis.unit,
    yTitle: "mass lost / g",
    large: true,
    most: farthest(),
  });
  const done = last.groups.reduce((sum, group) => sum + group.n_complete, 0);
  const cups = last.groups.reduce((sum, group) => sum + group.n_runs, 0);
  document.getElementById("done").textContent = done;
  document.getElementById("cups").textContent = cups;
  picture.setAttribute("aria-label", `Mass lost against ${last.axis.grows === "sample" ? "the sample" : "reagent poured"}: ${points.length} points of ${last.groups.length} groups.`);
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
      if (given.changed) { last = given; head = given.pending ? -1 : given.head; due = true; }
      if (given.pending) wait = 1000;
      state.textContent = "Points appear as cups are weighed.";
    }
  } catch {
    state.textContent = "The app does not answer; trying again.";
  }
  if (due) show();
  setTimeout(look, wait);
}

box?.addEventListener("change", show);
addEventListener("resize", show);
look();
