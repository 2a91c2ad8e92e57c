// One site: its plan, its links with their state, buildings and corners.

import { html, nothing } from "lit-html";
import { stateMark } from "../parts/status.js";
import { enlargeable } from "../parts/enlarge.js";
import { settlingHints } from "../parts/settling.js";
import { findBook, nameOf } from "../things.js";

export async function load({ book }, app) {
  const view = await findBook(book, app);
  const [plan, unsettled] = await Promise.all([planOf(book, view.buildings, app), unsettledLinks(book, view.links, app)]);
  return { book, view, plan, unsettled };
}

/** The views of links that have a field with two values: they know its thing by name. */
function unsettledLinks(book, links, app) {
  return Promise.all(links.filter(({ conflicts }) => conflicts > 0).map(({ id }) => app.core("link", { book, link: id })));
}

/** Without two positions there is no plan; the rest of the screen does not hang on it. */
async function planOf(book, buildings, app) {
  if (buildings.filter(({ fields }) => fields.position).length < 2) return "";
  try {
    return (await app.core("picture", { book, which: "site" })).svg;
  } catch {
    return "";
  }
}

const MOST_CORNERS_UNFOLDED = 3;

export function view({ book, view: shown, plan, unsettled }, app) {
  const base = `#/book/${book}`;
  const text = (name) => shown.site.fields[name]?.value;
  return html`<section class="page">
    <h1>${nameOf(shown.site) || "Site without a name"}</h1>
    <p class="quiet">${[text("client"), text("place"), text("job")].filter(Boolean).join(" · ")}</p>
    <p><a class="quiet-button" href="${base}/edit/site/${book}">Change site</a></p>
    ${settlingHints(shown, unsettled, app)} ${unknownHint(shown.unknown)}
    <h2>Links</h2>
    ${linkList(shown, book, app)} ${planView(plan)}
    ${things(shown, "Buildings", thingList(shown.buildings, "building", base, buildingNote))}
    <p><a class="button" href="${base}/edit/building/new">Add building</a></p>
    ${things(
      shown,
      "Corners for ties",
      thingList(shown.corners, "corner", base, (corner) => cornerNote(corner, shown.buildings)),
    )}
    <p><a class="button" href="${base}/edit/corner/new">Add corner</a></p>
    <div class="actions">
      <a class="second-action" href="#/">Sites</a>
      <a class="main-action" href="${base}/edit/link/new">Add link</a>
    </div>
  </section>`;
}

/** With many corners the lists are folded: links are what people come for. */
function things({ corners, buildings }, title, list) {
  if (corners.length <= MOST_CORNERS_UNFOLDED) return html`<h2>${title}</h2>
      ${list}`;
  const count = title === "Buildings" ? buildings.length : corners.length;
  return html`<details class="fold">
    <summary><h2>${title}: ${count}</h2></summary>
    ${list}
  </details>`;
}

function planView(plan) {
  if (!plan) return html`<p class="quiet">Give both buildings a position, and a plan is drawn here.</p>`;
  const address = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(plan)}`;
  return enlargeable(
    html`<img class="plan" src=${address} alt="Plan of the site with its buildings and links" />`,
    "Plan of the site",
  );
}

function linkList({ links, buildings }, book, app) {
  if (links.length === 0) return html`<p class="quiet">No link yet.</p>`;
  const named = (subject) => nameOf(buildings.find((building) => building.subject === subject) ?? { fields: {} });
  return html`<ul class="rows">
    ${links.map(
      (link) =>
        html`<li>
          <a href="#/book/${book}/link/${link.id}">
            <strong>${link.name || "Link without a name"}</strong>
            <span class="quiet"
              >${mediumWord(link.medium, app)} ·
              ${[named(link.near_building), named(link.far_building)].filter(Boolean).join(" to ")}</span
            >
            ${stateMark(link.state)}
          </a>
        </li>`,
    )}
  </ul>`;
}

function mediumWord(medium, app) {
  return app.describe.words.media.find(([word]) => word === medium)?.[1] ?? "Kind not set";
}

function thingList(things, kind, base, note) {
  if (things.length === 0) return html`<p class="quiet">None yet.</p>`;
  return html`<ul class="rows">
    ${things.map(
      (thing) =>
        html`<li>
          <a href="${base}/edit/${kind}/${thing.subject}"
            ><strong>${nameOf(thing) || "without a name"}</strong><span class="quiet">${note(thing)}</span></a
          >
        </li>`,
    )}
  </ul>`;
}

function buildingNote({ fields }) {
  const place = fields.position ? `${fields.position.value?.lat}, ${fields.position.value?.lon}` : "no position";
  return [fields.use?.value, fields.earthing?.value, place].filter(Boolean).join(" · ");
}

function cornerNote({ fields }, buildings) {
  const building = buildings.find(({ subject }) => subject === fields.building?.value);
  return [building && nameOf(building), fields.position ? "with position" : "no position"].filter(Boolean).join(" · ");
}

function unknownHint(unknown) {
  if (!unknown?.length) return nothing;
  return html`<aside class="notice">
    <p>${unknown.length} entries were made by a newer version. They are kept; update the app to see them.</p>
  </aside>`;
}
