// Starts the page and looks after the service worker. The page itself is in page.js (WebAssembly).
//
// What the page may rely on:
//   <body data-offline="ready">     every file is on the device (event "shellspan-offline-ready")
//   <body data-update="waiting">    a new version is complete and waits (event "shellspan-update")
//   <body data-update="replaced">   another tab took the new version: reload when convenient
//   dispatch "shellspan-update-accept" on window: the person wants the new version now

const meta = (name) => document.querySelector(`meta[name="${name}"]`)?.content ?? "";

function tell(key, value, event) {
  document.body.dataset[key] = value;
  window.dispatchEvent(new Event(event));
}

async function start() {
  try {
    const page = await import("./page.js");
    await page.default({ module_or_path: new URL("page_bg.wasm", import.meta.url) });
    document.body.dataset.started = "yes";
  } catch (error) {
    document.getElementById("starting")?.remove();
    document.getElementById("failed-why").textContent = String(error);
    document.getElementById("failed").hidden = false;
    console.error(error);
  }
}

async function serveOffline() {
  const service = navigator.serviceWorker;
  if (!service) return;
  const root = new URL(meta("shellspan-root"), document.baseURI);
  let hasVersion = service.controller !== null;
  let accepted = false;

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
    registration.waiting?.postMessage("take-over");
  });

  const ready = await service.ready;
  tell("offline", "ready", "shellspan-offline-ready");
  ready.active.postMessage("tidy");
}

// The page first: on a slow line the offline copy would take half of it. A page that fails still gets its copy: what
// is damaged on the device is then fetched anew.
start().then(() => {
  setTimeout(() => serveOffline().catch((error) => console.warn("No offline copy:", error)));
});
