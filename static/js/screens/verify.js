/** Is what was signed still what is here: this phone's copy, or a record, package or exported book that someone hands over. */
import { html, nothing, svg } from "lit-html";
import { sentence } from "../parts/attempt.js";
import { unbroken } from "../parts/figure.js";
import { counted, nameOf } from "../parts/values.js";
import { gather, NoEvidence } from "../verify/evidence.js";
import { ofThisPhone } from "../verify/own.js";
import { report } from "../verify/report.js";

export async function load({ book, link }, app) {
  const model = { book, link, name: "", busy: "", fault: "", shown: null, what: "", file: "" };
  if (!book) return model;
  await app.openBook(book);
  model.name = nameOf(await app.core("link", { book, link }), "Link");
  run(model, app, (progress) => ofThisPhone(book, progress));
  return model;
}

export function view(model, app) {
  const { book, link, name, shown, busy, fault } = model;
  return html`<section class="page verify">
    ${link ? html`<p class="crumb"><a href=${`#/book/${book}/link/${link}`}>${name}</a></p>` : nothing}
    <h1>Prove what was signed</h1>
    <p>
      Holds every entry, photo and signature against the seal. It works without signal and without the server.
      ${link ? nothing : "Choose a commissioning record (PDF), a handover package (zip) or an exported book."}
    </p>
    <div aria-live="polite">
      ${busy ? html`<p class="told" role="status">${busy}</p>` : nothing}
      ${fault ? html`<p class="field-error" role="alert">${fault}</p>` : nothing}
    </div>
    ${shown ? reportOf(model) : nothing}
    <div class="actions">
      <label class=${link ? "second-action file-action" : "main-action file-action"}
        >${shown || link ? "Check a file instead" : "Choose a file"}
        <input
          type="file"
          class="unseen"
          accept=".pdf,.zip,.json,application/pdf,application/zip,application/json"
          @change=${(event) => chosen(event, model, app)}
      /></label>
    </div>
  </section>`;
}

function chosen(event, model, app) {
  const [file] = event.target.files;
  event.target.value = "";
  return file && run(model, app, (progress) => gather(file, progress), file.name);
}

async function run(model, app, work, name = "") {
  const begun = {};
  Object.assign(model, { begun, busy: "Looking at it …", fault: "", shown: null });
  const told = (words) => {
    if (model.begun !== begun) return;
    model.busy = words;
    app.redraw();
  };
  told(model.busy);
  try {
    const evidence = await work((done, all) => told(`Photo ${done} of ${all} …`));
    told("Holding it against the seal …");
    const shown = await report(evidence, app);
    if (model.begun === begun) Object.assign(model, { shown, file: name, what: name ? `${name} (${evidence.what})` : evidence.what });
  } catch (error) {
    if (model.begun === begun) model.fault = error instanceof NoEvidence ? error.message : sentence(error);
  }
  if (model.begun === begun) model.busy = "";
  app.redraw();
}

// ---- the report, every word of it core's

function reportOf({ shown, what, link, name, file }) {
  const own = shown.links.filter((one) => one.link === link);
  // A file of another link is shown for what it is.
  const links = (link && !file) || own.length ? own : shown.links;
  const others = shown.links.length - links.length;
  return html`<section class=${shown.intact ? "panel seal" : "panel seal seal-broken"} aria-labelledby="verify-title">
      <h2 id="verify-title" class="verdict-line verify-${stateOf(shown)}">${shape(stateOf(shown))}<span>${shown.headline}</span></h2>
      <p class="quiet">Looked at: ${what}</p>
      ${lines(shown.problems, "field-error")}
      ${link && !own.length ? html`<p class="field-error">Nothing that was signed of the link ${name} is in it.</p>` : nothing}
      ${others > 0 ? html`<p class="quiet">${counted(others, "other link")} of this site stands in it too.</p>` : nothing}
    </section>
    ${links.map((one) => [...one.seals].reverse().map((seal) => sealOf(one, seal)))}
    ${
      shown.uncovered.length
        ? html`<section class="panel" aria-labelledby="uncovered-title">
            <h2 id="uncovered-title">Not under a seal</h2>
            ${lines(shown.uncovered)}
          </section>`
        : nothing
    }`;
}

function sealOf({ link, name }, seal) {
  const id = `seal-${link}-${seal.revision}-${seal.id}`;
  return html`<section class=${seal.state === "intact" ? "panel seal" : "panel seal seal-broken"} aria-labelledby=${id}>
    <h2 id=${id}>${name}, revision ${seal.revision}</h2>
    <p class="verdict-line verify-${seal.state}">${shape(seal.state)}<strong>${seal.headline}</strong></p>
    <ul class="plain">
      ${seal.who.map((words) => html`<li>${words}</li>`)}
    </ul>
    ${lines(seal.differs, "field-error")} ${lines(seal.missing, "field-error")}
    <dl class="record-rows">
      ${seal.lines.map(
        ([label, text]) =>
          html`<div>
            <dt>${label}</dt>
            <dd>${unbroken(text)}</dd>
          </div>`,
      )}
    </dl>
  </section>`;
}

/** A ring: closed, broken with a bar across, or dashed. */
const RINGS = {
  intact: svg`<path d="M12 3a9 9 0 1 1 0 18a9 9 0 1 1 0-18z"/>`,
  altered: svg`<path d="M15 3.5a9 9 0 0 0-11.5 11.5M9 20.5a9 9 0 0 0 11.5-11.5M3 21 21 3"/>`,
  incomplete: svg`<path stroke-dasharray="4 3.4" d="M12 3a9 9 0 1 1 0 18a9 9 0 1 1 0-18z"/>`,
};

const shape = (state) => html`<svg class="verify-shape" viewBox="0 0 24 24" aria-hidden="true">${RINGS[state]}</svg>`;

function stateOf({ intact, links }) {
  if (intact) return "intact";
  return links.some(({ seals }) => seals.some(({ state }) => state === "altered")) ? "altered" : "incomplete";
}

const lines = (texts, tone = "") => texts.map((text) => html`<p class=${tone}>${text}</p>`);
