/** The limit sets that verdicts are taken by: what each is of, its edition, and how much of it is from memory. */
import { html, nothing } from "lit-html";
import { hasWords, searchField } from "../parts/finder.js";
import { counted, joined } from "../parts/values.js";

export async function load(_params, app) {
  return { sets: await app.core("limits"), text: "" };
}

export function view(model, app) {
  const found = model.sets.filter((set) => hasWords([set.title, set.document, set.edition, set.media_words], model.text));
  return html`<section class="page limits">
    <p class="crumb"><a href="#/">Sites</a></p>
    <h1>Limits</h1>
    <p>
      Every limit that this app judges by, with its document, clause, and how it was seen. A value from memory has to be checked in
      your own copy.
    </p>
    ${searchField(model, app, "Find by document, edition or kind of link")}
    <ul class="rows">
      ${found.map(setRow)}
    </ul>
    ${found.length ? nothing : html`<p class="none">No limit set has all of these words.</p>`}
  </section>`;
}

function setRow(set) {
  const edition = set.edition && !set.document.includes(set.edition) ? `, edition ${set.edition}` : "";
  const memory = set.from_memory ? `${set.from_memory} from memory` : "";
  return html`<li>
    <a href=${`#/limits/${set.id}`}>
      <strong>${set.title}</strong>
      <span class="quiet">${set.document}${edition}</span>
      <span class="quiet">${joined([counted(set.rows, "limit"), memory])}</span>
    </a>
  </li>`;
}
