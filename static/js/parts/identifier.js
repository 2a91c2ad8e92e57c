/** The sheet in which an identifier is typed, or goes back to its default. */
import { html, nothing } from "lit-html";
import { debounce, sentence, single } from "./attempt.js";
import { sheet } from "./sheet.js";
import { timeText } from "./values.js";

const draftKey = (book, { edit }) => `identifier:${book}:${edit.subject}:${edit.field}`;

/** @param row of core's identifiers. What was typed the last time and not saved comes back. */
export async function openIdentifier({ book, link, row }, app) {
  const kept = await app.draft.get(draftKey(book, row)).catch(() => null);
  const state = { kind: "identifier", book, link, row, text: kept?.text ?? row.part, error: "" };
  state.keep = debounce(
    () => app.draft.set(draftKey(book, row), { text: state.text }).catch((error) => app.say(sentence(error), "bad")),
    300,
  );
  return state;
}

export function identifierSheet(state, app, onClose) {
  const { row } = state;
  const type = (event) => {
    state.text = event.target.value;
    state.keep();
  };
  const write = (value) => single(state, () => save(state, value, app));
  return sheet({
    title: row.title,
    onClose,
    body: html`${choices(row, write)} ${shared(row)}
      <label class="field"
        ><span>${row.edit.field === "space" ? "Room or space" : "Identifier"}</span
        ><input
          type="text"
          autocomplete="off"
          autocapitalize="characters"
          spellcheck="false"
          .value=${state.text}
          aria-invalid=${state.error ? "true" : "false"}
          @input=${type}
      /></label>
      ${state.error ? html`<p class="field-error" role="alert">${state.error}</p>` : nothing}
      ${
        row.typed
          ? html`<button type="button" class="button" @click=${() => write(null)}>
              Back to the default: ${row.part_default}
            </button>`
          : html`<p class="quiet">Default: ${row.part_default}</p>`
      }`,
    actions: html`<button type="button" class="main-action" @click=${() => write(state.text)}>Save</button>`,
  });
}

/** Where it is kept when that is not the link: whoever changes it changes it for all. */
function shared({ edit }) {
  if (edit.kind === "building") return html`<p>The code of the building: it stands in the identifiers of all links that end there.</p>`;
  if (edit.kind === "end") return html`<p>The room in this building: floor and letter, for example 1A.</p>`;
  return nothing;
}

function choices(row, write) {
  if (!row.also.length) return nothing;
  return html`<fieldset class="conflict-choice">
    <legend>Two people set this without seeing each other. Which one stands?</legend>
    ${row.also.map(
      ({ value, by, at }) =>
        html`<button type="button" class="big-row" @click=${() => write(value)}>
          <strong>${value ?? "The default"}</strong><small>${by}, ${timeText(at)}</small>
        </button>`,
    )}
  </fieldset>`;
}

async function save(state, value, app) {
  const { book, row } = state;
  const text = value?.trim();
  state.error = value === null || text ? "" : "Type an identifier, or go back to the default.";
  if (state.error) return app.redraw();
  if (value === null && !row.typed && !row.also.length) return done(state, app, "Nothing was changed");
  try {
    const { kind, subject, body, field } = row.edit;
    await app.write(book, kind, { subject, ...body, [field]: value === null ? null : text }, row.heads);
  } catch (error) {
    state.error = sentence(error);
    return app.redraw();
  }
  return done(state, app, "Saved on this phone");
}

async function done(state, app, words) {
  state.keep.cancel();
  app.say(words, "good");
  await app.draft.clear(draftKey(state.book, state.row)).catch((error) => app.say(sentence(error), "bad"));
  await app.refresh();
}
