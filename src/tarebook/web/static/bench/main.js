// Begins: opens the store of the device, then the bench, then asks the browser to keep both.

import { Bench } from "./bench.js";
import { kindById } from "./dom.js";
import { newDeviceName } from "./ids.js";
import { start } from "./listen.js";
import { data } from "./location.js";
import { newSeed } from "./signing.js";
import { openStore } from "./store.js";

/** Read what the device keeps; give it a name at the first time. */
async function begin() {
  const store = await openStore();
  const coarse = matchMedia("(pointer: coarse)").matches;
  const kept = await store.change(async (at) => {
    let device = await at.get("device");
    if (!device) {
      device = newDeviceName(coarse, Math.min(screen.width, screen.height));
      await at.keep("device", device);
    }
    let seed = await at.get("seed");
    if (!seed) {
      seed = newSeed();
      await at.keep("seed", seed);
    }
    return {
      device,
      seed,
      entries: await at.all(),
      series: (await at.get(`series:${data.group}`)) ?? null,
      lastTaken: (await at.get("last-taken")) ?? "",
      asked: (await at.get(`asked:${data.group}`)) ?? [],
      leftOut: (await at.get(`left-out:${data.group}`)) ?? {},
      who: (await at.get("who")) ?? "",
    };
  });
  // Another experiment may be open at this address since.
  if (kept.series && data.title && kept.series.experiment.title !== data.title) kept.series = null;
  kindById(HTMLInputElement, "who").value = kept.who;
  start(new Bench(store, kept));
  if ("serviceWorker" in navigator) {
    navigator.serviceWorker.register(`/static/bench/worker.js?v=${encodeURIComponent(data.version)}`, { scope: "/" }).catch(() => undefined);
  }
  void navigator.storage?.persist?.();
}

void begin();
