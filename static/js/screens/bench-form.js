// One calculator of core as a form made from its description; the result follows the typing.

import { html, nothing } from "lit-html";
import { benchField } from "../parts/bench_field.js";
import { benchBase, calculators } from "../parts/bench_frame.js";
import { openLink, putIntoNote } from "../parts/bench_note.js";
import { benchResult, inShort, resultRows, sources } from "../parts/bench_result.js";
import { clear, isUntouched, openBench, takeExample, type } from "../parts/bench_state.js";
import { lacking } from "../parts/bench_typed.js";

export async function load(params, app) {
  const about = (await calculators(app)).find(({ name }) => name === params.name);
  if (!about) throw new Error(`There is no calculator "${params.name}". Choose one on the bench.`);
  const [bench, target] = await Promise.all([openBench(about, app), openLink(params, app)]);
  return { bench, target, base: benchBase(params) };
}

export function view({ bench, target, base }, app) {
  const { about, error } = bench;
  return html`<section class="page bench">
    <p class="crumb"><a href=${`#${base}`}>Bench</a></p>
    <h1>${about.title}</h1>
    <p>${about.what}</p>
    <div class="form-group">${about.inputs.map((entry) => field(bench, entry, app))}</div>
    ${keys(bench, app)} ${error && !isOfField(bench) ? html`<p class="field-error" role="alert">${error.text}</p>` : nothing}
    <section class="panel" aria-labelledby="bench-result-title">
      <h2 id="bench-result-title">Result</h2>
      ${bench.answer ? benchResult(about, bench.answer) : waiting(bench)}
    </section>
    ${bar(bench, target, app)}
  </section>`;
}

function field(bench, entry, app) {
  const error = bench.error?.field === entry.name ? bench.error.text : "";
  return benchField(entry, {
    value: bench.values[entry.name],
    error,
    onChange: (value) => type(bench, entry.name, value, app),
  });
}

const isOfField = ({ about, error }) => about.inputs.some(({ name }) => name === error.field);

function keys(bench, app) {
  return html`<div class="strip-jobs">
    ${
      isUntouched(bench)
        ? html`<button type="button" class="quiet-button" @click=${() => takeExample(bench, app)}>Fill in an example</button>`
        : html`<button type="button" class="quiet-button" @click=${() => clear(bench, app)}>Clear all</button>`
    }
  </div>`;
}

function waiting({ about, values, error }) {
  const names = lacking(about.inputs, values).map(({ label }) => label);
  const words = names.length ? `Needed for a result: ${names.join(" · ")}` : "";
  return html`<p class="quiet">${error ? "No result until what is marked is put right." : words}</p>
    <h3>How it is worked out</h3>
    <ul class="bench-formula">
      ${about.formula.map((line) => html`<li>${line}</li>`)}
    </ul>
    ${about.holds.length ? html`<p class="quiet">Holds ${about.holds.join(" ")}</p>` : nothing} ${sources(about.source_text)}`;
}

/** The result stays in sight while typing; beside it the way into the link's notes. */
function bar(bench, target, app) {
  if (!bench.answer) return nothing;
  const { label, words } = inShort(bench.about, resultRows(bench.about, bench.answer));
  return html`<div class="thumb-bar thumb-bar-save bench-bar">
    <p class="thumb-verdict" role="status">
      <small class="thumb-title">${label}</small><strong class="figure">${words}</strong>
    </p>
    ${target ? noteKey(bench, target, app) : nothing}
  </div>`;
}

function noteKey(bench, target, app) {
  if (bench.noted)
    return html`<a class="second-action" href=${`#/book/${target.book}/link/${target.link}`}>Noted: to ${target.name}</a>`;
  return html`<button type="button" class="main-action" @click=${() => putIntoNote(bench, target, app)}>
    <span>Put into a note <small>${target.name}</small></span>
  </button>`;
}
