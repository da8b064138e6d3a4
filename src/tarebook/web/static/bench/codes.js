// Codes on printed sheets: a scanner types them like a keyboard.

/**
 * @typedef {{hash: string, group: string, run: string}} RunCode
 */

/**
 * Return what a scanned code says; null if the text holds none. Digits that stood in the entry
 * before the scanner typed are left aside.
 * @param {string} text
 * @returns {RunCode | null}
 */
export function readRunCode(text) {
  const mark = /TB1 ([0-9A-Fa-f]{8}) (\S+) (\S+)\s*$/.exec(text);
  if (mark) {
    const [, hash = "", group = "", run = ""] = mark;
    return decoded(hash, group, run);
  }
  const link = /https?:\/\/[^\s/]+(?:\/[^\s?#]*)?\/run\/([^\s/?#]+)\/([^\s/?#]+)(?:\?e=([0-9A-Fa-f]*))?\s*$/.exec(text);
  if (!link) return null;
  const [, group = "", run = "", hash = ""] = link;
  return decoded(hash, group, run);
}

/**
 * @param {string} hash
 * @param {string} group
 * @param {string} run
 * @returns {RunCode | null}
 */
function decoded(hash, group, run) {
  try {
    return { hash: hash.toUpperCase(), group: decodeURIComponent(group), run: decodeURIComponent(run) };
  } catch {
    return null;
  }
}
