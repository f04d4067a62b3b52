// The service worker: keeps the deck of this version whole, so that it opens with no network and
// no server. The server writes VERSION and FILES in place of the lines above the mark.
const VERSION = "";
/** @type {string[]} */
const FILES = [];
// ---

const SHELL = "/deck";
const KEPT = `wortline-deck-${VERSION}`;
const PATIENCE_MS = 2500;
/** @type {any} */
const worker = self;

worker.addEventListener("install", (/** @type {any} */ event) => {
  event.waitUntil(takeAlong());
});

worker.addEventListener("activate", (/** @type {any} */ event) => {
  event.waitUntil(leaveOld());
});

worker.addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== worker.location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (FILES.includes(url.pathname)) event.respondWith(file(request));
});

async function takeAlong() {
  const kept = await caches.open(KEPT);
  const shell = await fetch(SHELL, { cache: "no-store" });
  // Whoever has not joined is sent elsewhere: that page is not the deck.
  if (!shell.ok || shell.redirected) throw new Error("the deck is not to be had now");
  await kept.addAll(FILES);
  await kept.put(SHELL, shell);
  await worker.skipWaiting();
}

async function leaveOld() {
  for (const name of await caches.keys()) {
    if (name.startsWith("wortline-deck-") && name !== KEPT) await caches.delete(name);
  }
  await worker.clients.claim();
}

/** The page from the server if it answers soon, else the one taken along. @param {Request} request */
async function page(request) {
  const stop = new AbortController();
  const patience = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    const answer = await fetch(request, { signal: stop.signal });
    if (answer.status < 500) return answer;
  } catch {
    // away or too slow
  } finally {
    clearTimeout(patience);
  }
  const kept = await caches.match(SHELL);
  return kept ?? new Response("The deck was never opened here while the computer was there.", { status: 503, headers: { "Content-Type": "text/plain" } });
}

/** @param {Request} request */
async function file(request) {
  return (await caches.match(request)) ?? fetch(request);
}
