// Any field of core's descriptions as an input. Values go in and out in the entry's form: text, {value, unit}, a position, ties.

import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { described, grouped, labelled, radios } from "./frame.js";
import { positionInput } from "./position.js";
import { quantityInput } from "./quantity.js";
import { tiesInput } from "./ties.js";

const MOST_BUTTONS = 4;

/**
 * @typedef {{name: string, label: string, type: string, hint?: string, required?: boolean, hidden?: boolean, units?: string[],
 *            words?: [string, string][], words_from?: string, keys?: boolean, media?: string[], types?: string[], of?: string, low?: string,
 *            negative?: boolean, addHref?: string}} Field
 * @typedef {{field: Field, value: any, onChange: (value: any) => void, error?: string, id: string}} Input null means emptied
 */

const INPUTS = {
  text: (input) => textInput(input, {}),
  lines: linesInput,
  word: wordInput,
  reference: wordInput,
  quantity: quantityInput,
  count: (input) => textInput(input, { mode: "numeric" }),
  decimal: (input) => textInput(input, { mode: "decimal" }),
  date: (input) => textInput(input, { type: "date" }),
  position: positionInput,
  ties: tiesInput,
};

/** @param {Input} input */
export function fieldInput(input) {
  return (INPUTS[input.field.type] ?? INPUTS.text)(input);
}

/**
 * Fills in what a description leaves to the book: words that come from the limits, buildings and corners to choose from.
 * @param {Field} field
 * @param {{words: object, medium?: string, buildings?: [string, string][], corners?: [string, string][],
 *         units?: string[]}} known units: of a field whose units depend on what it is about
 * @returns {Field}
 */
export function resolveField(field, { words, medium, buildings = [], corners = [], units }) {
  if (field.units_from) return { ...field, units: units ?? [] };
  if (field.words_from) return { ...field, words: pairsOf(words[field.words_from], medium) };
  if (field.type === "reference") return { ...field, words: field.of === "corner" ? corners : buildings };
  if (field.type === "ties") return { ...field, words: corners };
  return field;
}

function pairsOf(found, medium) {
  if (Array.isArray(found)) return found;
  return found?.[medium] ?? [];
}

/** Nothing was put in: such a value is left out of an entry. */
export function isEmpty(value) {
  if (value === null || value === undefined) return true;
  if (typeof value === "string") return value.trim() === "";
  if (Array.isArray(value)) return value.every((tie) => !tie.corner && isEmpty(tie.distance));
  if ("lat" in value) return isEmpty(value.lat) && isEmpty(value.lon);
  return "value" in value && isEmpty(value.value);
}

function textInput({ field, value, onChange, error, id }, { type = "text", mode }) {
  return labelled(
    { field, error, id },
    html`<input
      id=${id}
      type=${type}
      inputmode=${mode ?? nothing}
      autocomplete="off"
      aria-describedby=${described(id)}
      aria-invalid=${error ? "true" : "false"}
      aria-required=${field.required ? "true" : "false"}
      .value=${live(value ?? "")}
      @input=${(event) => onChange(event.target.value === "" ? null : event.target.value)}
    />`,
  );
}

function linesInput({ field, value, onChange, error, id }) {
  return labelled(
    { field, error, id },
    html`<textarea
      id=${id}
      rows="3"
      aria-describedby=${described(id)}
      aria-invalid=${error ? "true" : "false"}
      .value=${live(value ?? "")}
      @input=${(event) => onChange(event.target.value === "" ? null : event.target.value)}
    ></textarea>`,
  );
}

function wordInput(input) {
  const words = input.field.words ?? [];
  if (words.length === 0) return noWords(input);
  return words.length > MOST_BUTTONS && !input.field.keys ? selectInput(input, words) : buttonsInput(input, words);
}

function selectInput({ field, value, onChange, error, id }, words) {
  return labelled(
    { field, error, id },
    html`<select
      id=${id}
      aria-describedby=${described(id)}
      aria-invalid=${error ? "true" : "false"}
      @change=${(event) => onChange(event.target.value || null)}
    >
      <option value="" .selected=${live(isEmpty(value))}>Not set</option>
      ${words.map(([word, label]) => html`<option value=${word} .selected=${live(word === value)}>${label}</option>`)}
      ${unlisted(words, value) ? html`<option value=${value} .selected=${live(true)}>${value}</option>` : nothing}
    </select>`,
  );
}

function buttonsInput({ field, value, onChange, error, id }, words) {
  const shown = unlisted(words, value) ? [...words, [value, value]] : words;
  const clear =
    isEmpty(value) || field.required
      ? nothing
      : html`<button type="button" class="quiet-button" aria-label="Clear ${field.label}" @click=${() => onChange(null)}>
          Clear
        </button>`;
  return grouped({ field, error, id }, html`<div class="choices">${radios({ id, words: shown, value, onChange })}${clear}</div>`);
}

/** A word that a newer version wrote stays on show, and stays chosen. */
function unlisted(words, value) {
  return !isEmpty(value) && !words.some(([word]) => word === value);
}

function noWords({ field, error, id }) {
  const remedy = field.addHref ? html`<a class="button" href=${field.addHref}>Add one</a>` : "Nothing to choose from yet.";
  return grouped({ field, error, id }, html`<p>${remedy}</p>`);
}
