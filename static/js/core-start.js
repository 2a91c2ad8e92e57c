// Starts app/core in MicroPython, where it is asked to: in the worker, and in the benchmark on the main thread.

import { loadMicroPython } from "/parts/@micropython/micropython-webassembly-pyscript/micropython.mjs";

const WASM = "/parts/@micropython/micropython-webassembly-pyscript/micropython.wasm";
const HEAP_BYTES = 8 * 1024 * 1024;
const REST_AFTER_MS = 1000;
const TIDY_FROM_CALLS = 60;
const LOOK_AFTER_CALLS = 20;
const MOST_BLOCKS = 4 * 1024 * 1024; // of 16 bytes
const LENGTH_LIKE_A_CALL = 50_000;
const BLOCKS_AT_ONCE = 20_000;

// `fill` makes numbers of one block each, which stop up the small holes that clearing up leaves between what is held.
const PYTHON = `
import gc
from core import door

gc.disable()
call = door.call
tidy = gc.collect

def blocks():
    return gc.mem_alloc() // 16

def fill(count):
    for number in range(count):
        number * 0.5
`;

/** @returns {Promise<(text: string) => string>} core's door; one interpreter per global scope */
export async function startCore() {
  if (typeof WebAssembly !== "object") throw new Error("This browser has WebAssembly switched off");
  const [python, bundle] = await Promise.all([loadMicroPython({ url: WASM, heapsize: HEAP_BYTES }), fetchBundle()]);
  for (const [path, text] of Object.entries(bundle.modules)) writeModule(python, `/lib/${path}`, text);
  python.runPython(PYTHON);
  const call = tidied(...["call", "tidy", "blocks", "fill"].map((name) => python.globals.get(name)));
  const answer = JSON.parse(call(JSON.stringify({ op: "configure", limits: bundle.limits, calculators: bundle.calculators })));
  if (!answer.ok) throw new Error(answer.error.message);
  return call;
}

/**
 * Left alone the interpreter clears up at the end of nearly every call (after 16 KB), which with a large book takes longer (50 ms) than the
 * answer to a keypress, and the answers after it take 28 ms instead of 17 since each text it makes looks for room among small holes. So it is
 * told to when much has been asked (a long answer counts as many) and nobody asks now, and the holes are filled in steps between which a
 * question is answered. While somebody asks it clears up above MOST_BLOCKS only: one key in a table of 1,600 rows leaves 2 MB behind, and
 * memory that a page has once taken is never given back. Counting the blocks takes about as long as an answer: seldom.
 */
function tidied(call, tidy, blocks, fill) {
  let timer;
  let calls = 0;
  let looked = 0;
  let holes = 0;
  const clearUp = () => {
    calls = 0;
    looked = 0;
    tidy();
  };
  const rest = () => {
    if (calls >= TIDY_FROM_CALLS) {
      clearUp();
      holes = blocks();
    } else if (holes > 0) {
      fill(BLOCKS_AT_ONCE);
      holes -= BLOCKS_AT_ONCE;
    }
    if (holes > 0) timer = setTimeout(rest, 0);
  };
  return (text) => {
    clearTimeout(timer);
    if (calls - looked >= LOOK_AFTER_CALLS) {
      looked = calls;
      if (blocks() > MOST_BLOCKS) clearUp();
    }
    const answer = call(text);
    calls += 1 + (text.length + answer.length) / LENGTH_LIKE_A_CALL;
    timer = setTimeout(rest, REST_AFTER_MS);
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
