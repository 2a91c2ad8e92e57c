// The address after # to a screen, and everything that a screen may ask for.

import { html, render } from "lit-html";
import * as book from "./book.js";
import { uuid7 } from "./ids.js";
import { notice, say } from "./parts/notice.js";
import { statusBar } from "./parts/status.js";
import * as photo from "./photos.js";
import * as position from "./position.js";
import { match } from "./routes.js";
import * as store from "./store.js";
import { makeSync } from "./sync.js";
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

/** What is on the screen: its route, parameters, model, and the element it was drawn into. */
let shown = null;
let latestWish = 0;
let device = "";
/** @type {{status: HTMLElement, main: HTMLElement, notice: HTMLElement}} */
let places;

const sync = makeSync({ status, device: () => device, onStatus: drawStatus, onNew: arrived, onRound: refreshBooks, onSession: rememberName });

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
  go,
  replace,
  back,
  refresh,
  redraw,
  say,
  newId: uuid7,
  setName: rememberName,
  sync,
  update: { isReady, take: takeUpdate },
};

/** Fills in what must be known before the first screen, and starts. Throws when storage or core do not work. */
export async function start() {
  places = makePlaces();
  device = await ownDevice();
  status.name = (await store.setting.get("name")) ?? "";
  await sync.count();
  app.describe = await describe();
  window.addEventListener("hashchange", () => show());
  OTHER_TABS?.addEventListener("message", ({ data }) => otherTabWrote(data));
  await show();
  watchForUpdates(offerUpdate).catch(() => say("This app could not be kept for use without signal. Reload it while there is signal.", "bad"));
  sync.start();
  store.layBallast().catch(() => {});
}

async function describe() {
  const found = await book.ask("describe");
  return { ...found, kinds: found.kinds ?? found.things };
}

async function ownDevice() {
  const known = await store.setting.get("device");
  if (known) return known;
  const made = uuid7();
  await store.setting.set("device", made);
  return made;
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
  await sync.count().catch(() => {});
  sync.nudge();
  return ids;
}

/** The books as the index shows them; those that changed and are not worked out yet follow by themselves. */
async function books() {
  const found = await book.books();
  if (found.some(({ stale }) => stale)) book.reindexStale().then((done) => done > 0 && refreshBooks());
  return found;
}

function go(path) {
  if (location.hash === `#${path}`) return show();
  location.hash = path;
  return undefined;
}

/** Goes on without leaving the present address behind: "back" must not lead into a form that was saved. */
function replace(path) {
  if (location.hash === `#${path}`) return show();
  location.replace(`#${path}`);
  return undefined;
}

function back() {
  if (history.length > 1) history.back();
  else go("/");
}

/** Loads and draws the screen of the address. An older wish that ends later is dropped. */
async function show() {
  const wish = (latestWish += 1);
  const found = match(location.hash.slice(1));
  if (!found) return go("/");
  if (found.route.needsName && !status.name) return replace(`/sign-in?then=${encodeURIComponent(found.path)}`);
  const next = { ...found, stage: document.createElement("div"), model: null, view: found.route.screen.view };
  next.stage.className = "screen";
  await fill(next);
  if (wish !== latestWish) return undefined;
  shown = next;
  draw();
  // A fresh element for each address, so that nothing typed in one form shows up in the next.
  places.main.replaceChildren(next.stage);
  scrollTo(0, 0);
  announce(next.stage);
  return undefined;
}

async function fill(screen) {
  try {
    screen.model = await screen.route.screen.load(screen.params, app);
    screen.view = screen.route.screen.view;
  } catch (error) {
    screen.model = error;
    screen.view = failed;
  }
}

/** Loads and draws the current screen again. */
async function refresh() {
  const current = shown;
  if (!current) return;
  await fill(current);
  if (current === shown) draw();
}

/** Draws the current model again, without loading. */
function redraw() {
  if (shown) draw();
}

function draw() {
  drawStatus();
  try {
    render(shown.view(shown.model, app), shown.stage);
  } catch (error) {
    if (shown.view === failed) throw error;
    Object.assign(shown, { model: error, view: failed });
    shown.stage = document.createElement("div");
    render(failed(error), shown.stage);
    places.main.replaceChildren(shown.stage);
  }
}

function drawStatus() {
  if (places) render(statusBar(app), places.status);
}

/** Moves the reading point to the new screen, as a page change would. */
function announce(stage) {
  const heading = stage.querySelector("h1");
  document.title = heading ? `${heading.textContent.trim()} · Spanbook` : "Spanbook";
  if (!heading || stage.contains(document.activeElement)) return;
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
}

function failed(error) {
  return html`<section class="page">
    <h1>This screen could not be shown</h1>
    <p>${error.message || "No reason was given."}</p>
    <p>What was saved is still on this phone.</p>
    <div class="actions">
      <button class="second-action" @click=${() => go("/")}>To the sites</button>
      <button class="main-action" @click=${() => location.reload()}>Reload</button>
    </div>
  </section>`;
}

/** Entries came from the server: core, the index and the screen learn of them; a form keeps what is being typed. */
async function arrived(changed) {
  for (const id of changed) book.forget(id);
  OTHER_TABS?.postMessage(changed);
  if (shown && !shown.route.form) await refresh();
}

async function otherTabWrote(changed) {
  for (const id of changed) book.forget(id);
  await sync.count();
  if (shown && !shown.route.form) await refresh();
}

async function rememberName(name) {
  if (name === status.name) return;
  status.name = name;
  await store.setting.set("name", name);
  drawStatus();
}

function offerUpdate() {
  refreshBooks();
}

function refreshBooks() {
  return shown?.route.pattern === "/" ? refresh() : undefined;
}

function makePlaces() {
  const make = (tag) => document.createElement(tag);
  const found = { status: make("header"), main: make("main"), notice: make("div") };
  notice(found.notice);
  document.getElementById("app").replaceChildren(...Object.values(found));
  return found;
}
