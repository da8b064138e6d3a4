// What the page listens to: the browser, its own other pages, the buttons beside the panel.

import { byId, kindById } from "./dom.js";
import { runOfAddress } from "./location.js";
import { beside, go, unfinished } from "./navigation.js";
import { cancel } from "./task.js";
import { leadKeys, padTypes } from "./typing.js";

/** @typedef {import("./bench.js").Bench} Bench */

/**
 * Draw the page for the first time and keep it going.
 * @param {Bench} bench
 */
export function start(bench) {
  toTheBrowser(bench);
  toButtons(bench);
  const entry = kindById(HTMLInputElement, "entry");
  leadKeys(entry, { submit: () => bench.panel.submit(), cancel: () => cancel(bench) });
  padTypes(byId("keys"), entry);
  padTypes(byId("plus"), entry);
  new ResizeObserver(() => bench.panel.measure()).observe(byId("panel"));
  bench.draw();
  if (bench.series) bench.panel.focus();
  // Only now the lines have their height.
  void document.fonts.ready.then(() => bench.reveal("auto"));
  bench.sync.want();
  bench.balance.start();
}

/** @param {Bench} bench */
function toTheBrowser(bench) {
  for (const event of ["online", "offline", "pageshow", "focus"]) {
    window.addEventListener(event, () => bench.sync.want());
  }
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") bench.sync.want();
  });
  window.addEventListener("pagehide", () => void bench.lock.drop());
  window.addEventListener("popstate", () => go(bench, runOfAddress() || bench.run, false));
  bench.channel?.addEventListener("message", () => void bench.reload());
  window.addEventListener("beforeunload", (event) => {
    // What only this page's memory holds would be gone.
    if (!bench.store.durable && bench.mine.length) event.preventDefault();
  });
}

/** @param {Bench} bench */
function toButtons(bench) {
  byId("run-before").addEventListener("click", () => go(bench, beside(bench, -1), true));
  byId("run-after").addEventListener("click", () => go(bench, beside(bench, 1), true));
  const button = byId("run-now");
  button.addEventListener("click", () => {
    button.setAttribute("aria-expanded", String(button.getAttribute("aria-expanded") !== "true"));
  });
  byId("done-next").addEventListener("click", (event) => {
    const next = unfinished(bench);
    // After the last run the link leads to the results.
    if (!next) return;
    event.preventDefault();
    go(bench, next, true);
  });
  byId("who").addEventListener("change", () => void bench.keep("who", bench.who));
}
