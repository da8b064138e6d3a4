// The key of this device, and what it signs with it. `crypto.subtle` is missing on plain http.

import "./nacl.js";

/** @typedef {import("./queue.js").BenchEvent} BenchEvent */

const { sign } = self.nacl;
const FIRST_LINE = "tarebook event\n";

/**
 * @typedef {{public: string, secret: Uint8Array}} Keys
 *
 * That this is the key of a device, signed with itself.
 * @typedef {{id: string, typed: string, taken_at: string, device: string, signature: string}} KeyStatement
 */

/**
 * Return a new seed, from which the keys of a device follow.
 * @returns {string}
 */
export function newSeed() {
  return hex(crypto.getRandomValues(new Uint8Array(32)));
}

/**
 * Return the keys of a seed.
 * @param {string} seed
 * @returns {Keys}
 */
export function keysOf(seed) {
  const bytes = Uint8Array.from(seed.match(/../g) ?? [], (two) => Number.parseInt(two, 16));
  const pair = sign.keyPair.fromSeed(bytes);
  return { public: hex(pair.publicKey), secret: pair.secretKey };
}

/**
 * Return an event with the signature of this device; one that has it stays as it is.
 * @param {BenchEvent} event
 * @param {string} group
 * @param {Keys} keys
 * @returns {BenchEvent}
 */
export function signed(event, group, keys) {
  if (event.signer === keys.public) return event;
  const said = {
    column: event.quantity,
    device: event.device.trim(),
    group,
    id: event.id,
    kind: event.kind,
    reason: (event.reason ?? "").trim(),
    repeat: event.repeat ?? 1,
    run: event.run.trim(),
    supersedes: event.supersedes ?? "",
    taken: event.taken_at.replace(/Z$/, "000Z"),
    typed: (event.typed ?? "").trim(),
    who: event.who.trim(),
  };
  return { ...event, signer: keys.public, signature: signature(said, keys) };
}

/**
 * Return the statement that this is the key of a device of a group, signed with it.
 * @param {{id: string, device: string, group: string, taken_at: string}} about
 * @param {Keys} keys
 * @returns {KeyStatement}
 */
export function keyOf({ id, device, group, taken_at }, keys) {
  const said = {
    column: "key",
    device,
    group: "*",
    id,
    kind: "reading",
    reason: "",
    repeat: 1,
    run: "*",
    supersedes: "",
    taken: taken_at.replace(/Z$/, "000Z"),
    typed: keys.public,
    who: group,
  };
  return { id, typed: keys.public, taken_at, device, signature: signature(said, keys) };
}

/**
 * @param {object} said Its keys in alphabetical order.
 * @param {Keys} keys
 * @returns {string}
 */
function signature(said, keys) {
  return hex(sign.detached(new TextEncoder().encode(FIRST_LINE + JSON.stringify(said)), keys.secret));
}

/** @param {Uint8Array} bytes */
function hex(bytes) {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
