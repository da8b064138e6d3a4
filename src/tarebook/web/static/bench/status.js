// What could not be sent, and how it stands with the server.

import { counted, deviceWord, h } from "./dom.js";
import { belongs } from "./queue.js";

/** @typedef {import("./queue.js").Entry} Entry */
/** @typedef {import("./queue.js").Place} Place */

/**
 * Return in one sentence how it stands, whether it is good, and whether joining again helps.
 * @param {import("./sync.js").Phase} phase
 * @param {number} waiting
 * @param {boolean} durable
 * @param {string} device A word for it.
 * @returns {{text: string, state: "good" | "waits" | "bad", join: boolean}}
 */
export function standing(phase, waiting, durable, device = deviceWord()) {
  const verb = waiting === 1 ? "waits" : "wait";
  const wait = waiting ? `${counted(waiting, "reading")} ${verb} on this ${device}.` : "";
  const risk = waiting && !durable ? " This browser keeps nothing: leave the page open." : "";
  const tail = wait ? ` ${wait}${risk}` : "";
  switch (phase) {
    case "join":
      return { text: `This ${device} has to join again.${tail}`, state: "bad", join: true };
    case "elsewhere":
      return { text: `This ${device} has joined another group.${tail}`, state: "bad", join: true };
    case "old":
      return { text: `This page is too old: load it again.${tail}`, state: "bad", join: false };
    case "lost":
      return { text: `The record is not the one that took the readings: tell the instructor, and go on recording.${tail}`, state: "bad", join: false };
    case "offline":
      return { text: `No connection. Go on recording.${tail}`, state: "waits", join: false };
    case "busy":
      return { text: `The server asks to wait.${tail}`, state: "waits", join: false };
    case "start":
      return { text: `Looking for the server …${tail}`, state: "waits", join: false };
    default:
      if (waiting) return { text: `Sending. ${wait}${risk}`, state: "waits", join: false };
      return { text: "All is sent.", state: "good", join: false };
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
  const device = deviceWord();
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
        h("p", {}, h("b", {}, `${counted(strange.length, "reading")} of another experiment, ${titles}, on this ${device}. `), "They are sent when that experiment is open at this address."),
        h("div", { class: "answers" }, h("button", { type: "button", class: "quiet", id: "adopt", click: () => does.adopt() }, "They belong here: send them")),
      ),
    );
  }
  for (const group of new Set(others.map((entry) => entry.group))) {
    const count = others.filter((entry) => entry.group === group).length;
    drawn.push(
      h("div", { class: "question is-look" }, h("p", {}, h("b", {}, `${counted(count, "reading")} of group ${group} on this ${device}. `), `They are sent when it joins group ${group} again.`)),
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
  const value = event.typed || "taking it back";
  const sure = about.forgetting === entry.order;
  return h(
    "div",
    { class: "question is-stop", role: "group", "aria-label": "Not recorded" },
    h("p", {}, h("b", {}, `Not recorded: run ${event.run}, ${about.label(event.quantity)}, ${value}.`)),
    h("p", {}, `${refused?.message ?? ""} ${refused?.do ?? ""}`),
    h(
      "div",
      { class: "answers" },
      sure
        ? h("button", { type: "button", class: "quiet", id: `forget-${entry.order}`, click: () => does.forget(entry) }, `Yes, forget ${value}`)
        : h("button", { type: "button", class: "quiet", id: `forget-${entry.order}`, click: () => does.ask(entry.order) }, "Forget it"),
      sure
        ? h("button", { type: "button", id: `retype-${entry.order}`, click: () => does.ask(-1) }, "No, leave it")
        : about.sheet && h("button", { type: "button", id: `retype-${entry.order}`, click: () => does.retype(entry) }, "Type it again"),
    ),
  );
}
