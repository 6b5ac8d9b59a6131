/**
 * The service worker: makes the app start with no network at all.
 *
 * One cache per version of the app, filled completely at install or not at all, so that a version
 * never misses a part of itself. One cache for the judge and the checklists, which are named by
 * their content and kept; `/api/v1/offline` in it names only what lies beside it. A new version
 * waits until the page says that it is a safe moment. Nothing here touches
 * the record; an ad that another app shares waits beside it.
 */

import { CODES, CONTENT, FONTS } from "../shared/cache-names";

declare const self: ServiceWorkerGlobalScope;
/** Filled in by the build: this version's name, and the files it consists of. */
declare const VERSION: string;
declare const FILES: string[];
/** The reader of bar codes, which no version waits for. */
declare const CODE_FILES: string[];
/** The face that every page is set in; others are kept once a page has letters of them. */
declare const FONT: string;
/** [locale, address] of the words of others than the default one: kept where a person reads them. */
declare const LOCALES: [string, string][];

const SHELL = `bradawl-app-${VERSION}`;
const PAGE = "/app/index.html";
const HOME = "/app/";
const SHARE = "/app/share";
const CHECK = "/app/check";
const NAMES = "/api/v1/offline";
const NAMED = /^\/api\/v1\/(judge|checklists)\/[0-9a-f]{64}(\/[A-Za-z-]+)?\.json$/;

/** Static routing: not in every browser, nor yet in TypeScript's own types. */
interface InstallEvent extends ExtendableEvent {
  addRoutes?(
    rules: {
      condition: {
        urlPattern: { pathname: string };
        requestMode?: string;
        requestMethod?: string;
      };
      source: { cacheName: string };
    }[],
  ): Promise<void>;
}

interface Names {
  judge: string;
  checklists: string;
  complaints?: string;
}

/**
 * A newer version is wanted. Until the old one's last event has ended the browser lets it wait, for
 * minutes where a server or a network answers nothing: no event lasts beyond this.
 */
let makeWay: () => void = () => undefined;
const leaving = new Promise<void>((resolve) => {
  makeWay = resolve;
});

/** The answer; an error, as without a network, once a newer version is wanted. */
function untilLeaving(answer: Promise<Response>): Promise<Response> {
  return Promise.race([answer, leaving.then(() => Response.error())]);
}

async function fetchWhole(address: string): Promise<Response> {
  const response = await fetch(address, { cache: "no-cache" });
  if (!response.ok) throw new Error(`${address} answered ${response.status}`);
  // a page that some host answers from another address would not do for the one that was asked for
  return response.redirected ? new Response(response.body, response) : response;
}

/** Take along today's judge and checklists, these also in the languages that are read here. */
async function refreshContent(): Promise<Response> {
  const names = await fetchWhole(NAMES);
  const { judge, checklists, complaints = "" } = (await names.clone().json()) as Names;
  const cache = await caches.open(CONTENT);
  // with what leads from symptom to cause, which no start waits for
  const later = [judge, checklists].map((address) => address.replace(".json", "/trouble.json"));
  if (complaints !== "") later.push(complaints);
  for (const address of [judge, checklists, ...later]) {
    if ((await cache.match(address)) === undefined) {
      await cache.put(address, await fetchWhole(address));
    }
  }
  await cache.put(NAMES, names.clone());
  for (const locale of await localesRead()) {
    const texts = checklists.replace(".json", `/${locale}.json`);
    // without them it is read in English
    await kept(CONTENT, texts).catch(() => undefined);
  }
  return names;
}

/**
 * Where the browser knows how, it takes the page and its parts from the cache by itself: a start
 * need not wait until this worker is awake. What the cache lacks still comes through here.
 */
async function answerAsleep(event: InstallEvent): Promise<void> {
  const source = { cacheName: SHELL };
  await event.addRoutes?.([
    { condition: { urlPattern: { pathname: HOME }, requestMode: "navigate" }, source },
    { condition: { urlPattern: { pathname: "/app/assets/*" }, requestMethod: "GET" }, source },
    {
      condition: { urlPattern: { pathname: "/app/fonts/*" }, requestMethod: "GET" },
      source: { cacheName: FONTS },
    },
  ]);
}

/** The locales whose words a version of the app has kept. */
async function localesRead(): Promise<Set<string>> {
  const read = new Set<string>();
  for (const name of await caches.keys()) {
    if (!name.startsWith("bradawl-app-")) continue;
    for (const { url } of await (await caches.open(name)).keys()) {
      for (const [locale] of LOCALES) if (url.includes(`text-${locale}-`)) read.add(locale);
    }
  }
  return read;
}

async function install(event: InstallEvent): Promise<void> {
  const cache = await caches.open(SHELL);
  const read = await localesRead();
  const words = LOCALES.filter(([locale]) => read.has(locale)).map(([, address]) => address);
  const files = [...FILES, ...words];
  await Promise.all(files.map(async (file) => cache.put(file, await fetchWhole(file))));
  const page = await cache.match(PAGE);
  if (page !== undefined) await cache.put(HOME, page);
  await refreshContent();
  // without it the phone's own letters stand there
  await kept(FONTS, FONT).catch(() => undefined);
  // an old way of starting, where the browser refuses the new one
  await answerAsleep(event).catch(() => undefined);
}

async function activate(): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith("bradawl-app-") && name !== SHELL) await caches.delete(name);
  }
  const faces = await caches.open(FONTS);
  const cut = FONT.slice(FONT.lastIndexOf("-"));
  for (const face of await faces.keys()) if (!face.url.endsWith(cut)) await faces.delete(face);
  const reader = await caches.open(CODES);
  for (const { url } of await reader.keys()) {
    if (!CODE_FILES.includes(new URL(url).pathname)) await reader.delete(url);
  }
  await self.clients.claim();
}

/** From a cache; from the network when the cache lacks it, and then kept. */
async function kept(name: string, request: Request | string): Promise<Response> {
  const cache = await caches.open(name);
  const there = await cache.match(request);
  if (there !== undefined) return there;
  const response = await fetch(request);
  if (response.ok) await cache.put(request, response.clone());
  return response;
}

async function names(event: FetchEvent): Promise<Response> {
  const cache = await caches.open(CONTENT);
  const kept = await cache.match(NAMES);
  const fresh = refreshContent();
  if (kept === undefined) return fresh;
  // today's answer at once; what is new counts from the next start
  event.waitUntil(Promise.race([fresh.catch(() => undefined), leaving]));
  return kept;
}

interface Connection {
  saveData?: boolean;
  type?: string;
}

let isTaken = false;

/**
 * What reads bar codes is larger than the app: it is taken along by itself once a server answers,
 * not over a connection that the phone counts the bytes of. Whoever uses it there fetches it.
 */
async function takeCodesAlong(): Promise<void> {
  const { connection } = navigator as { connection?: Connection };
  if (isTaken || connection?.saveData === true || connection?.type === "cellular") return;
  isTaken = true;
  try {
    for (const address of CODE_FILES) await kept(CODES, address);
  } catch {
    // no signal: at the next question to the server
    isTaken = false;
  }
}

async function shell(request: Request): Promise<Response> {
  const cache = await caches.open(SHELL);
  const wanted = request.mode === "navigate" ? PAGE : new URL(request.url).pathname;
  const kept = await cache.match(wanted);
  if (kept !== undefined) return kept;
  const response = await fetch(request);
  if (response.ok && LOCALES.some(([, address]) => address === wanted)) {
    await cache.put(wanted, response.clone());
  }
  return response;
}

/** The database, where the app has made one; it is not for this worker to make it. */
function database(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("bradawl");
    opening.onupgradeneeded = () => opening.transaction?.abort();
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
}

/**
 * What another app shares: kept beside the record until a person puts it with a car, network or
 * not. Without a database nothing is kept, and the screen says that nothing waits.
 */
async function share(request: Request): Promise<Response> {
  const form = await request.formData();
  const shared = form.getAll("files").filter((part) => part instanceof File);
  const pictures = shared.filter(({ type }) => type.startsWith("image/"));
  const written = shared.filter(({ type }) => type.startsWith("text/"));
  const [source, ...said] = ["url", "title", "text"].map((name) => String(form.get(name) ?? ""));
  for (const file of written) said.push(await file.text());
  const files = await Promise.all(
    pictures.map(async (file) => ({ type: file.type, bytes: await file.arrayBuffer() })),
  );
  const text = said.filter((part) => part !== "").join("\n\n");
  const db = await database();
  await new Promise<void>((resolve, reject) => {
    const tx = db.transaction("meta", "readwrite", { durability: "strict" });
    const meta = tx.objectStore("meta");
    const before = meta.get("shared");
    before.onsuccess = () =>
      meta.put([...(before.result ?? []), { text, source, files }], "shared");
    tx.oncomplete = () => resolve();
    tx.onabort = () => reject(tx.error);
  }).finally(() => db.close());
  return Response.redirect(`${HOME}#/shared`, 303);
}

self.addEventListener("install", (event) => event.waitUntil(install(event)));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "take-over") void self.skipWaiting();
  if (event.data === "make-way") makeWay();
});
self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method === "POST" && pathname === SHARE) {
    event.respondWith(share(event.request).catch(() => Response.redirect(`${HOME}#/shared`, 303)));
    return;
  }
  if (event.request.method !== "GET" || origin !== self.location.origin) return;
  // the self-test asks the server what this worker would answer in its place
  if (pathname === CHECK) return;
  if (pathname.startsWith("/api/")) event.waitUntil(Promise.race([takeCodesAlong(), leaving]));
  if (pathname === NAMES) event.respondWith(untilLeaving(names(event)));
  else if (NAMED.test(pathname)) event.respondWith(untilLeaving(kept(CONTENT, event.request.url)));
  else if (pathname.startsWith("/app/fonts/")) {
    event.respondWith(untilLeaving(kept(FONTS, event.request.url)));
  } else if (CODE_FILES.includes(pathname)) {
    event.respondWith(untilLeaving(kept(CODES, event.request.url)));
  } else if (pathname.startsWith("/app/")) event.respondWith(untilLeaving(shell(event.request)));
});
