/** What tells one reading from another (strand, wavelength, direction, side, pair, method, bond) as big buttons. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { held, joined, labelOf, nameOf, query, wordText } from "./values.js";

const LABELS = {
  parameter: "Measured",
  strand: "Strand",
  wavelength: "Wavelength",
  direction: "Direction",
  side: "Taken at",
  pair: "Pair",
  pair2: "Second pair",
  method: "Method",
  of: "Bond",
};
const WORDS = {
  parameter: "parameters",
  wavelength: "wavelengths",
  direction: "directions",
  side: "sides",
  pair: "pairs",
  pair2: "pairs",
  method: "methods",
};
const MOST_STRANDS = 24; // as keys; of a larger cable the strand is typed
const MULTIMODE_NM = ["850", "1300"];

/** The marks of a quantity that are chosen from a few; a frequency is typed like a value. */
export const keysOf = (quantity) => quantity.per.filter((name) => name !== "frequency");

const PAIR_MARKS = ["pair", "pair2", "side"];

/** Those of them that apply to a reading: of a sweep it depends on what was measured, or on what traces from a file lack. */
function marksFor({ quantity, body, brought }) {
  const own = quantity.marks?.[body.parameter] ?? [];
  const found = brought?.traces ?? [];
  const lacking = (name) => found.some(({ lacks }) => lacks.includes(name)) || Boolean(found.length && body[name]);
  return keysOf(quantity).filter((name) => !quantity.marks || !PAIR_MARKS.includes(name) || own.includes(name) || lacking(name));
}

/** A choice, and what it takes away: marks that what is measured now doesn't have. */
export function picked({ quantity, body }, name, value) {
  const choice = { [name]: value };
  if (name !== "parameter" || !quantity.marks) return choice;
  const own = quantity.marks[value] ?? [];
  return { ...Object.fromEntries(PAIR_MARKS.filter((mark) => body[mark] && !own.includes(mark)).map((mark) => [mark, ""])), ...choice };
}

/** [value, label] pairs to choose from for one mark on this link. */
export function choicesFor(app, view, name) {
  if (name === "strand") return strands(view);
  if (name === "of") return view.bonds.map((bond) => [bond.subject, bondLabel(app, bond)]);
  const words = app.describe.words[WORDS[name]];
  if (name !== "wavelength") return words;
  const multimode = (held(view, "fibre") ?? "").startsWith("OM");
  return words.filter(([value]) => MULTIMODE_NM.includes(value) === multimode);
}

function strands(view) {
  return Array.from({ length: countOf(view) }, (_, index) => [String(index + 1), String(index + 1)]);
}

const countOf = (view) => Number.parseInt(held(view, "strands") ?? "2", 10) || 2;

const bondLabel = (app, bond) => joined([nameOf(bond, "Bond"), wordText(app, "bond", "side", held(bond, "side"))], ", ");

/** "strand 1, 1310 nm, near to far": how a reading's marks are said. */
export function keysText(app, view, quantity, body) {
  const said = keysOf(quantity)
    .filter((name) => name !== "method" && body[name])
    .map((name) => {
      const label = labelOf(choicesFor(app, view, name), body[name]);
      if (name === "parameter") return label;
      if (name === "strand" || name === "pair") return `${name} ${label}`;
      return name === "pair2" ? `and ${label}` : name === "of" ? label : label.charAt(0).toLowerCase() + label.slice(1);
    });
  return said.join(", ");
}

// What stands under a label, so that the keys beside it stay short; screen readers are told the whole label of each key.
const UNDER = { wavelength: "nm", method: "cords" };

function shortLabel(name, value, label) {
  if (name === "wavelength") return value;
  return name === "method" ? label.replace("-cord", "") : label;
}

/** @param state {body, errors}; @param onPick(name, value). */
export function keyButtons(app, view, state, onPick) {
  return marksFor(state).map((name) => keyGroup(app, view, state, name, onPick));
}

function keyGroup(app, view, state, name, onPick) {
  if (name === "strand" && countOf(view) > MOST_STRANDS) return strandInput(view, state, onPick);
  const choices = choicesFor(app, view, name);
  const error = state.errors[name];
  const optional = !state.quantity.marks && !state.quantity.must?.includes(name);
  const under = joined([UNDER[name], optional && "if it applies"], ", ");
  const button = ([value, label]) =>
    html`<button
      type="button"
      class="key"
      aria-pressed=${state.body[name] === value ? "true" : "false"}
      aria-label=${label}
      @click=${() => onPick(name, optional && state.body[name] === value ? "" : value)}
    >
      ${shortLabel(name, value, label)}
    </button>`;
  return html`<div
    class=${`marks marks-${name}`}
    id=${`key-${name}`}
    role="group"
    aria-labelledby=${`key-${name}-label`}
    tabindex="-1"
  >
    <span class="marks-label" id=${`key-${name}-label`}>${LABELS[name]}${under ? html` <small>${under}</small>` : nothing}</span>
    <div class="key-row">${choices.map(button)}</div>
    ${
      name === "of" && !choices.length
        ? html`<p>
            No bond is recorded on this link yet.
            <a href=${`#/book/${state.book}/edit/bond/new${query({ link: state.link })}`}>Record the bond first</a>
          </p>`
        : nothing
    }
    ${error ? html`<p class="field-error" role="alert">${error}</p>` : nothing}
  </div>`;
}

/** Of a cable with many strands the number is typed, or the next one taken. */
function strandInput(view, { body, errors, quantity }, onPick) {
  const count = countOf(view);
  const step = (by) => onPick("strand", String(Math.min(count, Math.max(1, (Number.parseInt(body.strand, 10) || 0) + by))));
  const under = joined([`of ${count}`, !quantity.must?.includes("strand") && "if it applies"], ", ");
  return html`<div class="marks marks-strand strand-typed" id="key-strand" role="group" aria-labelledby="key-strand-label" tabindex="-1">
    <label class="marks-label" id="key-strand-label" for="strand-number">Strand <small>${under}</small></label>
    <div class="key-row">
      <button type="button" class="key" aria-label="Strand before" @click=${() => step(-1)}>−</button>
      <input
        id="strand-number"
        class="strand-number"
        type="text"
        inputmode="numeric"
        autocomplete="off"
        .value=${live(body.strand ?? "")}
        @input=${(event) => onPick("strand", event.target.value.trim())}
      />
      <button type="button" class="key" aria-label="Next strand" @click=${() => step(1)}>+</button>
    </div>
    ${errors.strand ? html`<p class="field-error" role="alert">${errors.strand}</p>` : nothing}
  </div>`;
}
