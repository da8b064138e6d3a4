// Ask every few seconds whether readings came; if so, fetch the part of the page that changes.
import { byId, fill } from "./bench/dom.js";
import { ask, failureWords } from "./bench/requests.js";
import { say } from "./bench/words.js";

const PAUSE = 4000;
const NO_ANSWER = say("pad-no-answer");
const part = byId("part");
const state = byId("state");
let head = Number(part.dataset.head);
let pending = waits();

function waits() {
  return part.querySelector("[data-waits]") !== null;
}

/**
 * Fetch the part of the page that changes.
 * @param {string} group
 * @param {{head: number, pending: boolean}} now
 */
async function renew(group, now) {
  const words = await fetch(`/results/part?group=${group}`);
  if (!words.ok) return;
  const made = new DOMParser().parseFromString(await words.text(), "text/html");
  // What has not changed stays, and with it the focus and how far a table was moved.
  fill(part, [...made.body.childNodes]);
  head = now.head;
  pending = now.pending || waits();
}

async function look() {
  const group = encodeURIComponent(part.dataset.group ?? "");
  /** @type {import("./bench/requests.js").Answer<{head: number, changed: boolean, pending: boolean}>} */
  const answer = await ask(`/api/results?after=${head}&group=${group}`);
  if (answer.kind === "refused" && answer.status === 401) {
    location.href = "/";
    return;
  }
  try {
    if (answer.kind !== "ok") {
      state.textContent = failureWords(answer, NO_ANSWER);
    } else {
      if (answer.body.changed || pending) await renew(group, answer.body);
      // Without a result yet, the part says so itself.
      const working = waits() ? "" : say("pad-working");
      state.textContent = answer.body.pending ? working : say("pad-updated");
    }
  } catch {
    state.textContent = NO_ANSWER;
  }
  setTimeout(() => void look(), document.hidden ? 4 * PAUSE : pending ? 1000 : PAUSE);
}

setTimeout(() => void look(), pending ? 800 : PAUSE);
