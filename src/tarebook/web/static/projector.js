// The class's points as they arrive, large enough for the last row.
import { byId, kindById } from "./bench/dom.js";
import { ask, failureWords } from "./bench/requests.js";
import { asWritten, say } from "./bench/words.js";
import { draw } from "./chart.js";

/**
 * @typedef {{value: number, u: number}} Quantity
 *
 * A group's points and what it found, by the model of the cup and by the textbook.
 * @typedef {{
 *   group: string, n_runs: number, n_complete: number,
 *   points: {run: string, along: number, lost_g: number, low_g: number | null, high_g: number | null}[],
 *   full: {sample_mass_fraction: Quantity | null} | null,
 *   usual: {sample_mass_fraction: Quantity | null} | null,
 * }} Group
 *
 * `pending`: numbers that follow from the readings are still being worked out.
 * @typedef {{
 *   changed: true, head: number, pending: boolean, groups: Group[],
 *   expected: import("./chart.js").CurvePoint[],
 *   axis: {unit: string, grows: "reagent" | "sample"},
 * }} Class
 */

const PAUSE = 3000;
const FRESH = 12000;
const picture = kindById(SVGSVGElement, "picture");
const state = byId("state");
const found = byId("found");
// The instructor's page alone has it.
const box = /** @type {HTMLInputElement | null} */ (document.getElementById("expected"));
/**
 * When a point was first seen.
 * @type {Map<string, number>}
 */
const seen = new Map();
let head = -1;
/** @type {Class | null} */
let last = null;
let first = true;
let due = true;

const percent = (/** @type {Quantity | null | undefined} */ quantity) => (quantity ? asWritten(`${(100 * quantity.value).toFixed(1)} ± ${(100 * quantity.u).toFixed(1)}`) : "–");

/**
 * Half as much again as the plan and the model hold possible is a slip.
 * @param {Class["expected"]} expected
 */
function farthest(expected) {
  if (!expected.length) return undefined;
  const most = (/** @type {"along" | "high_g"} */ name) => 1.5 * Math.max(...expected.map((p) => p[name]));
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
      const before = seen.get(key);
      const arrives = before === undefined && !first;
      const since = before ?? (first ? 0 : now);
      seen.set(key, since);
      const fresh = now - since < FRESH;
      // Once more, when it is no longer fresh.
      due ||= fresh;
      const whose = many ? say("pad-group", { group: group.group }) : point.run;
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
    labels: end ? [{ x: end.along, y: end.low_g, text: say("pad-expected-band"), anchor: "end", dy: 1.4 }] : [],
    xTitle: say("pad-axis", { grows: last.axis.grows }),
    xUnit: last.axis.unit,
    yTitle: say("pad-mass-lost"),
    large: true,
    most: farthest(last.expected),
  });
  const done = last.groups.reduce((sum, group) => sum + group.n_complete, 0);
  const cups = last.groups.reduce((sum, group) => sum + group.n_runs, 0);
  byId("done").textContent = String(done);
  byId("cups").textContent = String(cups);
  picture.setAttribute("aria-label", say("pad-class-picture", { grows: last.axis.grows, n: points.length, groups: last.groups.length }));
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
  /** @type {import("./bench/requests.js").Answer<Class | {changed: false, pending: boolean}>} */
  const answer = await ask(`/api/results?after=${head}`);
  if (answer.kind === "ok") {
    const { body } = answer;
    if (body.changed) {
      last = body;
      head = body.pending ? -1 : body.head;
      due = true;
    }
    if (body.pending) wait = 1000;
    state.textContent = say("pad-points-appear");
  } else {
    if (answer.kind === "refused" && answer.status === 401) {
      location.href = "/";
      return;
    }
    state.textContent = failureWords(answer, say("pad-no-answer"));
  }
  if (due) show();
  setTimeout(() => void look(), wait);
}

box?.addEventListener("change", show);
addEventListener("resize", show);
void look();
