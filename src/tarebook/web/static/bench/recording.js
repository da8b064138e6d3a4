// Takes in what was typed: reads it, keeps it on the device, has it sent, says what follows.

import { readRunCode } from "./codes.js";
import { newId, timeAfter } from "./ids.js";
import { go, scanned, turnTo, unfinished } from "./navigation.js";
import { readNumber } from "./numbers.js";
import { ANSWER_MS } from "./requests.js";
import { signed } from "./signing.js";
import { current, goals, shown } from "./steps.js";
import { change, pick } from "./task.js";
import { asWritten, say } from "./words.js";

/** @typedef {import("./bench.js").Bench} Bench */
/** @typedef {import("./task.js").Task} Task */
/** @typedef {import("./steps.js").Reading} Reading */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Step} Step */
/** @typedef {import("./queue.js").Entry} Entry */

/**
 * Take what was typed. What comes in fast is taken one after the other, in order.
 * @param {Bench} bench
 * @param {string} typed
 */
export function submit(bench, typed) {
  bench.inTurn(() => take(bench, typed), typed);
}

/**
 * @param {Bench} bench
 * @param {string} typed
 */
async function take(bench, typed) {
  const code = readRunCode(typed);
  if (code) return scanned(bench, code);
  const task = bench.task();
  if (!task) return bench.panel.refuse(typed, "");
  if (task.kind === "done") return takeWhenDone(bench, typed);
  if (!typed) return bench.panel.refuse("", say("pad-type-first"));
  const { run, step } = task;
  const read = readNumber(step.unit, typed);
  if ("fault" in read) return bench.panel.refuse(typed, read.fault);
  if (task.kind === "change") {
    if (!task.reason) return bench.panel.askWhy(typed, say("pad-change", { before: shown(task.reading), after: shown({ ...read, typed, unit: step.unit }) }));
    return correct(bench, task, typed, task.reason);
  }
  const repeats = current(run, step.quantity).map((reading) => reading.repeat);
  const repeat = task.kind === "second" ? Math.max(0, ...repeats) + 1 : 1;
  await record(bench, [{ kind: "reading", run: run.run, quantity: step.quantity, typed, repeat }]);
  bench.special = null;
  bench.picked = null;
  afterReading(bench, run.run, step, typed);
}

/**
 * Nothing is left to read in this run: Enter alone goes on to the next one.
 * @param {Bench} bench
 * @param {string} typed
 */
function takeWhenDone(bench, typed) {
  const next = unfinished(bench);
  if (!typed && next) return go(bench, next, true);
  bench.panel.refuse("", typed ? say("pad-is-complete") : "");
}

/**
 * @param {Bench} bench
 * @param {Extract<Task, {kind: "change"}>} task Of the run in which it was begun.
 * @param {string} typed Empty to take the reading back.
 * @param {string} reason
 */
async function correct(bench, task, typed, reason) {
  const { reading, step } = task;
  const { run } = task.run;
  const common = { run, quantity: step.quantity, supersedes: reading.id, reason, repeat: reading.repeat };
  await record(bench, [typed ? { kind: "correction", typed, ...common } : { kind: "withdrawal", ...common }]);
  bench.special = null;
  if (typed) afterReading(bench, run, step, typed);
  else {
    bench.draw();
    bench.say(say("pad-took-back", { value: shown(reading), what: step.label }));
  }
}

/**
 * Keep events on this device, then send them.
 * @param {Bench} bench
 * @param {Pick<import("./queue.js").BenchEvent, "kind" | "run" | "quantity" | "typed" | "supersedes"
 *   | "reason" | "repeat">[]} made
 */
async function record(bench, made) {
  const events = made.map((event) => {
    bench.lastTaken = timeAfter(bench.lastTaken, Date.now());
    const whole = { id: newId(), ...event, taken_at: bench.lastTaken, who: bench.who, device: bench.device };
    return signed(whole, bench.place.group, bench.keys);
  });
  bench.accept(await bench.queue.add(bench.place, events));
  bench.recorded = Date.now();
  setTimeout(() => bench.draw(), ANSWER_MS + 1);
  bench.channel?.postMessage("queued");
  bench.sync.want();
}

/**
 * @param {Bench} bench
 * @param {string} run
 * @param {Step} step
 * @param {string} typed
 */
function afterReading(bench, run, step, typed) {
  bench.draw();
  const task = bench.task();
  const kept = { value: asWritten(typed), what: step.label };
  bench.say(!task || task.kind === "done" ? doneWords(bench, run, kept) : nextWords(task.run, task.step, kept));
  bench.reveal();
}

/**
 * @param {Bench} bench
 * @param {string} run
 * @param {{value: string, what: string}} kept
 */
function doneWords(bench, run, kept) {
  const next = unfinished(bench);
  return `${say("pad-kept-last", { ...kept, run })} ${next ? say("pad-enter-goes-on", { run: next }) : ""}`.trim();
}

/**
 * @param {Run} run
 * @param {Step} step
 * @param {{value: string, what: string}} kept
 */
function nextWords(run, step, kept) {
  const { target } = goals(run, step);
  const next = step.label;
  return target ? say("pad-kept-next-target", { ...kept, next, target }) : say("pad-kept-next", { ...kept, next });
}

/**
 * Change or take back what the panel asked about.
 * @param {Bench} bench
 * @param {string} reason
 */
export function because(bench, reason) {
  const task = bench.task();
  if (task?.kind !== "change") return;
  const { typed } = bench.panel;
  // At once, so that what is typed next finds its place.
  bench.panel.clear();
  bench.panel.focus();
  bench.inTurn(() => correct(bench, task, typed, reason), typed);
}

/**
 * Of several readings let one count.
 * @param {Bench} bench
 * @param {string} run
 * @param {Reading} chosen
 * @param {Reading[]} others
 */
export function choose(bench, run, chosen, others) {
  const reason = say("pad-reason-chosen", { value: shown(chosen) });
  const events = others.map((other) => ({
    kind: /** @type {const} */ ("withdrawal"),
    run,
    quantity: other.quantity,
    supersedes: other.id,
    reason,
    repeat: other.repeat,
  }));
  bench.inTurn(async () => {
    await record(bench, events);
    bench.draw();
    bench.say(say("pad-counts-now", { value: shown(chosen) }));
    bench.panel.focus();
  }, "");
}

/**
 * Let a person type anew what the server refused.
 * @param {Bench} bench
 * @param {Entry} entry
 */
export async function retype(bench, entry) {
  const { event } = entry;
  await forget(bench, entry);
  turnTo(bench, event.run, true);
  const run = bench.now;
  const reading = run?.readings.find((one) => one.id === event.supersedes && one.current);
  if (reading) change(bench, reading, "");
  else if (run && !current(run, event.quantity).length) pick(bench, event.quantity);
  bench.panel.put(event.typed ?? "");
}

/**
 * @param {Bench} bench
 * @param {Entry} entry
 */
export async function forget(bench, entry) {
  bench.accept(await bench.queue.forget(entry.order));
  bench.forgetting = -1;
  bench.draw();
}

/** @param {Bench} bench */
export async function adopt(bench) {
  bench.accept(await bench.queue.adopt(bench.place));
  bench.draw();
  bench.sync.want();
}
