// The panel at hand: what is asked, the number that is being typed, and why a value changes.

import { byId, fill, h, kindById } from "./dom.js";
import { address } from "./location.js";
import { goals, READ_AGAIN, shown } from "./steps.js";
import { asWritten, say } from "./words.js";

/** @typedef {import("./task.js").Task} Task */

/** A device that ends with two line ends must not be told that it typed nothing. */
const TWICE_MS = 400;

export class Panel {
  /**
   * @param {{submit: (typed: string) => void, reason: (reason: string) => void,
   *   leaveOut: () => void, second: () => void, takeBack: () => void, cancel: () => void}} does
   */
  constructor(does) {
    this.does = does;
    /** What was typed before the question why. */
    this.typed = "";
    this.submitted = -Infinity;
    this.entry = kindById(HTMLInputElement, "entry");
    const reason = kindById(HTMLInputElement, "reason");
    byId("panel").addEventListener("submit", (event) => {
      event.preventDefault();
      this.submit();
    });
    this.entry.addEventListener("input", () => this.refuse(this.entry.value, ""));
    byId("leave-out").addEventListener("click", () => does.leaveOut());
    byId("second").addEventListener("click", () => does.second());
    byId("take-back").addEventListener("click", () => does.takeBack());
    byId("cancel").addEventListener("click", () => does.cancel());
    byId("why-back").addEventListener("click", () => this.back());
    for (const button of reasons()) {
      button.addEventListener("click", () => does.reason(button.dataset.reason ?? ""));
    }
    const own = () => (reason.value.trim() ? does.reason(reason.value.trim()) : reason.focus());
    byId("reason-keep").addEventListener("click", own);
    reason.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      own();
    });
    const letters = byId("letters");
    letters.addEventListener("click", () => {
      const on = this.entry.inputMode === "none";
      this.entry.inputMode = on ? "text" : "none";
      letters.setAttribute("aria-pressed", String(on));
      this.entry.blur();
      this.entry.focus();
    });
  }

  submit() {
    if (!byId("why").hidden) return;
    const typed = this.entry.value.trim();
    const now = performance.now();
    if (!typed && now - this.submitted < TWICE_MS) return;
    this.submitted = now;
    this.entry.value = "";
    this.does.submit(typed);
  }

  /**
   * Say why something is not taken; what was typed comes back, unless more was typed since.
   * @param {string} typed
   * @param {string} fault
   */
  refuse(typed, fault) {
    if (!this.entry.value) this.entry.value = typed;
    byId("fault").textContent = fault;
    if (fault) this.entry.setAttribute("aria-invalid", "true");
    else this.entry.removeAttribute("aria-invalid");
  }

  /**
   * Put a text into the entry for a person to look at.
   * @param {string} typed
   */
  put(typed) {
    this.entry.value = typed;
    this.focus();
  }

  /**
   * Take what a balance showed into the empty entry; a person presses Keep.
   * @param {string} typed
   * @param {Task | null} task
   */
  offer(typed, task) {
    if (!task || task.kind === "done" || task.step.unit !== "g" || this.entry.value || !byId("why").hidden) return;
    this.put(typed);
    byId("say").textContent = say("pad-balance-shows", { value: asWritten(typed) });
  }

  clear() {
    this.entry.value = "";
    this.typed = "";
    this.refuse("", "");
    this.show("typing");
  }

  focus() {
    if (!byId("typing").hidden) this.entry.focus({ preventScroll: true });
  }

  /** Say how high the panel is: on a phone it stands over the sheet, and what is to be seen must stop above it. */
  measure() {
    document.documentElement.style.setProperty("--hand", `${byId("panel").offsetHeight}px`);
  }

  /** Bring all of the panel into the window, as far as it fits. */
  reveal() {
    this.measure();
    const { top, bottom } = byId("panel").getBoundingClientRect();
    const below = Math.min(bottom - window.innerHeight, top);
    if (below > 0) window.scrollBy(0, below);
  }

  /**
   * @param {string} typed
   * @param {string} words What changes.
   */
  askWhy(typed, words) {
    this.typed = typed;
    kindById(HTMLInputElement, "reason").value = "";
    byId("why-value").textContent = words;
    this.show("why");
    reasons()[0]?.focus({ preventScroll: true });
    byId("say").textContent = say("pad-why", { change: words });
  }

  /**
   * Go back from the question why to the number.
   * @returns {boolean} Whether there was a way back.
   */
  back() {
    if (byId("why").hidden) return false;
    this.show("typing");
    this.put(this.typed);
    return true;
  }

  /** @param {"typing" | "why"} part */
  show(part) {
    byId("typing").hidden = part !== "typing";
    byId("why").hidden = part !== "why";
  }

  /**
   * @param {Task} task
   * @param {{unfinished: string, asking: readonly string[]}} others The run to go to when this one is
   *   done, empty after the last; and those where a question is open.
   */
  draw(task, { unfinished, asking }) {
    const done = task.kind === "done";
    byId("panel").dataset.task = task.kind;
    byId("done").hidden = !done;
    byId("keys").hidden = done;
    byId("plus").hidden = done || task.step.unit !== "mL";
    byId("leave-out").hidden = !(task.kind === "read" && task.step.optional);
    byId("second").hidden = task.kind !== "change" || task.reason !== "";
    byId("take-back").hidden = task.kind !== "change";
    byId("cancel").hidden = task.kind !== "change" && task.kind !== "second";
    byId("asks-what").textContent = title(task);
    this.entry.placeholder = done ? say("pad-scan-sheet") : "";
    byId("entry-unit").textContent = done ? "" : task.step.unit;
    byId("entry-label").textContent = done ? say("pad-code-of-sheet") : task.step.unit ? say("pad-in-unit", { what: title(task), unit: task.step.unit }) : title(task);
    fill(byId("asks-goal"), done ? [] : goalParts(task));
    const next = kindById(HTMLAnchorElement, "done-next");
    next.textContent = unfinished ? say("pad-go-to-run", { run: unfinished }) : say("pad-see-results");
    next.href = unfinished ? address(unfinished) : `/results${location.search}`;
    const open = asking.length ? say("pad-questions-in-runs", { n: asking.length, runs: asking.join(", ") }) : "";
    byId("done-text").textContent = `${say(unfinished ? "pad-run-recorded" : "pad-series-recorded")} ${open}`.trim();
  }
}

/** The buttons of the usual reasons for a change. */
function reasons() {
  return /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("#why [data-reason]"));
}

/**
 * @param {Task} task
 * @returns {string}
 */
function title(task) {
  if (task.kind === "done") return say("pad-run-complete", { run: task.run.run });
  if (task.kind === "second") return say("pad-second-of", { what: task.step.label });
  if (task.kind === "change") return say(task.reason === READ_AGAIN ? "pad-again-of" : "pad-change-of", { what: task.step.label });
  return task.step.label;
}

/**
 * @param {Exclude<Task, {kind: "done"}>} task
 * @returns {Node[]}
 */
function goalParts(task) {
  const { target, expected } = goals(task.run, task.step);
  const parts = [];
  if (task.kind === "change") parts.push(h("span", {}, `${say("pad-now")} `, h("b", {}, shown(task.reading))));
  if (target) parts.push(h("span", {}, `${say("pad-target")} `, h("b", {}, target)));
  if (expected) parts.push(h("span", {}, say("pad-expected-is", { range: expected })));
  if (!parts.length && task.step.instrument) parts.push(h("span", {}, say("pad-with-instrument", { instrument: task.step.instrument })));
  return parts;
}
