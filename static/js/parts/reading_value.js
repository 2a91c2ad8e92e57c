/** What was read: a number with its unit, an answer, a wire map of eight pins, counts by zone, or a table. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { endFaceCounts } from "./reading_counts.js";
import { tableInput } from "./table_input.js";
import { turnedSign, unitWord } from "./values.js";

/** @param onChange(changes) with the changed parts of the reading's body. */
export function valueInput(app, view, state, onChange) {
  const draw = { answer: answerButtons, map: wireMap, counts: endFaceCounts, table: tableInput }[state.quantity.form] ?? numberInput;
  return draw(state, onChange, app, view);
}

const fault = (text, id) => (text ? html`<p class="field-error" role="alert" id=${id}>${text}</p>` : nothing);

function numberInput(state, onChange) {
  const { quantity, errors } = state;
  // Asked for anew at each key: the form may be drawn a little later than it changes.
  const typedNow = () => state.body.value ?? { value: "", unit: quantity.units[0] };
  const typed = typedNow();
  const put = (changes) => onChange({ value: { ...typedNow(), ...changes } });
  const signed = Number(quantity.low) < 0;
  const flip = () => put({ value: turnedSign(typedNow().value) });
  return html`<div class="value-block">
    <label class="value-label" for="reading-value">${quantity.title}</label>
    <div class="value-row">
      ${
        signed
          ? html`<button type="button" class="sign-key" aria-label="Change the sign, plus or minus" @click=${flip}>±</button>`
          : nothing
      }
      <input
        id="reading-value"
        class="value-input"
        type="text"
        inputmode="decimal"
        autocomplete="off"
        enterkeyhint="done"
        .value=${live(typed.value)}
        aria-invalid=${errors.value ? "true" : "false"}
        aria-describedby=${errors.value ? "reading-value-error" : nothing}
        @input=${(event) => put({ value: event.target.value })}
      />
      ${units(quantity.units, typed.unit, (unit) => put({ unit }))}
    </div>
    ${fault(errors.value, "reading-value-error")}
  </div>`;
}

function units(all, chosen, onPick) {
  if (all.length === 1) return html`<span class="value-unit">${unitWord(all[0])}</span>`;
  return html`<div class="unit-keys" role="group" aria-label="Unit">
    ${all.map(
      (unit) =>
        html`<button type="button" class="key" aria-pressed=${unit === chosen ? "true" : "false"} @click=${() => onPick(unit)}>
          ${unitWord(unit)}
        </button>`,
    )}
  </div>`;
}

function answerButtons(state, onChange) {
  return html`<fieldset class="keys">
    <legend>${state.quantity.title}</legend>
    <div class="key-column">
      ${state.quantity.answers.map(
        ([value, label]) =>
          html`<button
            type="button"
            class="key key-wide"
            aria-pressed=${state.body.answer === value ? "true" : "false"}
            @click=${() => onChange({ answer: value })}
          >
            ${label}
          </button>`,
      )}
    </div>
    ${fault(state.errors.answer, "answer-error")}
  </fieldset>`;
}

const STRAIGHT = "12345678";
const PINS = [...STRAIGHT];

function wireMap(state, onChange) {
  const map = state.body.map ?? "";
  const pick = (place, pin) =>
    onChange({ map: PINS.map((_, index) => (index === place ? pin : (state.body.map?.[index] ?? "?"))).join("") });
  return html`<fieldset class="keys" id="key-map" tabindex="-1">
    <legend>Wire map: the far pin found on each near pin</legend>
    <button
      type="button"
      class="key key-wide"
      aria-pressed=${map === STRAIGHT ? "true" : "false"}
      @click=${() => onChange({ map: STRAIGHT })}
    >
      All eight straight through
    </button>
    <ol class="pins">
      ${PINS.map((near, place) => pinPicker(near, (map[place] ?? "?").replace("?", ""), (pin) => pick(place, pin)))}
    </ol>
    <label class="field"
      ><span>The same as eight signs, - for open, ? for not yet</span
      ><input
        type="text"
        inputmode="text"
        maxlength="8"
        autocomplete="off"
        .value=${live(map)}
        @input=${(event) => onChange({ map: event.target.value.trim() })}
    /></label>
    ${fault(state.errors.map, "map-error")} ${splitButtons(state, onChange)}
  </fieldset>`;
}

function pinPicker(near, found, onPick) {
  return html`<li>
    <label
      ><span>Near pin ${near}</span>
      <select
        .value=${live(found)}
        class=${found && found !== near ? "pin-crossed" : ""}
        @change=${(event) => onPick(event.target.value)}
      >
        <option value="" ?selected=${found === ""} disabled>?</option>
        ${PINS.map((pin) => html`<option value=${pin} ?selected=${pin === found}>${pin}</option>`)}
        <option value="-" ?selected=${found === "-"}>open</option>
      </select></label
    >
  </li>`;
}

const SPLIT = [
  ["no", "No"],
  ["yes", "Yes"],
  ["not_tested", "Not tested"],
];

function splitButtons(state, onChange) {
  return html`<div class="marks" role="group" aria-labelledby="split-label">
    <span class="marks-label" id="split-label">Split pair found</span>
    <div class="key-row">
      ${SPLIT.map(
        ([value, label]) =>
          html`<button
            type="button"
            class="key"
            aria-pressed=${state.body.split === value ? "true" : "false"}
            @click=${() => onChange({ split: value })}
          >
            ${label}
          </button>`,
      )}
    </div>
  </div>`;
}
