/** Stations on the strip map: own shapes on the cable line, and the row that says what is known of the place. */
import { html, nothing, svg } from "lit-html";
import { noteList } from "./note.js";
import { photoStrip } from "./photos.js";
import { unbroken } from "./figure.js";
import { conflictNote } from "./conflict.js";
import { held, joined, nameOf, query, valueText, wordText } from "./values.js";

// Each shape is drawn around the cable, which runs down the middle of a 48 by 48 field.
const SHAPES = {
  building_entry: svg`<path class="fill" d="M4 16h40v14H4z"/>
    <path d="M4 16h40v14H4zM14 16l-7 14M24 16l-7 14M41 16l-7 14M20 12h8v22h-8z"/>`,
  handhole: svg`<path class="fill" d="M8 10h32v28H8z"/><path d="M8 10h32v28H8zM13 10v28M35 10v28M13 24h22"/>`,
  bend: svg`<path class="fill" d="M24 6a18 18 0 0 1 0 36z"/><path d="M24 6a18 18 0 0 1 0 36M24 24h10"/>`,
  slack_loop: svg`<circle class="fill" cx="24" cy="24" r="16"/><circle cx="24" cy="24" r="16"/><circle cx="24" cy="24" r="9"/>`,
  closure: svg`<rect class="fill" x="14" y="6" width="20" height="36" rx="10"/>
    <rect x="14" y="6" width="20" height="36" rx="10"/><path d="M14 16h20M14 32h20"/>`,
  marker: svg`<path class="fill" d="M24 6h20l-6 8 6 8H24z"/><path d="M24 6h20l-6 8 6 8H24M24 6v36"/>`,
  bond: svg`<circle class="fill" cx="24" cy="14" r="8"/><circle cx="24" cy="14" r="8"/>
    <path d="M24 22v10M10 32h28M15 37h18M20 42h8"/>`,
  other: svg`<path class="fill" d="M24 6l18 18-18 18L6 24z"/><path d="M24 6l18 18-18 18L6 24z"/>`,
  end: svg`<path class="fill" d="M6 22L24 6l18 16v20H6z"/><path d="M6 22L24 6l18 16v20H6zM18 42V30h12v12"/>`,
};

/** The shape of a kind of station (or of a link's end), a picture beside words that say the same. */
export function stationShape(type) {
  return html`<svg class="station-shape" viewBox="0 0 48 48" aria-hidden="true">${SHAPES[type] ?? SHAPES.other}</svg>`;
}

export const stationTitle = (app, station) => nameOf(station, wordText(app, "station", "type", typeOf(station)) || "Station");
export const typeOf = (station) => held(station, "type") ?? station.type ?? "other";

/** @param station one of the link view; @param jobs what a row can start: photo(station), note(station), settle(station). */
export function stationRow(station, { app, book, link, jobs }) {
  const title = stationTitle(app, station);
  const kind = wordText(app, "station", "type", typeOf(station));
  return html`<li class="strip-row">
    <div class="strip-line">${stationShape(typeOf(station))}</div>
    <article class="strip-body" aria-label=${title}>
      <a class="strip-open" href=${`#/book/${book}/edit/station/${station.subject}${query({ link })}`}>
        <span class="strip-title">${title}</span>${kind === title ? nothing : html`<span class="strip-kind">${kind}</span>`}
        <span class="strip-facts">${facts(app, station).map((text) => html`<span>${unbroken(text)}</span>`)}</span>
      </a>
      ${conflictNote(station, () => jobs.settle(station))} ${photoStrip(app, station.photos)} ${noteList(station.notes)}
      <div class="strip-jobs">
        <button type="button" class="quiet-button" aria-label=${`Photo of ${title}`} @click=${() => jobs.photo(station)}>
          Photo
        </button>
        <button type="button" class="quiet-button" aria-label=${`Note on ${title}`} @click=${() => jobs.note(station)}>
          Note
        </button>
      </div>
    </article>
    <div class="strip-chainage">${chainage(station)}</div>
  </li>`;
}

function chainage(station) {
  const text = valueText(station.chainage);
  return html`<strong>${unbroken(text) || "–"}</strong
    ><small>${text ? chainageSource(station.chainage) : "no distance yet"}</small>`;
}

const CHAINAGE_FROM = { marks: "by sheath marks", typed: "taped" };
const chainageSource = ({ from }) => CHAINAGE_FROM[from] ?? from ?? "";

function facts(app, station) {
  const ties = held(station, "ties")?.length;
  return [
    station.mark && `mark ${valueText(station.mark)}`,
    held(station, "depth") && joined([`depth ${valueText(held(station, "depth"))}`, held(station, "depth_method")], ", "),
    held(station, "duct") && `duct ${held(station, "duct")}`,
    held(station, "bend_radius") && `radius ${valueText(held(station, "bend_radius"))}`,
    ties ? `${ties} taped ${ties === 1 ? "tie" : "ties"}` : "",
    held(station, "position") ? "position kept" : "",
    held(station, "note"),
  ].filter(Boolean);
}
