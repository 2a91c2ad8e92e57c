// One IndexedDB database and one way to change it: a transaction of strict durability that is complete before anyone is told.

import { openDB } from "idb";

const NAME = "spanbook";
const VERSION = 2;
const BALLAST_BYTES = 5 * 1024 * 1024;
const BALLAST_NEEDS_FREE_BYTES = 100 * 1024 * 1024;
const RANDOM_PIECE_BYTES = 65_536;
const CONNECTION_FAULTS = ["InvalidStateError", "UnknownError"];

/** Something could not be kept or read on this phone; the message is for the person. */
export class StoreError extends Error {
  /** @param {"full" | "broken" | "photo"} code @param {string} message @param {unknown} [cause] */
  constructor(code, message, cause) {
    super(message, { cause });
    this.code = code;
  }
}

/** @type {Promise<import("idb").IDBPDatabase> | null} */
let opening = null;

function open() {
  opening ??= openDB(NAME, VERSION, { upgrade: makeStores, blocking: letGo, terminated: forget }).catch((error) => {
    forget();
    throw error;
  });
  return opening;
}

/** Each version adds to what the one before left: nothing that is kept is touched. */
function makeStores(database, from) {
  if (from < 1) makeFirst(database);
  if (from < 2) database.createObjectStore("keys");
}

function makeFirst(database) {
  const entries = database.createObjectStore("entries", { keyPath: "id" });
  entries.createIndex("book", "book");
  entries.createIndex("outbox", "outbox");
  const photos = database.createObjectStore("photos", { keyPath: "sha256" });
  photos.createIndex("outbox", "outbox");
  database.createObjectStore("books", { keyPath: "book" });
  database.createObjectStore("drafts", { keyPath: "key" });
  database.createObjectStore("settings");
  database.createObjectStore("ballast");
}

/** Another tab wants a newer form of the database: an open connection would block it for ever. */
function letGo(_current, _blocked, event) {
  event.target.close();
  forget();
}

function forget() {
  opening = null;
}

/**
 * @template T
 * @param {string[]} names stores
 * @param {(tx: any) => Promise<T>} work awaits nothing but requests of this transaction
 * @returns {Promise<T>}
 */
export function readFrom(names, work) {
  return attempt(names, "readonly", work, false);
}

/**
 * One action: all of it is on the device when the promise resolves, or none of it.
 * @template T
 * @param {string[]} names stores
 * @param {(tx: any) => Promise<T>} work awaits nothing but requests of this transaction; may run twice
 * @param {boolean} mayUseBallast text may take the room kept in reserve, photos may not
 * @returns {Promise<T>}
 */
export function change(names, work, mayUseBallast = true) {
  return attempt(names, "readwrite", work, mayUseBallast);
}

async function attempt(names, mode, work, mayUseBallast) {
  try {
    return await once(names, mode, work);
  } catch (error) {
    if (!(await canMend(error, mayUseBallast))) throw worded(error);
  }
  try {
    return await once(names, mode, work);
  } catch (error) {
    throw worded(error);
  }
}

async function once(names, mode, work) {
  const database = await open();
  const tx = database.transaction(names, mode, { durability: "strict" });
  // A failed request rejects `done` too; it is awaited below, this keeps it from counting as unhandled until then.
  tx.done.catch(() => {});
  try {
    const result = await work(tx);
    await tx.done;
    return result;
  } catch (error) {
    abort(tx);
    throw error;
  }
}

function abort(tx) {
  try {
    tx.abort();
  } catch {
    // It had ended by itself.
  }
}

async function canMend(error, mayUseBallast) {
  if (CONNECTION_FAULTS.includes(error?.name)) {
    forget();
    return true;
  }
  return error?.name === "QuotaExceededError" && mayUseBallast && dropBallast();
}

async function dropBallast() {
  return once(["ballast"], "readwrite", async (tx) => {
    const there = await tx.store.count();
    await tx.store.clear();
    return there > 0;
  });
}

/** Keeps 5 MB in reserve while there is plenty, so that text can still be saved on the day the phone is full. */
export async function layBallast() {
  const { quota = 0, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
  const there = await readFrom(["ballast"], (tx) => tx.store.count());
  if (there > 0 || quota - usage < BALLAST_NEEDS_FREE_BYTES) return;
  const bytes = new Uint8Array(BALLAST_BYTES);
  // Random, since browsers compress what they store.
  for (let start = 0; start < BALLAST_BYTES; start += RANDOM_PIECE_BYTES) {
    crypto.getRandomValues(bytes.subarray(start, start + RANDOM_PIECE_BYTES));
  }
  await change(["ballast"], (tx) => tx.store.put({ bytes: bytes.buffer }, "reserve"), false);
}

function worded(error) {
  if (error instanceof StoreError) return error;
  if (error?.name === "QuotaExceededError") {
    return new StoreError(
      "full",
      "This phone's storage is full, so this was not saved. Free some room (videos, unused apps), then save again. " +
        "What was saved before is still here.",
      error,
    );
  }
  const why = error?.message || error?.name || "no reason given";
  return new StoreError("broken", `This phone's storage did not answer (${why}). Reload the app, then save again.`, error);
}
