// Sends what waits and fetches what came, one round at a time; repeating a round does no harm.

import * as net from "./net.js";
import * as store from "./store.js";

const BATCH_ENTRIES = 200;
const CALM_MS = 30_000;
const LONGEST_PAUSE_MS = 300_000;
const AFTER_SAVE_MS = 400;

/**
 * @typedef {{online: boolean, signedIn: boolean | null, name: string, busy: boolean, problem: string, lastSync: number | null,
 *            waiting: {entries: number, photos: number}, refused: {id: string, message: string}[]}} Status
 */

/**
 * @param {object} to
 * @param {Status} to.status kept up to date in place
 * @param {() => string} to.device this phone's id
 * @param {() => void} to.onStatus after each change of the status
 * @param {(books: string[]) => Promise<void>} to.onNew entries of these books came
 * @param {() => void} to.onRound after each round
 * @param {(name: string) => Promise<void>} to.onSession who is signed in
 * @param {(name: string) => Promise<void>} to.onSignedIn before each exchange, with the server's own name of who is signed in
 */
export function makeSync({ status, device, onStatus, onNew, onRound, onSession, onSignedIn }) {
  let failures = 0;
  let timer = 0;
  let running = false;
  let again = false;
  let counts = 0;

  /** Counts what waits; called after each save too, so that the number on the screen is never behind. */
  async function count() {
    const mine = (counts += 1);
    const [waiting, entries, photos] = await Promise.all([store.unsent(), store.refusedEntries(), store.refusedPhotos()]);
    if (mine !== counts) return;
    status.waiting = waiting;
    status.refused = [
      ...entries.map(({ id, book, reason }) => ({ id, book, message: reason.message })),
      ...photos.map(({ sha256, reason }) => ({ id: sha256, book: null, message: reason.message })),
    ];
    onStatus();
  }

  /** What was kept just now waits from this moment on; a count that began before it does not know of it and is dropped. */
  function added(entries, photos) {
    counts += 1;
    status.waiting = { entries: status.waiting.entries + entries, photos: status.waiting.photos + photos };
    onStatus();
  }

  /** One round, unless one is running here or in another tab; a wish that comes meanwhile is met by one more round. */
  async function now() {
    if (running) {
      again = true;
      return;
    }
    running = true;
    try {
      await oneRound();
    } finally {
      running = false;
    }
    if (again) {
      again = false;
      await now();
    } else plan();
  }

  async function oneRound() {
    status.busy = true;
    onStatus();
    await alone(round);
    status.busy = false;
    await count().catch(() => {});
    onRound();
  }

  async function round() {
    try {
      status.problem = "";
      const session = await net.session();
      Object.assign(status, { online: true, signedIn: session.signed_in });
      if (session.signed_in) {
        if (session.name) await onSession(session.name);
        await onSignedIn(session.name);
        await exchangeAll();
        await sendPhotos();
        status.lastSync = Date.now();
        await store.setting.set("lastSync", status.lastSync);
      }
      failures = 0;
    } catch (error) {
      failures += 1;
      took(error);
    }
  }

  function took(error) {
    if (error instanceof net.Offline) status.online = false;
    else if (error instanceof net.ServerError && error.status === 401) status.signedIn = false;
    else status.problem = error.message;
  }

  async function exchangeAll() {
    const changed = new Set();
    try {
      let most = BATCH_ENTRIES;
      for (let more = true; more;) {
        const batch = await store.waitingEntries(most);
        const step = await exchangeOne(batch);
        if (step.tooLarge) most = Math.ceil(batch.length / 2);
        for (const book of step.books) changed.add(book);
        more = step.more || step.tooLarge || (batch.length === most && step.settled > 0);
        await count();
      }
    } finally {
      // What arrived before a break is shown all the same.
      if (changed.size > 0) await onNew([...changed]);
    }
  }

  async function exchangeOne(batch) {
    const cursor = (await store.setting.get("cursor")) ?? 0;
    let answer;
    try {
      answer = await net.exchange(
        device(),
        cursor,
        batch.map(({ text }) => text),
      );
    } catch (error) {
      if (!(error instanceof net.ServerError) || error.status !== 413 || batch.length === 0) throw error;
      if (batch.length > 1) return { books: [], settled: 0, more: true, tooLarge: true };
      answer = { accepted: [], refused: [{ id: batch[0].id, code: "too_large", message: error.message }], entries: [], cursor };
    }
    const { accepted } = answer;
    // An entry that shows the server no id is named by its place in what was sent.
    const refused = answer.refused.map((one) => ({ ...one, id: one.id ?? batch[one.index]?.id }));
    const { books, clashes } = await store.takeIn({
      accepted,
      refused,
      cursor: answer.cursor,
      entries: answer.entries.map(headed),
    });
    if (clashes.length > 0)
      status.problem =
        `The server holds ${clashes.length} entries with the same number but another text. ` + "Export what is on this phone.";
    return { books, settled: accepted.length + refused.length, more: Boolean(answer.more), tooLarge: false };
  }

  async function sendPhotos() {
    for (const sha256 of await store.waitingPhotos()) {
      await sendPhoto(sha256);
      await count();
    }
  }

  async function sendPhoto(sha256) {
    const { type, bytes } = await store.photo(sha256);
    try {
      if (!(await net.hasPhoto(sha256))) await net.putPhoto(sha256, type, bytes);
      await store.photoSettled(sha256);
    } catch (error) {
      if (!(error instanceof net.ServerError) || ![400, 413, 415, 422].includes(error.status)) throw error;
      await store.photoSettled(sha256, { code: String(error.status), message: `Photo: ${error.message}` });
    }
  }

  function plan() {
    clearTimeout(timer);
    if (document.visibilityState !== "visible") return;
    const pause_ms = Math.min(CALM_MS * 2 ** failures, LONGEST_PAUSE_MS);
    // Phones of one crew that lost signal together must not all come back in the same second.
    timer = setTimeout(now, pause_ms * (0.8 + 0.4 * Math.random()));
  }

  /** After a save: soon, but once for several saves in a row. A round that runs may have looked before this save: one more follows it. */
  function nudge() {
    if (running) {
      again = true;
      return;
    }
    clearTimeout(timer);
    timer = setTimeout(now, AFTER_SAVE_MS);
  }

  function start() {
    window.addEventListener("online", now);
    window.addEventListener("pageshow", (event) => event.persisted && now());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && now());
    return now();
  }

  return { start, now, nudge, count, added };
}

function headed({ text }) {
  const { id, book } = JSON.parse(text);
  return { id, book, text };
}

function alone(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request("sync", { ifAvailable: true }, (lock) => (lock ? work() : undefined));
}
