// Core in a worker. Only JSON text crosses; one interpreter per worker.

import { startCore } from "./core-start.js";

const starting = startCore();
starting.catch(() => {});

self.addEventListener("message", async ({ data: { number, text } }) => {
  try {
    const call = await starting;
    self.postMessage({ number, text: call(text) });
  } catch (error) {
    self.postMessage({ number, failed: `${error?.name ?? "Error"}: ${error?.message ?? error}` });
  }
});
