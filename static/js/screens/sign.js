/** Signing a link off: what is open, what was accepted, cautions, signatures, and the seal with what came after it. */
import { html, nothing } from "lit-html";
import { localTime } from "../ids.js";
import { attempt, debounce, sentence } from "../parts/attempt.js";
import { caution } from "../parts/cautions.js";
import { deviationGroups, deviationSheet, openDeviation } from "../parts/deviation.js";
import { memoryLegend, memoryMark } from "../parts/memory.js";
import { formOf } from "../parts/reading_state.js";
import { sealPanel } from "../parts/seal.js";
import { conflictOf, settlingHref } from "../parts/settling.js";
import { ROLES, cautionsOf, draftKey, draftOf, isOpen, newPerson, obstacles, seal } from "../parts/sign_state.js";
import { signaturePad } from "../parts/signature.js";
import { labelOf, nameOf, query } from "../parts/values.js";
import { verdictMark } from "../parts/verdict.js";

export async function load({ book, link }, app) {
  await app.openBook(book);
  const [view, judged, kept] = await Promise.all([
    app.core("link", { book, link }),
    app.core("checks", { book, link }),
    app.draft.get(draftKey(link)).catch(() => null),
  ]);
  const people = kept?.people ?? [newPerson("installer", app.status.name)];
  const model = {
    book,
    link,
    view,
    ...judged,
    people,
    acknowledged: kept?.acknowledged ?? false,
    cautions: cautionsOf(view.medium),
    sheet: null,
    tried: false,
  };
  const last = view.seals.at(-1);
  return { ...model, fault: "", saving: false, again: !last || (last.after.length > 0 && Boolean(kept)) };
}

export function view(model, app) {
  const { book, link, view: shown } = model;
  model.keep ??= () =>
    app.draft
      .set(draftKey(link), draftOf(model))
      .catch((error) => app.say(`The signature is not kept if this page closes: ${sentence(error)}`, "bad"));
  model.keepSoon ??= debounce(() => model.keep(), 300);
  return html`<section class="page sign">
    <p class="crumb"><a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a></p>
    <h1>Sign off</h1>
    ${sealPanel(model)} ${model.again ? signing(model, app) : signAgain(model, app)} ${openSheet(model, app)}
  </section>`;
}

function signAgain(model, app) {
  const start = () => {
    model.again = true;
    app.redraw();
  };
  const changed = model.view.seals.at(-1).after.length > 0;
  return html`<nav class="thumb-bar" aria-label="Go on">
    <button type="button" class="second-action" @click=${start}>${changed ? "Sign a new revision" : "Sign again"}</button>
    <a class="main-action" href=${`#/book/${model.book}/link/${model.link}/record`}>Record</a>
  </nav>`;
}

function signing(model, app) {
  return html`${openChecks(model, app)} ${deviations(model)} ${cautions(model, app)}
    <section class="panel" aria-labelledby="signatures-title">
      <h2 id="signatures-title">Signatures</h2>
      ${model.people.map((person) => personForm(model, app, person))}
      <div class="strip-jobs">
        ${ROLES.filter(([role]) => !model.people.some((person) => person.role === role)).map(
          ([role, label]) =>
            html`<button type="button" class="button" @click=${() => addPerson(model, app, role)}>+ ${label}</button>`,
        )}
      </div>
    </section>
    ${hindrances(model)}
    <div class="thumb-bar">
      <button type="button" class="main-action" ?disabled=${model.saving} @click=${() => sealNow(model, app)}>
        ${model.saving ? "Sealing …" : "Sign and seal"}
      </button>
    </div>`;
}

// ---- what is open

function openChecks(model, app) {
  const open = model.checks.filter(isOpen);
  if (!open.length) return html`<p class="told">Everything required is measured and passes, or is accepted.</p>`;
  const missing = open.filter((check) => check.verdict === "not_measured");
  const accept = (checks) => () => show(model, app, openDeviation(app, checks));
  return html`<section class="panel" aria-labelledby="open-title">
    <h2 id="open-title">Open: ${open.length}</h2>
    ${
      missing.length > 1
        ? html`<button type="button" class="button" @click=${accept(missing)}>
            Accept all ${missing.length} not measured with one reason …
          </button>`
        : nothing
    }
    <ul class="open-checks">
      ${open.map(
        (check) =>
          html`<li>
            <a href=${`#/book/${model.book}/link/${model.link}/check${query({ id: check.id })}`}>${check.title}</a>
            ${verdictMark(check.verdict)}${memoryMark(check)}
            <div class="strip-jobs">
              ${remedy(check, model, app)}
              <button
                type="button"
                class="quiet-button"
                aria-label=${`Accept ${check.title} as a deviation`}
                @click=${accept([check])}
              >
                Accept …
              </button>
            </div>
          </li>`,
      )}
    </ul>
    ${memoryLegend(open)}
  </section>`;
}

/** What settles a check: a reading, or the choice between two values. */
function remedy(check, { book, link, view: shown }, app) {
  const conflict = conflictOf(check, shown);
  if (conflict) {
    const address = settlingHref(book, link, conflict, `/book/${book}/link/${link}/sign`);
    return html`<a class="quiet-button" href=${address} aria-label=${`Choose: ${check.title}`}>Choose</a>`;
  }
  const form = formOf(check, shown, app);
  if (!form) return nothing;
  const address = `#/book/${book}/link/${link}/reading${query(form)}`;
  return html`<a class="quiet-button" href=${address} aria-label=${`Measure ${check.title}`}>Measure</a>`;
}

function deviations({ checks }) {
  if (!checks.some((check) => check.deviation)) return nothing;
  return html`<section class="panel" aria-labelledby="deviations-title">
    <h2 id="deviations-title">Deviations</h2>
    ${deviationGroups(checks)}
  </section>`;
}

function cautions(model, app) {
  const tick = (event) => {
    model.acknowledged = event.target.checked;
    model.keep();
    app.redraw();
  };
  return html`<section class="panel" aria-labelledby="cautions-title">
    <h2 id="cautions-title">Cautions</h2>
    ${caution(model.cautions)}
    <label class="tick"
      ><input type="checkbox" .checked=${model.acknowledged} @change=${tick} /><span
        >Read, and passed on to those who use the link</span
      ></label
    >
  </section>`;
}

// ---- who signs

function addPerson(model, app, role) {
  model.people.push(newPerson(role));
  app.redraw();
}

function personForm(model, app, person) {
  const label = labelOf(ROLES, person.role);
  const typed = (event) => {
    person.name = event.target.value;
    model.keepSoon();
  };
  const drawn = () => {
    person.at = person.strokes.length ? localTime() : "";
    model.keep();
    app.redraw();
  };
  return html`<fieldset class="signer">
    <legend>${label}</legend>
    <div class="field">
      <label for=${`name-${person.role}`}>Name of the ${label.toLowerCase()}</label>
      <input id=${`name-${person.role}`} type="text" autocomplete="off" .value=${person.name} @input=${typed} />
    </div>
    ${signaturePad(person, { label: `Signature of the ${label.toLowerCase()}`, onStroke: drawn })}
    ${person.at ? html`<small>Signed ${person.at.slice(0, 10)} ${person.at.slice(11, 16)}</small>` : nothing}
  </fieldset>`;
}

// ---- sealing

function hindrances(model) {
  const found = model.tried ? obstacles(model) : [];
  if (!found.length && !model.fault) return nothing;
  return html`<div class="hindrances" role="alert" id="hindrances">
    ${
      found.length
        ? html`<p>Not signed yet:</p>
            <ul>
              ${found.map((text) => html`<li>${text}</li>`)}
            </ul>`
        : nothing
    }
    ${model.fault ? html`<p>${model.fault}</p>` : nothing}
  </div>`;
}

async function sealNow(model, app) {
  Object.assign(model, { tried: true, fault: "" });
  if (obstacles(model).length) {
    app.redraw();
    return requestAnimationFrame(() => document.getElementById("hindrances")?.scrollIntoView({ block: "center" }));
  }
  model.saving = true;
  app.redraw();
  try {
    await seal(model, app);
  } catch (error) {
    Object.assign(model, { saving: false, fault: `Not signed: ${sentence(error)}` });
    return app.redraw();
  }
  app.say("Signed and sealed; saved on this phone", "good");
  await attempt(app, () => app.refresh());
  return scrollTo(0, 0);
}

// ---- the sheet

function show(model, app, state) {
  model.sheet = state;
  app.redraw();
}

function openSheet(model, app) {
  if (!model.sheet) return nothing;
  const { book, link } = model;
  // The sheet stays until core has answered: a signature begun meanwhile would be drawn on a pad that is about to go.
  const done = async () => {
    await model.keep();
    await app.refresh();
  };
  return deviationSheet(model.sheet, app, {
    book,
    link,
    redraw: () => app.redraw(),
    onClose: () => show(model, app, null),
    done,
  });
}
