// Every calculator of core by subject, to find by a word of its title or of what it does.

import { html } from "lit-html";
import { benchBase, benchCrumb, calculators } from "../parts/bench_frame.js";
import { openLink } from "../parts/bench_note.js";
import { hasWords, searchField } from "../parts/finder.js";

/** The search outlives a visit to a calculator. */
const wish = { text: "" };

export async function load(params, app) {
  const [known, target] = await Promise.all([calculators(app), params.link ? openLink(params, app) : null]);
  return { known, target, base: benchBase(params) };
}

export function view(model, app) {
  const found = model.known.filter((about) => matches(about, wish.text));
  return html`<section class="page bench">
    ${benchCrumb(model.target)}
    <h1>Bench</h1>
    ${searchField(wish, app, "Find a calculator")}
    <div aria-live="polite">${found.length ? groups(found, model.base) : nothingFound()}</div>
  </section>`;
}

function matches(about, text) {
  const labels = [...about.inputs, ...about.results].map(({ label }) => label);
  return hasWords([about.title, about.group_title, about.what, about.name, ...labels], text);
}

function groups(found, base) {
  const titles = [...new Set(found.map((about) => about.group_title))];
  return titles.map(
    (title) =>
      html`<section class="bench-group" aria-label=${title}>
        <h2>${title}</h2>
        <ul class="rows">
          ${found.filter((about) => about.group_title === title).map((about) => row(about, base))}
        </ul>
      </section>`,
  );
}

function row({ name, title, what }, base) {
  return html`<li>
    <a href=${`#${base}/${name}`}><strong>${title}</strong><span class="quiet">${what}</span></a>
  </li>`;
}

function nothingFound() {
  return html`<p class="quiet">No calculator by these words. Take a word out.</p>`;
}
