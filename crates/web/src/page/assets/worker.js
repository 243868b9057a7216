// Keeps the floor pages of this device for when there is no reception. What was logged is not here: that lies in the outbox.

const CACHE = "floor-VERSION";
const FILES = "KEPT";
const WAIT_MS = 3_000;

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES)));
});

addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    // Pages of an older version name older files: both stay until their successors are here.
    const names = await caches.keys();
    const old = names.filter((name) => name.startsWith("floor-") && name !== CACHE);
    const pages = await caches.open("pages");
    for (const request of await pages.keys()) {
      const fresh = await fetch(request).catch(() => null);
      if (fresh?.ok) await pages.put(request, fresh);
      else return;
    }
    for (const name of old) await caches.delete(name);
    await clients.claim();
  })());
});

addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/assets/")) event.respondWith(kept(event.request));
  else if (/^\/clients\/[^/]+\/floor$/.test(url.pathname)) event.respondWith(fresh(event.request));
});

async function kept(request) {
  return (await caches.match(request, { ignoreSearch: true })) ?? fetch(request);
}

/** Pages are kept by their path alone. */
function url(request) {
  return new URL(request.url).pathname;
}

/** The page of now if it comes soon, else the last one that came. */
async function fresh(request) {
  const pages = await caches.open("pages");
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(WAIT_MS) });
    if (answer.ok && !answer.redirected) await pages.put(url(request), answer.clone());
    // What is refused now, or is not for whoever asks, must not be trained from later, without reception.
    if ([403, 404, 410, 422].includes(answer.status)) await pages.delete(url(request));
    return answer;
  } catch (error) {
    const last = await pages.match(url(request));
    if (last) return last;
    throw error;
  }
}
