// The queue: what this device recorded and the server has not acknowledged. Every event stays here
// until its id is acknowledged; one that was refused stays with the reason until a person deals
// with it.

/**
 * An event as it is sent.
 * @typedef {{
 *   id: string, kind: "reading" | "correction" | "withdrawal", run: string, quantity: string,
 *   typed?: string, taken_at: string, who: string, device: string, supersedes?: string,
 *   reason?: string, repeat?: number, signer?: string, signature?: string,
 * }} BenchEvent
 *
 * An event that waits.
 * @typedef {{
 *   order: number, group: string, title: string, hash: string, event: BenchEvent,
 *   refused: {message: string, do: string} | null,
 * }} Entry
 *
 * Where the page works: the group, and the experiment that the server has open.
 * @typedef {{group: string, title: string, hash: string}} Place
 */

/** @typedef {import("./steps.js").Run} Run */
/** @typedef {import("./steps.js").Series} Series */
/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./store.js").Work} Work */

const SERIES = "series";
const RECEIPTS = "receipts";

/** Experiments whose receipts are kept: those that were open last at this address. */
const MOST_RECEIPTS = 5;

/**
 * Whether an entry belongs where the page works. A definition that was corrected (another hash, the
 * same title) is the same work; another title is another experiment that came to the same address.
 * @param {Entry} entry
 * @param {Place} place
 * @returns {boolean}
 */
export function belongs(entry, place) {
  return entry.group === place.group && (entry.hash === place.hash || entry.title === place.title);
}

/**
 * Return what is to be sent next for a group: in order, not too much at once.
 * @param {readonly Entry[]} entries
 * @param {Place} place
 * @param {number} most
 * @returns {Entry[]}
 */
export function nextBatch(entries, place, most) {
  return entries.filter((entry) => !entry.refused && belongs(entry, place)).slice(0, most);
}

/**
 * What stands on the device at one moment, read in one transaction: a value that was acknowledged is
 * in the view, one that was not is in the queue, and never is it in neither.
 * `receipts`: what the server signed of where its record ends, the newest of each experiment.
 * @typedef {{entries: Entry[], series: Series | null, receipts: string[]}} Snapshot
 */

/** The queue of a device, seen from the page of one group. */
export class Queue {
  /**
   * @param {Store} store
   * @param {string} group
   */
  constructor(store, group) {
    this.store = store;
    this.group = group;
  }

  /**
   * Do some work in the store, then read how it stands.
   * @param {(at: Work) => Promise<void>} work
   * @returns {Promise<Snapshot>}
   */
  #change(work) {
    return this.store.change(async (at) => {
      await work(at);
      return {
        entries: await at.all(),
        series: (await at.get(`${SERIES}:${this.group}`)) ?? null,
        receipts: (await at.get(RECEIPTS)) ?? [],
      };
    });
  }

  /** @returns {Promise<Snapshot>} */
  snapshot() {
    return this.#change(async () => undefined);
  }

  /**
   * Keep events on the device, all or none.
   * @param {Place} place
   * @param {readonly BenchEvent[]} events
   * @returns {Promise<Snapshot>}
   */
  add(place, events) {
    return this.#change(async (at) => {
      for (const event of events) {
        await at.add({ ...here(place), event, refused: null });
      }
      const last = events.at(-1);
      if (last) await at.keep("last-taken", last.taken_at);
    });
  }

  /**
   * Take in what the server said of a delivery, as one whole.
   * @param {string} group
   * @param {Pick<import("./requests.js").Delivered, "acknowledged" | "refused" | "runs" | "receipt">} answer
   * @returns {Promise<Snapshot>}
   */
  settle(group, answer) {
    return this.#change(async (at) => {
      const done = new Set(answer.acknowledged);
      const refused = new Map(answer.refused.map((one) => [one.id, one]));
      for (const entry of await at.all()) {
        const why = refused.get(entry.event.id);
        if (done.has(entry.event.id)) await at.remove(entry.order);
        else if (why) await at.put({ ...entry, refused: { message: why.message, do: why.do } });
      }
      const series = await at.get(`${SERIES}:${group}`);
      if (series) await at.keep(`${SERIES}:${group}`, withRuns(series, answer.runs));
      await keepReceipt(at, answer.receipt);
    });
  }

  /**
   * Refuse on this device what the server cannot read at all.
   * @param {string} id
   * @param {{message: string, do: string}} why
   */
  refuse(id, why) {
    return this.settle(this.group, { acknowledged: [], refused: [{ id, ...why }], runs: [] });
  }

  /**
   * Forget a refused event that a person has dealt with.
   * @param {number} order
   * @returns {Promise<Snapshot>}
   */
  forget(order) {
    return this.#change((at) => at.remove(order));
  }

  /**
   * Move what was recorded under another experiment to where the page works.
   * @param {Place} place
   * @returns {Promise<Snapshot>}
   */
  adopt(place) {
    return this.#change(async (at) => {
      for (const entry of await at.all()) {
        if (entry.group === place.group && !belongs(entry, place)) {
          await at.put({ ...entry, ...here(place) });
        }
      }
    });
  }

  /**
   * Keep a view of the server. Only who holds the lock asks the server, so it is never an old one.
   * @param {Series} series
   * @returns {Promise<Snapshot>}
   */
  keepSeries(series) {
    return this.#change(async (at) => {
      await at.keep(`${SERIES}:${series.group}`, series);
      await keepReceipt(at, series.receipt);
    });
  }
}

/**
 * Return the receipts with a new one, which takes the place of the last of its experiment.
 * @param {readonly string[]} receipts
 * @param {string} receipt Begins with the experiment's key and a colon.
 * @returns {string[]}
 */
export function withReceipt(receipts, receipt) {
  const key = receipt.slice(0, receipt.indexOf(":") + 1);
  return [receipt, ...receipts.filter((other) => !other.startsWith(key))].slice(0, MOST_RECEIPTS);
}

/**
 * @param {Work} at
 * @param {string | undefined} receipt
 */
async function keepReceipt(at, receipt) {
  if (receipt) await at.keep(RECEIPTS, withReceipt((await at.get(RECEIPTS)) ?? [], receipt));
}

/**
 * Return a run as the server now has it. Where it had no time to look at it, what it said before
 * stands until it has, and of the ranges those that rest on the plan alone.
 * @param {Run} known
 * @param {Run} run
 * @returns {Run}
 */
function renewed(known, run) {
  if (run.looked !== false) return run;
  const ranges = Object.entries(known.expected).filter(([quantity]) => quantity in run.targets);
  return { ...run, said: known.said, expected: Object.fromEntries(ranges) };
}

/**
 * Return a view with some runs renewed. Its head stays: other runs may have changed as well.
 * @param {Series} series
 * @param {readonly Run[]} runs
 * @returns {Series}
 */
export function withRuns(series, runs) {
  const by = new Map(runs.map((run) => [run.run, run]));
  const known = series.runs.map((run) => {
    const now = by.get(run.run);
    return now ? renewed(run, now) : run;
  });
  const names = new Set(series.runs.map((run) => run.run));
  return { ...series, runs: [...known, ...runs.filter((run) => !names.has(run.run))] };
}

/** @param {Place} place */
function here(place) {
  return { group: place.group, title: place.title, hash: place.hash };
}
