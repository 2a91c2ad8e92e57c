/** Two values of one field that did not see each other: both are shown, and a person chooses. */
import { html, nothing } from "lit-html";
import { attempt, single } from "./attempt.js";
import { sheet } from "./sheet.js";
import { fieldsOf, labelOf, timeText, valueText } from "./values.js";

/** The fields of a thing that hold more than one value: [name, field] pairs. */
export const unsettled = (thing) => Object.entries(thing?.fields ?? {}).filter(([, field]) => field.also?.length);

/** "Two values: choose", when a thing has such a field. */
export function conflictNote(thing, onChoose) {
  const open = unsettled(thing);
  if (!open.length) return nothing;
  return html`<button type="button" class="conflict" @click=${onChoose}>
    ${open.length === 1 ? "Two values: choose" : `${open.length} fields with two values: choose`}
  </button>`;
}

/** @param state {thing, title, identity}: identity is what an entry about the thing has to name. */
export function conflictSheet(state, app, { book, onClose, done }) {
  const settle = async (name, value) => {
    await app.write(book, state.thing.kind, { ...state.identity, [name]: value }, state.thing.heads);
    app.say("Chosen; saved on this phone", "good");
    await done();
  };
  const choose = (name, value) => single(state, () => attempt(app, () => settle(name, value)));
  return sheet({
    title: `${state.title}: two values`,
    onClose,
    body: html`<p>Two people set these without seeing each other. Choose the one that is right; both stay in the book.</p>
      ${unsettled(state.thing).map(([name, field]) => choice(app, state.thing.kind, name, field, choose))}`,
  });
}

function choice(app, kind, name, field, choose) {
  const about = fieldsOf(app, kind).find((each) => each.name === name);
  const options = [field, ...field.also];
  return html`<fieldset class="conflict-choice">
    <legend>${about?.label ?? name}</legend>
    ${options.map(
      (option) =>
        html`<button type="button" class="big-row" @click=${() => choose(name, option.value)}>
          <strong>${option.value === null ? "nothing" : labelOf(about?.words, readable(option.value))}</strong>
          <small>${option.by ? `${option.by}, ${timeText(option.at)}` : ""}</small>
        </button>`,
    )}
  </fieldset>`;
}

function readable(value) {
  if (Array.isArray(value)) return `${value.length} taped ties`;
  if (value?.lat) return `${value.lat}, ${value.lon}`;
  return valueText(value);
}
