// Serves the version of the site that the pointer names. It holds no content and no list, so a new worker may
// take over at any moment without changing what is shown; versions are fetched and chosen by app/keep/offline.js.

import { unpacked } from "./keep/packed.js";

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const SCOPE = new URL("./", worker.location.href);
const CATALOG = new URL(worker.location.href).searchParams.get("catalog");
const PREFIX = `fieldsheet|${SCOPE.pathname}|${CATALOG}|`;

worker.addEventListener("install", () => worker.skipWaiting());
worker.addEventListener("activate", (event) => event.waitUntil(worker.clients.claim()));

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  const ours = url.origin === SCOPE.origin && url.pathname.startsWith(SCOPE.pathname);
  // The header marks what store.js fetches: a new version must not be answered from the old one.
  if (ours && request.method === "GET" && !request.headers.has("fieldsheet-fetch")) {
    event.respondWith(answer(request, url));
  }
});

/** @param {Request} request @param {URL} url */
async function answer(request, url) {
  const cacheName = PREFIX + (await servingVersion());
  const path = url.pathname.endsWith("/") ? url.pathname + "index.html" : url.pathname;
  const stored = (await storedAt(path, cacheName)) ?? (await storedAt(path, PREFIX + "cards"));
  if (stored) return stored;
  if (request.mode === "navigate" && (await storedAt(path + "/index.html", cacheName))) {
    return Response.redirect(url.pathname + "/" + url.search, 302);
  }
  return fetch(request);
}

/** The version's hash, or "" before the first one is complete. */
async function servingVersion() {
  const mark = (/** @type {string} */ name) => storedAt(SCOPE.pathname + name, PREFIX + "pointer");
  const pointer = (await mark("serving")) ?? (await mark("pointer"));
  return pointer ? pointer.text() : "";
}

/** caches.match, unlike caches.open, never makes a cache that was removed; some browsers reject for its name.
 *  @param {string} path @param {string} cacheName */
function storedAt(path, cacheName) {
  const stored = caches.match(new URL(path, SCOPE), { cacheName });
  return stored.then(unpacked).catch(() => undefined);
}
