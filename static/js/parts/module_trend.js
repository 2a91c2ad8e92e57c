/** What transceivers say of themselves: first and latest reading, what the change calls for, the loss between them. Never a verdict. */
import { html, nothing } from "lit-html";
import { noteList } from "./check_row.js";
import { unbroken } from "./figure.js";

const WORDS = { notice: "Notice", service: "Asks for service", fault: "Fault" };

/** @param found what core's `trend` gives; @param title of its section, none while a reading is typed */
export function moduleTrend(found, title = "What the modules say") {
  if (!found?.modules?.length) return nothing;
  return html`<section class="check-group" aria-labelledby="modules-title">
    <h2 id="modules-title">${title}</h2>
    <p class="module-caption">${found.caption}</p>
    ${found.modules.map(moduleCard)}
    ${found.losses.map(
      (loss) => html`<p class="application"><strong>${loss.title}</strong><span>${unbroken(loss.text)}</span></p>${noteList(loss.notes)}`,
    )}
  </section>`;
}

function moduleCard({ title, rows, notes }) {
  return html`<h3>${title}</h3>
    <dl class="figures module-figures">${rows.map(figure)}</dl>
    ${noteList(notes)}`;
}

function figure({ label, first, latest, change, accuracy, word }) {
  return html`<div>
    <dt>${label} <small>${accuracy}</small></dt>
    <dd>
      ${unbroken(latest)}${word ? html` <strong class=${`module-word module-${word}`}>${WORDS[word]}</strong>` : nothing}
      ${first ? html`<small>at first ${unbroken(first)}${change ? html`, ${unbroken(change)} since` : nothing}</small>` : nothing}
    </dd>
  </div>`;
}
