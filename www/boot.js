// Starts the page and looks after the service worker. The page itself is in page.js (WebAssembly).
//
// What the page may rely on:
//   <body data-offline="ready">     every file is on the device, looked at just now; "no" where one is missing
//                                   (event "shellspan-offline" at each change)
//   <body data-update="waiting">    a new version is complete and waits (event "shellspan-update")
//   <body data-update="replaced">   another tab took the new version: reload when convenient
//   dispatch "shellspan-update-accept" on window: the person wants the new version now
//   <body data-install="offered">   the browser can install the page (event "shellspan-install")
//   dispatch "shellspan-install-accept" on window: the person wants it installed

const meta = (name) => document.querySelector(`meta[name="${name}"]`)?.content ?? "";
const root = new URL(meta("shellspan-root"), document.baseURI);

function tell(key, value, event) {
  if (document.body.dataset[key] === value) return;
  document.body.dataset[key] = value;
  window.dispatchEvent(new Event(event));
}

async function start() {
  try {
    const page = await import("./page.js");
    await page.default({ module_or_path: new URL("page_bg.wasm", import.meta.url) });
    document.body.dataset.started = "yes";
  } catch (error) {
    console.error(error);
    sayFailed(whatToDo(), String(error));
  }
}

// A module of one function that returns a vector of zeros (binary format of the WebAssembly core specification 2.0,
// "Vector Instructions" and "Modules"): only a browser that knows vectors takes it, as the page's own program asks.
const NEEDS_VECTORS = [
  0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 22, 1, 20, 0, 253, 12,
  0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 11,
];

function whatToDo() {
  if (typeof WebAssembly !== "object") {
    return "This browser runs no WebAssembly, or a setting forbids it. Allow it for this page, or open the page in another browser.";
  }
  if (!WebAssembly.validate(new Uint8Array(NEEDS_VECTORS))) {
    return "This browser is too old. Update it, or open the page in one of 2023 or later.";
  }
  if (!navigator.onLine) {
    return "There is no network, and the copy on this device is not whole. Open the page once with a network.";
  }
  return "A part of the page could not be fetched, or is damaged. Reload it; if that does not help, try another network.";
}

function sayFailed(words, why) {
  document.getElementById("starting")?.remove();
  document.getElementById("failed-next").textContent = words;
  document.getElementById("failed-why").textContent = why;
  document.getElementById("failed").hidden = false;
}

// Asks the service worker whether every file is on the device. Looked at "whole", it checks their sums too, and
// fetches again what is missing or damaged.
function isWhole(worker, question) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data);
    worker.postMessage(question, [port2]);
  });
}

// The person took the new version. It starts once the old service worker rests: a question to the old one that is
// open, or comes later, can hold it back for minutes (seen in Chromium 148).
let accepted = false;
const looks = new Set();

async function lookAgain(question) {
  if (accepted) return { whole: false, mended: false };
  const look = lookNow(question);
  looks.add(look);
  try {
    return await look;
  } finally {
    looks.delete(look);
  }
}

async function lookNow(question) {
  const registration = await navigator.serviceWorker.getRegistration(root);
  const worker = registration?.active;
  const found = worker ? await isWhole(worker, question) : { whole: false };
  tell("offline", found.whole ? "ready" : "no", "shellspan-offline");
  return found;
}

async function serveOffline() {
  const service = navigator.serviceWorker;
  if (!service) return;
  let hasVersion = service.controller !== null;

  const registration = await service.register(new URL("sw.js", root), { updateViaCache: "none" });

  service.addEventListener("controllerchange", () => {
    const isFirst = !hasVersion;
    hasVersion = true;
    // The first version takes over a page that came from the same build: nothing to reload.
    if (isFirst) return;
    if (accepted) location.reload();
    else tell("update", "replaced", "shellspan-update");
  });

  const watch = (worker) => {
    const look = () => {
      if (worker.state === "installed" && service.controller) tell("update", "waiting", "shellspan-update");
    };
    worker.addEventListener("statechange", look);
    look();
  };
  if (registration.waiting) watch(registration.waiting);
  if (registration.installing) watch(registration.installing);
  registration.addEventListener("updatefound", () => registration.installing && watch(registration.installing));
  window.addEventListener("shellspan-update-accept", () => {
    accepted = true;
    const tooLong = new Promise((resolve) => setTimeout(resolve, 10_000));
    Promise.race([Promise.allSettled(looks), tooLong]).then(() => registration.waiting?.postMessage("take-over"));
  });

  const ready = await service.ready;
  const { mended } = await lookAgain("whole?");
  if (!accepted) ready.active.postMessage("tidy");
  if (mended && !document.body.dataset.started) {
    sayFailed("The copy on this device was damaged and is mended now: reload the page.", "");
  }
  // Whoever comes back to the page may have cleared its data meanwhile: what is said must hold now.
  document.addEventListener("visibilitychange", () => document.hidden || lookAgain("there?"));
  window.addEventListener("focus", () => lookAgain("there?"));
  window.addEventListener("online", () => lookAgain("whole?"));
}

// The browser's own offer would cover the crab: it is kept until somebody asks for it at the foot of the page.
let offer = null;
window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  offer = event;
  tell("install", "offered", "shellspan-install");
});
window.addEventListener("appinstalled", () => tell("install", "done", "shellspan-install"));
window.addEventListener("shellspan-install-accept", async () => {
  await offer?.prompt();
  // An offer can be taken or refused once; the browser makes a new one when it sees fit.
  offer = null;
  tell("install", "asked", "shellspan-install");
});

// The page first: on a slow line the offline copy would take half of it. A page that fails still gets its copy: what
// is damaged on the device is then fetched anew.
start().then(() => {
  setTimeout(() => serveOffline().catch((error) => console.warn("No offline copy:", error)));
});
