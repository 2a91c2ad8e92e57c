// The page that is shown when Spanbook can't start: why, in plain words, and what is on this phone as a file.

import { html, render } from "lit-html";
import { exportAll } from "./export.js";

/** @param {any} error what stopped the start */
export function showFault(error) {
  const place = document.createElement("main");
  document.getElementById("app").replaceChildren(place);
  render(fault(error), place);
}

function fault(error) {
  return html`<section class="page">
    <h1>Spanbook could not start</h1>
    <p>${reason(error)}</p>
    <p>
      What was saved is still on this phone. You can take it out as a file; the office can bring it into the server from that.
    </p>
    <p role="status" id="export-result"></p>
    <div class="actions">
      <button class="second-action" @click=${takeOut}>Export what is on this phone</button>
      <button class="main-action" @click=${() => location.reload()}>Try again</button>
    </div>
  </section>`;
}

function reason(error) {
  if (typeof WebAssembly !== "object") {
    return (
      "This browser has WebAssembly switched off (on an iPhone, Lockdown Mode does that), and Spanbook calculates with it. " +
      "Allow it for this page."
    );
  }
  return error?.message || "The browser gave no reason.";
}

async function takeOut() {
  const place = document.getElementById("export-result");
  try {
    const count = await exportAll();
    place.textContent = `Exported ${count.entries} entries and ${count.photos} photos.`;
  } catch (error) {
    place.textContent = `The export did not work: ${error.message}`;
  }
}
