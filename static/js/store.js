// What this phone keeps: entries, photos, drafts, settings. With database.js, the only module that touches IndexedDB.
//
// An entry: {id, book, text, outbox?, reason?}. A photo: {sha256, type, bytes, book?, outbox?, reason?}.
// `outbox` is WAITING or REFUSED, and absent once the server has it: the index then holds just what is not sent.

import { change, layBallast, readFrom, StoreError } from "./database.js";
import { sha256, uuid7 } from "./ids.js";

export { layBallast, StoreError };
export const WAITING = 1;
export const REFUSED = 2;

/**
 * Keeps new entries of this phone, and a photo in the same transaction. Resolves when all of it is on the device.
 * @param {{id: string, book: string, text: string}[]} entries
 * @param {{sha256: string, type: string, bytes: ArrayBuffer} | null} photo
 */
export async function keepOwn(entries, photo = null) {
  const stores = ["entries", "books", ...(photo ? ["photos"] : [])];
  await change(
    stores,
    async (tx) => {
      for (const { id, book, text } of entries) await tx.objectStore("entries").add({ id, book, text, outbox: WAITING });
      await markStale(tx.objectStore("books"), entries[0].book);
      if (photo) await keepPhoto(tx, photo, entries[0].book);
    },
    photo === null,
  );
  if (photo) await proveKept(photo.sha256);
}

async function keepPhoto(tx, { sha256: key, type, bytes }, book) {
  const there = await tx.objectStore("photos").get(key);
  if (!there) await tx.objectStore("photos").put({ sha256: key, type, bytes, book, outbox: WAITING });
}

/** Some phones have lost large records without an error, so a photo is read back before anyone relies on it. */
async function proveKept(key) {
  const kept = await photo(key);
  if (!kept || (await sha256(kept.bytes)) !== key) {
    throw new StoreError(
      "photo",
      "The entry is saved, but the photo could not be read back from this phone. Keep the original picture and take it in again.",
    );
  }
}

/** @returns {Promise<string[]>} the texts of a book's entries */
export async function textsOf(book) {
  const rows = await readFrom(["entries"], (tx) => tx.store.index("book").getAll(book));
  return rows.map((row) => row.text);
}

/** @returns {Promise<{id: string, book: string, text: string}[]>} entries to be sent, oldest first */
export async function waitingEntries(most) {
  return readFrom(["entries"], (tx) => tx.store.index("outbox").getAll(WAITING, most));
}

/** @returns {Promise<{id: string, book: string, text: string, reason: {code: string, message: string}}[]>} */
export async function refusedEntries() {
  return readFrom(["entries"], (tx) => tx.store.index("outbox").getAll(REFUSED));
}

/** @returns {Promise<Map<string, number>>} how many entries of each book the server does not have */
export async function unsentByBook() {
  const rows = await readFrom(["entries"], (tx) => tx.store.index("outbox").getAll());
  const counts = new Map();
  for (const row of rows) counts.set(row.book, (counts.get(row.book) ?? 0) + 1);
  return counts;
}

/** @returns {Promise<{entries: number, photos: number}>} what the server does not have */
export async function unsent() {
  return readFrom(["entries", "photos"], async (tx) => ({
    entries: await tx.objectStore("entries").index("outbox").count(),
    photos: await tx.objectStore("photos").index("outbox").count(),
  }));
}

/**
 * One answer of the server, kept whole together with the cursor that says how far it went.
 * @param {{accepted: string[], refused: {id: string, code: string, message: string}[], cursor: number,
 *          entries: {id: string, book: string, text: string}[]}} answer
 * @returns {Promise<{books: string[], clashes: string[]}>} books with something new; ids that came with another text than ours
 */
export async function takeIn({ accepted, refused, entries, cursor }) {
  return change(["entries", "books", "settings"], async (tx) => {
    const store = tx.objectStore("entries");
    for (const id of accepted) await mark(store, id, null);
    for (const { id, code, message } of refused) await mark(store, id, { code, message });
    const outcome = { books: new Set(), clashes: [] };
    for (const entry of entries) await merge(store, entry, outcome);
    for (const book of outcome.books) await markStale(tx.objectStore("books"), book);
    await tx.objectStore("settings").put(cursor, "cursor");
    return { books: [...outcome.books], clashes: outcome.clashes };
  });
}

async function mark(store, id, reason) {
  const row = await store.get(id);
  if (!row) return;
  const { id: key, book, text } = row;
  await store.put(reason ? { id: key, book, text, outbox: REFUSED, reason } : { id: key, book, text });
}

async function merge(store, { id, book, text }, outcome) {
  const ours = await store.get(id);
  if (ours && ours.text !== text) outcome.clashes.push(id);
  else if (ours) await mark(store, id, null);
  else {
    await store.put({ id, book, text });
    outcome.books.add(book);
  }
}

/** Puts what the server refused back into the outbox. */
export async function tryRefusedAgain() {
  await change(["entries", "photos"], async (tx) => {
    for (const name of ["entries", "photos"]) {
      const store = tx.objectStore(name);
      for (const row of await store.index("outbox").getAll(REFUSED))
        await store.put({ ...row, outbox: WAITING, reason: undefined });
    }
  });
}

/** @returns {Promise<{sha256: string, type: string, bytes: ArrayBuffer, jpeg?: ArrayBuffer} | undefined>} */
export async function photo(key) {
  return readFrom(["photos"], (tx) => tx.store.get(key));
}

/** Keeps a photo that came from the server. */
export async function keepPulledPhoto({ sha256: key, type, bytes }) {
  await change(["photos"], (tx) => tx.store.put({ sha256: key, type, bytes }), false);
}

/** Keeps a form of a photo that this phone can show, beside the photo. */
export async function keepRendition(key, jpeg) {
  await change(
    ["photos"],
    async (tx) => {
      const row = await tx.store.get(key);
      if (row) await tx.store.put({ ...row, jpeg });
    },
    false,
  );
}

/** @returns {Promise<string[]>} hashes of photos to be sent */
export async function waitingPhotos() {
  return readFrom(["photos"], (tx) => tx.store.index("outbox").getAllKeys(WAITING));
}

/** @returns {Promise<{sha256: string, reason: {message: string}}[]>} */
export async function refusedPhotos() {
  const rows = await readFrom(["photos"], (tx) => tx.store.index("outbox").getAll(REFUSED));
  return rows.map(({ sha256: key, reason }) => ({ sha256: key, reason }));
}

/** The server has this photo (reason null), or will not take it. The photo itself stays on the phone in both cases. */
export async function photoSettled(key, reason = null) {
  await change(["photos"], async (tx) => {
    const { outbox, reason: before, ...row } = await tx.store.get(key);
    await tx.store.put(reason ? { ...row, outbox: REFUSED, reason } : row);
  });
}

/** The mark changes with each change, so that an index made before it does not count as made after it. */
async function markStale(books, book) {
  const row = (await books.get(book)) ?? { book };
  await books.put({ ...row, stale: uuid7() });
}

/** @returns {Promise<object[]>} what the books screen shows, as last computed; `stale` when entries came since */
export async function bookIndex() {
  return readFrom(["books"], (tx) => tx.store.getAll());
}

/** @param {string | undefined} stale the mark as it was when the record was begun */
export async function keepBookIndex(record, stale) {
  await change(["books"], async (tx) => {
    const row = await tx.store.get(record.book);
    await tx.store.put(row && row.stale !== stale ? { ...record, stale: row.stale } : record);
  });
}

export const draft = {
  get: (key) => readFrom(["drafts"], async (tx) => (await tx.store.get(key))?.value ?? null),
  startingWith: (start) => readFrom(["drafts"], (tx) => tx.store.getAll(IDBKeyRange.bound(start, `${start}\uffff`))),
  set: (key, value) => change(["drafts"], (tx) => tx.store.put({ key, value })),
  clear: (key) => change(["drafts"], (tx) => tx.store.delete(key)),
};

export const setting = {
  get: (name) => readFrom(["settings"], (tx) => tx.store.get(name)),
  set: (name, value) => change(["settings"], (tx) => tx.store.put(value, name)),
};

/** The key pair of this phone. Its private half can be used here, but neither read nor sent by anyone. */
export const deviceKey = {
  /** @returns {Promise<CryptoKeyPair | undefined>} */
  get: () => readFrom(["keys"], (tx) => tx.store.get("device")),
  /** Keeps a pair unless another tab was first. @returns {Promise<CryptoKeyPair>} the one that is kept */
  keepFirst: (pair) =>
    change(["keys"], async (tx) => {
      const there = await tx.store.get("device");
      if (!there) await tx.store.put(pair, "device");
      return there ?? pair;
    }),
};

/** Everything, one record at a time so that photos never sit in memory together. */
export async function keysOfAll() {
  return readFrom(["entries", "photos"], async (tx) => ({
    entries: await tx.objectStore("entries").getAllKeys(),
    photos: await tx.objectStore("photos").getAllKeys(),
  }));
}

export async function entry(id) {
  return readFrom(["entries"], (tx) => tx.store.get(id));
}
