// Draws the page from what it knows; nothing is decided here.

import { byId, fill, h, kindById } from "./dom.js";
import { address, instructor } from "./location.js";
import { beside, go, unfinished } from "./navigation.js";
import { adopt, choose, forget, retype } from "./recording.js";
import { ANSWER_MS } from "./requests.js";
import { drawRuns, drawSteps, tornWords } from "./sheet.js";
import { drawTrouble, standing } from "./status.js";
import { questions, READ_AGAIN, stepsOf } from "./steps.js";
import { change, keepOdd, pick } from "./task.js";
import { say } from "./words.js";

/** @typedef {import("./bench.js").Bench} Bench */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Step} Step */

/**
 * Draw all of the page from what it knows.
 * @param {Bench} bench
 */
export function drawBench(bench) {
  drawStanding(bench);
  const task = bench.task();
  if (!task) return;
  const { run } = task;
  const { runs, device, asked, steps } = bench;
  bench.run = run.run;
  const asks = questions(steps, run, device, asked);
  const keepInSight = nextIsInSight() || Date.now() - bench.recorded < ANSWER_MS;
  byId("work").hidden = false;
  byId("run-title").textContent = say("pad-run", { run: run.run });
  byId("run-now").textContent = say("pad-run-of", { run: run.run, n: runs.length });
  kindById(HTMLButtonElement, "run-before").disabled = !beside(bench, -1);
  kindById(HTMLButtonElement, "run-after").disabled = !beside(bench, 1);
  const open = new Set(runs.filter((one) => one.conflicts.length || questions(steps, one, device, asked).length).map((one) => one.run));
  const waits = new Set(bench.mine.map((entry) => entry.event.run));
  fill(byId("run-list"), drawRuns(runs, run.run, steps, { address, waits, asks: open }, (to) => go(bench, to, true)));
  const others = [...open].filter((one) => one !== run.run);
  drawElsewhere(bench, others);
  const what = { run, steps, now: task.kind === "done" ? "" : task.step.quantity, device, asks, changing: task.kind === "change" ? task.reading.id : "" };
  fill(
    byId("steps"),
    drawSteps(what, {
      pick: (quantity) => bench.inTurn(() => pick(bench, quantity), ""),
      change: (reading) => bench.inTurn(() => change(bench, reading, ""), ""),
      keep: (reading) => keepOdd(bench, reading),
      readAgain: (reading) => bench.inTurn(() => change(bench, reading, READ_AGAIN), ""),
      choose: (chosen, others) => choose(bench, run.run, chosen, others),
    }),
  );
  drawOfRun(bench, run);
  bench.panel.draw(task, { unfinished: unfinished(bench), asking: others });
  warn(bench, question(run, steps, asks));
  // What the server says of a reading stands above the step that is next, and pushes it down.
  if (keepInSight && !nextIsInSight()) bench.reveal();
}

/** Whether all of the step that is next is to be seen: on a phone the panel stands over the sheet. */
function nextIsInSight() {
  const step = document.querySelector("#steps .step[aria-current]")?.getBoundingClientRect();
  const panel = byId("panel").getBoundingClientRect();
  if (!step) return true;
  const end = panel.left < step.right ? Math.min(panel.top, window.innerHeight) : window.innerHeight;
  return step.top >= 0 && step.bottom <= end;
}

/**
 * What the sheet asks last: about an odd value, or which of two readings counts.
 * @param {Run} run
 * @param {readonly Step[]} steps
 * @param {ReturnType<typeof questions>} asks
 * @returns {{id: string, words: string}}
 */
function question(run, steps, asks) {
  const odd = asks.at(-1);
  if (odd) {
    const { message, do: advice } = odd.finding;
    return { id: odd.reading.id, words: `${message} ${advice} ${say("pad-keep-or-again")}` };
  }
  const torn = run.conflicts.at(-1);
  const step = steps.find((one) => one.quantity === torn?.quantity);
  if (!torn || !step) return { id: "", words: "" };
  return { id: torn.ids.join(" "), words: `${tornWords(step, torn.ids.length)} ${say("pad-choose-which")}` };
}

/**
 * Bring what is asked into view, and say it aloud once.
 * @param {Bench} bench
 * @param {{id: string, words: string}} asked
 */
function warn(bench, { id, words }) {
  // The words of the server may be more than those of the range, and need more room.
  if (words !== bench.revealed) {
    bench.revealed = words;
    if (words) bench.reveal();
  }
  if (id === bench.warned) return;
  bench.warned = id;
  byId("warn").textContent = words;
}

/**
 * Draw how it stands with the server.
 * @param {Bench} bench
 */
function drawStanding(bench) {
  const waiting = bench.mine.filter((entry) => !entry.refused).length;
  const net = byId("net");
  const { text, state, join } = standing(bench.sync.phase, waiting, bench.store.durable);
  if (net.textContent !== text) net.textContent = text;
  net.dataset.state = state;
  const again = kindById(HTMLAnchorElement, "join-again");
  again.hidden = !join;
  again.href = `/join?next=${encodeURIComponent(location.pathname + location.search)}`;
  const label = (/** @type {string} */ quantity) => bench.steps.find((step) => step.quantity === quantity)?.label ?? quantity;
  fill(
    byId("trouble"),
    drawTrouble(bench.entries, bench.place, { everyGroup: instructor, forgetting: bench.forgetting, label, sheet: bench.now !== null }, {
      retype: (entry) => void retype(bench, entry),
      ask: (order) => {
        bench.forgetting = order;
        drawStanding(bench);
      },
      forget: (entry) => void forget(bench, entry),
      adopt: () => void adopt(bench),
    }),
  );
}

/**
 * Name the other runs that ask.
 * @param {Bench} bench
 * @param {readonly string[]} others
 */
function drawElsewhere(bench, others) {
  const line = byId("elsewhere");
  line.hidden = others.length === 0;
  fill(line, others.length ? [
    h("span", {}, say("pad-questions-in", { n: others.length })),
    ...others.map((run) => h("a", { href: address(run), id: `asks-${run}`, click: (event) => {
      event.preventDefault();
      go(bench, run, true);
    } }, say("pad-run-link", { run }))),
  ] : []);
}

/**
 * Draw what is said of the run as a whole.
 * @param {Bench} bench
 * @param {Run} run
 */
function drawOfRun(bench, run) {
  const quantities = new Set(stepsOf(bench.steps, run).map((step) => step.quantity));
  const said = run.said.filter((one) => !one.reading || !quantities.has(one.reading));
  fill(byId("of-run"), [
    ...said.map((one) => h("p", { class: `odd is-${one.severity}` }, h("b", {}, one.message), ` ${one.do}`)),
    ...(run.rough && !run.answering ? [h("p", { class: "soft" }, say("pad-check-follows"))] : []),
  ]);
}
