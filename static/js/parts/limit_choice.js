/** Under a choice of limits on the link's form: what the chosen one says, what the default is, how the others differ, where to read it. */
import { html, nothing } from "lit-html";
import { labelOf } from "./values.js";

/** What core says of the choices; only the form of a link has them. */
export const choicesOf = (kind, app) => (kind === "link" ? app.core("limit_choices") : null);

/**
 * @param {import("./fields.js").Field} field resolved, with its words
 * @param {{differences: object, files: Record<string, string>} | null} choices
 */
export function choiceAbout(field, value, choices) {
  const about = choices?.differences[field.words_from];
  if (!about || !field.words?.length) return nothing;
  const isSet = field.words_from === "limit_sets";
  const file = isSet ? value : choices.files[field.words_from];
  return html`<div class="choice-about">
    ${about[value] ? html`<p>${about[value]}</p>` : nothing}
    <p class="quiet">Default: ${isSet ? labelOf(field.words, field.words[0][0]) : "none, not judged until one is chosen"}</p>
    <details class="fold">
      <summary>How they differ</summary>
      <dl class="choice-list">
        ${field.words.map(([word, label]) => html`<dt>${label}</dt><dd>${about[word] ?? ""}</dd>`)}
      </dl>
    </details>
    ${file ? html`<a class="quiet-button" href=${`#/limits/${file}`}>Read these limits</a>` : nothing}
  </div>`;
}
