/** Opens the page without a network. Keeps one whole set of its files, and swaps it only for a newer whole set. A page that is open
goes on with the set that it was opened from, so that no page mixes two versions. Calculations still need the service. */

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const STATE = "scaldloaf-state";
const FACTS = "scaldloaf-facts";
const SET = "scaldloaf-files-";
const CURRENT = "/current-set";
const SET_OF = "/set-of/";      // and the client of a page
const LIST = "/files.json";
const NOT_KEPT = /^(sw\.js$|docs|demo|embed|panel|styles\/(docs|reading))/;     // this worker, and files of other pages

/** The set that a page was opened from, else the current one. @param {string} [client] */
async function setOf(client) {
  const state = await caches.open(STATE);
  const name = client && await state.match(SET_OF + client) || await state.match(CURRENT);
  return name ? name.text() : null;
}

/** A page has one set as long as it is open. @param {string} client @param {string | null} name */
async function useSet(client, name) {
  const state = await caches.open(STATE);
  if (name && !await state.match(SET_OF + client)) await state.put(SET_OF + client, new Response(name));
}

/** @param {string} text */
async function digest(text) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text)));
  return [...bytes.slice(0, 8)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Fetches the files of the service if they differ from ours; one update at a time. */
function update() {
  updating ??= fetchSet().finally(() => { updating = null; });
  return updating;
}
/** @type {Promise<void> | null} */
let updating = null;

async function fetchSet() {
  const response = await fetch(LIST, { cache: "no-cache" });
  if (!response.ok) return;
  const text = await response.text();
  const name = SET + await digest(text);
  const before = await setOf();
  if (name !== before) {
    const files = Object.keys(JSON.parse(text)).filter((path) => !NOT_KEPT.test(path)).map((path) => `/${path}`);
    const cache = await caches.open(name);
    await cache.addAll(["/", ...files].map((path) => new Request(path, { cache: "no-cache" })));
    await (await caches.open(STATE)).put(CURRENT, new Response(name));
  }
  await tidy([name, before]);
}

/** Deletes the sets that no page uses. @param {(string | null)[]} used the current one, and that of pages which are just opening */
async function tidy(used) {
  const state = await caches.open(STATE);
  for (const { url } of await state.keys()) {
    const [, client] = url.split(SET_OF);
    if (!client) continue;
    if (await worker.clients.get(client)) used.push(await setOf(client));
    else await state.delete(url);
  }
  for (const each of await caches.keys()) if (each.startsWith(SET) && !used.includes(each)) await caches.delete(each);
}

/** @param {Request} request @param {string | null} name */
async function fromSet(request, name) {
  const kept = name && await (await caches.open(name)).match(request, { ignoreSearch: true });
  return kept || fetch(request);
}

/** Facts from the service, or the last ones kept; labels in another language rather than none. @param {Request} request */
async function facts(request) {
  const cache = await caches.open(FACTS);
  try {
    const response = await fetch(request);
    if (response.ok) await cache.put(request, response.clone());
    return response;
  } catch (error) {
    const kept = await cache.match(request) ?? await cache.match(request, { ignoreSearch: true });
    if (kept) return kept;
    throw error;
  }
}

/** A page asks whether there is a newer page than the one it was opened from. */
worker.addEventListener("message", (event) => {
  const { source } = event;
  if (event.data !== "newer page?" || !(source instanceof Client)) return;
  event.waitUntil((async () => {
    await update().catch(() => {});
    if (await setOf(source.id) !== await setOf()) source.postMessage("newer page");
  })());
});

/** @param {FetchEvent} event */
async function opened(event) {
  const name = await setOf();
  await useSet(event.resultingClientId, name);
  return fromSet(event.request, name);
}

worker.addEventListener("install", (event) => {
  event.waitUntil(update().then(() => worker.skipWaiting()));
});

worker.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const name = await setOf();
    for (const { id } of await worker.clients.matchAll({ includeUncontrolled: true })) await useSet(id, name);
    await worker.clients.claim();
  })());
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/v1/")) event.respondWith(facts(request));
  else if (url.pathname === "/" || /^\/(?:[\w-]+\/){0,2}[\w-]+\.(js|css|svg|png|webmanifest)$/.test(url.pathname)) {
    event.respondWith(request.mode === "navigate" ? opened(event) : setOf(event.clientId).then((name) => fromSet(request, name)));
    // Renews even a page that no longer runs.
    if (request.mode === "navigate") event.waitUntil(update().catch(() => {}));
  }
});
