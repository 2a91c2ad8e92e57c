/** Taking a reading: choose what, then type it and see at once what it means; saving readies the next one that is missing. */
import { html, nothing } from "lit-html";
import { debounce, oneAtATime, sentence } from "../parts/attempt.js";
import { caution } from "../parts/cautions.js";
import { checkTrial } from "../parts/check_row.js";
import { memoryMark } from "../parts/memory.js";
import { moduleTrend } from "../parts/module_trend.js";
import { placesKey } from "../parts/trace_places.js";
import { extraInputs, instrumentInputs, visitAndNote } from "../parts/reading_extras.js";
import { keyButtons, keysOf, keysText, picked } from "../parts/reading_keys.js";
import { beginnings, dropBeginning, isBegun, keepBeginning } from "../parts/reading_begun.js";
import { blankBody, catchUp, examine, habitsOf, isFor, keepReading, missingForms, prepareNext } from "../parts/reading_state.js";
import { valueInput } from "../parts/reading_value.js";
import { quantityOf } from "../parts/readings.js";
import { hasTraces, importBar, openImport, readAgain, sweepImport } from "../parts/sweep_import.js";
import { cleanTable } from "../parts/table_cells.js";
import { addRowKey } from "../parts/table_input.js";
import { counted, held, joined, nameOf, query, valueText } from "../parts/values.js";
import { fails, verdictMark } from "../parts/verdict.js";

const KEEP_AFTER_MS = 300;
const SECOND_TAP_MS = 600;

export async function load(params, app) {
  const { book, link } = params;
  await app.openBook(book);
  const [view, judged, begun] = await Promise.all([
    app.core("link", { book, link }),
    app.core("checks", { book, link }),
    beginnings(app, link),
  ]);
  const forms = missingForms(judged.checks);
  const model = {
    book,
    link,
    view,
    checks: judged.checks,
    forms,
    quantity: null,
    errors: {},
    judged: null,
    lacks: null,
    begun,
    told: "",
  };
  const quantity = quantityOf(app, params.quantity);
  return quantity ? startForm(model, quantity, params, app) : model;
}

async function startForm(model, quantity, params, app) {
  const asked = keysOf(quantity).some((name) => params[name]);
  const first = model.forms.find((form) => form.quantity === quantity.name);
  const habits = await habitsOf(app, model.view, quantity.name);
  const body = blankBody(quantity, model.link, habits, asked ? params : (first ?? {}));
  const fits = (begun) =>
    begun.quantity === quantity.name && keysOf(quantity).every((name) => !params[name] || begun[name] === params[name]);
  const [beginning, same] = Object.entries(model.begun).find(([, begun]) => fits(begun)) ?? [null, null];
  Object.assign(model, { quantity, beginning, body: same ?? body });
  Object.assign(model, { instrumentKnown: Boolean(model.body.instrument?.name) });
  model.keep = debounce(() => keepDraft(model, app), KEEP_AFTER_MS);
  // Asked at once: a margin is there sooner than a pause that is long enough to tell that someone stopped typing.
  model.examine = oneAtATime(async () => {
    await examine(model, app);
    app.redraw();
  });
  if (same) await examine(model, app);
  await openImport(model, app);
  return model;
}

const keepDraft = (model, app) =>
  keepBeginning(model, app).catch((error) => app.say(`What you type is not kept if this page closes: ${sentence(error)}`, "bad"));

export function view(model, app) {
  return model.quantity ? form(model, app) : chooser(model, app);
}

// ---- choosing

function chooser(model, app) {
  const { book, link, view: shown, forms } = model;
  const waiting = [...new Set(forms.map((each) => each.quantity))];
  const others = app.describe.quantities.filter((quantity) => isFor(quantity, shown) && !waiting.includes(quantity.name));
  const path = `/book/${book}/link/${link}/reading`;
  return html`<section class="page reading-choice">
    <p class="crumb"><a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a></p>
    <h1>Take a reading</h1>
    ${begunNotice(model, app)}
    ${waiting.length ? html`<h2>Still missing</h2>` : html`<p>No reading is missing that this link needs.</p>`}
    <ul class="big-rows">
      ${waiting.map((name) => missingRow(model, app, path, name))}
    </ul>
    <h2>${waiting.length ? "Other readings" : "Readings"}</h2>
    <ul class="big-rows">
      ${others.map(
        (quantity) =>
          html`<li>
            <a class="big-row" href=${`#${path}${query({ quantity: quantity.name })}`}><strong>${quantity.title}</strong></a>
          </li>`,
      )}
    </ul>
  </section>`;
}

function missingRow(model, app, path, name) {
  const mine = model.forms.filter((each) => each.quantity === name);
  const quantity = quantityOf(app, name);
  const first = keysText(app, model.view, quantity, mine[0]);
  const missing = `${mine.length} missing${first ? `: ${first}${mine.length > 1 ? " …" : ""}` : ""}`;
  return html`<li>
    <a class="big-row" href=${`#${path}${query(mine[0])}`}> <strong>${quantity.title}</strong><span>${missing}</span> </a>
  </li>`;
}

/** Readings that were half typed on this link; they are neither lost nor put on the wrong strand. */
function begunNotice(model, app) {
  return Object.entries(model.begun)
    .filter(([name]) => name !== model.beginning)
    .map(([name, begun]) => oneBegun(model, app, name, begun));
}

const begunText = ({ value, table }) => (table ? counted(cleanTable(table).rows.length, "row") : valueText(value));

function oneBegun(model, app, name, begun) {
  const { book, link } = model;
  const quantity = quantityOf(app, begun.quantity);
  const marks = Object.fromEntries(keysOf(quantity).map((mark) => [mark, begun[mark]]));
  const drop = async () => {
    await dropBeginning(model, app, name).catch((error) => app.say(sentence(error), "bad"));
    app.redraw();
  };
  return html`<aside class="notice">
    <p>Not saved yet: ${quantity.title} ${begunText(begun)} ${keysText(app, model.view, quantity, begun)}</p>
    <div class="strip-jobs">
      <a class="quiet-button" href=${`#/book/${book}/link/${link}/reading${query({ quantity: begun.quantity, ...marks })}`}
        >Go on with it</a
      >
      <button type="button" class="quiet-button" @click=${drop}>Drop it</button>
    </div>
  </aside>`;
}

// ---- the form

function form(model, app) {
  const { book, link, view: shown, quantity } = model;
  const change = (changes) => {
    Object.assign(model.body, changes);
    for (const name of Object.keys(changes)) dropErrors(model, name);
    Object.assign(model, { asking: false, unusualKept: false });
    model.keep();
    model.examine();
    requestAnimationFrame(app.redraw); // core is asked first
  };
  const pick = (name, value) => {
    change({ ...picked(model, name, value), ...moduleAt(model, name, value) });
    readAgain(model, app);
  };
  return html`<section class="page reading-form">
    <p class="crumb">
      <a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a> ·
      <a href=${`#/book/${book}/link/${link}/reading`}>other reading</a>
    </p>
    <h1>${quantity.title}</h1>
    ${quantity.caution && !model.told ? caution(quantity.caution) : nothing} ${begunNotice(model, app)} ${told(model, app)}
    ${keyButtons(app, shown, model, pick)}
    ${quantity.hint ? html`<p class="reading-hint">${quantity.hint}</p>` : nothing} ${placesKey(shown, model, change)}
    ${sweepImport(model, app)} ${hasTraces(model) ? nothing : [valueInput(app, shown, model, change), trial(model)]}
    ${extraInputs(app, model, change)}
    ${quantity.trend ? nothing : instrumentInputs(shown, model, change)} ${visitAndNote(model, change)}
    ${model.errors.form ? html`<p class="field-error" role="alert">${model.errors.form}</p>` : nothing}
    ${hasTraces(model) ? importBar(model, app, { focusOn, saved: tracesSaved }) : saveBar(model, app, change)}
  </section>`;
}

function tracesSaved(model, app, words) {
  Object.assign(model, { told: words, savedAt_ms: performance.now() });
  followUp(model, app);
  scrollTo(0, 0);
}

/** A module's readings go with the module: it is named as the end of the link names it, unless another name was typed. */
function moduleAt({ quantity, body, view: shown }, name, side) {
  if (name !== "side" || !quantity.trend) return {};
  const known = ["near", "far"].map((each) => held(shown.ends[each], "transceiver") ?? "");
  return body.module && !known.includes(body.module) ? {} : { module: (side && held(shown.ends[side], "transceiver")) ?? "" };
}

/** Errors of a table are named by their rows: "distance in row 3". */
function dropErrors({ errors }, name) {
  delete errors[name];
  if (name === "table") for (const each of Object.keys(errors)) if (/row \d+$/.test(each)) delete errors[each];
}

/** What was saved last, and where to go when none of this quantity is missing any more. */
function told({ told: words, forms, quantity, book, link }, app) {
  if (!words) return nothing;
  const other = forms.some((form) => form.quantity === quantity.name) ? null : forms[0];
  return html`<div class="told">
    <p role="status">${words}</p>
    ${
      other
        ? html`<a class="button" href=${`#/book/${book}/link/${link}/reading${query(other)}`}
            >Next missing: ${quantityOf(app, other.quantity).title}</a
          >`
        : nothing
    }
  </div>`;
}

const LACKING = {
  parameter: "what was measured is chosen",
  side: "the end is chosen",
  of: "the bond is chosen",
  pair2: "the second pair is chosen",
  map: "all eight pins are chosen",
};

const NO_CHECK = html`<p class="trial-hint">No check uses this reading by itself; it is kept in the record.</p>`;

function trial({ judged, lacks, body, quantity }) {
  if (lacks && isBegun(body))
    return html`<p class="trial-hint">The verdict shows once ${LACKING[lacks.field] ?? `the ${lacks.field} is chosen`}.</p>`;
  if (!judged) return nothing;
  if (judged.trend) return html`<div class="trials" aria-live="polite">${moduleTrend(judged.trend, "What it shows")}</div>`;
  const warnings = judged.warnings ?? [];
  return html`<div class="trials" aria-live="polite">
    ${warnings.map((text) => html`<p class="trial-warning">${text}</p>`)}
    ${judged.checks.length ? trials(judged.checks, quantity) : NO_CHECK}
  </div>`;
}

const MOST_UNFOLDED = 4;

/** Some tables are judged row by row: what fails stands open, and the others are folded so that the form stays short. */
function trials(checks, { folds }) {
  if (!folds || checks.length <= MOST_UNFOLDED) return checks.map(checkTrial);
  const open = checks.filter(({ verdict }) => !["pass", "not_measured"].includes(verdict));
  const folded = checks.filter((check) => !open.includes(check));
  const passing = folded.filter(({ verdict }) => verdict === "pass").length;
  const waiting = folded.length - passing;
  const words = joined([passing && `${passing} pass`, waiting && `${waiting} not judged`], ", ");
  return html`${open.map(checkTrial)}
    ${
      folded.length
        ? html`<details class="fold trials-fold">
            <summary>${words}</summary>
            ${folded.map(checkTrial)}
          </details>`
        : nothing
    }`;
}

const GRAVEST = ["fail", "fail_within_uncertainty", "pass_within_uncertainty", "pass"];

const othersText = (count) => (count === 1 ? "1 other check fails" : `${count} other checks fail`);

const inShort = (check) =>
  html`<small class="thumb-title">${check.title}</small>${verdictMark(check.verdict)}${memoryMark(check)}
    <strong class="figure">${valueText(check.margin)}</strong>`;

/** The bar at the thumb: the gravest verdict of what is typed, and the way to save it. */
function saveBar(model, app, change) {
  const checks = model.judged?.checks ?? [];
  const own = checks.filter((check) => check.group !== "instruments");
  const gravest = GRAVEST.map((verdict) => own.find((check) => check.verdict === verdict)).find(Boolean);
  const others = checks.filter((check) => check !== gravest && fails(check.verdict)).length;
  const save = (event) => saveNow(model, app, event);
  if (model.asking) return askBack(model, app);
  return html`<div class="thumb-bar thumb-bar-save">
    <p class="thumb-verdict">
      ${gravest ? inShort(gravest) : nothing}${others ? html`<small>${othersText(others)}</small>` : nothing}
    </p>
    ${addRowKey(model, change, app)}
    <button type="button" class="main-action" ?disabled=${model.saving} @click=${save}>
      ${model.saving ? "Saving …" : "Save reading"}
    </button>
  </div>`;
}

function askBack(model, app) {
  const settle = (kept) => {
    Object.assign(model, { asking: false, unusualKept: kept });
    app.redraw();
    if (kept) saveNow(model, app);
    else focusOn("reading-value");
  };
  return html`<div class="thumb-bar thumb-bar-ask" role="alertdialog" aria-label="Unusual value">
    <p>${model.judged.warnings.join(" ")} Keep it?</p>
    <button type="button" class="second-action" @click=${() => settle(false)}>Change it</button>
    <button type="button" class="main-action" id="keep-unusual" @click=${() => settle(true)}>Keep it</button>
  </div>`;
}

async function saveNow(model, app) {
  if (model.saving || isSecondTap(model)) return;
  model.address = location.hash;
  // Someone may type on while core answers: what is saved was examined as it stands.
  while (!(await examine(model, app)));
  if (model.saving || isSecondTap(model)) return;
  const stopped = whyNot(model);
  if (stopped) {
    app.redraw();
    return focusOn(stopped);
  }
  await store(model, app);
  app.redraw();
}

/** The form is ready for the next reading so soon that a gloved finger's second tap would find it empty. */
function isSecondTap({ body, savedAt_ms = -Infinity }) {
  return !isBegun(body) && performance.now() - savedAt_ms < SECOND_TAP_MS;
}

/** What keeps this from being saved: fills the errors and gives the element to go to; null when it can be saved. */
function whyNot(model) {
  const { quantity, body, lacks, errors, judged } = model;
  if (!isBegun(body)) {
    const field = quantity.form === "answer" ? "answer" : (quantity.form ?? "value");
    errors[field] = "Nothing is entered yet: enter what was found, then save.";
    return "reading-value";
  }
  if (lacks) {
    errors[lacks.field] = lacks.text;
    return `key-${lacks.field}`;
  }
  if (Object.keys(errors).length) return "reading-value";
  model.asking = Boolean(judged?.warnings?.length) && !model.unusualKept;
  return model.asking ? "keep-unusual" : null;
}

async function store(model, app) {
  model.saving = true;
  app.redraw();
  model.keep.cancel();
  try {
    await keepReading(model, app);
    model.savedAt_ms = performance.now();
    sayNext(model, prepareNext(model), app);
    focusOn("reading-value");
    followUp(model, app);
  } catch (error) {
    model.keep();
    model.errors[error.field && error.field in model.body ? error.field : "form"] = sentence(error);
  } finally {
    model.saving = false;
  }
}

function sayNext(model, next, app) {
  const said = next && (keysText(app, model.view, model.quantity, next) || model.quantity.title);
  model.told = `Saved on this phone; ${said ? `next: ${said}` : "none of these is missing now"}`;
}

/** The reading is kept by now and the next one can be typed: core's answers come after. */
async function followUp(model, app) {
  try {
    const next = await catchUp(model, app);
    if (next !== undefined) sayNext(model, next, app);
    app.redraw();
  } catch (error) {
    app.say(`The reading is saved on this phone, but its checks could not be worked out: ${sentence(error)}`, "bad");
  }
}

function focusOn(id) {
  requestAnimationFrame(() => {
    const element = document.getElementById(id);
    element?.focus({ preventScroll: true });
    element?.scrollIntoView({ block: "center" });
  });
}
