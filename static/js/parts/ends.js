/** The two ends of a link on the strip map: building, socket, equipment, transceiver; protectors, bonds and loads with their state. */
import { html, nothing } from "lit-html";
import { memoryLegend, memoryMark } from "./memory.js";
import { conflictNote } from "./conflict.js";
import { unbroken } from "./figure.js";
import { noteList } from "./note.js";
import { photoStrip } from "./photos.js";
import { stationShape } from "./station.js";
import { held, joined, nameOf, query, valueText, wordText } from "./values.js";
import { verdictMark } from "./verdict.js";

const SIDE_WORDS = { near: "Near end", far: "Far end" };
export const sideWord = (side) => SIDE_WORDS[side];

export function endCard(side, { app, book, link, view, buildings, checks, jobs }) {
  const end = view.ends[side] ?? { subject: `${link}:${side}`, fields: {}, heads: [] };
  const building = buildings.find((each) => each.subject === held(view, `${side}_building`));
  const edit = (kind, subject) => `#/book/${book}/edit/${kind}/${subject}${query({ link, side })}`;
  const mine = (things) => (things ?? []).filter((thing) => held(thing, "side") === side);
  return html`<li class="strip-row strip-end strip-end-${side}">
    <div class="strip-line">${stationShape("end")}</div>
    <article class="strip-body" aria-label=${SIDE_WORDS[side]}>
      <a class="strip-open" href=${edit("end", end.subject)}>
        <span class="strip-side">${SIDE_WORDS[side]}</span>
        <span class="strip-title">${nameOf(building, "Building not named")}</span>
        <span class="strip-facts">${facts(app, end, view.medium)}</span>
      </a>
      ${conflictNote(end, () => jobs.settle(end))}
      ${things("Surge protectors", mine(view.protectors), "protector", protectorFacts, { edit, checks, jobs, view, app })}
      ${things("Bonds", mine(view.bonds), "bond", bondFacts(app), { edit, checks, jobs, view, app })}
      ${things("Loads fed from here", loadsAt(side, view), "load", loadFacts, { edit, checks, jobs, view, app })}
      ${photoStrip(app, about(view.photos, end))} ${noteList(about(view.notes, end))}
      <div class="strip-jobs">
        <a class="quiet-button" href=${edit("bond", "new")} aria-label=${`Add a bond, ${SIDE_WORDS[side].toLowerCase()}`}
          >+ Bond</a
        >
        <a
          class="quiet-button"
          href=${edit("protector", "new")}
          aria-label=${`Add a surge protector, ${SIDE_WORDS[side].toLowerCase()}`}
          >+ Protector</a
        >
        ${addLoad(side, view, edit)}
        <button
          type="button"
          class="quiet-button"
          aria-label=${`Photo, ${SIDE_WORDS[side].toLowerCase()}`}
          @click=${() => jobs.photo(end)}
        >
          Photo
        </button>
        <button
          type="button"
          class="quiet-button"
          aria-label=${`Note, ${SIDE_WORDS[side].toLowerCase()}`}
          @click=${() => jobs.note(end)}
        >
          Note
        </button>
      </div>
    </article>
  </li>`;
}

/** Power is fed from the near end: what draws it stands at the far one. */
const loadsAt = (side, view) => (side === "far" ? (view.loads ?? []) : []);

const addLoad = (side, view, edit) =>
  side === "far" && view.medium !== "fibre"
    ? html`<a class="quiet-button" href=${edit("load", "new")} aria-label="Add a load, far end">+ Load</a>`
    : nothing;

const loadFacts = (thing) =>
  joined([
    held(thing, "power") && valueText(held(thing, "power")),
    held(thing, "voltage_min") && `from ${valueText(held(thing, "voltage_min"))}`,
    held(thing, "port"),
  ]);

/** What of a list (photos, notes) is about one thing. */
const about = (list, thing) => (list ?? []).filter((each) => each.of === thing.subject);

function facts(app, end, medium) {
  const lines = [
    joined([held(end, "panel") && `panel ${held(end, "panel")}`, held(end, "port") && `port ${held(end, "port")}`], ", "),
    joined([held(end, "equipment"), held(end, "equipment_port") && `port ${held(end, "equipment_port")}`], ", "),
    joined([held(end, "connector") && wordText(app, "end", "connector", held(end, "connector")), held(end, "polish")], " "),
    held(end, "transceiver"),
    powers(end, medium),
    held(end, "power_source") && `powered by ${held(end, "power_source")}`,
    held(end, "note"),
  ].filter(Boolean);
  return lines.length
    ? lines.map((line) => html`<span>${unbroken(line)}</span>`)
    : html`<span class="strip-missing">Nothing recorded here yet: tap to fill in</span>`;
}

function powers(end, medium) {
  if (medium !== "fibre" || !held(end, "transmit_min")) return "";
  const range = (low, high) => joined([valueText(held(end, low)), valueText(held(end, high))], " to ");
  return joined(
    [
      `sends ${range("transmit_min", "transmit_max")}`,
      held(end, "receive_min") && `takes ${range("receive_min", "receive_max")}`,
    ],
    ", ",
  );
}

function things(title, list, kind, describe, { edit, checks, jobs, view, app }) {
  if (!list.length) return nothing;
  return html`<h2 class="strip-things">${title}</h2>
    <ul class="end-things">
      ${list.map(
        (thing) =>
          html`<li>
            <a href=${edit(kind, thing.subject)}
              ><strong>${nameOf(thing, title)}</strong><span>${unbroken(describe(thing))}</span></a
            >
            ${worstOf(thing.subject, checks)} ${conflictNote(thing, () => jobs.settle(thing))}
            ${photoStrip(app, about(view.photos, thing))} ${noteList(about(view.notes, thing))}
          </li>`,
      )}
    </ul>`;
}

const protectorFacts = (thing) =>
  joined([
    held(thing, "category"),
    held(thing, "lead_length") && `lead ${valueText(held(thing, "lead_length"))}`,
    held(thing, "earthed_to") && `to ${held(thing, "earthed_to")}`,
  ]);

const bondFacts = (app) => (thing) =>
  joined([
    joined([held(thing, "from_point"), held(thing, "to_point")], " to "),
    held(thing, "size") && wordText(app, "bond", "size", held(thing, "size")),
    held(thing, "length") && valueText(held(thing, "length")),
  ]);

const GRAVEST = ["fail", "fail_within_uncertainty", "not_measured", "pass_within_uncertainty", "pass"];

/** The gravest verdict among the checks that name this thing in their id or in the form that settles them. */
function worstOf(subject, checks) {
  const mine = checks.filter((check) => check.id.includes(subject) || check.form?.of === subject);
  const gravest = GRAVEST.find((verdict) => mine.some((check) => check.verdict === verdict));
  if (!gravest) return nothing;
  const those = mine.filter(({ verdict }) => verdict === gravest);
  return html`${verdictMark(gravest)}${memoryMark(those)}${memoryLegend(those)}`;
}
