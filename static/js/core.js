// The only way to core: a queue to the worker. A worker that crashes or hangs is replaced by a fresh one.

const LONGEST_CALL_MS = 60_000;

/** Core refused what it was given; the fields say what, what is allowed, and what to do. */
export class CoreError extends Error {
  /** @param {{code: string, field?: string, given?: string, allowed?: string, remedy?: string, message: string}} error */
  constructor(error) {
    super(error.message);
    Object.assign(this, { field: "", given: "", allowed: "", remedy: "" }, error);
  }
}

/** Core could not run at all, or stopped in the middle of a call. */
export class CoreStopped extends Error {}

/** @type {Worker | null} */
let worker = null;
let lastNumber = 0;
/** @type {Map<number, {resolve: (text: string) => void, reject: (error: Error) => void, timer: number}>} */
const pending = new Map();
/** @type {() => void} */
let onRestart = () => {};

/** @param {() => void} listener told when core has lost what it held */
export function whenRestarted(listener) {
  onRestart = listener;
}

/**
 * @param {string} op
 * @param {object} payload
 * @returns {Promise<any>}
 */
export async function core(op, payload = {}) {
  const answer = JSON.parse(await post(JSON.stringify({ ...payload, op })));
  if (!answer.ok) throw new CoreError(answer.error);
  return answer.result;
}

function post(text) {
  worker ??= startWorker();
  const number = (lastNumber += 1);
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => stop(`no result after ${LONGEST_CALL_MS / 1000} s`), LONGEST_CALL_MS);
    pending.set(number, { resolve, reject, timer });
    worker.postMessage({ number, text });
  });
}

function startWorker() {
  const made = new Worker("/static/js/core-worker.js", { type: "module" });
  made.addEventListener("message", ({ data }) => (data.failed ? stop(data.failed) : settle(data.number, data.text)));
  made.addEventListener("error", (event) => stop(event.message || "the worker did not load"));
  return made;
}

function settle(number, text) {
  const call = pending.get(number);
  if (!call) return;
  clearTimeout(call.timer);
  pending.delete(number);
  call.resolve(text);
}

function stop(reason) {
  worker?.terminate();
  worker = null;
  const calls = [...pending.values()];
  pending.clear();
  for (const call of calls) {
    clearTimeout(call.timer);
    call.reject(new CoreStopped(`The calculating part stopped: ${reason}`));
  }
  onRestart();
}
