// One page of a device at a time speaks with the server for all of them.

/** @typedef {import("./store.js").Store} Store */

const NAME = "bench-speaks";
const LEASE = "lease";

/** A page that dies with the lease in its hand holds the others up for this long. */
export const LEASE_MS = 3_000;
const RENEW_MS = 1_000;

/**
 * @typedef {{
 *   hold: <T>(work: (renew: () => Promise<boolean>) => Promise<T>) => Promise<T | undefined>,
 *   drop: () => Promise<void>,
 * }} Lock
 */

/**
 * Return a lock: of the browser where it has one (not on plain http), else a lease in the store.
 * `hold` does nothing and returns undefined while another page holds it.
 * @param {Store} store
 * @param {string} owner Unique to this page.
 * @param {LockManager | undefined} locks
 * @param {() => number} now Milliseconds.
 * @returns {Lock}
 */
export function newLock(store, owner, locks, now) {
  if (locks) {
    return {
      hold: async (work) =>
        await locks.request(NAME, { ifAvailable: true }, async (got) =>
          got ? await work(async () => true) : undefined,
        ),
      drop: async () => undefined,
    };
  }
  const renew = () =>
    store.change(async (at) => {
      const lease = await at.get(LEASE);
      // A lease that ends far in the future was made before the clock was set back.
      const taken = lease && lease.owner !== owner && lease.until > now() && lease.until <= now() + LEASE_MS;
      if (taken) return false;
      await at.keep(LEASE, { owner, until: now() + LEASE_MS });
      return true;
    });
  const drop = () =>
    store.change(async (at) => {
      const lease = await at.get(LEASE);
      if (lease && lease.owner === owner) await at.keep(LEASE, null);
    });
  let busy = false;
  return {
    hold: async (work) => {
      if (busy || !(await renew())) return undefined;
      busy = true;
      const beat = setInterval(() => void renew().catch(() => undefined), RENEW_MS);
      try {
        return await work(renew);
      } finally {
        clearInterval(beat);
        busy = false;
        await drop();
      }
    },
    drop,
  };
}
