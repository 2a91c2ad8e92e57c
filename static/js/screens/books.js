// The start: sites by name or nearest first, what waits to be sent, and how this phone keeps it.

import { html, nothing } from "lit-html";
import { waitingPhoto, waitingPhotoNotice } from "../parts/photos.js";
import { phonePanel } from "../parts/phone-panel.js";
import { plural, stateMark } from "../parts/status.js";
import { read } from "../position.js";
import { keeping } from "../storage.js";

/** Search and order outlive a visit to another screen. */
const wish = { text: "", nearest: false, here: null };

export async function load(_params, app) {
  const [books, kept, waiting] = await Promise.all([app.books(), keeping(), waitingPhoto(app)]);
  return { books, keeping: kept, waiting };
}

export function view(model, app) {
  const { books } = model;
  const shown = ordered(books.filter((book) => matches(book, wish.text)));
  return html`<section class="page">
    <h1>Sites</h1>
    ${app.update.isReady() ? updateReady(app) : nothing} ${waitingPhotoNotice(model.waiting, app)}
    ${books.length > 0 ? finder(app) : nothing}
    <ul class="rows">
      ${shown.map((book) => bookRow(book))}
    </ul>
    ${empty(books, shown)}
    <p>
      <a class="quiet-button" href="#/limits">Limits, and how sure each is</a>
      <a class="quiet-button" href="#/verify">Prove what was signed</a>
    </p>
    ${phonePanel(model, app)}
    <div class="actions">
      <a class="second-action" href="#/bench">Bench</a><a class="main-action" href="#/book/new">Add site</a>
    </div>
  </section>`;
}

function updateReady(app) {
  return html`<aside class="notice">
    <p>A new version is ready. Nothing is being written now, so it can be taken.</p>
    <button class="second-action" @click=${app.update.take}>Take the new version</button>
  </aside>`;
}

function finder(app) {
  const type = (event) => {
    wish.text = event.target.value;
    app.redraw();
  };
  return html`<div class="finder">
    <label class="field"
      ><span>Find by site, client, place or link</span><input type="search" .value=${wish.text} @input=${type}
    /></label>
    <button class="second-action" aria-pressed=${wish.nearest ? "true" : "false"} @click=${() => turnNearest(app)}>
      Nearest first
    </button>
  </div>`;
}

function matches({ name, place, client, links }, text) {
  const all = [name, place, client, ...links.map((link) => link.name)].join(" ").toLowerCase();
  return text
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
}

async function turnNearest(app) {
  wish.nearest = !wish.nearest;
  app.redraw();
  if (!wish.nearest || wish.here) return;
  const enough = new AbortController();
  try {
    const found = await read(({ fixes }) => fixes > 0 && enough.abort(), enough.signal);
    wish.here = { lat: Number(found.lat), lon: Number(found.lon) };
  } catch (error) {
    wish.nearest = false;
    app.say(error.message, "bad");
  }
  app.redraw();
}

function ordered(books) {
  if (!wish.nearest || !wish.here) return books;
  return books
    .map((book) => ({ book, far: farness(book) }))
    .sort((one, other) => one.far - other.far)
    .map(({ book }) => book);
}

/** Only for putting sites in order, hence squared degrees with the meridians drawn together; without position a site is last. */
function farness({ positions }) {
  const squeeze = Math.cos((wish.here.lat * Math.PI) / 180);
  const far = positions.map(
    ({ lat, lon }) => (decimal(lat) - wish.here.lat) ** 2 + ((decimal(lon) - wish.here.lon) * squeeze) ** 2,
  );
  return Math.min(Number.MAX_VALUE, ...far.filter(Number.isFinite));
}

function decimal(text) {
  return Number(String(text).replace(",", "."));
}

function bookRow({ book, name, place, client, links, waiting }) {
  return html`<li>
    <a href="#/book/${book}">
      <strong>${name || "Site without a name"}</strong>
      <span class="quiet">${[client, place].filter(Boolean).join(" · ")}</span>
      ${links.map((link) => html`<span class="link-line">${link.name || "Link"} ${stateMark(link.state)}</span>`)}
      ${waiting > 0 ? html`<span class="waiting">${plural(waiting, "entry", "entries")} on this phone only</span>` : nothing}
    </a>
  </li>`;
}

function empty(books, shown) {
  if (books.length === 0)
    return html`<p class="quiet">No site on this phone yet. Add one, or sign in to fetch those of your firm.</p>`;
  return shown.length === 0 ? html`<p class="quiet">No site, client, place or link by that name.</p>` : nothing;
}
