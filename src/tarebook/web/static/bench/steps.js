// What stands in a run and what comes next: pure, from the server's view and what still waits.

import { readNumber, rangeText, targetText } from "./numbers.js";
import { asWritten, say } from "./words.js";

/** Why a value changes when a question is answered so; recorded with the new value. */
export const READ_AGAIN = "read again";

/**
 * @typedef {{quantity: string, label: string, unit: string, hint: string, step: number,
 *   instrument: string, optional: boolean, counts: string, from: string | null}} Step
 * `counts`: what is found from it, itself or a difference; `from`: the start from which a burette's
 * end is counted on.
 * @typedef {{id: string, quantity: string, repeat: number, typed: string, value: number | null,
 *   number: string, unit: string, kind: string, supersedes: string | null, reason: string,
 *   who: string, device: string, taken_at: string, current: boolean, conflict: boolean,
 *   waits?: boolean}} Reading
 * @typedef {{code: string, severity: string, run: string, reading: string | null, message: string,
 *   do: string}} Finding
 * @typedef {{run: string, targets: Record<string, number>, readings: Reading[],
 *   expected: Record<string, {low: number, high: number, unit: string}>, said: Finding[],
 *   next: string | null, conflicts: {quantity: string, repeat: number, ids: string[]}[],
 *   not_asked?: string[], hints?: Record<string, string>, looked?: boolean,
 *   rough?: boolean, answering?: boolean}} Run
 * `looked`: whether the server had time to look at what the readings mean. `rough`: the server has
 * not seen all of it; `answering`: but is about to.
 * @typedef {{group: string, experiment: {title: string, hash: string}, steps: Step[], runs: Run[],
 *   head: number, next: number | null, most_events: number, receipt?: string, csrf: string}} Series
 * `head`: up to which event of the group the runs were told; `next`: from which run on there are
 * others, where a series comes in pages.
 */

/** @typedef {import("./queue.js").Entry} Entry */

/**
 * Return a run as it stands on this device: the server's view, and over it what still waits.
 * @param {Run} run
 * @param {readonly Entry[]} entries What waits for this group, in order.
 * @param {readonly Step[]} steps
 * @param {boolean} [answering] Whether the server is about to answer.
 * @returns {Run}
 */
export function merged(run, entries, steps, answering = false) {
  const known = new Set(run.readings.map((reading) => reading.id));
  const mine = entries.filter(
    (entry) => entry.event.run === run.run && !entry.refused && !known.has(entry.event.id),
  );
  if (mine.length === 0) return run;
  const gone = new Set(mine.map((entry) => entry.event.supersedes).filter(Boolean));
  const readings = [
    ...run.readings.map((reading) => (gone.has(reading.id) ? { ...reading, current: false } : reading)),
    ...mine.map((entry) => waiting(entry, steps, gone)),
  ];
  return { ...run, readings, expected: stillExpected(run, mine, steps), rough: true, answering };
}

/**
 * @param {Entry} entry
 * @param {readonly Step[]} steps
 * @param {Set<string | undefined>} gone
 * @returns {Reading}
 */
function waiting(entry, steps, gone) {
  const { event } = entry;
  const unit = steps.find((step) => step.quantity === event.quantity)?.unit ?? "";
  const read = event.typed ? readNumber(unit, event.typed) : null;
  const number = read && "number" in read ? read : null;
  return {
    id: event.id,
    quantity: event.quantity,
    repeat: event.repeat ?? 1,
    typed: event.typed ?? "",
    value: number ? number.value : null,
    number: number ? number.number : "",
    unit,
    kind: event.kind,
    supersedes: event.supersedes ?? null,
    reason: event.reason ?? "",
    who: event.who,
    device: event.device,
    taken_at: event.taken_at,
    current: !gone.has(event.id) && event.kind !== "withdrawal",
    conflict: false,
    waits: true,
  };
}

/**
 * Return the ranges that still hold although the server has not seen everything: those that rest on
 * the plan alone, and those after which nothing new came in.
 * @param {Run} run
 * @param {readonly Entry[]} mine
 * @param {readonly Step[]} steps
 * @returns {Run["expected"]}
 */
function stillExpected(run, mine, steps) {
  const order = new Map(steps.map((step, at) => [step.quantity, at]));
  const first = Math.min(...mine.map((entry) => order.get(entry.event.quantity) ?? 0));
  return Object.fromEntries(
    Object.entries(run.expected).filter(
      ([quantity]) => quantity in run.targets || (order.get(quantity) ?? 0) <= first,
    ),
  );
}

/**
 * Return the readings of one quantity that count.
 * @param {Run} run
 * @param {string} quantity
 * @returns {Reading[]}
 */
export function current(run, quantity) {
  return run.readings.filter((reading) => reading.quantity === quantity && reading.current);
}

/**
 * Return what no longer counts of one quantity, each with why.
 * @param {Run} run
 * @param {string} quantity
 * @returns {{reading: Reading, by: Reading | undefined}[]}
 */
export function struck(run, quantity) {
  const by = new Map(run.readings.filter((one) => one.supersedes).map((one) => [one.supersedes, one]));
  return run.readings
    .filter((one) => one.quantity === quantity && !one.current && one.kind !== "withdrawal")
    .map((reading) => ({ reading, by: by.get(reading.id) }));
}

/**
 * Return the steps of a run: without those that its plan does not ask for, unless they were read.
 * @param {readonly Step[]} steps
 * @param {Run} run
 * @returns {Step[]}
 */
export function stepsOf(steps, run) {
  const not = new Set(run.not_asked ?? []);
  return steps.filter((step) => !not.has(step.quantity) || current(run, step.quantity).length > 0);
}

/**
 * Return the step that comes next; null when the run is done. What may be left out is asked for
 * until it is left out or a later step was recorded.
 * @param {readonly Step[]} steps
 * @param {Run} run
 * @param {ReadonlySet<string>} leftOut Quantities of this run.
 * @returns {Step | null}
 */
export function nextStep(steps, run, leftOut) {
  const mine = stepsOf(steps, run);
  const taken = mine.map((step) => current(run, step.quantity).length > 0);
  const last = taken.lastIndexOf(true);
  const next = mine.find(
    (step, at) => !taken[at] && (!step.optional || (at > last && !leftOut.has(step.quantity))),
  );
  return next ?? null;
}

/**
 * Return how far a run is.
 * @param {readonly Step[]} steps
 * @param {Run} run
 * @returns {{done: number, of: number}}
 */
export function progress(steps, run) {
  const needed = stepsOf(steps, run).filter((step) => !step.optional);
  const done = needed.filter((step) => current(run, step.quantity).length > 0);
  return { done: done.length, of: needed.length };
}

/**
 * Return what is odd and was not yet asked about: only what this device recorded, each reading once.
 * @param {readonly Step[]} steps
 * @param {Run} run
 * @param {string} device
 * @param {ReadonlySet<string>} asked Ids of readings.
 * @returns {{reading: Reading, step: Step, finding: Finding}[]}
 */
export function questions(steps, run, device, asked) {
  return steps.flatMap((step) => {
    const last = current(run, step.quantity).at(-1);
    if (!last || last.device !== device || asked.has(last.id) || last.conflict) return [];
    const finding = findings(run, step).find((one) => one.severity !== "note");
    return finding ? [{ reading: last, step, finding }] : [];
  });
}

/**
 * Return what is to be said of a step: by the server, and by the range where the server has not
 * called the value odd itself (it has not seen it yet, or spoke of something else).
 * @param {Run} run
 * @param {Step} step
 * @returns {Finding[]}
 */
export function findings(run, step) {
  const readings = current(run, step.quantity);
  const last = readings.at(-1);
  if (!last) return [];
  const waits = readings.some((one) => one.waits);
  const said = waits
    ? []
    : run.said.filter((one) => one.reading === step.quantity && one.code !== "two-readings");
  if (waits && run.answering) return [];
  const range = run.expected[step.quantity];
  const told = said.some((one) => one.severity !== "note");
  if (told || !range || last.value === null || holds(range, last.value)) return said;
  return [...said, outside(run, step, last, range, waits)];
}

/**
 * @param {Run} run
 * @param {Step} step
 * @param {Reading} last
 * @param {{low: number, high: number}} range
 * @param {boolean} waits
 * @returns {Finding}
 */
function outside(run, step, last, range, waits) {
  return {
    code: "outside-expected",
    severity: "look",
    run: run.run,
    reading: step.quantity,
    message: say("pad-unexpected", { value: shown(last), range: `${rangeText(range, step.step)} ${step.unit}`.trim() }),
    do: say(waits ? "pad-look-again-waits" : "pad-look-again"),
  };
}

/**
 * Return whether a value lies in a range; its ends belong to it.
 * @param {{low: number, high: number}} range
 * @param {number} value
 * @returns {boolean}
 */
export function holds(range, value) {
  const slack = 1e-9 * Math.max(Math.abs(range.low), Math.abs(range.high));
  return range.low - slack <= value && value <= range.high + slack;
}

/**
 * Return a reading as it is shown: the number with every digit, and the unit.
 * @param {Pick<Reading, "number" | "typed" | "unit">} reading
 * @returns {string}
 */
export function shown(reading) {
  const number = reading.number || reading.typed;
  return number ? `${asWritten(number)} ${reading.unit}`.trim() : say("pad-taken-back");
}

/**
 * Return why a value changed: of the usual reasons, which are recorded alike in every language, the
 * words of the page; of others what a person wrote.
 * @param {string} reason
 * @returns {string}
 */
export function reasonWords(reason) {
  if (reason === READ_AGAIN) return say("pad-reason-read-again");
  if (reason === "typed wrongly") return say("pad-reason-typed-wrongly");
  return reason === "belongs to another cup" ? say("pad-reason-other-cup") : reason;
}

/**
 * Return target and range of a step as one line each; empty where there is none.
 * @param {Run} run
 * @param {Step} step
 * @returns {{target: string, expected: string}}
 */
export function goals(run, step) {
  const target = targetOf(run, step);
  const range = run.expected[step.quantity];
  const inIt = step.counts && step.counts !== step.quantity && !step.from;
  const amount = target === undefined ? "" : `${targetText(target, step.step)} ${step.unit}`.trim();
  return {
    target: amount && inIt ? say("pad-in-it", { amount }) : amount,
    expected: range ? `${rangeText(range, step.step)} ${step.unit}`.trim() : "",
  };
}

/**
 * Return the target of a step: where a burette is read at the end, counted from where it began.
 * @param {Run} run
 * @param {Step} step
 * @returns {number | undefined}
 */
function targetOf(run, step) {
  const asked = run.targets[step.counts ?? step.quantity];
  if (asked === undefined || !step.counts || step.counts === step.quantity) return asked;
  if (!step.from) return step.quantity === "holder_before_g" ? asked : undefined;
  const start = current(run, step.from).at(-1);
  return start && start.value !== null && !start.number.includes("+") ? start.value + asked : undefined;
}
