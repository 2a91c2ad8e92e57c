/** Finding by words: a search field, and whether every word that was typed is there. What does not fit goes while typing, without a button. */
import { html } from "lit-html";

/** Whether every word that was typed is somewhere in these texts. */
export function hasWords(texts, typed) {
  const all = texts.join(" ").toLowerCase();
  return typed
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
}

/** @param {{text: string}} wish what is typed, kept by the screen */
export function searchField(wish, app, label) {
  const type = (event) => {
    wish.text = event.target.value;
    app.redraw();
  };
  return html`<div class="finder">
    <label class="field"
      ><span>${label}</span><input type="search" autocomplete="off" .value=${wish.text} @input=${type}
    /></label>
  </div>`;
}
