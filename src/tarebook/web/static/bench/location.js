// Where the page is: its address, and what the server wrote into it.

import { byId } from "./dom.js";

const { group = "", run = "", role = "", title = "", version = "" } = byId("bench").dataset;

/** What the server wrote into the page: `title` is that of the experiment, `version` the app's. */
export const data = { group, run, role, title, version };
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
