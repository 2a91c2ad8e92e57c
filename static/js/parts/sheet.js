/** A sheet over the screen for one small job (a photo, a note, a reason); Escape and "Close" leave it. */
import { html, nothing } from "lit-html";
import { ref } from "lit-html/directives/ref.js";

const show = (element) => {
  // The element is not in the page yet while lit draws it, and a dialog can only be shown once it is.
  if (element) queueMicrotask(() => element.isConnected && !element.open && element.showModal());
};

/** @param onClose called when the sheet is left; it has to take the sheet out of the model. */
export function sheet({ title, body, actions = nothing, onClose }) {
  return html`<dialog class="job-sheet" aria-label=${title} ${ref(show)} @cancel=${(event) => leave(event, onClose)}>
    <header class="job-sheet-head">
      <h2>${title}</h2>
      <button type="button" class="quiet-button" @click=${onClose}>Close</button>
    </header>
    <div class="job-sheet-body">${body}</div>
    <footer class="job-sheet-actions">${actions}</footer>
  </dialog>`;
}

function leave(event, onClose) {
  event.preventDefault();
  onClose();
}
