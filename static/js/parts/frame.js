// What every field looks like around its control: label, hint, error.

import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";

/** The frame of a field with one control: label, hint, control, error. */
export function labelled({ field, error, id }, control) {
  return html`<div class=${error ? "field field-wrong" : "field"}>
    <label for=${id}>${field.label}</label>${need(field)} ${control} ${below({ field, error, id })}
  </div>`;
}

/** The frame of a field with several controls. */
export function grouped({ field, error, id }, controls) {
  return html`<fieldset id=${id} class=${error ? "field field-wrong" : "field"} aria-describedby=${described(id)} tabindex="-1">
    <legend>${field.label}</legend>
    ${need(field)} ${controls} ${below({ field, error, id })}
  </fieldset>`;
}

function need({ required }) {
  return required ? html`<span class="field-need">needed</span>` : nothing;
}

export function described(id) {
  return `${id}-hint ${id}-error`;
}

function below({ field, error, id }) {
  return html`${field.hint ? html`<p class="field-hint" id="${id}-hint">${field.hint}</p>` : nothing}
  ${error ? html`<p class="field-error" id="${id}-error">${error}</p>` : nothing}`;
}

/** Radio buttons drawn as a row of keys. */
export function radios({ id, words, value, onChange }) {
  return words.map(
    ([word, label]) =>
      html`<label class="choice">
        <input type="radio" name="${id}-choice" value=${word} .checked=${live(word === value)} @change=${() => onChange(word)} />
        <span>${label}</span>
      </label>`,
  );
}
