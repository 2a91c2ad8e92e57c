/** One limit set, row by row, in core's words. */
import { html, nothing } from "lit-html";
import { hasWords, searchField } from "../parts/finder.js";
import { limitRow } from "../parts/limit_row.js";
import { joined } from "../parts/values.js";

const MOST_ROWS_OPEN = 40;

export async function load({ id }, app) {
  return { set: await app.core("limits", { id }), text: "" };
}

export function view(model, app) {
  const { set, text } = model;
  const groups = set.groups.map((group) => ({ ...group, rows: group.rows.filter((row) => fits(group, row, text)) }));
  const found = groups.filter(({ rows }) => rows.length);
  const open = text.trim() !== "" || set.rows <= MOST_ROWS_OPEN;
  return html`<section class="page limits">
    <p class="crumb"><a href="#/limits">Limits</a></p>
    <h1>${set.title}</h1>
    <p class="quiet">${joined([set.document, set.edition && `edition ${set.edition}`, set.media_words])}</p>
    ${set.use ? html`<p class="quiet">${set.use}</p>` : nothing} ${set.difference ? html`<p>${set.difference}</p>` : nothing}
    ${searchField(model, app, "Find in this set")} ${found.map((group) => groupOf(group, open))}
    ${found.length ? nothing : html`<p class="none">No limit of this set has all of these words.</p>`}
  </section>`;
}

function fits({ title }, { what, value, formula, clause, note, seen_words }, text) {
  return hasWords([title, what, value, formula, clause, note, seen_words], text);
}

/** Long sets are folded by group until somebody searches. */
function groupOf({ title, rows }, open) {
  if (!title) return html`<div class="limit-group">${rows.map(limitRow)}</div>`;
  return html`<details class="limit-group" ?open=${open}>
    <summary><h2>${title}</h2></summary>
    ${rows.map(limitRow)}
  </details>`;
}
