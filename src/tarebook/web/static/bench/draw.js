// Draws the page from what it knows; nothing is decided here.

import { byId, counted, fill, h } from "./dom.js";
import { address, instructor } from "./place.js";
import { drawRuns, drawSteps, withoutRun } from "./sheet.js";
import { questions } from "./steps.js";
import { drawTrouble, standing } from "./trouble.js";

/** @typedef {import("./bench.js").Bench} Bench */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Step} Step */

/**
 * Draw all of the page from what it knows.
 * @param {Bench} bench
 */
export function drawBench(bench) {
  drawStanding(bench);
  if (!bench.series) return;
  const { runs, now: run, device, asked, steps } = bench;
  bench.run = run.run;
  const asks = questions(steps, run, device, asked);
  const task = bench.task();
  byId("work").hidden = false;
  byId("run-title").textContent = `Run ${run.run}`;
  byId("run-now").textContent = `Run ${run.run} of ${runs.length}`;
  /** @type {HTMLButtonElement} */ (byId("run-before")).disabled = !bench.beside(-1);
  /** @type {HTMLButtonElement} */ (byId("run-after")).disabled = !bench.beside(1);
  const open = new Set(runs.filter((one) => questions(steps, one, device, asked).length).map((one) => one.run));
  const waits = new Set(bench.mine.map((entry) => entry.event.run));
  fill(byId("run-list"), drawRuns(runs, run.run, steps, { address, waits, asks: open }, (to) => bench.go(to, true)));
  drawElsewhere(bench, open, run.run);
  const what = { run, steps, now: task.kind === "done" ? "" : task.step.quantity, device, asks, changing: task.kind === "change" ? task.reading.id : "" };
  fill(
    byId("steps"),
    drawSteps(what, {
      pick: (quantity) => bench.inTurn(() => bench.pick(quantity), ""),
      change: (reading) => bench.inTurn(() => bench.change(reading, ""), ""),
      keep: (reading) => bench.keepOdd(reading),
      readAgain: (reading) => bench.inTurn(() => bench.change(reading, "read again"), ""),
      choose: (chosen, others) => bench.choose(chosen, others),
    }),
  );
  drawOfRun(bench, run);
  bench.panel.draw(task, run, bench.unfinished());
  warn(bench, asks);
}

/**
 * Say aloud what is odd, once.
 * @param {Bench} bench
 * @param {ReturnType<typeof questions>} asks
 */
function warn(bench, asks) {
  const last = asks.at(-1);
  const id = last ? last.reading.id : "";
  // The words of the server may be more than those of the range, and need more room.
  const drawn = last ? `${id} ${last.finding.message}` : "";
  if (drawn !== bench.revealed) {
    bench.revealed = drawn;
    if (last) bench.reveal();
  }
  if (id === bench.warned) return;
  bench.warned = id;
  byId("warn").textContent = last ? `${withoutRun(last.finding.message, last.finding.run)} ${last.finding.do} Keep it or read again.` : "";
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
  const again = /** @type {HTMLAnchorElement} */ (byId("join-again"));
  again.hidden = !join;
  again.href = `/join?next=${encodeURIComponent(location.pathname + location.search)}`;
  const label = (/** @type {string} */ quantity) => bench.series?.steps.find((/** @type {Step} */ step) => step.quantity === quantity)?.label ?? quantity;
  fill(
    byId("trouble"),
    drawTrouble(bench.entries, bench.place, { everyGroup: instructor, forgetting: bench.forgetting, label }, {
      retype: (entry) => void bench.retype(entry),
      ask: (order) => {
        bench.forgetting = order;
        drawStanding(bench);
      },
      forget: (entry) => void bench.forget(entry),
      adopt: () => void bench.adopt(),
    }),
  );
}

/**
 * Name the other runs that ask.
 * @param {Bench} bench
 * @param {ReadonlySet<string>} open
 * @param {string} here
 */
function drawElsewhere(bench, open, here) {
  const others = [...open].filter((run) => run !== here);
  const line = byId("elsewhere");
  line.hidden = others.length === 0;
  fill(line, others.length ? [
    h("span", {}, `${counted(others.length, "run asks", "runs ask")} about an odd value: `),
    ...others.map((run) => h("a", { href: address(run), id: `asks-${run}`, click: (event) => {
      event.preventDefault();
      bench.go(run, true);
    } }, `run ${run}`)),
  ] : []);
}

/**
 * Draw what is said of the run as a whole.
 * @param {Bench} bench
 * @param {Run} run
 */
function drawOfRun(bench, run) {
  const quantities = new Set(bench.steps.map((step) => step.quantity));
  const said = run.said.filter((one) => !one.reading || !quantities.has(one.reading));
  fill(byId("of-run"), [
    ...said.map((one) => h("p", { class: `odd is-${one.severity}` }, h("b", {}, withoutRun(one.message, run.run)), ` ${one.do}`)),
    run.rough && !run.answering ? h("p", { class: "soft" }, "The full check follows when the server has everything.") : "",
  ].filter((node) => node instanceof Node));
}
