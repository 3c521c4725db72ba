// Keeps one whole build on the device and never mixes two.
//
// Every file but the three with fixed names lives under a folder named after the build, so an address
// says which build it belongs to; each file is checked against the sum the build tool wrote here before
// the version counts as installed. A new version waits until the person says so or all tabs are closed.

const BUILD = "{{build}}";
// [path from the root, SHA-256 in hex]
const FILES = {{files}};
const SAMPLES_HASH = "{{samples_hash}}";
const SAMPLES = {{sample_files}};

const SCOPE = self.registration.scope;
// Several copies can share one origin under different paths: each keeps to its own caches.
const OURS = `shellspan ${SCOPE} `;
const CACHE = `${OURS}build ${BUILD}`;
const SAMPLE_CACHE = `${OURS}samples ${SAMPLES_HASH}`;
const INDEX = new URL("./", SCOPE).href;

const address = (path) => new URL(path, SCOPE).href;

async function sha256(bytes) {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function download(url, isRight, caching = ["no-cache"]) {
  let response, bytes, isTaken;
  for (const cache of caching) {
    response = await fetch(url, { cache, credentials: "same-origin" });
    if (!response.ok) throw new Error(`${url}: ${response.status}`);
    bytes = await response.arrayBuffer();
    isTaken = await isRight(bytes);
    if (isTaken) break;
  }
  if (!isTaken) throw new Error(`${url} is not of build ${BUILD}`);
  const headers = new Headers(response.headers);
  headers.delete("content-encoding");
  headers.delete("content-length");
  // A fresh response: one that was redirected could not answer a navigation.
  return new Response(bytes, { headers });
}

const names = new TextDecoder();
const hasSum = (sum) => async (bytes) => (await sha256(bytes)) === sum;
// Every file of the build: its address, whether bytes are its content, and where to fetch it. What the page has just
// loaded lies in the browser's own cache, and an address with a hash means one content: it is not sent twice.
const PARTS = [
  // A host may add to the start page; that it names this build is what counts.
  { url: INDEX, isRight: (bytes) => names.decode(bytes).includes(`content="${BUILD}"`), caching: ["no-cache"] },
  ...FILES.map(([path, sum]) => ({ url: address(path), isRight: hasSum(sum), caching: ["default", "reload"] })),
];

// Fetches what is not there. With `isDeep` what is there is held against its sum first.
async function complete(isDeep) {
  const cache = await caches.open(CACHE);
  const fetched = await Promise.all(PARTS.map(async ({ url, isRight, caching }) => {
    const there = await cache.match(url);
    if (there && (!isDeep || (await isRight(await there.arrayBuffer())))) return false;
    await cache.put(url, await download(url, isRight, caching));
    return true;
  }));
  return fetched.some(Boolean);
}

// Whether every file is there now, and whether one had to be fetched again for that.
async function look(isDeep) {
  try {
    return { whole: true, mended: await complete(isDeep) };
  } catch (error) {
    console.warn("The offline copy is not whole:", error);
    return { whole: false, mended: false };
  }
}

async function keepSamples() {
  const cache = await caches.open(SAMPLE_CACHE);
  for (const [path, sum] of SAMPLES) {
    const url = address(path);
    if (await cache.match(url)) continue;
    await cache.put(url, await download(url, hasSum(sum)));
  }
}

async function tidy() {
  // A second tab may still run the version before, and a newer one may be on its way: leave their files.
  const tabs = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  if (tabs.length > 1 || self.registration.waiting || self.registration.installing) return;
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(OURS) && name !== CACHE && name !== SAMPLE_CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function answer(request) {
  const url = new URL(request.url);
  url.hash = "";
  const cache = await caches.open(CACHE);
  const own = await cache.match(url.href);
  if (own) return own;
  if (request.mode === "navigate") return (await cache.match(INDEX)) ?? fetch(request);
  // Addresses that carry a hash mean one content, whichever cache holds it.
  const hashed = /^(b|samples)-[0-9a-f]+\//.test(url.href.slice(SCOPE.length));
  if (hashed) {
    for (const name of await caches.keys()) {
      if (!name.startsWith(OURS)) continue;
      const found = await (await caches.open(name)).match(url.href);
      if (found) return found;
    }
  }
  // A practice photo that was looked at once is there without a network too.
  const sample = SAMPLES.find(([path]) => address(path) === url.href);
  if (!sample) return fetch(request);
  const response = await download(url.href, hasSum(sample[1]));
  await (await caches.open(SAMPLE_CACHE)).put(url.href, response.clone());
  return response;
}

self.addEventListener("install", (event) => event.waitUntil(complete(false)));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim().then(tidy)));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(SCOPE)) return;
  event.respondWith(answer(request));
});
self.addEventListener("message", (event) => {
  if (event.data === "take-over") event.waitUntil(self.skipWaiting());
  const reply = (found) => event.ports[0]?.postMessage(found);
  if (event.data === "there?") event.waitUntil(look(false).then(reply));
  if (event.data === "whole?") event.waitUntil(look(true).then(reply));
  if (event.data === "tidy") event.waitUntil(tidy());
  if (event.data === "keep-samples") event.waitUntil(keepSamples());
});
