/** End face: what is counted in each zone around the core, with - and + keys that a glove can hit. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { held } from "./values.js";

const ZONE_WORDS = { A: "Zone A, core", B: "Zone B, cladding", C: "Zone C, adhesive", D: "Zone D, contact" };

/** The rows that are counted on this kind of end face: core names table, zone, name and meaning of each. */
function rowsFor(app, view, side) {
  const multimode = (held(view, "fibre") ?? "").startsWith("OM");
  const polish = held(view.ends?.[side], "polish");
  const table = multimode ? "MM_PC" : polish === "APC" ? "SM_APC" : "SM_PC";
  return (app.describe.end_face ?? []).filter((row) => row.table === table);
}

export function endFaceCounts(state, onChange, app, view) {
  const rows = rowsFor(app, view, state.body.side ?? "near");
  const counts = state.body.counts ?? {};
  const set = (zone, name, text) => onChange({ counts: { ...counts, [zone]: { ...counts[zone], [name]: text } } });
  const clean = () => onChange({ counts: allZero(rows) });
  const zones = [...new Set(rows.map((row) => row.zone))];
  return html`<div class="counts">
    <button type="button" class="key key-wide" @click=${clean}>Nothing seen in any zone: all zero</button>
    ${zones.map(
      (zone) => html`<fieldset class="keys">
        <legend>${ZONE_WORDS[zone] ?? zone}</legend>
        ${rows.filter((row) => row.zone === zone).map((row) => counter(row, counts[zone]?.[row.name] ?? "", (text) => set(zone, row.name, text)))}
      </fieldset>`,
    )}
    ${state.errors.counts ? html`<p class="field-error" role="alert">${state.errors.counts}</p>` : nothing}
  </div>`;
}

function allZero(rows) {
  const counts = {};
  for (const { zone, name } of rows) counts[zone] = { ...counts[zone], [name]: "0" };
  return counts;
}

function counter(row, text, onChange) {
  const step = (by) => onChange(String(Math.max(0, (Number.parseInt(text, 10) || 0) + by)));
  return html`<div class="counter">
    <span>${row.meaning}</span>
    <button type="button" class="key" aria-label=${`One less, ${row.meaning}, zone ${row.zone}`} @click=${() => step(-1)}>−</button>
    <input
      type="text"
      inputmode="numeric"
      autocomplete="off"
      aria-label=${`${row.meaning}, zone ${row.zone}`}
      .value=${live(text)}
      @input=${(event) => onChange(event.target.value)}
    />
    <button type="button" class="key" aria-label=${`One more, ${row.meaning}, zone ${row.zone}`} @click=${() => step(1)}>+</button>
  </div>`;
}
