// Runs app/core in MicroPython. Only JSON text crosses; one interpreter per worker.

import { loadMicroPython } from "/parts/@micropython/micropython-webassembly-pyscript/micropython.mjs";

const WASM = "/parts/@micropython/micropython-webassembly-pyscript/micropython.wasm";
const HEAP_BYTES = 8 * 1024 * 1024;

const starting = start();
starting.catch(() => {});

self.addEventListener("message", async ({ data: { number, text } }) => {
  try {
    const call = await starting;
    self.postMessage({ number, text: call(text) });
  } catch (error) {
    self.postMessage({ number, failed: `${error?.name ?? "Error"}: ${error?.message ?? error}` });
  }
});

async function start() {
  if (typeof WebAssembly !== "object") throw new Error("This browser has WebAssembly switched off");
  const [python, bundle] = await Promise.all([loadMicroPython({ url: WASM, heapsize: HEAP_BYTES }), fetchBundle()]);
  for (const [path, text] of Object.entries(bundle.modules)) writeModule(python, `/lib/${path}`, text);
  python.runPython("from core import door\ncall = door.call");
  const call = python.globals.get("call");
  const answer = JSON.parse(call(JSON.stringify({ op: "configure", limits: bundle.limits, calculators: bundle.calculators })));
  if (!answer.ok) throw new Error(answer.error.message);
  return call;
}

async function fetchBundle() {
  const response = await fetch("/core.json");
  if (!response.ok) throw new Error(`The calculating part did not come: status ${response.status}`);
  return response.json();
}

function writeModule(python, path, text) {
  python.FS.mkdirTree(path.slice(0, path.lastIndexOf("/")));
  python.FS.writeFile(path, text);
}
