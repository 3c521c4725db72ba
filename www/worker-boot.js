// Starts the measuring worker (worker.js, WebAssembly). Messages that come before it listens are kept
// and handed over in order; a start that fails reaches the page as the worker's "error" event.
import init from "./worker.js";

const early = [];
const keep = (event) => early.push(event);
self.addEventListener("message", keep);

init({ module_or_path: new URL("worker_bg.wasm", import.meta.url) }).then(
  () => {
    self.removeEventListener("message", keep);
    for (const { data, ports } of early) {
      self.dispatchEvent(new MessageEvent("message", { data, ports: [...ports] }));
    }
  },
  (error) => setTimeout(() => { throw error; }),
);
