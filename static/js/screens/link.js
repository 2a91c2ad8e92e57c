/** A link as a strip map: its route from the near end at the top to the far end at the bottom, as it lies in the ground. */
import { html, nothing } from "lit-html";
import { conflictNote, conflictSheet } from "../parts/conflict.js";
import { endCard, sideWord } from "../parts/ends.js";
import { sentence } from "../parts/attempt.js";
import { rememberOpenLink } from "../parts/bench_note.js";
import { noteList, noteSheet, openNote } from "../parts/note.js";
import { begunStations } from "../form.js";
import { dropWaitingPhoto, openPhoto, photoSheet, photoStrip, waitingPhoto } from "../parts/photos.js";
import { readingList, voidSheet } from "../parts/readings.js";
import { spanRow, stationHref } from "../parts/span.js";
import { stationRow, stationTitle } from "../parts/station.js";
import { held, joined, nameOf, query, wordText } from "../parts/values.js";

export async function load({ book, link }, app) {
  await app.openBook(book);
  const [site, view, judged, waiting, begun] = await Promise.all([
    app.core("site", { book }),
    app.core("link", { book, link }),
    app.core("checks", { book, link }),
    waitingPhoto(app),
    begunStations(book, link, app),
  ]);
  rememberOpenLink(app, { book, link, name: nameOf(view, "this link") });
  const here = waiting?.link === link ? waiting : null;
  return {
    book,
    link,
    view,
    buildings: site.buildings,
    checks: judged.checks,
    summary: judged.summary,
    waiting: here,
    begun,
    allReadings: false,
    sheet: null,
  };
}

export function view(model, app) {
  const { book, link, view: shown } = model;
  const jobs = jobsOf(model, app);
  const context = { app, book, link, view: shown, buildings: model.buildings, checks: model.checks, jobs };
  return html`${header(model, app, jobs)}
    <ol class="strip strip-${shown.medium}" aria-label="Route, near end to far end">
      ${endCard("near", context)} ${route(context)} ${endCard("far", context)}
    </ol>
    ${elsewhere(model, app)}
    <section class="panel" aria-labelledby="readings-title">
      <h2 id="readings-title">Readings</h2>
      ${newestReadings(model, app)}
    </section>
    ${bottomBar(model, jobs)} ${openSheet(model, app)}`;
}

const deviationWord = ({ deviations }) => (deviations === 1 ? "deviation" : "deviations");

function kindText(app, shown) {
  const category = held(shown, "category");
  const parts = [wordText(app, "link", "medium", shown.medium), held(shown, "fibre")];
  return joined([...parts, category && wordText(app, "link", "category", category)]);
}

function header(model, app, jobs) {
  const { book, link, view: shown, summary } = model;
  const base = `#/book/${book}/link/${link}`;
  return html`<header class="link-head">
    <h1>
      <a href=${`#/book/${book}/edit/link/${link}`} aria-label=${`${nameOf(shown, "Link")}, change the link`}
        >${nameOf(shown, "Link")}</a
      >
    </h1>
    <p class="link-kind">${kindText(app, shown)}</p>
    <p class=${`link-state state-${summary.state.replaceAll(" ", "-")}`}>${summary.state}</p>
    <ul class="tally">
      <li class="tally-pass"><strong>${summary.pass}</strong> pass</li>
      <li class="tally-fail"><strong>${summary.fail}</strong> fail</li>
      <li class="tally-open"><strong>${summary.not_measured}</strong> not measured</li>
      ${summary.deviations ? html`<li><strong>${summary.deviations}</strong> ${deviationWord(summary)}</li>` : nothing}
    </ul>
    <nav class="link-nav" aria-label="This link">
      <a class="button" href=${`${base}/checks`}>Checks</a><a class="button" href=${`${base}/sign`}>Sign</a
      ><a class="button" href=${`${base}/record`}>Record</a>
    </nav>
    ${waitingNotice(model, app)} ${begunNotices(model, app)} ${conflictNote(shown, () => jobs.settle(shown))}
    ${notesOfLink(shown)}
    <div class="strip-jobs">
      <button type="button" class="quiet-button" @click=${() => jobs.note(null)}>Note on the link</button>
      <a class="quiet-button" href=${`${base}/labels`}>Labels</a>
      <a class="quiet-button" href=${`${base}/bench`}>Bench</a>
    </div>
  </header>`;
}

const ofLink = (shown, things) => (things ?? []).filter((thing) => !thing.of || thing.of === shown.id);
const notesOfLink = (shown) => noteList(ofLink(shown, shown.notes));
const newestFirst = (readings) => [...(readings ?? [])].reverse();

function waitingNotice(model, app) {
  const { waiting } = model;
  if (!waiting) return nothing;
  const clear = async () => {
    await dropWaitingPhoto(app).catch((error) => app.say(sentence(error), "bad"));
    await app.refresh();
  };
  const resume = () => open(model, app, openPhoto({ ...waiting, places: places(model.view, app) }));
  return html`<aside class="notice" role="status">
    <p>
      A photo of ${waiting.about ?? "this link"} was being taken when this page was left. If it is missing, choose it from the
      gallery.
    </p>
    <div class="strip-jobs">
      <button type="button" class="quiet-button" @click=${resume}>Choose it now</button>
      <button type="button" class="quiet-button" @click=${clear}>It is not missing</button>
    </div>
  </aside>`;
}

const SHOWN_READINGS = 5;

function newestReadings(model, app) {
  const all = newestFirst(model.view.readings);
  const shown = model.allReadings ? all : all.slice(0, SHOWN_READINGS);
  const toVoid = (reading) => open(model, app, { kind: "void", reading, reason: "", error: "" });
  const showAll = () => {
    model.allReadings = true;
    app.redraw();
  };
  return html`${readingList(shown, model.view, app, toVoid)}
  ${
    shown.length < all.length
      ? html`<button type="button" class="button" @click=${showAll}>All ${all.length} readings</button>`
      : nothing
  }`;
}

/** Stations that were begun and not saved: each keeps its place on the route. */
function begunNotices(model, app) {
  const { book, link, begun } = model;
  const drop = async (key) => {
    await app.draft.clear(key).catch((error) => app.say(sentence(error), "bad"));
    await app.refresh();
  };
  return begun.map(
    ({ key, order, name }) =>
      html`<aside class="notice">
        <p>Not saved yet: a new station${name ? `, ${name}` : ""}</p>
        <div class="strip-jobs">
          <a class="quiet-button" href=${`#/book/${book}/edit/station/new${query({ link, order })}`}>Go on with it</a>
          <button type="button" class="quiet-button" @click=${() => drop(key)}>Drop it</button>
        </div>
      </aside>`,
  );
}

/** Spans and stations in turn; a span also offers to put a station into it. */
function route(context) {
  const { view: shown } = context;
  const rows = [spanRow(context, null, shown.stations[0] ?? null)];
  shown.stations.forEach((station, index) => {
    rows.push(stationRow(station, context), spanRow(context, station, shown.stations[index + 1] ?? null));
  });
  return rows;
}

/** Photos of the link itself; those of a station or an end are in its row. */
function elsewhere({ view: shown }, app) {
  const loose = ofLink(shown, shown.photos);
  if (!loose.length) return nothing;
  return html`<section class="panel" aria-label="Photos of the link">
    <h2>Photos of the link</h2>
    ${photoStrip(app, loose)}
  </section>`;
}

function bottomBar({ book, link, view: shown }, jobs) {
  const last = shown.stations.at(-1);
  return html`<nav class="thumb-bar" aria-label="Record">
    <a class="main-action" href=${stationHref(book, link, last, null)}>Station</a>
    <a class="main-action" href=${`#/book/${book}/link/${link}/reading`}>Reading</a>
    <button type="button" class="main-action" @click=${() => jobs.photo(null)}>Photo</button>
  </nav>`;
}

// ---- small jobs in a sheet

function open(model, app, state) {
  model.sheet = state;
  app.redraw();
}

function jobsOf(model, app) {
  const { book, link, view: shown } = model;
  return {
    photo: (thing) =>
      open(
        model,
        app,
        openPhoto({ book, link, places: places(shown, app), of: thing?.subject ?? link, path: `/book/${book}/link/${link}` }),
      ),
    note: async (thing) =>
      open(model, app, await openNote(app, { book, link, of: thing?.subject ?? link, about: titleOf(thing ?? shown, app) })),
    settle: (thing) => open(model, app, { kind: "settle", thing, title: titleOf(thing, app), identity: identityOf(thing, link) }),
  };
}

/** What a photo can be of: the link, its ends, its stations, bonds, protectors and loads. */
function places(shown, app) {
  const things = [...shown.stations, ...(shown.bonds ?? []), ...(shown.protectors ?? []), ...(shown.loads ?? [])];
  return [
    [shown.id, "The link as a whole"],
    ...["near", "far"].map((side) => [`${shown.id}:${side}`, sideWord(side)]),
    ...things.map((thing) => [thing.subject, titleOf(thing, app)]),
  ];
}

function titleOf(thing, app) {
  if (thing.kind === "end") return sideWord(thing.subject.split(":")[1]);
  return thing.kind === "station" ? stationTitle(app, thing) : nameOf(thing, `the ${thing.kind}`);
}

/** What an entry about a thing has to name: its subject, and the link and side that it belongs to. */
function identityOf(thing, link) {
  const { kind, subject } = thing;
  if (kind === "link") return { subject };
  return kind === "end" ? { subject, link, side: subject.split(":")[1] } : { subject, link };
}

function openSheet(model, app) {
  const { sheet: state, book, link } = model;
  if (!state) return nothing;
  const redraw = () => app.redraw();
  // The sheet goes with the refresh: a second tap on its key must not fall on what lies under it.
  const done = () => app.refresh();
  const onClose = () => (state.saved?.length ? done() : open(model, app, null));
  const around = { book, link, redraw, onClose, done };
  const draw = { photo: photoSheet, note: noteSheet, void: voidSheet, settle: conflictSheet }[state.kind];
  return draw(state, app, around);
}
