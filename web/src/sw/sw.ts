/**
 * The service worker: makes the app start with no network at all.
 *
 * One cache per version of the app, filled completely at install or not at all, so that a version
 * never misses a part of itself. One cache for the judge and the checklists, which are named by
 * their content and kept; `/api/v1/offline` in it names only what lies beside it. A new version
 * waits until the page says that it is a safe moment. Nothing here touches the record.
 */

export {}; // a module, so that `self` below is this worker's

declare const self: ServiceWorkerGlobalScope;
/** Filled in by the build: this version's name, and the files it consists of. */
declare const VERSION: string;
declare const FILES: string[];

const SHELL = `bradawl-app-${VERSION}`;
const CONTENT = "bradawl-content";
const PAGE = "/app/index.html";
const CHECK = "/app/check";
const NAMES = "/api/v1/offline";
const NAMED = /^\/api\/v1\/(judge|checklists)\/[0-9a-f]{64}\.json$/;

interface Names {
  judge: string;
  checklists: string;
}

async function fetchWhole(address: string): Promise<Response> {
  const response = await fetch(address, { cache: "no-cache" });
  if (!response.ok) throw new Error(`${address} answered ${response.status}`);
  return response;
}

/** Take along today's judge and checklists; the names are written last. */
async function refreshContent(): Promise<Response> {
  const names = await fetchWhole(NAMES);
  const { judge, checklists } = (await names.clone().json()) as Names;
  const cache = await caches.open(CONTENT);
  for (const address of [judge, checklists]) {
    if ((await cache.match(address)) === undefined) {
      await cache.put(address, await fetchWhole(address));
    }
  }
  await cache.put(NAMES, names.clone());
  return names;
}

async function install(): Promise<void> {
  const cache = await caches.open(SHELL);
  await Promise.all(FILES.map(async (file) => cache.put(file, await fetchWhole(file))));
  await refreshContent();
}

async function activate(): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith("bradawl-app-") && name !== SHELL) await caches.delete(name);
  }
  await self.clients.claim();
}

/** From the cache; from the network when the cache lacks it, and then kept. */
async function named(request: Request): Promise<Response> {
  const cache = await caches.open(CONTENT);
  const kept = await cache.match(request.url);
  if (kept !== undefined) return kept;
  const response = await fetch(request);
  if (response.ok) await cache.put(request.url, response.clone());
  return response;
}

async function names(event: FetchEvent): Promise<Response> {
  const cache = await caches.open(CONTENT);
  const kept = await cache.match(NAMES);
  const fresh = refreshContent();
  if (kept === undefined) return fresh;
  // today's answer at once; what is new counts from the next start
  event.waitUntil(fresh.catch(() => undefined));
  return kept;
}

async function shell(request: Request): Promise<Response> {
  const cache = await caches.open(SHELL);
  const wanted = request.mode === "navigate" ? PAGE : new URL(request.url).pathname;
  return (await cache.match(wanted)) ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "take-over") void self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin) return;
  // the self-test asks the server what this worker would answer in its place
  if (pathname === CHECK) return;
  if (pathname === NAMES) event.respondWith(names(event));
  else if (NAMED.test(pathname)) event.respondWith(named(event.request));
  else if (pathname.startsWith("/app/")) event.respondWith(shell(event.request));
});
