// Keeps the yard's page and what it is made of, so that it opens without signal. It keeps no ticket and sends none: the
// page does that. VERSION and ASSETS stand above, where the service wrote them.
const CACHE = `skidway-yard-${VERSION}`;
const PAGE = "/desk/yard";
const PATIENCE = 4_000;

async function keepPage(cache, answer) {
  // Only the page itself: not the way to the door, and no refusal.
  if (answer.ok && !answer.redirected) await cache.put(PAGE, answer.clone());
}

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(CACHE);
      await cache.addAll(ASSETS);
      await keepPage(cache, await fetch(PAGE, { redirect: "follow" }));
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const old = (await caches.keys()).filter((name) => name.startsWith("skidway-yard-") && name !== CACHE);
      await Promise.all(old.map((name) => caches.delete(name)));
      await self.clients.claim();
    })(),
  );
});

async function asset(request) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(request);
  if (kept !== undefined) return kept;
  const answer = await fetch(request);
  if (answer.ok) await cache.put(request, answer.clone());
  return answer;
}

const NO_SIGNAL = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>No signal</title><h1>No signal</h1><p>This page needs the service. What you entered lies on this phone.</p>
<p><a href="/desk/yard">Enter a ticket</a></p></html>`;

const away = () => new Response(NO_SIGNAL, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });

// The page of the service when it answers in time, and the one that was kept when it does not.
async function page(event) {
  const cache = await caches.open(CACHE);
  const asked = fetch(event.request).then(async (answer) => {
    if (answer.type !== "opaqueredirect") await keepPage(cache, answer);
    return answer;
  });
  event.waitUntil(asked.catch(() => undefined));
  const kept = await cache.match(PAGE);
  const late = new Promise((resolve) => setTimeout(resolve, kept === undefined ? 60_000 : PATIENCE));
  const answer = await Promise.race([asked.catch(() => undefined), late]);
  if (answer !== undefined && answer.status < 500) return answer;
  return kept ?? answer ?? away();
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  if (address.pathname.startsWith("/desk/assets/")) event.respondWith(asset(request));
  else if (request.mode === "navigate" && address.pathname === PAGE) event.respondWith(page(event));
  else if (request.mode === "navigate") event.respondWith(fetch(request).catch(away));
});
