// Keys from wherever they come: a keyboard, a scanner, or a balance that types like one.

import { decimalMark } from "./words.js";

/** A person does not type two characters within this time; a device does. */
const FAST_MS = 45;
/** Between two fillings of one pour. */
const PLUS = " + ";
/** So many in a row are a device. */
const FEWEST = 4;

/** Tells a device that types from a person. */
export class Burst {
  constructor() {
    this.last = -Infinity;
    this.count = 0;
  }

  /**
   * Count a key.
   * @param {number} time Milliseconds.
   */
  key(time) {
    this.count = time - this.last < FAST_MS ? this.count + 1 : 1;
    this.last = time;
  }

  /**
   * Return whether a key at this time would end what a device typed.
   * @param {number} time
   */
  ends(time) {
    return this.count >= FEWEST && time - this.last < 2 * FAST_MS;
  }
}

/**
 * Lead the keys that belong to no other field to the entry.
 * @param {HTMLInputElement} entry
 * @param {{submit: () => void, cancel: () => void}} then
 */
export function leadKeys(entry, then) {
  const burst = new Burst();
  document.addEventListener(
    "keydown",
    (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
      if (event.key === "Escape") {
        then.cancel();
        return;
      }
      const target = event.target instanceof HTMLElement ? event.target : document.body;
      if (target !== entry && target.matches("input, select, textarea")) return;
      const time = event.timeStamp;
      // Some devices end with a tab instead of Enter.
      if (event.key === "Enter" || event.key === "Tab") {
        const typed = burst.ends(time) || (event.key === "Enter" && (target === entry || target === document.body));
        if (typed) {
          event.preventDefault();
          then.submit();
        }
        return;
      }
      if (event.key.length !== 1) return;
      burst.key(time);
      // The space bar presses the button that has the focus, unless a device is typing.
      if (event.key === " " && target !== entry && !burst.ends(time)) return;
      if (target !== entry) entry.focus({ preventScroll: true });
    },
    { capture: true },
  );
}

/**
 * Let the buttons of a number pad type into the entry, without moving the focus.
 * @param {HTMLElement} keys
 * @param {HTMLInputElement} entry
 */
export function padTypes(keys, entry) {
  // A finger on a key must not take the focus from the entry: the next scan would be lost.
  keys.addEventListener("pointerdown", (event) => event.preventDefault());
  keys.addEventListener("click", (event) => {
    const key = event.target instanceof Element ? event.target.closest("[data-key]") : null;
    if (!(key instanceof HTMLElement)) return;
    entry.value = typedWith(entry.value, key.dataset.key ?? "");
    entry.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

/**
 * Return a text after one more key of the pad.
 * @param {string} text
 * @param {string} key A digit, the point, the plus between two fillings, "back" or "clear".
 * @returns {string}
 */
export function typedWith(text, key) {
  if (key === "back") return text.endsWith(PLUS) ? text.slice(0, -PLUS.length) : text.slice(0, -1);
  if (key === "clear") return "";
  if (key === "+") return /[0-9]$/.test(text) ? text + PLUS : text;
  if (key === ".") return /[.,][0-9]*$/.test(text) ? text : text + decimalMark();
  return text + key;
}
