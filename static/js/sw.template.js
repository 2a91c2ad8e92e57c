// The service worker, kept dull: it installs one build of the app whole, serves it from the cache, and does nothing else.
// The server fills in the build and the list of [address, SHA-256 in hex] and serves this at /sw.js.

const BUILD = "__BUILD__";
const FILES = __FILES__;
const CACHE = `shell-${BUILD}`;
const UNTOUCHED = ["/api/", "/office", "/c/"];

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => {
  if (isOurs(event.request)) event.respondWith(answer(event.request));
});
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

/** All files or none: one that fails or differs from its hash fails the install, and the old build stays. */
async function install() {
  const cache = await caches.open(CACHE);
  try {
    for (const part of groups(FILES, 6)) await Promise.all(part.map(([address, sha256]) => fetchInto(cache, address, sha256)));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

async function fetchInto(cache, address, sha256) {
  const response = await fetch(address, { cache: "reload", credentials: "same-origin" });
  if (!response.ok || response.redirected) throw new Error(`${address}: status ${response.status}`);
  const found = await crypto.subtle.digest("SHA-256", await response.clone().arrayBuffer());
  if (hex(found) !== sha256) throw new Error(`${address}: not the file that this build names`);
  await cache.put(address, response);
}

async function activate() {
  for (const name of await caches.keys()) {
    if (name.startsWith("shell-") && name !== CACHE) await caches.delete(name);
  }
  await self.clients.claim();
}

function isOurs(request) {
  const address = new URL(request.url);
  return (
    request.method === "GET" &&
    address.origin === self.location.origin &&
    !UNTOUCHED.some((start) => address.pathname.startsWith(start))
  );
}

async function answer(request) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(request.mode === "navigate" ? "/" : request, { ignoreVary: true });
  return kept ?? fetch(request);
}

function groups(list, size) {
  const found = [];
  for (let start = 0; start < list.length; start += size) found.push(list.slice(start, start + size));
  return found;
}

function hex(buffer) {
  return Array.from(new Uint8Array(buffer), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
