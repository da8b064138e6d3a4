// What the pages say: from the messages that the page brought along, in its language.

import { FluentBundle, FluentResource } from "./fluent.js";

/** @type {FluentBundle | null} */
let bundle = null;

/** The messages of the page; none where it brought none, and a key then stands for its words. */
function messages() {
  if (bundle) return bundle;
  const brought = document.getElementById("words");
  const made = new FluentBundle(brought?.dataset.locale ?? "en", { useIsolating: false });
  made.addResource(new FluentResource(brought?.textContent ?? ""));
  if (brought) bundle = made;
  return made;
}

/**
 * Return a text of the catalogue with its places filled; keys and places are those of keys.d.ts.
 * @type {<Key extends keyof import("./keys.js").Messages>(key: Key,
 *   ...given: import("./keys.js").Messages[Key]) => string}
 */
export const say = (key, ...[values]) => {
  const found = messages();
  const pattern = found.getMessage(key)?.value;
  return pattern ? found.formatPattern(pattern, values, []) : key;
};

/** The decimal mark of the place: what stands between 1 and 5 in one and a half. */
export function decimalMark() {
  const locale = document.getElementById("words")?.dataset.locale ?? "en";
  return new Intl.NumberFormat(locale).formatToParts(1.5).find((part) => part.type === "decimal")?.value ?? ".";
}

/**
 * Return a number that is written with a point as the place writes it, with a minus that is seen.
 * @param {string} number
 * @returns {string}
 */
export function asWritten(number) {
  return number.replaceAll(".", decimalMark()).replace("-", "−");
}
