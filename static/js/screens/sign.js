/** Signing a link off: what changed, what is open, what has to be acknowledged, signatures, the seal and what came after it. */
import { html, nothing } from "lit-html";
import { CANNOT_SIGN, canSign } from "../key.js";
import { attempt, debounce, sentence } from "../parts/attempt.js";
import { deviationSheet, openDeviation } from "../parts/deviation.js";
import { sealPanel, textList } from "../parts/seal.js";
import { signOffList } from "../parts/sign_list.js";
import { signers } from "../parts/sign_people.js";
import { asItIsNow, NotAsShown, seal } from "../parts/sign_seal.js";
import { draftKey, draftLeft, draftOf, gather, obstacles, peopleOf } from "../parts/sign_state.js";
import { stopList } from "../parts/sign_stops.js";
import { nameOf } from "../parts/values.js";

export async function load({ book, link }, app) {
  const shown = await gather({ book, link }, app);
  const kept = await draftLeft(link, shown.view, app);
  const state = {
    people: peopleOf(kept, app),
    read: kept?.read ?? {},
    came: [],
    sheet: null,
    tried: false,
    fault: "",
    saving: false,
  };
  return { book, link, ...shown, ...state, again: !shown.view.seals.length || Boolean(kept) };
}

export function view(model, app) {
  const { book, link, view: shown } = model;
  // A draft written while it is being sealed would come back as begun, with signatures that are already given.
  model.keep ??= async () =>
    model.saving ||
    app.draft
      .set(draftKey(link), draftOf(model))
      .catch((error) => app.say(`The signature is not kept if this page closes: ${sentence(error)}`, "bad"));
  model.keepSoon ??= debounce(() => model.keep(), 300);
  return html`<section class="page sign">
    <p class="crumb"><a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a></p>
    <h1>Sign off</h1>
    ${sealPanel(model)} ${model.again ? signingOff(model, app) : signAgain(model, app)} ${openSheet(model, app)}
  </section>`;
}

function signAgain(model, app) {
  const start = () => {
    model.again = true;
    app.redraw();
    document.getElementById("changed-title")?.scrollIntoView();
  };
  const changed = model.view.seals.at(-1).after.length > 0;
  return html`<nav class="thumb-bar" aria-label="Go on">
    <button type="button" class="second-action" @click=${start}>${changed ? "Sign a new revision" : "Sign again"}</button>
    <a class="main-action" href=${`#/book/${model.book}/link/${model.link}/record`}>Record</a>
  </nav>`;
}

function signingOff(model, app) {
  const accept = (checks) => show(model, app, openDeviation(app, checks));
  return html`${canSign() ? nothing : html`<p class="field-error" role="alert">${CANNOT_SIGN}</p>`} ${changes(model)}
    ${signOffList(model, app, accept)} ${stopList(model, app)} ${signers(model, app)} ${hindrances(model)}
    <div class="thumb-bar">
      <button type="button" class="main-action" ?disabled=${model.saving} @click=${() => sealNow(model, app)}>
        ${model.saving ? "Sealing …" : "Sign and seal"}
      </button>
    </div>`;
}

/** A new revision says first what is new in it; the same sentences stand in what is signed. */
function changes({ view: { seals }, seals: { since } }) {
  const last = seals.at(-1);
  if (!last) return nothing;
  const texts = [...since.entries, ...since.verdicts];
  return html`<section class="panel" aria-labelledby="changed-title">
    <h2 id="changed-title">Changed since revision ${last.revision}</h2>
    ${texts.length ? textList(texts) : html`<p>Nothing: the same is signed once more, as revision ${last.revision + 1}.</p>`}
  </section>`;
}

function hindrances(model) {
  const found = model.tried ? obstacles(model) : [];
  if (!found.length && !model.fault) return nothing;
  return html`<div class="hindrances" role="alert" id="hindrances">
    ${model.fault ? html`<p>${model.fault}</p>` : nothing} ${textList(model.came)}
    ${found.length ? html`<p>Not signed yet:</p>` : nothing} ${textList(found)}
  </div>`;
}

function showHindrances(app) {
  app.redraw();
  requestAnimationFrame(() => document.getElementById("hindrances")?.scrollIntoView({ block: "center" }));
}

async function sealNow(model, app) {
  if (model.saving) return undefined;
  Object.assign(model, { tried: true, fault: "", came: [] });
  if (obstacles(model).length) return showHindrances(app);
  model.saving = true;
  model.keepSoon.cancel();
  app.redraw();
  try {
    await seal(model, app);
  } catch (error) {
    await notSealed(error, model, app);
    model.saving = false;
    model.keep();
    return showHindrances(app);
  }
  app.say("Signed and sealed; saved on this phone", "good");
  await attempt(app, () => app.refresh());
  return scrollTo(0, 0);
}

async function notSealed(error, model, app) {
  if (!(error instanceof NotAsShown)) {
    model.fault = `Not signed: ${sentence(error)}`;
    return;
  }
  try {
    Object.assign(model, await asItIsNow(model, app));
    model.fault =
      "Not signed: this came in since this screen was opened, and was not on it. It is now: look through the list once more.";
  } catch (fault) {
    model.fault = `Not signed: something came in meanwhile, and it could not be shown. ${sentence(fault)}`;
  }
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
