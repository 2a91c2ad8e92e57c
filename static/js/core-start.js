// Starts app/core in MicroPython, where it is asked to: in the worker, and in the benchmark on the main thread.

import { loadMicroPython } from "/parts/@micropython/micropython-webassembly-pyscript/micropython.mjs";

const WASM = "/parts/@micropython/micropython-webassembly-pyscript/micropython.wasm";
const HEAP_BYTES = 8 * 1024 * 1024;
const TIDY_AFTER_MS = 200;
const TIDY_AFTER_CALLS = 25;
const LENGTH_LIKE_A_CALL = 50_000;

/** @returns {Promise<(text: string) => string>} core's door; one interpreter per global scope */
export async function startCore() {
  if (typeof WebAssembly !== "object") throw new Error("This browser has WebAssembly switched off");
  const [python, bundle] = await Promise.all([loadMicroPython({ url: WASM, heapsize: HEAP_BYTES }), fetchBundle()]);
  for (const [path, text] of Object.entries(bundle.modules)) writeModule(python, `/lib/${path}`, text);
  python.runPython("import gc\nfrom core import door\ncall = door.call\ntidy = gc.collect\ngc.disable()");
  const call = tidied(python.globals.get("call"), python.globals.get("tidy"));
  const answer = JSON.parse(call(JSON.stringify({ op: "configure", limits: bundle.limits, calculators: bundle.calculators })));
  if (!answer.ok) throw new Error(answer.error.message);
  return call;
}

/**
 * The interpreter clears up when a call ends, which on a large book takes longer (50 ms) than the answer to a keypress: it is told to do so
 * when nobody waits, or after many calls (a long answer counts as many).
 */
function tidied(call, tidy) {
  let timer;
  let calls = 0;
  const tidyNow = () => {
    calls = 0;
    tidy();
  };
  return (text) => {
    clearTimeout(timer);
    if (calls >= TIDY_AFTER_CALLS) tidyNow();
    timer = setTimeout(tidyNow, TIDY_AFTER_MS);
    const answer = call(text);
    calls += 1 + (text.length + answer.length) / LENGTH_LIKE_A_CALL;
    return answer;
  };
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
