// Requests to the server, and what their failures mean.

/** A request that takes longer has no network. */
export const PATIENCE_MS = 9_000;
/** A server that answers does so within this time; until then the page leaves it the word. */
export const ANSWER_MS = 700;

/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Series} Series */

/**
 * What came in place of an answer; `wait` in seconds, 0 if nothing is said of it.
 * @typedef {{kind: "unreachable"}
 *   | {kind: "refused", status: number, code: string, message: string, do: string, wait: number}} Failure
 */

/**
 * @template Body
 * @typedef {{kind: "ok", body: Body} | Failure} Answer
 */

/**
 * What became of events: the ids of those that are recorded and of those that never will be, and the
 * runs that they are about; `more`: others that had no room in the answer.
 * @typedef {{acknowledged: string[], refused: {id: string | null, message: string, do: string}[],
 *   runs: Run[], more: boolean, head: number, receipt?: string}} Delivered
 *
 * What the balance showed since the reading asked after; `name` is empty where there is none.
 * @typedef {{name: string, readings: {typed: string}[], last: number}} Shown
 */

/**
 * Get the series of a group; a long one comes in pages. The head is that of the first page: what
 * was recorded meanwhile is asked for again.
 * @param {string} group
 * @param {readonly string[]} receipts
 * @returns {Promise<Answer<Series>>}
 */
export async function getSeries(group, receipts) {
  const first = await page(group, 0, receipts);
  if (first.kind !== "ok") return first;
  const runs = [...first.body.runs];
  for (let next = first.body.next; next; ) {
    const answer = await page(group, next, receipts);
    if (answer.kind !== "ok") return answer;
    runs.push(...answer.body.runs);
    next = answer.body.next;
  }
  return { kind: "ok", body: { ...first.body, runs } };
}

/**
 * @param {string} group
 * @param {number} begin How many runs are there already.
 * @param {readonly string[]} receipts
 * @returns {Promise<Answer<Series>>}
 */
function page(group, begin, receipts) {
  const from = begin ? `&begin=${begin}` : "";
  return ask(`/api/series?group=${encodeURIComponent(group)}${from}`, { headers: { "x-receipts": receipts.join(",") } });
}

/**
 * @param {string} group
 * @param {readonly import("./queue.js").BenchEvent[]} events
 * @param {string} token
 * @param {readonly string[]} receipts
 * @param {import("./signing.js").KeyStatement} key
 * @param {readonly string[]} look Runs that the server had no time to look at.
 * @returns {Promise<Answer<Delivered>>}
 */
export function postEvents(group, events, token, receipts, key, look) {
  return ask("/api/events", {
    method: "POST",
    headers: { "content-type": "application/json", "x-csrf-token": token, "x-receipts": receipts.join(",") },
    body: JSON.stringify({ group, events, key, look }),
  });
}

/**
 * @param {number} after
 * @returns {Promise<Answer<Shown>>}
 */
export function getBalance(after) {
  return ask(`/api/balance?after=${after}`);
}

/**
 * Ask the server for something.
 * @template Body What the server is known to answer there.
 * @param {string} address
 * @param {RequestInit} [init]
 * @returns {Promise<Answer<Body>>}
 */
export async function ask(address, init = {}) {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
  try {
    const response = await fetch(address, { ...init, cache: "no-store", signal: patience.signal });
    const body = await response.json().catch(() => null);
    if (response.ok) return body === null ? { kind: "unreachable" } : { kind: "ok", body };
    // Something between here and the server (a portal, a proxy) answers in its own way.
    const error = body?.error ?? {};
    return {
      kind: "refused",
      status: response.status,
      code: error.code ?? "",
      message: error.message ?? "",
      do: error.do ?? "",
      wait: Number(response.headers.get("retry-after")) || 0,
    };
  } catch {
    return { kind: "unreachable" };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * Return in words why there is no answer: the server's own where it gave any.
 * @param {Failure} failure
 * @param {string} none Where there is none.
 * @returns {string}
 */
export function failureWords(failure, none) {
  return failure.kind === "refused" && failure.message ? `${failure.message} ${failure.do}`.trim() : none;
}
