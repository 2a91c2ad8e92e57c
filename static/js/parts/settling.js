// Two values that did not see each other: both are shown, and the person says which one stands.

import { html, nothing } from "lit-html";
import { unbroken } from "./figure.js";
import { limitAbout } from "./own_limits.js";
import { nameOf, query, timeText, unitWord } from "./values.js";

// A form that is still being loaded is waited for, about two seconds.
const FRAMES_UNTIL_DRAWN = 120;

/**
 * @param {{field: object, stored?: {value: any, at: string, by: string, also?: object[]}, touched: boolean,
 *          onChange: (value: any) => void}} given
 */
export function settling({ field, stored, touched, onChange }) {
  if (!stored?.also?.length || touched) return nothing;
  return html`<aside class="notice" id=${`settling-${field.name}`} aria-label="${field.label}: two values">
    <p>${field.label} was set in two ways, each without seeing the other. Which one stands?</p>
    ${[stored, ...stored.also].map(
      ({ value, by, at }) =>
        html`<button type="button" class="second-action" @click=${() => onChange(value)}>
          <span>Use ${unbroken(words(field, value))}${by ? html` <small>(${by}, ${timeText(at)})</small>` : nothing}</span>
        </button>`,
    )}
  </aside>`;
}

function words(field, value) {
  if (value === null || value === undefined) return "nothing";
  if (typeof value === "string") return field.words?.find(([word]) => word === value)?.[1] ?? `"${value}"`;
  if (Array.isArray(value)) return `${value.length} ties`;
  if ("lat" in value) return `${value.lat}, ${value.lon}`;
  return `${value.value} ${unitWord(value.unit)}`;
}

/** The form where a disagreement is settled, or something that lacks is written down. @param then where to go on after it */
export function settlingHref(book, link, { kind, subject, field, side }, then = "") {
  return `#/book/${book}/edit/${kind}/${subject}${query({ link, side, at: field, then })}`;
}

/** Moves to a field as soon as its form is on the screen: to the choice between its two values where there is one. */
export function showSettling(field, frames = FRAMES_UNTIL_DRAWN) {
  requestAnimationFrame(() => {
    const choice = document.getElementById(`settling-${field}`);
    const control = document.querySelector(`#field-${field}, [id^="field-${field}-"]`);
    const place = choice ?? control?.closest(".field") ?? control;
    if (place) place.scrollIntoView({ block: "center" });
    else if (frames > 0) showSettling(field, frames - 1);
  });
}

/** The disagreement that a check of the rule `unsettled` is about, or undefined. */
export function conflictOf(check, view) {
  if (check.rule !== "unsettled") return undefined;
  return view.conflicts.find(({ subject, field }) => check.id === `unsettled:subject=${subject}:field=${field}`);
}

/**
 * On a site: each field with two values, by the name of its thing and link, as a way to the form where one is chosen.
 * @param {object} site as core shows it @param {object[]} links views of the links that have such a field
 */
export function settlingHints(site, links, app) {
  const ofLinks = links.flatMap((view) => view.conflicts.map((conflict) => ({ ...conflict, view })));
  const ofSite = site.conflicts.filter((one) => !ofLinks.some((each) => isSame(each, one)));
  if (ofSite.length + ofLinks.length === 0) return nothing;
  return html`<aside class="notice" aria-label="Two values stand">
    <p>Set in two ways, each without seeing the other. Choose which value stands:</p>
    ${[...ofSite, ...ofLinks].map((conflict) => hint(site, conflict, app))}
  </aside>`;
}

const isSame = (one, other) => one.subject === other.subject && one.field === other.field;

function hint(site, conflict, app) {
  const { kind, field, view } = conflict;
  const label = app.describe.kinds[kind]?.find(({ name }) => name === field)?.label ?? field;
  const place = [thingName(site, conflict, app), view && kind !== "link" && nameOf(view, "Link")].filter(Boolean).join(", ");
  return html`<a class="button" href=${settlingHref(site.book, view?.id, conflict)}>${label} of ${place}</a>`;
}

function thingName(site, { kind, subject, view }, app) {
  if (kind === "limit") return `the limit of ${limitAbout(subject, app)?.label.toLowerCase() ?? "this link"}`;
  if (kind === "identifier") return "a label";
  if (kind === "site") return nameOf(site.site, "the site");
  if (kind === "link") return nameOf(view, "the link");
  if (kind === "end") return subject.endsWith(":near") ? "the near end" : "the far end";
  const things = view
    ? [...view.stations, ...view.bonds, ...view.protectors, ...view.loads]
    : [...site.buildings, ...site.corners];
  return nameOf(things.find((thing) => thing.subject === subject) ?? {}, `a ${kind}`);
}
