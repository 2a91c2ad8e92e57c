/** What a calculator gives: each result in words, rounded, with every digit on demand; working, notes and source. */
import { html, nothing } from "lit-html";
import { unitWord } from "./values.js";

/** @param about the calculator's description @param answer what core gave */
export function benchResult(about, answer) {
  const rows = resultRows(about, answer);
  return html`<div class="bench-answer">
    <dl class=${isOfAKind(about, rows) ? "bench-figures bench-many" : "bench-figures"}>${rows.map(figure)}</dl>
    ${answer.notes.length ? html`<ul class="bench-notes">${answer.notes.map((note) => html`<li>${note}</li>`)}</ul>` : nothing}
    ${everyDigit(rows)}
    <h3>Working</h3>
    <ol class="bench-working">${answer.working.map((line) => html`<li>${line}</li>`)}</ol>
    ${sources(answer.source_text)}
  </div>`;
}

/** Where a formula comes from, and how that was seen. */
export function sources(texts) {
  return html`<h3>Source</h3>
    <ul class="bench-sources">${texts.map((text) => html`<li>${text}</li>`)}</ul>`;
}

/**
 * Results in the order of their description, then those that it names as a kind ("one key each").
 * @returns {{key: string, label: string, meaning: string, value: any, text: string, unit: string}[]}
 */
export function resultRows(about, { results }) {
  const described = about.results.filter(({ key }) => key in results);
  const named = new Set(described.map(({ key }) => key));
  const others = Object.keys(results).filter((key) => !named.has(key));
  return [
    ...described.map(({ key, label, meaning }) => ({ key, label, meaning, ...results[key] })),
    ...others.map((key) => ({ key, label: key, meaning: "", ...results[key] })),
  ];
}

/** Results of one kind, each under a key of its own, such as one for each application. */
const isOfAKind = (about, rows) => rows.every(({ key }) => !about.results.some((described) => described.key === key));

/** @returns {{label: string, words: string}} what stands for all: that it does not work, the first figure, or how many of each word */
export function inShort(about, rows) {
  if (isOfAKind(about, rows)) return { label: about.results[0].label, words: tally(rows) };
  const main = rows.find(({ value }) => value === false) ?? rows.find(({ value }) => typeof value !== "boolean") ?? rows[0];
  return { label: main.label, words: resultText(main) };
}

function tally(rows) {
  const words = [...new Set(rows.map(({ text }) => text))];
  return words.map((word) => `${rows.filter(({ text }) => text === word).length} ${word.toLowerCase()}`).join(", ");
}

export const resultText = ({ text, unit }) => `${text} ${unitWord(unit)}`.trim();

function figure(row) {
  return html`<div>
    <dt>${row.label}</dt>
    <dd>
      <strong class="figure">${resultText(row)}</strong> ${row.meaning ? html`<small>${row.meaning}</small>` : nothing}
    </dd>
  </div>`;
}

/** Twelve significant digits without an exponent, as core gives them. */
const DIGITS = new Intl.NumberFormat("en-US", { useGrouping: false, maximumSignificantDigits: 12 });

function everyDigit(rows) {
  const numbers = rows.filter(({ value }) => typeof value === "number");
  if (!numbers.length) return nothing;
  return html`<details class="fold bench-digits">
    <summary>Every digit</summary>
    <dl class="pairs">
      ${numbers.map(
        ({ label, value, unit }) =>
          html`<dt>${label}</dt>
            <dd>${`${DIGITS.format(value)} ${unitWord(unit)}`.trim()}</dd>`,
      )}
    </dl>
  </details>`;
}
