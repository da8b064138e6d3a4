// Where the browser allows it (localhost, https): the bench page opens without a network as well.
// Readings do not pass through here; they are in the queue of the page.

const VERSION = new URL(self.location.href).searchParams.get("v") ?? "";
const CACHE = `bench-${VERSION}`;
const PATIENCE_MS = 3_000;

const FILES = [
  "/static/app.css",
  "/static/mark.svg",
  "/fonts/TarebookSans-Regular.woff2",
  "/fonts/TarebookSans-SemiBold.woff2",
  ...[
    "bench.css", "balance.js", "bench.js", "codes.js", "dom.js", "draw.js", "fluent.js", "ids.js",
    "listen.js", "location.js", "lock.js", "main.js", "nacl.js", "navigation.js", "numbers.js", "panel.js",
    "queue.js", "recording.js", "requests.js", "sheet.js", "signing.js", "status.js", "steps.js",
    "store.js", "sync.js", "task.js", "typing.js", "words.js",
  ].map((name) => `/static/bench/${name}`),
];

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(CACHE);
      // The page has just loaded them: ask whether they are still the newest, do not fetch them again.
      await cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })));
      await worker.skipWaiting();
    })(),
  );
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const old = (await caches.keys()).filter((name) => name.startsWith("bench-") && name !== CACHE);
      await Promise.all(old.map((name) => caches.delete(name)));
      await worker.clients.claim();
      // The page that brought the worker was loaded without it: fetch its address once more.
      for (const client of await worker.clients.matchAll({ type: "window" })) {
        const url = new URL(client.url);
        if (isBench(url)) await page(url.href).catch(() => undefined);
      }
    })(),
  );
});

worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== worker.location.origin) return;
  if (event.request.mode === "navigate" && isBench(url)) event.respondWith(page(event.request.url));
  else if (FILES.includes(url.pathname)) event.respondWith(file(event));
});

/**
 * All runs of a group share one page.
 * @param {URL} url
 */
function isBench(url) {
  return url.pathname === "/bench" || url.pathname.startsWith("/bench/");
}

/**
 * The group is in the query of an instructor's page alone.
 * @param {string} address
 */
function key(address) {
  const group = new URL(address).searchParams.get("group");
  return group === null ? "/bench" : `/bench?group=${encodeURIComponent(group)}`;
}

/**
 * The page from the server; what is kept of it when there is no answer.
 * @param {string} address
 */
async function page(address) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(key(address));
  // The compiler's own list for workers (4.8) lacks what every one has.
  const patience = /** @type {AbortController & {abort: () => void}} */ (new AbortController());
  const timer = kept ? setTimeout(() => patience.abort(), PATIENCE_MS) : undefined;
  try {
    // A navigation follows redirects itself; only an answer for this very address is kept.
    const answer = await fetch(address, {
      credentials: "same-origin",
      redirect: "manual",
      signal: patience.signal,
    });
    if (answer.ok) await cache.put(key(address), answer.clone());
    // A server in trouble must not stand between a person and what waits on the device.
    return answer.status >= 500 && kept ? kept : answer;
  } catch (error) {
    if (kept) return kept;
    throw error;
  } finally {
    clearTimeout(timer);
  }
}

/**
 * A file for the bench: from what is kept, renewed behind the scenes for the next time. For another
 * page: from the server, as if there were no worker.
 * @param {FetchEvent} event
 */
async function file(event) {
  const cache = await caches.open(CACHE);
  const { pathname } = new URL(event.request.url);
  const kept = await cache.match(pathname);
  const fresh = fetch(event.request).then(async (answer) => {
    if (answer.ok) await cache.put(pathname, answer.clone());
    return answer;
  });
  if (!kept) return fresh;
  event.waitUntil(fresh.catch(() => undefined));
  const client = await worker.clients.get(event.clientId);
  const elsewhere = client && !isBench(new URL(client.url));
  return elsewhere ? fresh.catch(() => kept) : kept;
}
