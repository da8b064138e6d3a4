// What the bench page knows. What it does with it is in the files beside this one: what is recorded
// (recording.js), what the entry is for (task.js), to which run the page turns (navigation.js).

import { Balance } from "./balance.js";
import { byId, deviceKind, kindById, Stillness } from "./dom.js";
import { drawBench } from "./draw.js";
import { newId } from "./ids.js";
import { data, instructor, runOfAddress } from "./location.js";
import { newLock } from "./lock.js";
import { refuseUnknown } from "./navigation.js";
import { Panel } from "./panel.js";
import { belongs, Queue } from "./queue.js";
import * as recording from "./recording.js";
import * as requests from "./requests.js";
import { keyOf, keysOf, signed } from "./signing.js";
import { current, merged, nextStep } from "./steps.js";
import { Sync } from "./sync.js";
import * as tasks from "./task.js";
import { say } from "./words.js";

/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Step} Step */
/** @typedef {import("./steps.js").Series} Series */
/** @typedef {import("./queue.js").Entry} Entry */
/** @typedef {import("./store.js").Kept} Kept */
/** @typedef {import("./task.js").Special} Special */
/** @typedef {import("./task.js").Task} Task */

export class Bench {
  /**
   * @param {import("./store.js").Store} store
   * @param {{device: string, seed: string, entries: Entry[], series: Series | null, lastTaken: string,
   *   asked: string[], leftOut: Record<string, string[]>}} kept
   */
  constructor(store, kept) {
    this.store = store;
    this.queue = new Queue(store, data.group);
    this.entries = kept.entries;
    /** Null until the server has answered for the first time. */
    this.series = kept.series;
    this.device = kept.device;
    this.keys = keysOf(kept.seed);
    /** @type {Record<string, import("./signing.js").KeyStatement>} */
    this.keyOfGroup = {};
    this.lastTaken = kept.lastTaken;
    this.asked = new Set(kept.asked);
    this.leftOut = kept.leftOut;
    this.run = runOfAddress() || data.run || "";
    /** @type {Step | null} */
    this.picked = null;
    /** @type {Special | null} */
    this.special = null;
    this.forgetting = -1;
    this.warned = "";
    this.revealed = "";
    this.recorded = -Infinity;
    this.turn = Promise.resolve();
    this.still = new Stillness(() => this.draw());
    this.channel = "BroadcastChannel" in window ? new BroadcastChannel("bench") : null;
    this.lock = newLock(store, newId(), navigator.locks, () => Date.now());
    this.sync = new Sync({
      queue: this.queue,
      lock: this.lock,
      requests,
      signed: (event, group) => signed(event, group, this.keys),
      key: (group) => this.keyFor(group),
      group: data.group,
      everyGroup: instructor,
      shows: () => this.series !== null,
      changed: (snapshot) => this.changed(snapshot),
    });
    this.panel = new Panel({
      submit: (typed) => recording.submit(this, typed),
      reason: (reason) => recording.because(this, reason),
      leaveOut: () => tasks.leaveOut(this),
      second: () => tasks.second(this),
      takeBack: () => tasks.takeBack(this),
      cancel: () => tasks.cancel(this),
    });
    this.balance = new Balance((typed) => this.panel.offer(typed, this.task()));
  }

  /** @returns {import("./queue.js").Place} */
  get place() {
    const experiment = this.series?.experiment;
    return { group: data.group, title: experiment?.title ?? data.title, hash: experiment?.hash ?? "" };
  }

  /** @returns {Step[]} */
  get steps() {
    return this.series?.steps ?? [];
  }

  /** Entries of the place where the page works. */
  get mine() {
    const { place } = this;
    return this.entries.filter((entry) => belongs(entry, place));
  }

  /** @returns {Run[]} */
  get runs() {
    const { mine } = this;
    return (this.series?.runs ?? []).map((run) => merged(run, mine, this.steps, this.answering));
  }

  /**
   * The run that is open; null as long as nothing is known of the series.
   * @returns {Run | null}
   */
  get now() {
    const runs = this.series?.runs ?? [];
    const run = runs.find((one) => one.run === this.run) ?? runs[0];
    return run ? merged(run, this.mine, this.steps, this.answering) : null;
  }

  /** Whether the server is about to say more than the page can. */
  get answering() {
    const { phase } = this.sync;
    return (phase === "sent" || phase === "sending") && Date.now() - this.recorded < requests.ANSWER_MS;
  }

  /** @returns {string} */
  get who() {
    return kindById(HTMLInputElement, "who").value.trim();
  }

  /**
   * Return what the entry is for; null as long as nothing is known of the series.
   * @returns {Task | null}
   */
  task() {
    const run = this.now;
    if (!run) return null;
    if (this.special) return { ...this.special, run };
    const left = new Set(this.leftOut[run.run] ?? []);
    if (this.picked && current(run, this.picked.quantity).length) this.picked = null;
    const step = this.picked ?? nextStep(this.steps, run, left);
    return step ? { kind: "read", run, step } : { kind: "done", run };
  }

  /**
   * Do something after all that was begun before.
   * @param {() => Promise<void> | void} work
   * @param {string} typed Comes back into the entry if it fails.
   */
  inTurn(work, typed) {
    const panel = byId("panel");
    panel.setAttribute("aria-busy", "true");
    const turn = this.turn.then(work).catch((error) => this.failed(typed, error));
    this.turn = turn;
    void turn.then(() => turn === this.turn && panel.removeAttribute("aria-busy"));
  }

  /**
   * @param {string} typed
   * @param {unknown} error
   */
  failed(typed, error) {
    const why = error instanceof Error ? error.message : String(error);
    this.panel.refuse(typed, say("pad-not-kept", { device: deviceKind(), why }));
  }

  /**
   * Take over what stands on the device: queue and view together, as they were at one moment. A step
   * that looked at a new queue and an old view would be asked for twice.
   * @param {import("./queue.js").Snapshot} snapshot
   */
  accept({ entries, series }) {
    this.entries = entries;
    // Another experiment may have been open at this address before.
    if (series && (!data.title || series.experiment.title === data.title)) this.series = series;
  }

  /**
   * Something came from the server, or how it stands with it has changed.
   * @param {import("./queue.js").Snapshot} [snapshot]
   */
  changed(snapshot) {
    const first = !this.series;
    if (snapshot) {
      this.accept(snapshot);
      this.channel?.postMessage("changed");
    }
    this.draw();
    // What the device kept may be older than the run.
    if (this.sync.series) refuseUnknown(this);
    if (first && this.series) {
      this.panel.focus();
      this.reveal("auto");
    }
  }

  /** Another page of this device did something. */
  async reload() {
    this.accept(await this.queue.snapshot());
    this.draw();
    if (this.mine.some((entry) => !entry.refused)) this.sync.want();
  }

  /**
   * @template {keyof Kept} Key
   * @param {Key} key
   * @param {Kept[Key]} value
   */
  async keep(key, value) {
    await this.store.change((at) => at.keep(key, value));
  }

  /**
   * What says that the key is this device's; a group needs to be told once, and is told each time.
   * @param {string} group
   * @returns {import("./signing.js").KeyStatement}
   */
  keyFor(group) {
    const about = { id: newId(), device: this.device, group, taken_at: new Date().toISOString() };
    return (this.keyOfGroup[group] ??= keyOf(about, this.keys));
  }

  /** @param {string} text */
  say(text) {
    byId("say").textContent = text;
  }

  /**
   * Bring the panel into view, and what asks, or else the step that is next.
   * @param {ScrollBehavior} behavior
   */
  reveal(behavior = "smooth") {
    this.panel.reveal();
    const step = document.querySelector("#steps .question") ?? document.querySelector("#steps .step[aria-current]");
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    step?.scrollIntoView({ block: "nearest", behavior: calm ? "auto" : behavior });
  }

  draw() {
    if (!this.still.holds()) drawBench(this);
  }
}
