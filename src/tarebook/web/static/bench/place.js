// Where the page is: its address, and what the server wrote into it.

import { byId } from "./dom.js";

/** Group, run, role, title of the experiment, version of the app. */
export const data = /** @type {Record<string, string>} */ ({ ...byId("bench").dataset });
export const instructor = data.role === "instructor";

/** @param {string} run */
export function address(run) {
  return `/bench/${encodeURIComponent(run)}${location.search}`;
}

/** @returns {string} */
export function runOfAddress() {
  const part = /^\/bench\/([^/]+)$/.exec(location.pathname)?.[1] ?? "";
  try {
    return decodeURIComponent(part);
  } catch {
    return "";
  }
}
