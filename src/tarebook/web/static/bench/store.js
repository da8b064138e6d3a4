// What the device keeps: IndexedDB, or the memory of the page where a browser has none.

const NAME = "bench";
const STORES = /** @type {const} */ (["events", "kept"]);

/** @typedef {import("./queue.js").Entry} Entry */
/** @typedef {import("./steps.js").Series} Series */

/**
 * What is kept beside the events, by its key. Of a group: its series, the readings that were asked
 * about, the quantities left out of each run.
 * @typedef {{device: string, seed: string, who: string, "last-taken": string, receipts: string[],
 *     lease: {owner: string, until: number} | null}
 *   & Record<`series:${string}`, Series>
 *   & Record<`asked:${string}`, string[]>
 *   & Record<`left-out:${string}`, Record<string, string[]>>} Kept
 *
 * What can be done inside one transaction. Nothing but these may be awaited in it.
 * @typedef {{
 *   all: () => Promise<Entry[]>,
 *   add: (entry: Omit<Entry, "order">) => Promise<void>,
 *   put: (entry: Entry) => Promise<void>,
 *   remove: (order: number) => Promise<void>,
 *   get: <Key extends keyof Kept>(key: Key) => Promise<Kept[Key] | undefined>,
 *   keep: <Key extends keyof Kept>(key: Key, value: Kept[Key]) => Promise<void>,
 * }} Work
 *
 * @typedef {{
 *   durable: boolean,
 *   change: <T>(work: (at: Work) => Promise<T>) => Promise<T>,
 * }} Store
 */

/**
 * Open the store of this device.
 * @returns {Promise<Store>}
 */
export async function openStore() {
  try {
    return await indexed();
  } catch {
    return inMemory();
  }
}

/** @returns {Promise<IDBDatabase>} */
function opened() {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("events", { keyPath: "order", autoIncrement: true });
      asked.result.createObjectStore("kept");
    };
    asked.onerror = () => reject(asked.error);
    asked.onsuccess = () => resolve(asked.result);
  });
}

/** @returns {Promise<Store>} */
async function indexed() {
  let base = await opened();
  /** @type {Store["change"]} */
  const change = async (work) => {
    try {
      return await transact(base, work);
    } catch (error) {
      // A phone that slept may have lost the connection to its own disk: once more with a new one.
      if (!(error instanceof DOMException) || error.name !== "InvalidStateError") throw error;
      base = await opened();
      return transact(base, work);
    }
  };
  return { durable: true, change };
}

/**
 * Do some work as one whole; it is on the disk when the promise is kept.
 * @template T
 * @param {IDBDatabase} base
 * @param {(at: Work) => Promise<T>} work
 * @returns {Promise<T>}
 */
async function transact(base, work) {
  const transaction = base.transaction(STORES, "readwrite", { durability: "strict" });
  const done = new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(undefined);
    transaction.onerror = () => reject(transaction.error);
    transaction.onabort = () => reject(transaction.error ?? new Error("the store gave up"));
  });
  const events = transaction.objectStore("events");
  const kept = transaction.objectStore("kept");
  /** @type {Work} */
  const at = {
    all: () => result(events.getAll()),
    add: (entry) => result(events.add(entry)).then(() => undefined),
    put: (entry) => result(events.put(entry)).then(() => undefined),
    remove: (order) => result(events.delete(order)),
    get: (key) => result(kept.get(key)),
    keep: (key, value) => result(kept.put(value, key)).then(() => undefined),
  };
  try {
    const made = await work(at);
    await done;
    return made;
  } catch (error) {
    done.catch(() => undefined);
    try {
      transaction.abort();
    } catch {
      // It has ended by itself.
    }
    throw error;
  }
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
function result(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** @returns {Store} */
function inMemory() {
  /** @type {Map<number, Entry>} */
  const events = new Map();
  /** @type {Partial<Kept>} */
  const kept = {};
  let last = 0;
  /** @type {Promise<unknown>} */
  let turn = Promise.resolve();
  /** @type {Work} */
  const at = {
    all: async () => [...events.values()].sort((one, other) => one.order - other.order),
    add: async (entry) => void events.set((last += 1), { ...entry, order: last }),
    put: async (entry) => void events.set(entry.order, entry),
    remove: async (order) => void events.delete(order),
    get: async (key) => kept[key],
    keep: async (key, value) => void (kept[key] = value),
  };
  return {
    durable: false,
    change: (work) => {
      const made = turn.then(() => work(at));
      turn = made.catch(() => undefined);
      return made;
    },
  };
}
