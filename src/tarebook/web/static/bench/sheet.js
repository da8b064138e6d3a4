// Draws the sheet of one run: its steps, what was read, what it means, what is asked.

import { deviceKind, h, timeOfDay } from "./dom.js";
import { current, findings, goals, progress, reasonWords, shown, stepsOf, struck } from "./steps.js";
import { say } from "./words.js";

/** @typedef {import("./steps.js").Step} Step */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Reading} Reading */
/** @typedef {import("./steps.js").Finding} Finding */

/**
 * @typedef {{
 *   pick: (quantity: string) => void,
 *   change: (reading: Reading) => void,
 *   keep: (reading: Reading) => void,
 *   readAgain: (reading: Reading) => void,
 *   choose: (chosen: Reading, others: Reading[]) => void,
 * }} Does
 */

/**
 * @param {{run: Run, steps: readonly Step[], now: string, device: string,
 *   asks: {reading: Reading, step: Step, finding: Finding}[], changing: string}} what
 * @param {Does} does
 * @returns {HTMLElement[]}
 */
export function drawSteps(what, does) {
  const { run, steps } = what;
  return stepsOf(steps, run).map((step) => {
    const readings = current(run, step.quantity);
    const now = step.quantity === what.now;
    const state = readings.length ? "is-done" : now ? "is-now" : "is-open";
    const conflict = run.conflicts.find((one) => one.quantity === step.quantity);
    return h(
      "li",
      {
        class: `step ${state}${now && readings.length ? " is-changing" : ""}`,
        id: `step-${step.quantity}`,
        "aria-current": now ? "step" : undefined,
      },
      h(
        "div",
        { class: "line" },
        h("span", { class: "mark", "aria-hidden": "true" }, readings.length ? "✓" : ""),
        h("div", { class: "what" }, h("span", { class: "name" }, step.label), goalLine(run, step, readings.length > 0)),
        h("div", { class: "values" }, ...values(step, readings, what, does)),
      ),
      ...struck(run, step.quantity).map(({ reading, by }) => struckLine(reading, by)),
      now && readings.length === 0 && h("p", { class: "hint" }, run.hints?.[step.quantity] ?? step.hint),
      ...says(run, step, what, does),
      conflict ? chooser(run, step, conflict, what.device, does) : null,
    );
  });
}

/**
 * @param {Run} run
 * @param {Step} step
 * @param {boolean} done
 */
function goalLine(run, step, done) {
  const { target, expected } = goals(run, step);
  const words = target ? say("pad-target-is", { target }) : !done && expected ? say("pad-expected-is", { range: expected }) : "";
  const optional = step.optional && !done ? say("pad-if-you-can") : "";
  const text = [words, optional].filter(Boolean).join(" · ");
  return text ? h("span", { class: "goal" }, text) : null;
}

/**
 * @param {Step} step
 * @param {Reading[]} readings
 * @param {{changing: string}} what
 * @param {Does} does
 */
function values(step, readings, what, does) {
  if (!readings.length) {
    return [
      h(
        "button",
        { type: "button", class: "value empty", id: `pick-${step.quantity}`, click: () => does.pick(step.quantity) },
        h("span", { class: "hidden" }, say("pad-record-now", { what: step.label })),
        h("span", { "aria-hidden": "true" }, "–"),
      ),
    ];
  }
  return readings.map((reading) =>
    h(
      "button",
      {
        type: "button",
        class: `value${reading.waits ? " waits" : ""}`,
        id: `value-${reading.id}`,
        "aria-current": reading.id === what.changing ? "true" : undefined,
        click: () => does.change(reading),
      },
      h("span", { class: "hidden" }, `${say("pad-value-of", { what: step.label })} `),
      shown(reading),
      reading.waits && h("small", {}, say("pad-not-sent-yet")),
      h("span", { class: "hidden" }, ` ${say("pad-change-it")}`),
    ),
  );
}

/**
 * @param {Reading} reading
 * @param {Reading | undefined} by
 */
function struckLine(reading, by) {
  const way = say(by?.kind === "withdrawal" ? "pad-taken-back" : "pad-replaced");
  const why = by?.reason ? `: ${reasonWords(by.reason)}` : "";
  const who = [by?.who, by ? timeOfDay(by.taken_at) : ""].filter(Boolean).join(", ");
  return h(
    "p",
    { class: "struck" },
    h("span", { class: "hidden" }, `${say("pad-no-longer-counts")} `),
    h("s", {}, shown(reading)),
    ` ${way}${why}${who ? ` (${who})` : ""}`,
  );
}

/**
 * @param {Run} run
 * @param {Step} step
 * @param {{asks: {reading: Reading, step: Step, finding: Finding}[]}} what
 * @param {Does} does
 */
function says(run, step, what, does) {
  const ask = what.asks.find((one) => one.step.quantity === step.quantity);
  return findings(run, step).map((finding) => {
    const text = finding.message;
    if (finding.severity === "note") return h("p", { class: "meaning" }, text, finding.do && ` ${finding.do}`);
    const asked = ask && ask.finding.message === finding.message;
    if (!ask || !asked) {
      return h("p", { class: `odd is-${finding.severity}` }, h("b", {}, text), finding.do && ` ${finding.do}`);
    }
    const value = shown(ask.reading);
    return h(
      "div",
      { class: `question is-${finding.severity}`, role: "group", "aria-label": say("pad-question-about", { what: step.label }) },
      h("p", {}, h("b", {}, text)),
      // Before the advice, which may be longer than what is free above the number pad of a phone.
      h(
        "div",
        { class: "answers" },
        h("button", { type: "button", class: "quiet", id: `keep-${ask.reading.id}`, click: () => does.keep(ask.reading) }, say("pad-keep-value", { value })),
        h("button", { type: "button", id: `again-${ask.reading.id}`, click: () => does.readAgain(ask.reading) }, say("pad-read-again")),
      ),
      finding.do && h("p", { class: "advice" }, finding.do),
    );
  });
}

/** @param {string} text */
function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/**
 * Say that several readings stand for one.
 * @param {Step} step
 * @param {number} count
 * @returns {string}
 */
export function tornWords(step, count) {
  return say("pad-recorded-often", { what: capital(step.label), n: count });
}

/**
 * @param {Run} run
 * @param {Step} step
 * @param {{ids: string[]}} conflict
 * @param {string} device
 * @param {Does} does
 */
function chooser(run, step, conflict, device, does) {
  const torn = conflict.ids.flatMap((id) => run.readings.filter((reading) => reading.id === id));
  return h(
    "div",
    { class: "question is-look", role: "group", "aria-label": say("pad-readings-of", { n: torn.length, what: step.label }) },
    h("p", {}, h("b", {}, tornWords(step, torn.length)), ` ${say("pad-all-count")}`),
    h(
      "ul",
      { class: "torn" },
      ...torn.map((reading) =>
        h(
          "li",
          {},
          h("span", {}, h("b", {}, shown(reading)), ` ${origin(reading, device)}`),
          h(
            "button",
            {
              type: "button",
              class: "quiet",
              id: `choose-${reading.id}`,
              click: () => does.choose(reading, torn.filter((other) => other.id !== reading.id)),
            },
            say("pad-this-counts", { value: shown(reading) }),
            h("span", { class: "hidden" }, ` (${origin(reading, device)})`),
          ),
        ),
      ),
    ),
  );
}

/**
 * @param {Reading} reading
 * @param {string} device
 */
function origin(reading, device) {
  const from = reading.device === device ? say("pad-this-device", { device: deviceKind() }) : reading.device;
  return [reading.who, from, timeOfDay(reading.taken_at)].filter(Boolean).join(", ");
}

/**
 * Draw the runs as links.
 * @param {readonly Run[]} runs
 * @param {string} now
 * @param {readonly Step[]} steps
 * @param {{address: (run: string) => string, waits: ReadonlySet<string>, asks: ReadonlySet<string>}} about
 * @param {(run: string) => void} go
 * @returns {HTMLElement[]}
 */
export function drawRuns(runs, now, steps, about, go) {
  return runs.map((run) => {
    const { done, of } = progress(steps, run);
    const open = about.asks.has(run.run);
    const waits = about.waits.has(run.run);
    const words = [
      say("pad-run-progress", { run: run.run, done, of }),
      open ? say("pad-run-asks") : "",
      waits ? say("pad-run-not-sent") : "",
    ].filter(Boolean).join(", ");
    const sign = open ? "?" : done === of ? "✓" : done ? `${done}/${of}` : "";
    return h(
      "li",
      {},
      h(
        "a",
        {
          href: about.address(run.run),
          id: `run-${run.run}`,
          class: `${done === of ? "is-done" : ""}${open ? " is-odd" : ""}${waits ? " waits" : ""}`,
          "aria-current": run.run === now ? "true" : undefined,
          "aria-label": words,
          click: (event) => {
            event.preventDefault();
            go(run.run);
          },
        },
        h("span", { class: "name" }, run.run),
        h("span", { class: "sign" }, sign),
      ),
    );
  });
}
