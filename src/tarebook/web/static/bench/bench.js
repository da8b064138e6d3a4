// What the bench page knows and does.

import { Balance } from "./balance.js";
import { readRunCode } from "./codes.js";
import { byId, deviceWord, Stillness } from "./dom.js";
import { drawBench } from "./draw.js";
import { newId, timeAfter } from "./ids.js";
import { newLock } from "./lock.js";
import { readNumber } from "./numbers.js";
import { Panel } from "./panel.js";
import { address, data, instructor, runOfAddress } from "./place.js";
import { belongs, Queue } from "./queue.js";
import { current, goals, merged, nextStep, shown } from "./steps.js";
import { Sync } from "./sync.js";
import * as talk from "./talk.js";
import { leadKeys, padTypes } from "./typing.js";

/** @typedef {import("./steps.js").Reading} Reading */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Step} Step */
/** @typedef {import("./queue.js").Entry} Entry */

/**
 * What the entry is for: the next reading, one more of the same, or another value for one.
 * @typedef {{kind: "read", step: Step} | {kind: "second", step: Step}
 *   | {kind: "change", step: Step, reading: Reading, reason: string} | {kind: "done"}} Task
 */

/** A server that answers does so within this time; until then the page leaves it the word. */
const ANSWER_MS = 700;

export class Bench {
  /**
   * @param {import("./store.js").Store} store
   * @param {Record<string, any>} kept
   */
  constructor(store, kept) {
    this.store = store;
    this.queue = new Queue(store, data.group);
    /** @type {Entry[]} */
    this.entries = kept.entries;
    this.series = kept.series;
    this.device = kept.device;
    this.lastTaken = kept.lastTaken;
    this.asked = new Set(kept.asked);
    /** @type {Record<string, string[]>} */
    this.leftOut = kept.leftOut;
    this.run = runOfAddress() || data.run || "";
    /** @type {Step | null} */
    this.picked = null;
    /** @type {Extract<Task, {kind: "change" | "second"}> | null} */
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
      talk,
      group: data.group,
      everyGroup: instructor,
      shows: () => this.series !== null,
      changed: (snapshot) => this.changed(snapshot),
    });
    this.panel = new Panel({
      submit: (typed) => this.submit(typed),
      reason: (reason) => this.because(reason),
      leaveOut: () => this.leaveOut(),
      second: () => this.second(),
      takeBack: () => this.takeBack(),
      cancel: () => this.cancel(),
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
    return this.series.steps;
  }

  /** Entries of the place where the page works. */
  get mine() {
    const { place } = this;
    return this.entries.filter((entry) => belongs(entry, place));
  }

  /** @returns {Run[]} */
  get runs() {
    const { mine } = this;
    return this.series.runs.map((/** @type {Run} */ run) => merged(run, mine, this.steps, this.answering));
  }

  /** @returns {Run} */
  get now() {
    const run = this.series.runs.find((/** @type {Run} */ one) => one.run === this.run);
    return merged(run ?? this.series.runs[0], this.mine, this.steps, this.answering);
  }

  /** Whether the server is about to say more than the page can. */
  get answering() {
    const { phase } = this.sync;
    return (phase === "sent" || phase === "sending") && Date.now() - this.recorded < ANSWER_MS;
  }

  /** @returns {Task} */
  task() {
    if (this.special) return this.special;
    const run = this.now;
    const left = new Set(this.leftOut[run.run] ?? []);
    if (this.picked && current(run, this.picked.quantity).length) this.picked = null;
    const step = this.picked ?? nextStep(this.steps, run, left);
    return step ? { kind: "read", step } : { kind: "done" };
  }

  start() {
    for (const event of ["online", "pageshow", "focus"]) {
      window.addEventListener(event, () => this.sync.want());
    }
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.sync.want();
    });
    window.addEventListener("offline", () => this.sync.want());
    window.addEventListener("pagehide", () => void this.lock.drop());
    window.addEventListener("popstate", () => this.go(runOfAddress() || this.run, false));
    this.channel?.addEventListener("message", () => void this.reload());
    window.addEventListener("beforeunload", (event) => {
      // What only this page's memory holds would be gone.
      if (!this.store.durable && this.mine.length) event.preventDefault();
    });
    byId("run-before").addEventListener("click", () => this.go(this.beside(-1), true));
    byId("run-after").addEventListener("click", () => this.go(this.beside(1), true));
    byId("run-now").addEventListener("click", (event) => {
      const button = /** @type {HTMLElement} */ (event.currentTarget);
      button.setAttribute("aria-expanded", String(button.getAttribute("aria-expanded") !== "true"));
    });
    byId("done-next").addEventListener("click", (event) => {
      event.preventDefault();
      this.go(this.unfinished(), true);
    });
    const who = byId("who");
    who.addEventListener("change", () => void this.keep("who", this.who()));
    const entry = /** @type {HTMLInputElement} */ (byId("entry"));
    leadKeys(entry, { submit: () => this.panel.submit(), cancel: () => this.cancel() });
    padTypes(byId("keys"), entry);
    // The panel stands over the sheet on a phone: what is brought into view must stop above it.
    const panel = byId("panel");
    new ResizeObserver(() => {
      document.documentElement.style.setProperty("--hand", `${panel.offsetHeight}px`);
    }).observe(panel);
    this.draw();
    if (this.series) this.panel.focus();
    // Only now the lines have their height.
    void document.fonts.ready.then(() => this.reveal("auto"));
    this.sync.want();
    this.balance.start();
  }

  /** @returns {string} */
  who() {
    return /** @type {HTMLInputElement} */ (byId("who")).value.trim();
  }

  /**
   * Take what was typed. What comes in fast is taken one after the other, in order.
   * @param {string} typed
   */
  submit(typed) {
    this.inTurn(() => this.take(typed), typed);
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

  /** @param {string} typed */
  async take(typed) {
    const code = readRunCode(typed);
    if (code) return this.scanned(code);
    const task = this.task();
    if (!typed) return this.panel.refuse("", "Type what the instrument shows first.");
    if (task.kind === "done") {
      return this.panel.refuse("", "This run is complete. Choose a value on the sheet to change it.");
    }
    const { step } = task;
    const read = readNumber(step.unit, typed);
    if ("fault" in read) return this.panel.refuse(typed, read.fault);
    const run = this.now;
    if (task.kind === "change") {
      if (!task.reason) return this.panel.askWhy(typed, `${shown(task.reading)} → ${shown({ ...read, typed, unit: step.unit })}`);
      return this.correct(task, typed, task.reason);
    }
    const repeats = current(run, step.quantity).map((reading) => reading.repeat);
    const repeat = task.kind === "second" ? Math.max(0, ...repeats) + 1 : 1;
    await this.record([{ kind: "reading", run: run.run, quantity: step.quantity, typed, repeat }]);
    this.special = null;
    this.picked = null;
    this.afterReading(run.run, step, typed);
  }

  /**
   * @param {Extract<Task, {kind: "change"}>} task
   * @param {string} typed Empty to take the reading back.
   * @param {string} reason
   */
  async correct(task, typed, reason) {
    const { reading, step } = task;
    const common = { run: this.now.run, quantity: step.quantity, supersedes: reading.id, reason, repeat: reading.repeat };
    await this.record([typed ? { kind: "correction", typed, ...common } : { kind: "withdrawal", ...common }]);
    this.special = null;
    if (typed) this.afterReading(this.now.run, step, typed);
    else {
      this.draw();
      this.say(`Taken back: ${shown(reading)}, ${step.label}. It stays visible, struck through.`);
    }
  }

  /**
   * Keep events on this device, then send them.
   * @param {Pick<import("./queue.js").BenchEvent, "kind" | "run" | "quantity" | "typed" | "supersedes"
   *   | "reason" | "repeat">[]} made
   */
  async record(made) {
    const events = made.map((event) => {
      this.lastTaken = timeAfter(this.lastTaken, Date.now());
      return { id: newId(), ...event, taken_at: this.lastTaken, who: this.who(), device: this.device };
    });
    this.accept(await this.queue.add(this.place, events));
    this.recorded = Date.now();
    setTimeout(() => this.draw(), ANSWER_MS + 1);
    this.channel?.postMessage("queued");
    this.sync.want();
  }

  /**
   * @param {string} run
   * @param {Step} step
   * @param {string} typed
   */
  afterReading(run, step, typed) {
    this.draw();
    const task = this.task();
    const next = task.kind === "done" ? `Run ${run} is complete.` : `Next: ${task.step.label}${goalWords(this.now, task.step)}.`;
    this.say(`Kept: ${typed}, ${step.label}. ${next}`);
    this.reveal();
  }

  /** @param {string} reason */
  because(reason) {
    const task = this.task();
    if (task.kind !== "change") return;
    const typed = this.panel.typed;
    // At once, so that what is typed next finds its place.
    this.panel.clear();
    this.panel.focus();
    this.inTurn(() => this.correct(task, typed, reason), typed);
  }

  takeBack() {
    const task = this.task();
    if (task.kind === "change") this.panel.askWhy("", `${shown(task.reading)} is taken back`);
  }

  second() {
    const task = this.task();
    if (task.kind !== "change") return;
    this.special = { kind: "second", step: task.step };
    this.draw();
    this.panel.focus();
  }

  leaveOut() {
    const task = this.task();
    if (task.kind !== "read") return;
    const { run } = this.now;
    this.leftOut = { ...this.leftOut, [run]: [...(this.leftOut[run] ?? []), task.step.quantity] };
    this.picked = null;
    void this.keep(`left-out:${data.group}`, this.leftOut);
    this.draw();
    this.panel.focus();
    this.reveal();
  }

  cancel() {
    if (this.panel.back()) return;
    this.special = null;
    this.picked = null;
    this.panel.clear();
    this.draw();
    this.panel.focus();
  }

  /**
   * @param {Reading} reading
   * @param {string} reason
   */
  change(reading, reason) {
    const step = this.steps.find((one) => one.quantity === reading.quantity);
    if (!step) return;
    if (reason) this.answered(reading);
    this.special = { kind: "change", step, reading, reason };
    this.panel.clear();
    this.draw();
    this.panel.focus();
    this.reveal();
  }

  /** @param {Reading} reading */
  answered(reading) {
    this.asked.add(reading.id);
    void this.keep(`asked:${data.group}`, [...this.asked]);
  }

  /**
   * @param {Reading} chosen
   * @param {Reading[]} others
   */
  choose(chosen, others) {
    const reason = `of two readings ${shown(chosen)} counts`;
    const events = others.map((other) => ({
      kind: /** @type {const} */ ("withdrawal"),
      run: this.now.run,
      quantity: other.quantity,
      supersedes: other.id,
      reason,
      repeat: other.repeat,
    }));
    this.inTurn(async () => {
      await this.record(events);
      this.draw();
      this.say(`${shown(chosen)} counts; the other stays visible, struck through.`);
      this.panel.focus();
    }, "");
  }

  /** @param {import("./codes.js").RunCode} code */
  scanned(code) {
    const known = this.series.runs.some((/** @type {Run} */ run) => run.run === code.run);
    if (code.group !== data.group && !instructor) {
      return this.panel.refuse("", `This sheet is of group ${code.group}; this is group ${data.group}.`);
    }
    if (code.group !== data.group) {
      location.assign(`/bench/${encodeURIComponent(code.run)}?group=${encodeURIComponent(code.group)}`);
      return;
    }
    if (!known) return this.panel.refuse("", `There is no run ${code.run} in this series.`);
    this.turnTo(code.run, true);
    const old = code.hash && code.hash !== this.place.hash.slice(0, 8).toUpperCase();
    this.say(`Run ${code.run}.${old ? " The sheet was printed before the definition was changed: the targets are those shown here." : ""}`);
    if (old) this.panel.refuse("", "This sheet was printed before the definition was changed: the targets shown here are the ones to meet.");
  }

  /**
   * Turn to a run, after what was typed before is kept: it belongs to the run it was typed in.
   * @param {string} run
   * @param {boolean} pushes Whether it becomes a step of the history.
   */
  go(run, pushes) {
    if (run) this.inTurn(() => this.turnTo(run, pushes), "");
  }

  /**
   * @param {string} run
   * @param {boolean} pushes
   */
  turnTo(run, pushes) {
    this.run = run;
    this.special = null;
    this.picked = null;
    this.panel.clear();
    if (pushes && runOfAddress() !== run) history.pushState(null, "", address(run));
    byId("run-now").setAttribute("aria-expanded", "false");
    this.draw();
    this.panel.focus();
    this.reveal();
    this.say(`Run ${run}.`);
  }

  /** @param {number} by */
  beside(by) {
    const runs = this.series.runs.map((/** @type {Run} */ run) => run.run);
    return runs[runs.indexOf(this.now.run) + by] ?? "";
  }

  /** The next run that is not complete, after this one first. */
  unfinished() {
    const { runs } = this;
    const at = runs.findIndex((run) => run.run === this.now.run);
    const turned = [...runs.slice(at + 1), ...runs.slice(0, at)];
    const open = turned.find((run) => nextStep(this.steps, run, new Set(this.steps.filter((s) => s.optional).map((s) => s.quantity))));
    return open?.run ?? "";
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
   * @param {string} key
   * @param {any} value
   */
  async keep(key, value) {
    await this.store.change((at) => at.keep(key, value));
  }

  /**
   * @param {string} typed
   * @param {unknown} error
   */
  failed(typed, error) {
    const why = error instanceof Error ? error.message : String(error);
    this.panel.refuse(typed, `This was not kept: the ${deviceWord()} could not write it (${why}). Press Keep again, and note it on paper.`);
  }

  /** @param {string} text */
  say(text) {
    byId("say").textContent = text;
  }

  /**
   * Bring what asks, or else the step that is next, into view.
   * @param {ScrollBehavior} behavior
   */
  reveal(behavior = "smooth") {
    const step = document.querySelector("#steps .question") ?? document.querySelector("#steps .step[aria-current]");
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    step?.scrollIntoView({ block: "nearest", behavior: calm ? "auto" : behavior });
  }

  draw() {
    if (!this.still.holds()) drawBench(this);
  }

  /** @param {string} quantity */
  pick(quantity) {
    this.special = null;
    this.picked = this.steps.find((step) => step.quantity === quantity) ?? null;
    this.panel.clear();
    this.draw();
    this.panel.focus();
  }

  /** @param {Reading} reading */
  keepOdd(reading) {
    this.answered(reading);
    this.draw();
    this.say(`Kept: ${shown(reading)}.`);
    this.panel.focus();
  }

  /** @param {Entry} entry */
  async retype(entry) {
    const { event } = entry;
    await this.forget(entry);
    this.turnTo(event.run, true);
    const reading = this.now.readings.find((one) => one.id === event.supersedes && one.current);
    if (reading) this.change(reading, "");
    else if (!current(this.now, event.quantity).length) this.pick(event.quantity);
    this.panel.put(event.typed ?? "");
  }

  /** @param {Entry} entry */
  async forget(entry) {
    this.accept(await this.queue.forget(entry.order));
    this.forgetting = -1;
    this.draw();
  }

  async adopt() {
    this.accept(await this.queue.adopt(this.place));
    this.draw();
    this.sync.want();
  }
}

/**
 * @param {Run} run
 * @param {Step} step
 */
function goalWords(run, step) {
  const { target } = goals(run, step);
  return target ? `, target ${target}` : "";
}
