// A number with its unit, kept as typed. Text input with a decimal keypad, since number inputs drop a decimal comma.

import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { described, labelled, radios } from "./frame.js";
import { turnedSign, unitWord } from "./values.js";

const MOST_BUTTONS = 4;
const SIGNED_UNITS = ["dBm", "degC", "degF"];

/** The unit that was chosen last for each field: who works in feet should say so once. */
const lastUnit = new Map();

/** @param {import("./fields.js").Input} input value: {value, unit} or null */
export function quantityInput({ field, value, onChange, error, id }) {
  const units = field.units;
  const remembered = lastUnit.get(unitKey(field));
  const unit = value?.unit ?? (units.includes(remembered) ? remembered : units[0]);
  const give = (text, chosen) => onChange(text.trim() === "" ? null : { value: text, unit: chosen });
  const choose = (chosen) => {
    lastUnit.set(unitKey(field), chosen);
    give(value?.value ?? "", chosen);
  };
  return labelled(
    { field, error, id },
    html`<div class="quantity">
      ${isSigned(field) ? signKey({ field, value, give, unit }) : nothing}
      <input
        id=${id}
        type="text"
        inputmode=${field.mode ?? "decimal"}
        autocomplete="off"
        class="quantity-number"
        aria-describedby=${described(id)}
        aria-invalid=${error ? "true" : "false"}
        .value=${live(value?.value ?? "")}
        @input=${(event) => give(event.target.value, unit)}
      />
      ${unitPart({ field, units, unit, id, choose })}
    </div>`,
  );
}

function unitKey(field) {
  return `${field.name}:${field.units.join()}`;
}

function unitPart({ field, units, unit, id, choose }) {
  if (units.length === 1) return html`<span class="unit">${unitWord(unit)}</span>`;
  if (units.length <= MOST_BUTTONS) {
    const words = units.map((each) => [each, unitWord(each)]);
    return html`<div class="choices unit-choices" role="radiogroup" aria-label="Unit of ${field.label}">
      ${radios({ id: `${id}-unit`, words, value: unit, onChange: choose })}
    </div>`;
  }
  return html`<select class="unit-select" aria-label="Unit of ${field.label}" @change=${(event) => choose(event.target.value)}>
    ${units.map((each) => html`<option value=${each} .selected=${live(each === unit)}>${unitWord(each)}</option>`)}
  </select>`;
}

function signKey({ field, value, give, unit }) {
  const turn = () => give(turnedSign(value?.value ?? ""), unit);
  return html`<button type="button" class="sign-key" aria-label="Plus or minus, ${field.label}" @click=${turn}>±</button>`;
}

function isSigned({ units, low, negative }) {
  return negative ?? (Number(low) < 0 || units.some((unit) => SIGNED_UNITS.includes(unit)));
}
