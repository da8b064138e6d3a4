// Ask every few seconds whether readings came; if so, fetch the part of the page that changes.
import { fill } from "./bench/dom.js";

const PAUSE = 4000;
const part = document.getElementById("part");
const state = document.getElementById("state");
let head = Number(part.dataset.head);
let pending = waits();

function waits() {
  return part.querySelector("[data-waits]") !== null;
}

async function look() {
  try {
    const group = encodeURIComponent(part.dataset.group);
    const answer = await fetch(`/api/results?after=${head}&group=${group}`);
    if (answer.status === 401) { location.href = "/"; return; }
    const given = await answer.json();
    if (answer.ok && (given.changed || pending)) {
      const words = await fetch(`/results/part?group=${group}`);
      if (words.ok) {
        const made = new DOMParser().parseFromString(await words.text(), "text/html");
        // What has not changed stays, and with it the focus and how far a table was moved.
        fill(part, [...made.body.childNodes]);
        head = given.head;
        pending = given.pending || waits();
      }
    }
    state.textContent = given.pending ? "Working it out …" : "Updated as readings arrive.";
  } catch {
    state.textContent = "The app does not answer; trying again.";
  }
  setTimeout(look, document.hidden ? 4 * PAUSE : pending ? 1000 : PAUSE);
}

setTimeout(look, pending ? 800 : PAUSE);
