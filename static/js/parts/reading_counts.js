/** End face: what is counted in each zone around the core, with - and + keys that a glove can hit. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { held, query } from "./values.js";

const POLISH_TABLES = { PC: "SM_PC", UPC: "SM_PC", APC: "SM_APC" };

/** Which of core's tables says what is counted; undefined while fibre, or a single-mode end's polish, is not recorded. */
function tableOf(view, side) {
  const fibre = held(view, "fibre");
  if (!fibre) return undefined;
  return fibre.startsWith("OM") ? "MM_PC" : POLISH_TABLES[held(view.ends[side], "polish")];
}

export function endFaceCounts(state, onChange, app, view) {
  const { side } = state.body;
  if (!side) return html`<p class="trial-hint">Choose the end first: what is counted depends on its connector.</p>`;
  const zones = app.describe.end_faces[tableOf(view, side)];
  if (!zones) return missingFirst(state, view, side);
  const counts = state.body.counts ?? {};
  const set = (zone, name, text) => {
    const now = state.body.counts ?? {};
    onChange({ counts: { ...now, [zone]: { ...now[zone], [name]: text } } });
  };
  return html`<div class="counts">
    <button type="button" class="key key-wide" @click=${() => onChange({ counts: allZero(zones) })}>
      Nothing seen in any zone: all zero
    </button>
    ${zones.map((zone) => zoneCounts(zone, counts[zone.zone] ?? {}, (name, text) => set(zone.zone, name, text)))}
    ${state.errors.counts ? html`<p class="field-error" role="alert">${state.errors.counts}</p>` : nothing}
  </div>`;
}

function missingFirst({ book, link }, view, side) {
  const noFibre = !held(view, "fibre");
  const address = noFibre ? `#/book/${book}/edit/link/${link}` : `#/book/${book}/edit/end/${link}:${side}${query({ link })}`;
  return html`<p class="trial-hint">
    What is counted depends on ${noFibre ? "the fibre" : "the connector's polish at this end"}, and that is not recorded yet.
    <a href=${address}>Record it first</a>
  </p>`;
}

function allZero(zones) {
  const counts = {};
  for (const { zone, fields } of zones) counts[zone] = Object.fromEntries(fields.map(({ name }) => [name, "0"]));
  return counts;
}

function zoneCounts(zone, counts, set) {
  if (!zone.fields.length) return nothing;
  return html`<fieldset class="keys">
    <legend>Zone ${zone.zone}, ${zone.name} <small>${zone.diameter}</small></legend>
    ${zone.fields.map((field) => counter(zone.zone, field, counts[field.name] ?? "", (text) => set(field.name, text)))}
  </fieldset>`;
}

function counter(zone, { label }, text, onChange) {
  const step = (by) => onChange(String(Math.max(0, (Number.parseInt(text, 10) || 0) + by)));
  return html`<div class="counter">
    <span>${label}</span>
    <button type="button" class="key" aria-label=${`One less, ${label}, zone ${zone}`} @click=${() => step(-1)}>−</button>
    <input
      type="text"
      inputmode="numeric"
      autocomplete="off"
      aria-label=${`${label}, zone ${zone}`}
      .value=${live(text)}
      @input=${(event) => onChange(event.target.value)}
    />
    <button type="button" class="key" aria-label=${`One more, ${label}, zone ${zone}`} @click=${() => step(1)}>+</button>
  </div>`;
}
