// Taped ties: distances from fixed corners of buildings to a station.

import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { grouped } from "./frame.js";
import { quantityInput } from "./quantity.js";

const LEAST_ROWS = 2;
const MOST_ROWS = 6;

/** @param {import("./fields.js").Input} input value: [{corner, distance: {value, unit}}] or null; field.words: the corners */
export function tiesInput({ field, value, onChange, error, id }) {
  const corners = field.words ?? [];
  if (corners.length === 0) return grouped({ field, error, id }, none(field));
  const rows = [...(value ?? [])];
  while (rows.length < LEAST_ROWS) rows.push({ corner: "", distance: null });
  const add = () => onChange([...rows, { corner: "", distance: null }]);
  const put = (place, change) => onChange(rows.map((row, at) => (at === place ? { ...row, ...change } : row)));
  return grouped(
    { field, error, id },
    html`${rows.map((row, place) => tieRow({ row, place, corners, put, id }))}
      <div class="row">
        ${rows.length < MOST_ROWS ? addKey(add) : nothing}
        ${field.addHref ? html`<a class="quiet-button" href=${field.addHref}>Add a corner</a>` : nothing}
      </div>`,
  );
}

function addKey(add) {
  return html`<button type="button" class="quiet-button" @click=${add}>One more tie</button>`;
}

function tieRow({ row, place, corners, put, id }) {
  const number = place + 1;
  return html`<div class="tie">
    <div class="field">
      <label for="${id}-corner-${number}">Corner ${number}</label>
      <select id="${id}-corner-${number}" @change=${(event) => put(place, { corner: event.target.value })}>
        <option value="" .selected=${live(!row.corner)}>Not set</option>
        ${corners.map(
          ([subject, name]) => html`<option value=${subject} .selected=${live(subject === row.corner)}>${name}</option>`,
        )}
      </select>
    </div>
    ${quantityInput({
      field: { name: "tie", label: `Distance ${number}`, units: ["m", "ft"] },
      value: row.distance,
      onChange: (distance) => put(place, { distance }),
      id: `${id}-distance-${number}`,
    })}
  </div>`;
}

function none({ addHref }) {
  return html`<p>Ties are taped from fixed corners of buildings; none is recorded yet.</p>
    ${addHref ? html`<a class="second-action" href=${addHref}>Add a corner</a>` : nothing}`;
}

/** Rows that are wholly empty are not part of the entry. */
export function filledTies(ties) {
  return (ties ?? []).filter(({ corner, distance }) => corner || distance);
}
