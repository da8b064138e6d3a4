// What the entry is for: which step, one more reading of it, or another value for one.

import { data } from "./location.js";
import { shown } from "./steps.js";
import { say } from "./words.js";

/** @typedef {import("./bench.js").Bench} Bench */
/** @typedef {import("./steps.js").Reading} Reading */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Step} Step */

/**
 * One more reading of a step, or another value for one.
 * @typedef {{kind: "second", step: Step}
 *   | {kind: "change", step: Step, reading: Reading, reason: string}} Special
 *
 * What the entry is for: the next reading of a run, something special, or nothing more.
 * @typedef {{run: Run} & ({kind: "read", step: Step} | Special | {kind: "done"})} Task
 */

/**
 * Record a step out of its turn.
 * @param {Bench} bench
 * @param {string} quantity
 */
export function pick(bench, quantity) {
  bench.special = null;
  bench.picked = bench.steps.find((step) => step.quantity === quantity) ?? null;
  bench.panel.clear();
  bench.draw();
  bench.panel.focus();
}

/**
 * Type another value for a reading.
 * @param {Bench} bench
 * @param {Reading} reading
 * @param {string} reason Empty to ask for it.
 */
export function change(bench, reading, reason) {
  const step = bench.steps.find((one) => one.quantity === reading.quantity);
  if (!step) return;
  // The question goes when the other value comes; a device that cannot note this asks again.
  if (reason) {
    noteAnswered(bench, reading).catch(() => undefined);
    bench.asked.add(reading.id);
  }
  bench.special = { kind: "change", step, reading, reason };
  bench.panel.clear();
  bench.draw();
  bench.panel.focus();
  bench.reveal();
}

/** @param {Bench} bench */
export function second(bench) {
  const task = bench.task();
  if (task?.kind !== "change") return;
  bench.special = { kind: "second", step: task.step };
  bench.draw();
  bench.panel.focus();
}

/** @param {Bench} bench */
export function takeBack(bench) {
  const task = bench.task();
  if (task?.kind === "change") bench.panel.askWhy("", say("pad-is-taken-back", { value: shown(task.reading) }));
}

/** @param {Bench} bench */
export function leaveOut(bench) {
  const task = bench.task();
  if (task?.kind !== "read") return;
  const { run } = task.run;
  const { quantity } = task.step;
  bench.inTurn(async () => {
    const leftOut = { ...bench.leftOut, [run]: [...(bench.leftOut[run] ?? []), quantity] };
    await bench.keep(`left-out:${data.group}`, leftOut);
    bench.leftOut = leftOut;
    bench.picked = null;
    bench.draw();
    bench.panel.focus();
    bench.reveal();
  }, "");
}

/** @param {Bench} bench */
export function cancel(bench) {
  if (bench.panel.back()) return;
  bench.special = null;
  bench.picked = null;
  bench.panel.clear();
  bench.draw();
  bench.panel.focus();
}

/**
 * Keep an odd value as it is. The question goes when the answer is on the disk: a page that is
 * loaded anew would ask it again.
 * @param {Bench} bench
 * @param {Reading} reading
 */
export function keepOdd(bench, reading) {
  bench.inTurn(async () => {
    await noteAnswered(bench, reading);
    bench.asked.add(reading.id);
    bench.draw();
    bench.say(say("pad-kept", { value: shown(reading) }));
    bench.panel.focus();
  }, "");
}

/**
 * @param {Bench} bench
 * @param {Reading} reading
 */
function noteAnswered(bench, reading) {
  return bench.keep(`asked:${data.group}`, [...bench.asked, reading.id]);
}
