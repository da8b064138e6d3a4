// A balance on a port of the machine that shows this page.

import { getBalance } from "./requests.js";

const EACH_MS = 1_000;
const HOSTS = ["localhost", "127.0.0.1", "[::1]"];

export class Balance {
  /** @param {(typed: string) => void} shows Called with each new reading. */
  constructor(shows) {
    this.shows = shows;
    this.last = -1;
  }

  /** Ask once whether there is a balance; if so, go on asking. */
  start() {
    // Elsewhere the server would refuse: the balance stands beside its machine.
    if (HOSTS.includes(location.hostname)) void this.#look();
  }

  async #look() {
    if (document.visibilityState === "visible") {
      const answer = await getBalance(Math.max(this.last, 0));
      if (answer.kind === "refused") return;
      if (answer.kind === "ok") {
        const { name, readings, last } = answer.body;
        if (!name) return;
        // What it showed before the page was opened belongs to nothing on this page.
        if (this.last >= 0) for (const reading of readings.slice(-1)) this.shows(reading.typed);
        this.last = last;
      }
    }
    setTimeout(() => void this.#look(), EACH_MS);
  }
}
