// A position: read from the phone over some seconds, typed by hand, or left out.

import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { read } from "../position.js";
import { grouped } from "./frame.js";

const PARTS = [
  ["lat", "Latitude", "degrees, south is negative"],
  ["lon", "Longitude", "degrees, west is negative"],
  ["accuracy", "Accuracy", "metres"],
];

/** @param {import("./fields.js").Input} input value: {lat, lon, accuracy, source, fixes} or null */
export function positionInput({ field, value, onChange, error, id }) {
  return grouped(
    { field, error, id },
    html`<div class="position">
      <div class="position-progress" role="status"></div>
      <div class="row">
        <button type="button" class="second-action" @click=${(event) => begin(event, onChange)}>Read position</button>
        ${value ? clearKey(field, onChange) : nothing}
      </div>
      ${value?.source === "gnss" ? html`<p class="field-hint">${origin(value)}</p>` : nothing}
      <details class="by-hand" ?open=${Boolean(value || error)}>
        <summary>Type it by hand</summary>
        <div class="position-parts">${PARTS.map((part) => partInput(part, { value, onChange, id }))}</div>
      </details>
    </div>`,
  );
}

function clearKey(field, onChange) {
  const clear = () => onChange(null);
  return html`<button type="button" class="quiet-button" aria-label="Clear ${field.label}" @click=${clear}>Clear</button>`;
}

function origin({ fixes, accuracy }) {
  return `${fixes === "1" ? "One fix" : `Mean of ${fixes} fixes`}, good to about ${accuracy} m.`;
}

function partInput([name, label, unit], { value, onChange, id }) {
  return html`<div class="field">
    <label for="${id}-${name}">${label} <small>${unit}</small></label>
    <input
      id="${id}-${name}"
      type="text"
      inputmode="text"
      autocomplete="off"
      .value=${live(value?.[name] ?? "")}
      @input=${(event) => onChange(typed(value, name, event.target.value))}
    />
  </div>`;
}

/** What a hand has changed is no longer the satellites' word. */
function typed(value, name, text) {
  const { lat = "", lon = "", accuracy = "" } = value ?? {};
  const next = { lat, lon, accuracy, source: "typed", [name]: text };
  return next.lat || next.lon || next.accuracy ? next : null;
}

async function begin(event, onChange) {
  const button = event.currentTarget;
  const place = button.closest(".position").querySelector(".position-progress");
  const stop = new AbortController();
  const show = (progress) => render(progressText(progress, stop), place);
  button.disabled = true;
  show({ fixes: 0, accuracy: null, rough: null });
  try {
    const found = await read(show, stop.signal);
    render(nothing, place);
    // The person may have left the form meanwhile.
    if (place.isConnected) onChange(found);
  } catch (error) {
    render(html`<p class="field-error">${error.message}</p>`, place);
  }
  button.disabled = false;
}

function progressText({ fixes, accuracy, rough }, stop) {
  const text =
    fixes > 0
      ? `${fixes === 1 ? "1 fix" : `${fixes} fixes`}, good to about ${accuracy} m`
      : rough
        ? `Only known to about ${rough} m so far`
        : "Looking for satellites";
  return html`<p>${text}. Hold the phone still under open sky.</p>
    <button type="button" class="second-action" @click=${() => stop.abort()}>${fixes > 0 ? "Use this" : "Stop"}</button>`;
}
