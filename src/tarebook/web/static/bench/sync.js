// Sends what waits, in order, and keeps the view of the series fresh.

import { nextBatch } from "./queue.js";

/** @typedef {import("./queue.js").Place} Place */
/** @typedef {import("./queue.js").Snapshot} Snapshot */
/** @typedef {import("./queue.js").BenchEvent} BenchEvent */
/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Series} Series */

const HEARTBEAT_MS = 25_000;
const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 30_000;

/** When a run is asked about again that the server had no time to look at. */
const LOOK_AGAIN_MS = 1_000;

/**
 * How it stands with the server. "sent": all is there; "sending"; "offline": no answer; "busy": it
 * asked to wait; "join": the session has ended; "elsewhere": this device joined another group;
 * "old": the page must be loaded again; "lost": its record is not the one that took the readings;
 * "start": nothing is known yet.
 * @typedef {"start" | "sent" | "sending" | "offline" | "busy" | "join" | "elsewhere" | "old" | "lost"} Phase
 */

/**
 * Return how long to wait before the next try: doubled each time, spread so that forty phones do
 * not come back in the same moment.
 * @param {number} failures In a row, from 1.
 * @param {number} random In [0, 1).
 * @returns {number} Milliseconds.
 */
export function waitAfter(failures, random) {
  const full = Math.min(FIRST_WAIT_MS * 2 ** (failures - 1), LONGEST_WAIT_MS);
  return full * (0.5 + random / 2);
}

export class Sync {
  /**
   * @param {{
   *   queue: import("./queue.js").Queue,
   *   lock: import("./lock.js").Lock,
   *   requests: Pick<typeof import("./requests.js"), "getSeries" | "postEvents">,
   *   signed: (event: BenchEvent, group: string) => BenchEvent,
   *   key: (group: string) => import("./signing.js").KeyStatement,
   *   group: string,
   *   everyGroup: boolean,
   *   shows: () => boolean,
   *   changed: (snapshot?: Snapshot) => void,
   * }} parts `everyGroup`: an instructor's page sends what waits for any group. `shows`: whether
   *   there is a view already. `changed` is called when how it stands has changed, with what stands
   *   on the device if that has changed too.
   */
  constructor(parts) {
    this.parts = parts;
    /** @type {Phase} */
    this.phase = "start";
    this.token = "";
    /**
     * The last whole view: its head, its experiment.
     * @type {Series | null}
     */
    this.series = null;
    this.failures = 0;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    this.running = false;
    this.again = false;
    /** Whether what waits is sent one by one: together it could not be read. */
    this.oneByOne = false;
    /**
     * Runs of the page's own group that the server had no time to look at.
     * @type {Set<string>}
     */
    this.unlooked = new Set();
  }

  /** Send now, or as soon as the round under way is over. */
  want() {
    clearTimeout(this.timer);
    if (this.running) {
      this.again = true;
      return;
    }
    this.running = true;
    void this.#rounds();
  }

  async #rounds() {
    let next = HEARTBEAT_MS;
    do {
      this.again = false;
      try {
        const spoke = await this.parts.lock.hold((renew) => this.#round(renew));
        // Another page of this device is speaking: look again when it should be done.
        next = spoke ?? FIRST_WAIT_MS;
        if (spoke === undefined && !this.parts.shows()) await this.#look();
      } catch {
        this.failures += 1;
        next = waitAfter(this.failures, Math.random());
      }
    } while (this.again);
    this.running = false;
    this.timer = setTimeout(() => this.want(), next);
  }

  /**
   * Do all there is to do; return after how many milliseconds to look again.
   * @param {() => Promise<boolean>} renew
   * @returns {Promise<number>}
   */
  async #round(renew) {
    let spoke = false;
    let renewed = false;
    for (;;) {
      const { series } = this;
      if (!series) {
        const wait = await this.#refresh();
        if (wait) return wait;
        continue;
      }
      const { entries, receipts } = await this.parts.queue.snapshot();
      const place = this.#places(entries, series).find((one) => nextBatch(entries, one, 1).length > 0);
      if (place === undefined && spoke) break;
      const batch = place ? nextBatch(entries, place, this.oneByOne ? 1 : series.most_events) : [];
      if (place) this.#say("sending");
      const group = place ? place.group : this.parts.group;
      // What an older page kept without a signature gets it now.
      const events = batch.map((one) => this.parts.signed(one.event, group));
      const look = group === this.parts.group ? [...this.unlooked] : [];
      const answer = await this.parts.requests.postEvents(group, events, this.token, receipts, this.parts.key(group), look);
      if (answer.kind === "refused" && answer.code === "old-page" && !renewed) {
        // The session was renewed since the page was loaded: its token comes with the series.
        renewed = true;
        const wait = await this.#refresh();
        if (wait) return wait;
        continue;
      }
      if (answer.kind !== "ok") {
        const wait = await this.#failed(answer, batch);
        if (wait) return wait;
        continue;
      }
      spoke = true;
      this.failures = 0;
      this.oneByOne = false;
      if (group === this.parts.group) this.#note(answer.body.runs);
      if (answer.body.more) {
        // Not all runs had room in the answer: nothing leaves the queue before it is in the view.
        const wait = await this.#refresh();
        if (wait) return wait;
      }
      const dealt = answer.body.acknowledged.length + answer.body.refused.length;
      const settled = await this.parts.queue.settle(group, answer.body);
      this.parts.changed(settled);
      if (batch.length > 0 && dealt === 0) return this.#wait("busy", 0);
      if (batch.length === 0 && answer.body.head !== this.series?.head) {
        // Another device of the group recorded something, or this one did since the last look.
        const wait = await this.#refresh();
        if (wait) return wait;
      }
      if (!(await renew())) return FIRST_WAIT_MS;
    }
    this.#say("sent");
    return this.unlooked.size ? LOOK_AGAIN_MS * (0.5 + Math.random()) : HEARTBEAT_MS;
  }

  /**
   * Note which runs the server has looked at, and which it had no time for.
   * @param {readonly Run[]} runs
   */
  #note(runs) {
    for (const run of runs) {
      if (run.looked !== false) this.unlooked.delete(run.run);
      else this.unlooked.add(run.run);
    }
  }

  /** Show something although another page has the word; nothing is kept of it. */
  async #look() {
    const { receipts } = await this.parts.queue.snapshot();
    const answer = await this.parts.requests.getSeries(this.parts.group, receipts);
    if (answer.kind !== "ok" || this.parts.shows()) return;
    this.parts.changed({ ...(await this.parts.queue.snapshot()), series: answer.body });
  }

  /**
   * Get the series anew; return after how long to try again, 0 if it is there.
   * @returns {Promise<number>}
   */
  async #refresh() {
    const { receipts } = await this.parts.queue.snapshot();
    const answer = await this.parts.requests.getSeries(this.parts.group, receipts);
    if (answer.kind !== "ok") return this.#failed(answer, []);
    this.series = answer.body;
    this.token = answer.body.csrf;
    this.#note(answer.body.runs);
    this.parts.changed(await this.parts.queue.keepSeries(answer.body));
    return 0;
  }

  /**
   * Where events may be sent to: the page's own group first.
   * @param {readonly import("./queue.js").Entry[]} entries
   * @param {Series} series
   * @returns {Place[]}
   */
  #places(entries, series) {
    const { title, hash } = series.experiment;
    const groups = [this.parts.group];
    if (this.parts.everyGroup) groups.push(...entries.map((entry) => entry.group));
    return [...new Set(groups)].map((group) => ({ group, title, hash }));
  }

  /**
   * Deal with a failure; return after how long to try again, 0 for at once.
   * @param {import("./requests.js").Failure} answer
   * @param {readonly import("./queue.js").Entry[]} batch
   * @returns {Promise<number>}
   */
  async #failed(answer, batch) {
    if (answer.kind === "unreachable") return this.#wait("offline", 0);
    const { status } = answer;
    if (status === 401) return this.#wait("join", HEARTBEAT_MS);
    if (status === 403 && answer.code === "old-page") return this.#wait("old", HEARTBEAT_MS);
    if (status === 403) return this.#wait("elsewhere", HEARTBEAT_MS);
    if ((status === 400 || status === 413) && batch.length > 1) {
      // One of them cannot be read: alone, the others go through.
      this.oneByOne = true;
      return 0;
    }
    const [alone] = batch;
    if ((status === 400 || status === 413) && alone) {
      const why = { message: answer.message, do: answer.do };
      this.parts.changed(await this.parts.queue.refuse(alone.event.id, why));
      return 0;
    }
    return this.#wait(answer.code === "record-replaced" ? "lost" : "busy", answer.wait * 1000);
  }

  /**
   * @param {Phase} phase
   * @param {number} least Milliseconds.
   * @returns {number}
   */
  #wait(phase, least) {
    this.failures += 1;
    this.#say(phase);
    return Math.max(least, waitAfter(this.failures, Math.random()));
  }

  /** @param {Phase} phase */
  #say(phase) {
    if (phase === this.phase) return;
    this.phase = phase;
    this.parts.changed();
  }
}
