// Everything that a screen may ask for, and the start of it all.

import { render } from "lit-html";
import * as book from "./book.js";
import { uuid7 } from "./ids.js";
import { register } from "./key.js";
import { notice, say } from "./parts/notice.js";
import { statusBar } from "./parts/status.js";
import * as photo from "./photos.js";
import * as position from "./position.js";
import * as stage from "./stage.js";
import * as store from "./store.js";
import { makeSync } from "./sync.js";
import { takeScannedAddress } from "./scanned.js";
import { isReady, takeUpdate, watchForUpdates } from "./update.js";

const OTHER_TABS = "BroadcastChannel" in window ? new BroadcastChannel("spanbook") : null;

/** @type {import("./sync.js").Status} */
const status = {
  online: navigator.onLine,
  signedIn: null,
  name: "",
  busy: false,
  problem: "",
  waiting: { entries: 0, photos: 0 },
  lastSync: null,
  refused: [],
};
let device = "";
/** @type {HTMLElement} */
let statusPlace;

const sync = makeSync({
  status,
  device: () => device,
  onStatus: drawStatus,
  onNew: arrived,
  onRound: refreshBooks,
  onSession: rememberName,
  onSignedIn: (name) => register(device, name),
});

export const app = {
  status,
  describe: null,
  core: book.ask,
  openBook: book.openBook,
  books,
  draft: store.draft,
  photo,
  position,
  write,
  writeAll,
  go: stage.go,
  replace: stage.replace,
  back: stage.back,
  refresh: stage.refresh,
  redraw: stage.redraw,
  say,
  newId: uuid7,
  device: () => device,
  setName: rememberName,
  sync,
  update: { isReady, take: takeUpdate },
};

/** Fills in what must be known before the first screen, and starts. Throws when storage or core do not work. */
export async function start() {
  // Core takes the longest to load, so it is called first.
  const describing = describe();
  describing.catch(() => {});
  device = await ownDevice();
  status.name = (await store.setting.get("name")) ?? "";
  status.lastSync = (await store.setting.get("lastSync")) ?? null;
  app.describe = await describing;
  const main = makePlaces();
  takeScannedAddress();
  await sync.count();
  OTHER_TABS?.addEventListener("message", ({ data }) => otherTabWrote(data));
  await stage.mount(app, main);
  watchForUpdates(refreshBooks).catch(cannotKeepApp);
  sync.start();
  store.layBallast().catch(() => {});
}

function makePlaces() {
  const [header, main, notices] = ["header", "main", "div"].map((tag) => document.createElement(tag));
  statusPlace = header;
  notice(notices);
  document.getElementById("app").replaceChildren(header, main, notices);
  return main;
}

async function ownDevice() {
  const known = await store.setting.get("device");
  if (known) return known;
  const made = uuid7();
  await store.setting.set("device", made);
  return made;
}

async function describe() {
  const found = await book.ask("describe");
  return { ...found, kinds: found.things };
}

function cannotKeepApp() {
  say("This app could not be kept for use without signal. Reload it while there is signal.", "bad");
}

/**
 * Checks and keeps one entry. When this resolves it is on the device; when it rejects, nothing was kept.
 * @param {string} bookId
 * @param {string} kind
 * @param {object} body
 * @param {string[]} replaces
 * @param {{photo?: {sha256: string, type: string, bytes: ArrayBuffer}}} options
 * @returns {Promise<string>} the entry's id
 */
async function write(bookId, kind, body, replaces = [], { photo: kept = null } = {}) {
  const [id] = await writeAll(bookId, [{ kind, body, replaces }], kept);
  return id;
}

/** The same for several entries of one book: all are kept, or none. */
async function writeAll(bookId, drafts, kept = null) {
  const ids = await book.keep({ name: status.name, device }, bookId, drafts, kept);
  OTHER_TABS?.postMessage([bookId]);
  sync.added(ids.length, kept ? 1 : 0);
  // The entries are safe: nobody waits for the exact count, and one that fails is made up for by the next.
  sync.count().catch(() => {});
  sync.nudge();
  return ids;
}

/** The books as the index shows them; those that changed and are not worked out yet follow by themselves. */
async function books() {
  const found = await book.books();
  if (found.some(({ stale }) => stale)) book.reindexStale().then((done) => done > 0 && refreshBooks());
  return found;
}

/** Entries came from the server: core and the screen learn of them; a form keeps what is being typed. */
async function arrived(changed) {
  for (const id of changed) book.forget(id);
  OTHER_TABS?.postMessage(changed);
  if (!stage.isForm()) await stage.refresh();
}

async function otherTabWrote(changed) {
  for (const id of changed) book.forget(id);
  await sync.count();
  if (!stage.isForm()) await stage.refresh();
}

function refreshBooks() {
  return stage.isAt("/") ? stage.refresh() : undefined;
}

async function rememberName(name) {
  if (name === status.name) return;
  status.name = name;
  await store.setting.set("name", name);
  drawStatus();
}

function drawStatus() {
  if (statusPlace) render(statusBar(app), statusPlace);
}
