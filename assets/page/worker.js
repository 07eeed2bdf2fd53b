// SPDX-License-Identifier: MIT
// Keeps what the page has shown, for days without a network. The network is always asked first; what is kept answers
// only when there is none, and says so (X-Kept). Changes are never kept here: they wait in the page's own stores.
const KEPT = "backcloth kept";
const SHELL = "/shell";
const PATIENCE = 4000; // ms; on a market a network that does not answer is none

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const isAsset = (url) => url.pathname.startsWith("/page/");
const isKept = (url) =>
  url.pathname.startsWith("/api/") && !url.pathname.startsWith("/api/health") && !url.searchParams.has("since");

async function kept(key) {
  const answer = await (await caches.open(KEPT)).match(key);
  if (!answer) return null;
  const headers = new Headers(answer.headers);
  headers.set("X-Kept", "1");
  return new Response(answer.body, { status: answer.status, headers });
}
async function keep(key, answer) {
  const cache = await caches.open(KEPT);
  if (answer.ok) await cache.put(key, answer.clone());
  else if ([401, 403, 404, 410].includes(answer.status)) await cache.delete(key); // withdrawn, or gone
}

// A picture that is drawn takes its time: an old one must not come instead.
const isDrawn = (url) => /\/(files|match|suggest|figures)\b/.test(url.pathname);

/** The network, or what is kept when it fails or takes too long. */
async function networkFirst(request, key) {
  const late = new Promise((done) => isDrawn(new URL(request.url)) || setTimeout(done, PATIENCE)).then(() => kept(key));
  const asked = fetch(request).then(async (answer) => (await keep(key, answer), answer));
  asked.catch(() => {});
  const first = await Promise.race([asked.catch(() => null), late.then((old) => old ?? asked.catch(() => null))]);
  return first ?? (await kept(key)) ?? asked;
}
async function keptFirst(request) {
  return (await (await caches.open(KEPT)).match(request)) ?? networkFirst(request, request.url);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate" && !url.pathname.startsWith("/api/")) event.respondWith(networkFirst(request, SHELL));
  else if (isAsset(url)) event.respondWith(keptFirst(request));
  else if (isKept(url)) event.respondWith(networkFirst(request, request.url));
});
