/** What goes with a reading: frequency, uncertainty, reference, conditions; the instrument; the visit; a note. */
import { html, nothing } from "lit-html";
import { fieldInput } from "./fields.js";
import { held, joined } from "./values.js";

const LABELS = {
  frequency: "At frequency",
  uncertainty: "Uncertainty (±, k = 2)",
  reference_value: "Reference value",
  temperature: "Cable temperature",
  shown_margin: "Margin the instrument shows",
  duration: "How long",
  current_stake: "Current stake (C), from the electrode",
  electrode_size: "Largest dimension of the electrode",
  stray_voltage: "Stray voltage",
  electrodes: "Electrodes joined, this one too",
  launch_cord: "Launch cord",
  tail_cord: "Tail cord",
  pulse_width: "Pulse",
  set_index: "Group index set on it",
  module: "Module: type and serial number",
  accuracy_level: "Accuracy level of the instrument",
  conditions: "Conditions: soil, weather, method",
};
const TEXTS = ["conditions", "module", "accuracy_level"];

const extrasOf = (quantity) => [...(quantity.per.includes("frequency") ? ["frequency"] : []), ...(quantity.extra ?? [])];

function fieldOf(app, quantity, name) {
  if (TEXTS.includes(name)) return { name, label: LABELS[name], type: "text" };
  const units = name === "uncertainty" ? unitsOf(quantity) : app.describe.extra_units[name];
  const label = quantity.extra_labels?.[name] ?? LABELS[name] ?? name;
  const words = quantity.extra_words?.[name];
  if (words) return { name, label, type: "word", words };
  const hint = name === "uncertainty" ? quantity.uncertainty_hint : undefined;
  return { name, label, type: "quantity", units, hint, negative: name === "shown_margin" ? true : undefined };
}

/** A launch is controlled on multimode only. */
const applies = (name, view) => name !== "launch" || (held(view, "fibre") ?? "").startsWith("OM");

/** An uncertainty is stated in the unit of the value, of a table in that of the column it belongs to; that of an optical power in dB. */
const unitsOf = ({ units, columns, uncertain }) => columns?.find(({ name }) => name === uncertain)?.units ?? (units[0] === "dBm" ? ["dB"] : units);

/** The quantity's own extras. @param onChange(changes). */
export function extraInputs(app, state, onChange) {
  const names = extrasOf(state.quantity).filter((name) => applies(name, state.view));
  return names.map((name) => {
    if (name === "reference_at") return referenceTime(state, onChange);
    const field = fieldOf(app, state.quantity, name);
    return fieldInput({
      field,
      value: state.body[name],
      onChange: (value) => onChange({ [name]: value }),
      error: state.errors[name],
      id: `extra-${name}`,
    });
  });
}

/** The reference was set at a time of today or of the days before; the zone is the phone's own. */
function referenceTime(state, onChange) {
  const local = (state.body.reference_at ?? "").slice(0, 16);
  const set = (text) => onChange({ reference_at: text ? withZone(text) : "" });
  return html`<div class="field">
    <label for="extra-reference_at">Reference set at</label>
    <div class="value-row">
      <input id="extra-reference_at" type="datetime-local" .value=${local} @change=${(event) => set(event.target.value)} />
      <button type="button" class="key" @click=${() => set(localMinute(new Date()))}>Now</button>
    </div>
    ${state.errors.reference_at ? html`<p class="field-error" role="alert">${state.errors.reference_at}</p>` : nothing}
  </div>`;
}

const two = (number) => String(number).padStart(2, "0");
const localMinute = (time) =>
  `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}T${two(time.getHours())}:${two(time.getMinutes())}`;

/** "2026-03-14T10:22" as the phone means it -> the same with its offset from UTC on that day. */
function withZone(text) {
  const minutes = -new Date(text).getTimezoneOffset();
  const size = Math.abs(minutes);
  return `${text}:00${minutes < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

const INSTRUMENT_FIELDS = [
  { name: "name", label: "Instrument", type: "text" },
  { name: "serial", label: "Serial number", type: "text" },
  { name: "calibrated", label: "Calibrated on", type: "date" },
  { name: "due", label: "Calibration due", type: "date" },
];

export const instrumentText = (instrument) => joined([instrument?.name, instrument?.serial && `no. ${instrument.serial}`], ", ");

/** Instruments of earlier readings on this link, each once. */
function known(view) {
  const byText = new Map(
    view.readings
      .filter((reading) => reading.body.instrument?.name)
      .map(({ body }) => [instrumentText(body.instrument), body.instrument]),
  );
  return [...byText];
}

export function instrumentInputs(view, state, onChange) {
  const instrument = state.body.instrument ?? {};
  const others = known(view).filter(([text]) => text !== instrumentText(instrument));
  return html`<details class="instrument" ?open=${!state.instrumentKnown}>
    <summary>Instrument: <strong>${instrumentText(instrument) || "not named yet"}</strong></summary>
    ${
      others.length
        ? html`<div class="key-column" role="group" aria-label="Instruments used on this link">
            ${others.map(
              ([text, one]) =>
                html`<button type="button" class="key key-wide" @click=${() => onChange({ instrument: { ...one } })}>
                  ${text}
                </button>`,
            )}
          </div>`
        : nothing
    }
    ${INSTRUMENT_FIELDS.map((field) =>
      fieldInput({
        field,
        value: instrument[field.name],
        onChange: (value) => onChange({ instrument: { ...(state.body.instrument ?? {}), [field.name]: value } }),
        error: state.errors[field.name],
        id: `instrument-${field.name}`,
      }),
    )}
  </details>`;
}

const VISITS = [
  ["install", "Install"],
  ["service", "Service"],
];
const NOTE = { name: "note", label: "Note on this reading", type: "lines" };

export function visitAndNote(state, onChange) {
  const { visit, note } = state.body;
  const noted = (text) => onChange({ note: text });
  return html`<div class="marks" role="group" aria-labelledby="visit-label">
      <span class="marks-label" id="visit-label">Visit</span>
      <div class="key-row">
        ${VISITS.map(
          ([value, label]) =>
            html`<button
              type="button"
              class="key"
              aria-pressed=${visit === value ? "true" : "false"}
              @click=${() => onChange({ visit: value })}
            >
              ${label}
            </button>`,
        )}
      </div>
    </div>
    ${fieldInput({ field: NOTE, value: note, onChange: noted, error: state.errors.note, id: "reading-note" })}`;
}
