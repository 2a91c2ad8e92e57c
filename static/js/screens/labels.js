// Identifiers of a link, each changed with a thumb, and what goes onto its labels: the code that opens it, and single labels to print.

import { html, nothing } from "lit-html";
import { attempt, single } from "../parts/attempt.js";
import { labelSheet, openLabel, svgAddress } from "../parts/label.js";
import { identifierSheet, openIdentifier } from "../parts/identifier.js";
import { held, nameOf } from "../parts/values.js";
import { linkAddress, matrixOf } from "../qr.js";

export async function load({ book, link }, app) {
  await app.openBook(book);
  const [view, found, stocks] = await Promise.all([
    app.core("link", { book, link }),
    app.core("identifiers", { book, link }),
    app.core("label_stocks"),
  ]);
  const address = linkAddress(found.link_code);
  const matrix = matrixOf(address);
  const cable = found.rows.find(({ what }) => what === "cable");
  const { svg } = await app.core("label", { texts: [cable.value], matrix, stock: "single" }).catch(() => codeAlone(app, matrix));
  return { book, link, view, ...found, stocks, address, matrix, code: svg, sheet: null };
}

/** A name that is too long for it must not keep the code from being shown. */
const codeAlone = (app, matrix) => app.core("label", { texts: ["Link"], matrix, stock: "single" });

export function view(model, app) {
  const { book, link, address, code, about, left_out: leftOut } = model;
  return html`<section class="page">
    <h1>Labels</h1>
    <p><a class="quiet-button" href=${`#/book/${book}/link/${link}`}>${nameOf(model.view, "Link")}</a></p>
    <img class="label-big-code" src=${svgAddress(code)} alt=${`Code that opens this link: ${address}`} />
    <p class="label-address quiet">${address}</p>
    <p class="quiet">Scanned with the camera, it opens this link on every phone that has this site, without signal too.</p>
    ${localOnly()} ${model.groups.map((group) => groupOf(group, model, app))}
    ${leftOut ? html`<p class="caution">${leftOut} more fibres have no label here: the list ends at ${model.rows.filter(isStrand).length}.</p>` : nothing}
    <details class="fold">
      <summary><h2>Where these come from</h2></summary>
      <p>${about}</p>
      <p>
        Counted numbers can still move when somebody adds things on another phone. Before you print, keep them as they are: then
        they never do.
      </p>
      <button type="button" class="button" @click=${() => single(model, () => attempt(app, () => keepAll(model, app)))}>
        Keep them as they are
      </button>
    </details>
    <div class="actions">
      <a class="second-action" href=${`#/book/${book}/link/${link}`}>Back</a>
      <button type="button" class="main-action" @click=${() => openLabelOf(model, cableOf(model), app)}>Label of the cable</button>
    </div>
    ${openSheet(model, app)}
  </section>`;
}

const isStrand = ({ group }) => group === "strands";
const cableOf = ({ rows }) => rows.find(({ what }) => what === "cable");

/** A code with such an address is of use on this machine alone. */
function localOnly() {
  if (!["localhost", "127.0.0.1", "[::1]"].includes(location.hostname)) return nothing;
  return html`<aside class="notice">
    <p>This app was opened at ${location.host}, which no other phone can reach. Print labels from the address that phones use.</p>
  </aside>`;
}

/** Fibres and pairs are many and counted from the cable: they are folded. */
function groupOf([group, title], model, app) {
  const rows = model.rows.filter((row) => row.group === group);
  if (rows.length === 0) return nothing;
  const list = html`<ul class="label-rows">
    ${rows.map((row) => rowOf(row, model, app))}
  </ul>`;
  if (group !== "strands") return html`<h2>${title}</h2>
      ${list}`;
  return html`<details class="fold">
    <summary><h2>${title}: ${rows.length}</h2></summary>
    ${list}
  </details>`;
}

function rowOf(row, model, app) {
  const change = () => openIdentifierOf(model, row, app);
  return html`<li>
    <p class="label-identifier">${row.value}</p>
    <p class="quiet">${row.title}${row.typed ? "" : ", default"}</p>
    ${row.also.length ? html`<button type="button" class="conflict" @click=${change}>Two values: choose</button>` : nothing}
    ${row.same.length ? html`<p class="label-same" role="note">The same as ${row.same.join(", ")}</p>` : nothing}
    <div class="label-keys">
      ${
        row.edit
          ? html`<button type="button" class="quiet-button" aria-label=${`Change: ${row.title}`} @click=${change}>Change</button>`
          : nothing
      }
      <button
        type="button"
        class="quiet-button"
        aria-label=${`Label: ${row.title}`}
        @click=${() => openLabelOf(model, row, app)}
      >
        Label
      </button>
    </div>
  </li>`;
}

// ---- sheets

async function openIdentifierOf(model, row, app) {
  model.sheet = await openIdentifier({ book: model.book, link: model.link, row }, app);
  app.redraw();
}

async function openLabelOf(model, row, app) {
  const { stocks, matrix, address, view: shown } = model;
  model.sheet = openLabel({ row, stocks, matrix, address, diameter: held(shown, "outside_diameter") });
  app.redraw();
  await model.sheet.draw(app);
}

function openSheet(model, app) {
  const { sheet } = model;
  if (!sheet) return nothing;
  const onClose = () => {
    model.sheet = null;
    app.redraw();
  };
  return sheet.kind === "label" ? labelSheet(sheet, app, onClose) : identifierSheet(sheet, app, onClose);
}

/** Writes down every identifier that is only counted so far, all or none. Those of fibres follow from the cable's. */
async function keepAll({ book, rows }, app) {
  const open = rows.filter((row) => row.edit && !row.typed && row.group !== "strands");
  const once = new Map(open.map((row) => [row.edit.subject, row]));
  const drafts = [...once.values()].map(({ edit, part, heads }) => ({
    kind: edit.kind,
    body: { subject: edit.subject, ...edit.body, [edit.field]: part },
    replaces: heads,
  }));
  if (drafts.length > 0) await app.writeAll(book, drafts);
  app.say(drafts.length > 0 ? "Kept as they are; saved on this phone" : "All of them are kept already", "good");
  await app.refresh();
}
