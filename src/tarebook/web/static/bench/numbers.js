// Numbers as people type them. The server reads them by the same rules and has the last word; here
// the meaning is shown before anything is sent.

import { asWritten, say } from "./words.js";

/** Exponents of ten from the unit that was typed to the unit of the column. */
const UNITS = /** @type {Record<string, Record<string, number>>} */ ({
  g: { g: 0, mg: -3, kg: 3 },
  mL: { ml: 0, cm3: 0, "cm³": 0, cc: 0, l: 3, cl: 1, "µl": -3, "μl": -3, ul: -3 },
  "°C": { "°c": 0, "° c": 0, "°": 0, c: 0 },
  min: { min: 0, "min.": 0, minutes: 0, "'": 0 },
  "": {},
});

/** Between the fillings of one pour, as the record has it. */
const PLUS = " + ";
/** The plus between two fillings; that of an exponent and a sign are none. */
const BETWEEN_FILLINGS = /(?<=[^+\-−eE\s])\s*\+\s*(?=[0-9.,])/u;
const UNSIGNED = /^([0-9]+\.?[0-9]*|\.[0-9]+)$/;

const PLAIN = /^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$/;
const TYPED = /^([+\-−]?)\s*([0-9]{1,3}(?:[\s'’][0-9]{3})+|[0-9]*)(?:[.,]([0-9]*))?\s*([\p{L}°µ].*|'|)$/u;

/**
 * @typedef {{number: string, value: number}} Read
 * @typedef {{fault: string}} Unread
 */

/**
 * Return the number that was typed, in the unit of its column, every digit kept; of a pour in
 * several fillings each, and the value is their sum.
 * @param {string} unit "g", "mL", "°C", "min", or "" for a number of pieces.
 * @param {string} typed
 * @returns {Read | Unread}
 */
export function readNumber(unit, typed) {
  const parts = unit === "mL" ? typed.trim().split(BETWEEN_FILLINGS) : [typed];
  if (parts.length === 1) return oneNumber(unit, UNITS[unit] ?? {}, typed);
  // "0.02 + 0.015 L" may mean two things: of several fillings none is in another unit.
  const units = Object.fromEntries(Object.entries(UNITS[unit] ?? {}).filter(([, power]) => power === 0));
  /** @type {Read[]} */
  const numbers = [];
  for (const part of parts) {
    const read = oneNumber(unit, units, part);
    if ("fault" in read) return read;
    numbers.push(read);
  }
  if (!numbers.every((one) => UNSIGNED.test(one.number))) {
    return { fault: say("pad-filling-sign") };
  }
  const sum = numbers.reduce((total, one) => total + one.value, 0);
  return { number: numbers.map((one) => one.number).join(PLUS), value: Number(sum.toFixed(9)) };
}

/**
 * @param {string} unit
 * @param {Record<string, number>} allowed
 * @param {string} typed
 * @returns {Read | Unread}
 */
function oneNumber(unit, allowed, typed) {
  const text = typed.trim();
  if (PLAIN.test(text)) return finite(text, text);
  const [, sign = "", digits = "", part = "", typedUnit = ""] = TYPED.exec(text) ?? [];
  if (!digits && !part) {
    return { fault: say("pad-not-a-number", { typed: shortened(text) }) };
  }
  const whole = digits.replace(/[^0-9]/g, "") || "0";
  let given = typedUnit.trim();
  if (!Object.hasOwn(allowed, given) && unit !== "g") given = given.toLowerCase();
  if (given && !Object.hasOwn(allowed, given)) {
    const other = shortened(given);
    return { fault: unit ? say("pad-other-unit", { unit, typed: other }) : say("pad-other-than-pieces", { typed: other }) };
  }
  const shifted = shift(whole, part, allowed[given] ?? 0);
  return finite(sign === "-" || sign === "−" ? `-${shifted}` : shifted, text);
}

/**
 * Move the decimal point without losing a digit.
 * @param {string} whole
 * @param {string} part
 * @param {number} by Places to the right.
 * @returns {string}
 */
function shift(whole, part, by) {
  if (by === 0) return part ? `${whole}.${part}` : whole;
  const digits = whole + part;
  const point = whole.length + by;
  const padded = point > 0 ? digits.padEnd(point, "0") : "0".repeat(1 - point) + digits;
  const at = point > 0 ? point : 1;
  const front = padded.slice(0, at).replace(/^0+(?=[0-9])/, "");
  return at < padded.length ? `${front}.${padded.slice(at)}` : front;
}

/**
 * @param {string} number
 * @param {string} text
 * @returns {Read | Unread}
 */
function finite(number, text) {
  const value = Number(number);
  if (Number.isFinite(value)) return { number, value };
  return { fault: say("pad-too-large", { typed: shortened(text) }) };
}

/** @param {string} text */
function shortened(text) {
  return text.length > 24 ? `${text.slice(0, 23)}…` : text;
}

/**
 * Return how many decimals an instrument shows.
 * @param {number} step Finest step of its scale; 0 without a scale.
 * @returns {number}
 */
export function decimals(step) {
  if (!(step > 0)) return 0;
  const text = step.toFixed(6).replace(/0+$/, "");
  return text.length - text.indexOf(".") - 1;
}

/**
 * Return a target as it is to be met on the instrument.
 * @param {number} value
 * @param {number} step
 * @returns {string}
 */
export function targetText(value, step) {
  return asWritten(value.toFixed(Math.max(decimals(step), decimals(Number(value.toFixed(6)) % 1))));
}

/**
 * Return a range as digits: never narrower than it is.
 * @param {{low: number, high: number}} range
 * @param {number} step
 * @returns {string}
 */
export function rangeText(range, step) {
  const places = Math.max(decimals(step), 1);
  const scale = 10 ** places;
  // Binary fractions lie a hair off: 5.800000000000001 is meant as 5.8.
  const low = (Math.floor(range.low * scale + 1e-6) / scale).toFixed(places);
  const high = (Math.ceil(range.high * scale - 1e-6) / scale).toFixed(places);
  return low === high ? asWritten(low) : say("pad-range", { low: asWritten(low), high: asWritten(high) });
}
