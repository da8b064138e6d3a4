// Turns to another run: by a button, by the address, by the code of a sheet.

import { byId } from "./dom.js";
import { address, data, instructor, runOfAddress } from "./location.js";
import { nextStep } from "./steps.js";
import { say } from "./words.js";

/** @typedef {import("./bench.js").Bench} Bench */

/**
 * Turn to a run, after what was typed before is kept: it belongs to the run it was typed in.
 * @param {Bench} bench
 * @param {string} run
 * @param {boolean} pushes Whether it becomes a step of the history.
 */
export function go(bench, run, pushes) {
  if (run) bench.inTurn(() => turnTo(bench, run, pushes), "");
}

/**
 * @param {Bench} bench
 * @param {string} run
 * @param {boolean} pushes
 */
export function turnTo(bench, run, pushes) {
  bench.run = run;
  bench.special = null;
  bench.picked = null;
  bench.panel.clear();
  if (pushes && runOfAddress() !== run) history.pushState(null, "", address(run));
  byId("run-now").setAttribute("aria-expanded", "false");
  bench.draw();
  bench.panel.focus();
  bench.reveal();
  bench.say(say("pad-run-here", { run }));
}

/**
 * @param {Bench} bench
 * @param {import("./codes.js").RunCode} code
 */
export function scanned(bench, code) {
  if (code.group !== data.group && !instructor) {
    return bench.panel.refuse("", say("pad-sheet-of-other-group", { group: code.group, own: data.group }));
  }
  if (code.group !== data.group) {
    location.assign(`/bench/${encodeURIComponent(code.run)}?group=${encodeURIComponent(code.group)}`);
    return;
  }
  const known = bench.series?.runs.some((run) => run.run === code.run);
  if (!known) return bench.panel.refuse("", say("pad-no-such-run", { run: code.run }));
  turnTo(bench, code.run, true);
  if (code.hash && code.hash !== bench.place.hash.slice(0, 8).toUpperCase()) {
    // An alert: it is read aloud by itself.
    bench.panel.refuse("", say("pad-sheet-is-older"));
  }
}

/**
 * Say so where the address names a run that the series does not have, as a mistyped link does:
 * readings would else be written down for another cup without a word.
 * @param {Bench} bench
 */
export function refuseUnknown(bench) {
  const asked = runOfAddress();
  const here = bench.now?.run;
  if (!asked || here === undefined || bench.series?.runs.some((run) => run.run === asked)) return;
  bench.run = here;
  history.replaceState(null, "", address(here));
  bench.panel.refuse("", say("pad-no-such-run-here", { run: asked, here }));
}

/**
 * Return the run so many places further; empty beyond the ends of the series.
 * @param {Bench} bench
 * @param {number} by
 * @returns {string}
 */
export function beside(bench, by) {
  const here = bench.now?.run;
  const runs = bench.series?.runs ?? [];
  return runs[runs.findIndex((run) => run.run === here) + by]?.run ?? "";
}

/**
 * Return the next run that is not complete, those after this one first; empty if there is none.
 * @param {Bench} bench
 * @returns {string}
 */
export function unfinished(bench) {
  const { runs, steps } = bench;
  const here = bench.now?.run;
  const at = runs.findIndex((run) => run.run === here);
  const optional = new Set(steps.filter((step) => step.optional).map((step) => step.quantity));
  const open = [...runs.slice(at + 1), ...runs.slice(0, at)].find((run) => nextStep(steps, run, optional));
  return open?.run ?? "";
}
