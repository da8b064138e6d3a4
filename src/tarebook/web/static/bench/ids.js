// Ids and times that a device makes by itself.

/**
 * Return a new UUID, version 4 (RFC 9562). `crypto.randomUUID` is missing on plain http.
 * @returns {string}
 */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const view = new DataView(bytes.buffer);
  view.setUint8(6, (view.getUint8(6) & 0x0f) | 0x40);
  view.setUint8(8, (view.getUint8(8) & 0x3f) | 0x80);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/**
 * Return a time after the last one given, so that the order of work survives a clock set back.
 * @param {string} last Time of the reading before, or empty.
 * @param {number} now Milliseconds since 1970.
 * @returns {string} ISO 8601, UTC.
 */
export function timeAfter(last, now) {
  const before = last ? Date.parse(last) : 0;
  // A clock that was a day ahead must not hold all later readings in its future.
  const day = 24 * 3600 * 1000;
  const time = now <= before && before - now < day ? before + 1 : now;
  return new Date(time).toISOString();
}

/**
 * Return what this device calls itself in the record: kind and four letters.
 * @param {boolean} coarse Whether it is worked with a finger.
 * @param {number} width Smaller side of its screen, in CSS pixels.
 * @returns {string}
 */
export function newDeviceName(coarse, width) {
  const kind = coarse ? (width < 600 ? "phone" : "tablet") : "computer";
  const letters = "abcdefghkmnpqrstuvwxyz";
  const four = Array.from(crypto.getRandomValues(new Uint8Array(4)), (byte) => letters[byte % letters.length]);
  return `${kind}-${four.join("")}`;
}
