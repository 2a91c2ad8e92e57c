/** One row of a limit set as core words it: what, how much, formula, values at the usual frequencies, where it stands, how it was seen. */
import { html, nothing } from "lit-html";
import { unbroken } from "./figure.js";

export function limitRow(row) {
  return html`<article class="limit-row">
    <h3>${unbroken(row.what)}</h3>
    <p class="limit-value">${unbroken(row.value)}</p>
    ${row.formula ? html`<p class="limit-formula">${row.formula}</p>` : nothing} ${valueTable(row)}
    <p class="limit-clause">
      ${row.clause ? html`${row.clause}. ` : nothing}<span class=${row.seen === "memory" ? "limit-memory" : ""}
        >${row.seen_words}.</span
      >
    </p>
    ${row.note ? html`<p class="limit-note">${unbroken(row.note)}</p>` : nothing}
  </article>`;
}

function valueTable({ table, what }) {
  if (!table) return nothing;
  return html`<details class="fold">
    <summary>Values</summary>
    <table class="limit-table" aria-label=${what}>
      <thead>
        <tr>
          ${table.head.map((cell) => html`<th scope="col">${cell}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${table.rows.map(
          (cells) =>
            html`<tr>
              ${cells.map((cell) => html`<td>${cell}</td>`)}
            </tr>`,
        )}
      </tbody>
    </table>
  </details>`;
}
