/** One check as it is shown wherever it appears: verdict, figures, margin bar, source, and its working when asked for. */
import { html, nothing } from "lit-html";
import { marginBar } from "./bar.js";
import { unbroken } from "./figure.js";
import { sourceLine } from "./source.js";
import { joined, valueText } from "./values.js";
import { verdictMark } from "./verdict.js";

const SENSE_WORDS = { max: "at most ", min: "at least ", is: "" };

export const limitText = (limit) => (limit ? `${SENSE_WORDS[limit.sense] ?? ""}${valueText(limit)}` : "");

/** Measured with its uncertainty, limit and margin as a small list; what isn't there is left out. */
export function figures(check) {
  const rows = [
    ["Measured", joined([valueText(check.measured), check.uncertainty && `± ${check.uncertainty.text}`], " ")],
    ["Limit", limitText(check.limit)],
    ["Margin", valueText(check.margin)],
    ["Published limit", limitText(check.published)],
  ].filter(([, text]) => text);
  if (!rows.length) return nothing;
  return html`<dl class="figures">
    ${rows.map(
      ([label, text]) =>
        html`<div>
          <dt>${label}</dt>
          <dd>${unbroken(text)}</dd>
        </div>`,
    )}
  </dl>`;
}

/** The source of a limit where the sentence does not name it itself, so that how it was seen is always said. */
export function sourceBeside({ source, sentence }) {
  if (!source || sentence.includes(source.text)) return nothing;
  return html`<p class="check-source">From ${sourceLine(source)}</p>`;
}

/** A check in short: title, verdict, figures, bar, source. */
export function checkShort(check) {
  return html`<span class="check-title"
      >${unbroken(check.title)}${check.required ? nothing : html` <small>not required</small>`}</span
    >
    ${verdictMark(check.verdict, check.deviation)} ${check.verdict === "not_measured" ? afterWord(check) : measured(check)}`;
}

/** Core's sentence of a check that waits says what is lacking, the limit and its source; its first words are the verdict's. */
const afterWord = (check) =>
  html`<span class="check-sentence"
    >${unbroken(check.sentence.replace(/^Not measured[:.]\s*/, "").replace(/^./, (first) => first.toUpperCase()))}</span
  >`;

function measured(check) {
  return html`${figures(check)} ${marginBar(check)}
  ${check.source ? html`<small class="check-source">${sourceLine(check.source)}</small>` : nothing}`;
}

/** The lines of the computation, and what else has to be said about it. */
export function working(check) {
  return html`${
    check.working.length
      ? html`<ol class="working">
          ${check.working.map((line) => html`<li>${unbroken(line)}</li>`)}
        </ol>`
      : nothing
  }
  ${noteList(check.notes)}`;
}

/** What else has to be said, as a list; nothing where there is nothing to say. */
export function noteList(notes) {
  if (!notes.length) return nothing;
  return html`<ul class="check-notes">
    ${notes.map((note) => html`<li>${unbroken(note)}</li>`)}
  </ul>`;
}

/** What a reading that is being typed would do to a check: the margin large, the sentence, the bar, the working folded. */
export function checkTrial(check) {
  return html`<article class=${`trial trial-${check.verdict}`} aria-label=${check.title}>
    <p class="check-title">${unbroken(check.title)}</p>
    ${verdictMark(check.verdict)}
    ${check.margin ? html`<p class="trial-margin"><strong>${unbroken(valueText(check.margin))}</strong> margin</p>` : nothing}
    ${marginBar(check)}
    <p class="check-sentence">${unbroken(check.sentence)}</p>
    ${sourceBeside(check)} ${check.notes.map((note) => html`<p class="check-note">${unbroken(note)}</p>`)}
    ${
      check.working.length
        ? html`<details>
            <summary>Working</summary>
            ${working({ ...check, notes: [] })}
          </details>`
        : nothing
    }
  </article>`;
}
