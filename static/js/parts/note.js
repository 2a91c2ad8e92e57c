/** Notes: what people wrote about a link or one thing on it, and the sheet to write one more. */
import { html, nothing } from "lit-html";
import { debounce, sentence, single } from "./attempt.js";
import { sheet } from "./sheet.js";
import { timeText } from "./values.js";

/** @param notes rows of core {text, by, at}. */
export function noteList(notes) {
  if (!notes?.length) return nothing;
  return html`<ul class="notes">
    ${notes.map(
      (note) =>
        html`<li>
          <p>${note.text}</p>
          <small>${note.by}, ${timeText(note.at)}</small>
        </li>`,
    )}
  </ul>`;
}

const draftKey = (book, link, of) => `note:${book}:${link}:${of ?? ""}`;

/** The state of a note sheet, with what was typed the last time and not saved. */
export async function openNote(app, { book, link, of = null, about }) {
  const kept = await app.draft.get(draftKey(book, link, of)).catch(() => null);
  const state = { kind: "note", book, link, of, about, text: kept?.text ?? "", error: "" };
  state.keep = debounce(
    () => app.draft.set(draftKey(book, link, of), { text: state.text }).catch((error) => app.say(sentence(error), "bad")),
    300,
  );
  return state;
}

/** @param state from openNote; @param done called after the note is saved. */
export function noteSheet(state, app, { redraw, onClose, done }) {
  const type = (event) => {
    state.text = event.target.value;
    state.keep();
  };
  return sheet({
    title: `Note on ${state.about}`,
    onClose,
    body: html`<label class="field"
        ><span>Note</span
        ><textarea rows="5" .value=${state.text} @input=${type} aria-invalid=${state.error ? "true" : "false"}></textarea>
      </label>
      ${state.error ? html`<p class="field-error" role="alert">${state.error}</p>` : nothing}`,
    actions: html`<button
      type="button"
      class="main-action"
      @click=${() => single(state, () => save(state, app, { redraw, done }))}
    >
      Save note
    </button>`,
  });
}

async function save(state, app, { redraw, done }) {
  if (!state.text.trim()) {
    state.error = "Nothing is written yet: write the note, then save it.";
    return redraw();
  }
  state.keep.cancel();
  try {
    await app.write(state.book, "note", { link: state.link, of: state.of ?? state.link, text: state.text.trim() });
  } catch (error) {
    state.error = sentence(error);
    return redraw();
  }
  app.say("Note saved on this phone", "good");
  app.draft.clear(draftKey(state.book, state.link, state.of)).catch((error) => app.say(sentence(error), "bad"));
  return done();
}
