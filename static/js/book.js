// Makes entries: id, time, text; core checks them, the phone keeps them, core learns them. Remembers what core said of a book.

import { core, CoreStopped, whenRestarted } from "./core.js";
import { localTime, uuid7 } from "./ids.js";
import { askToKeep } from "./storage.js";
import * as store from "./store.js";

const VERSION = 1;
/** A first exchange can bring hundreds of books: the screen does not wait for all of them. */
const AT_ONCE = 3;
const NAMED_BY_FIRST_ENTRY = ["building", "corner", "link", "station", "bond", "protector", "load"];

/** @type {Map<string, Promise<object>>} books that core holds, or is being given */
const held = new Map();
/** @type {Map<string, Map<string, Promise<any>>>} what core said of the book at hand since its last entry, by question */
const answers = new Map();
const SAME_UNTIL_THE_NEXT_ENTRY = ["site", "book", "link", "checks", "trend", "picture", "identifiers", "sign_off", "since_signing"];
whenRestarted(() => {
  held.clear();
  answers.clear();
});

/** Makes sure that core holds a book. */
export function openBook(book) {
  if (!held.has(book)) hold(book, opened(book));
  return held.get(book);
}

async function opened(book) {
  return core("open", { book, entries: await store.textsOf(book) });
}

function hold(book, opening) {
  held.set(book, opening);
  opening.catch(() => held.get(book) === opening && held.delete(book));
}

/**
 * Asks core; what it has said since the last entry of the book is not asked again.
 * @param {string} op
 * @param {object} payload
 */
export function ask(op, payload = {}) {
  if (!SAME_UNTIL_THE_NEXT_ENTRY.includes(op) || payload.draft) return askAnew(op, payload);
  const known = answersOf(payload.book);
  const question = JSON.stringify([op, ...Object.entries(payload)]);
  if (!known.has(question)) {
    const answer = askAnew(op, payload);
    known.set(question, answer);
    answer.catch(() => known.delete(question));
  }
  return known.get(question);
}

/** One book at a time: a phone is short of memory, and who works on a site stays on it. */
function answersOf(book) {
  if (!answers.has(book)) {
    answers.clear();
    answers.set(book, new Map());
  }
  return answers.get(book);
}

/** A question about a book first gives core that book, also after core had to be started again. */
async function askAnew(op, payload = {}) {
  try {
    if (payload.book) await openBook(payload.book);
    return await core(op, payload);
  } catch (error) {
    if (!(error instanceof CoreStopped)) throw error;
  }
  if (payload.book) await openBook(payload.book);
  return core(op, payload);
}

/**
 * @typedef {{kind: string, body: object, replaces?: string[], id?: string, at?: string, v?: number}} Draft an entry before it is made;
 *   a seal brings the id and time that were signed
 * @typedef {{sha256: string, type: string, bytes: ArrayBuffer}} Photo
 *
 * Checks and keeps entries of one book, all or none. When it resolves they are on the device.
 * @param {{name: string, device: string}} author
 * @param {string} book
 * @param {Draft[]} drafts
 * @param {Photo | null} photo
 * @returns {Promise<string[]>} the entries' ids
 */
export async function keep(author, book, drafts, photo = null) {
  const made = drafts.map((one) => makeEntry(author, book, one));
  for (const { text } of made) await ask("check_entry", { text });
  await store.keepOwn(made, photo);
  askToKeep();
  learn(
    book,
    made.map(({ text }) => text),
  );
  return made.map(({ id }) => id);
}

function makeEntry({ name, device }, book, { kind, body, replaces = [], id = uuid7(), at = localTime(), v = VERSION }) {
  const subject = NAMED_BY_FIRST_ENTRY.includes(kind) ? { subject: id } : {};
  // The order of the keys is part of the contract: the text is written once, hashed, and never made again.
  const entry = { id, book, kind, v, body: { ...subject, ...body }, at, by: name, device, replaces };
  return { id, book, text: JSON.stringify(entry) };
}

/**
 * Tells core of entries that are kept already. Nobody waits for it but the next question about the book; if core fails here,
 * the book is opened anew.
 */
function learn(book, entries) {
  answers.delete(book);
  if (!held.has(book)) return;
  hold(
    book,
    held
      .get(book)
      .then(() => core("add", { book, entries }))
      .catch(() => opened(book)),
  );
}

/** Something of a book changed behind core's back: it is given the book anew when next asked. */
export function forget(book) {
  answers.delete(book);
  held.delete(book);
}

/** Works out anew what the books screen shows of a book, and keeps that. */
async function reindex(book, stale) {
  const view = await askAnew("book", { book });
  const shown = (name) => view.site.fields[name]?.value ?? "";
  const record = {
    book,
    name: shown("name"),
    place: shown("place"),
    client: shown("client"),
    links: view.links.map(({ id, name, medium, state }) => ({ id, name, medium, state })),
    positions: view.buildings.map((building) => building.fields.position?.value).filter(Boolean),
  };
  await store.keepBookIndex(record, stale);
}

/** @returns {Promise<number>} how many were worked out; a book that core can't show does not hold up the others */
export async function reindexStale(most = Infinity) {
  const stale = (await store.bookIndex()).filter((record) => record.stale).slice(0, most);
  const done = [];
  for (const { book, stale: mark } of stale)
    done.push(
      await reindex(book, mark).then(
        () => 1,
        () => 0,
      ),
    );
  return done.filter(Boolean).length;
}

/** @returns {Promise<object[]>} {book, name, place, client, links, positions, waiting, stale?} by name */
export async function books() {
  await reindexStale(AT_ONCE);
  const [index, waiting] = await Promise.all([store.bookIndex(), store.unsentByBook()]);
  return index
    .map((record) => ({ name: "", links: [], positions: [], ...record, waiting: waiting.get(record.book) ?? 0 }))
    .sort((one, other) => one.name.localeCompare(other.name) || (one.book < other.book ? -1 : 1));
}
