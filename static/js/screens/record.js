/** The commissioning record as a page to print, made on the phone without signal from the same model as the server's PDF. */
import { html, nothing } from "lit-html";
import { localTime } from "../ids.js";
import { sentence } from "../parts/attempt.js";
import { recordBlock } from "../parts/blocks.js";
import { handoverPanel } from "../parts/handover.js";
import { sealPanel } from "../parts/seal.js";
import { sealsOf } from "../parts/seal_state.js";
import { nameOf } from "../parts/values.js";

export async function load({ book, link }, app) {
  await app.openBook(book);
  const view = await app.core("link", { book, link });
  const model = { book, link, view, seals: null, record: null, fault: "" };
  // A long record takes a slow phone some seconds: the page is there at once and says what it waits for.
  make(model, app);
  return model;
}

async function make(model, app) {
  try {
    const { book, link, view: shown } = model;
    const seals = await sealsOf({ book, link, view: shown }, app);
    model.record = await app.core("record", { book, link, made_at: localTime(), signatures: seals.signatures });
    model.seals = seals;
  } catch (error) {
    model.fault = sentence(error);
  }
  app.redraw();
}

export function view(model, app) {
  const { book, link, view: shown, record } = model;
  if (!record) return waiting(model);
  const pdf = `/office/links/${book}/${link}/record.pdf`;
  return html`<article class="record">
    <p class="crumb screen-only"><a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a></p>
    <header class="record-head">
      <h1>${record.title}</h1>
      <dl class="record-rows">
        ${record.identity.map(
          ([label, text]) =>
            html`<div>
              <dt>${label}</dt>
              <dd>${text}</dd>
            </div>`,
        )}
      </dl>
    </header>
    <div class="screen-only">
      ${shown.seals.length ? sealPanel(model) : html`<p class="notice">Not signed: this page is a draft of the record.</p>`}
    </div>
    ${record.sections.map((section) => sectionOf(section, app))}
    <div class="screen-only">${handoverPanel(model, app)}</div>
    <nav class="thumb-bar screen-only" aria-label="Take the record with you">
      ${
        app.status.online
          ? html`<a class="second-action" href=${pdf} target="_blank" rel="noopener">PDF from the server</a>`
          : nothing
      }
      <button type="button" class="main-action" @click=${() => window.print()}>Print or save as PDF</button>
    </nav>
  </article>`;
}

function waiting({ book, link, view: shown, fault }) {
  return html`<section class="page">
    <p class="crumb"><a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a></p>
    <h1>Commissioning record</h1>
    ${fault ? html`<p class="field-error" role="alert">${fault}</p>` : html`<p role="status">The record is being made …</p>`}
  </section>`;
}

/** What a person looks for first is open; the rest of a long record is folded on the screen, and never on paper. */
const OPEN = ["verdict", "plan", "deviations", "stops", "signatures", "changes", "after"];

function sectionOf(section, app) {
  if (!section.blocks.length) return nothing;
  return html`<section class="record-section" aria-labelledby=${`record-${section.id}`}>
    <details ?open=${OPEN.includes(section.id)}>
      <summary><h2 id=${`record-${section.id}`}>${section.title}</h2></summary>
      ${section.blocks.map((block, index) => recordBlock(block, `${section.title}, part ${index + 1}`, app))}
    </details>
  </section>`;
}

/** @type {HTMLDetailsElement[]} opened for paper, to be folded again */
let unfolded = [];

function unfoldForPaper() {
  unfolded = [...document.querySelectorAll(".record details:not([open])")];
  for (const details of unfolded) details.open = true;
}

function foldAgain() {
  for (const details of unfolded) details.open = false;
}

// Outside a browser (the tests of routes) there is nothing to print.
globalThis.addEventListener?.("beforeprint", unfoldForPaper);
globalThis.addEventListener?.("afterprint", foldAgain);
