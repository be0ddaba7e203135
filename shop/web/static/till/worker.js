/* The till's worker: keeps the page, its scripts and its looks on the phone, so that the till opens without signal.

   KEEP is written before this file as it is served: {version, files}. Another version is fetched whole, beside the one in
   use, and takes its place when every file is there. */

/* global KEEP */
const HERE = `thriftloom-till-${KEEP.version}`;
const PICTURES = "thriftloom-till-pictures";
const PAGE = "/till";

self.addEventListener("install", (event) => {
  const fetched = KEEP.files.map((file) => new Request(file, { cache: "reload", credentials: "omit" }));
  event.waitUntil(caches.open(HERE).then((kept) => kept.addAll(fetched)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("thriftloom-till-") && name !== HERE && name !== PICTURES;
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
    .then(() => self.clients.claim()));
});

async function fromPhone(cache, key, request) {
  const kept = await (await caches.open(cache)).match(key);
  return kept ?? fetch(request);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  if (request.mode === "navigate" && address.pathname === PAGE) event.respondWith(fromPhone(HERE, PAGE, request));
  else if (address.pathname.startsWith("/till/picture/") && !request.headers.has("Authorization")) event.respondWith(fromPhone(PICTURES, address.pathname, request));
  else if (KEEP.files.includes(address.pathname + address.search)) event.respondWith(fromPhone(HERE, request.url, request));
});
