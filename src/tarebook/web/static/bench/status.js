// What could not be sent, and how it stands with the server.

import { deviceKind, h } from "./dom.js";
import { belongs } from "./queue.js";
import { asWritten, say } from "./words.js";

/** @typedef {import("./queue.js").Entry} Entry */
/** @typedef {import("./queue.js").Place} Place */

/**
 * Return in one sentence how it stands, whether it is good, and whether joining again helps.
 * @param {import("./sync.js").Phase} phase
 * @param {number} waiting
 * @param {boolean} durable
 * @param {ReturnType<typeof deviceKind>} device
 * @returns {{text: string, state: "good" | "waits" | "bad", join: boolean}}
 */
export function standing(phase, waiting, durable, device = deviceKind()) {
  const wait = waiting ? say("pad-waiting", { n: waiting, device }) : "";
  const risk = waiting && !durable ? ` ${say("pad-keeps-nothing")}` : "";
  const tail = wait ? ` ${wait}${risk}` : "";
  switch (phase) {
    case "join":
      return { text: say("pad-must-join", { device }) + tail, state: "bad", join: true };
    case "elsewhere":
      return { text: say("pad-joined-elsewhere", { device }) + tail, state: "bad", join: true };
    case "old":
      return { text: say("pad-page-old") + tail, state: "bad", join: false };
    case "lost":
      return { text: say("pad-record-replaced") + tail, state: "bad", join: false };
    case "offline":
      return { text: say("pad-offline") + tail, state: "waits", join: false };
    case "busy":
      return { text: say("pad-server-busy") + tail, state: "waits", join: false };
    case "start":
      return { text: say("pad-looking") + tail, state: "waits", join: false };
    default:
      if (waiting) return { text: `${say("pad-sending")} ${wait}${risk}`, state: "waits", join: false };
      return { text: say("pad-all-sent"), state: "good", join: false };
  }
}

/**
 * Draw what needs a person: refused readings, and what waits for another group or experiment.
 * @param {readonly Entry[]} entries
 * @param {Place} place
 * @param {{everyGroup: boolean, forgetting: number, label: (quantity: string) => string,
 *   sheet: boolean}} about `sheet`: whether there is one already, to type into.
 * @param {{retype: (entry: Entry) => void, ask: (order: number) => void,
 *   forget: (entry: Entry) => void, adopt: () => void}} does
 * @returns {HTMLElement[]}
 */
export function drawTrouble(entries, place, about, does) {
  const device = deviceKind();
  const refused = entries.filter((entry) => entry.refused && entry.group === place.group);
  const strange = entries.filter((entry) => entry.group === place.group && !belongs(entry, place));
  const others = about.everyGroup ? [] : entries.filter((entry) => entry.group !== place.group);
  const drawn = refused.map((entry) => drawRefused(entry, about, does));
  if (strange.length) {
    const titles = [...new Set(strange.map((entry) => `“${entry.title}”`))].join(", ");
    drawn.push(
      h(
        "div",
        { class: "question is-look" },
        h("p", {}, h("b", {}, say("pad-of-other-experiment", { n: strange.length, titles, device })), ` ${say("pad-sent-when-open")}`),
        h("div", { class: "answers" }, h("button", { type: "button", class: "quiet", id: "adopt", click: () => does.adopt() }, say("pad-adopt"))),
      ),
    );
  }
  for (const group of new Set(others.map((entry) => entry.group))) {
    const count = others.filter((entry) => entry.group === group).length;
    drawn.push(
      h("div", { class: "question is-look" }, h("p", {}, h("b", {}, say("pad-of-other-group", { n: count, group, device })), ` ${say("pad-sent-when-joined", { group })}`)),
    );
  }
  return drawn;
}

/**
 * @param {Entry} entry
 * @param {{forgetting: number, label: (quantity: string) => string, sheet: boolean}} about
 * @param {{retype: (entry: Entry) => void, ask: (order: number) => void, forget: (entry: Entry) => void}} does
 */
function drawRefused(entry, about, does) {
  const { event, refused } = entry;
  const value = event.typed ? asWritten(event.typed) : say("pad-taking-back");
  const sure = about.forgetting === entry.order;
  return h(
    "div",
    { class: "question is-stop", role: "group", "aria-label": say("pad-not-recorded-label") },
    h("p", {}, h("b", {}, say("pad-not-recorded", { run: event.run, what: about.label(event.quantity), value }))),
    h("p", {}, `${refused?.message ?? ""} ${refused?.do ?? ""}`),
    h(
      "div",
      { class: "answers" },
      sure
        ? h("button", { type: "button", class: "quiet", id: `forget-${entry.order}`, click: () => does.forget(entry) }, say("pad-forget-sure", { value }))
        : h("button", { type: "button", class: "quiet", id: `forget-${entry.order}`, click: () => does.ask(entry.order) }, say("pad-forget")),
      sure
        ? h("button", { type: "button", id: `retype-${entry.order}`, click: () => does.ask(-1) }, say("pad-forget-not"))
        : about.sheet && h("button", { type: "button", id: `retype-${entry.order}`, click: () => does.retype(entry) }, say("pad-type-again")),
    ),
  );
}
