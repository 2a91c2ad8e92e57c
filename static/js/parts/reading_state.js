/** A reading that is being taken: how it starts, what core says of it while it is typed, how it is saved, what comes next. */
import { localTime } from "../ids.js";
import { sentence } from "./attempt.js";
import { dropBeginning, isBegun } from "./reading_begun.js";
import { keysOf } from "./reading_keys.js";
import { blankTable, cleanTable } from "./table_cells.js";
import { query } from "./values.js";

const HABITS = "reading-habits";
const HABIT_FIELDS = [
  "method",
  "instrument",
  "visit",
  "reference_at",
  "reference_value",
  "uncertainty",
  "accuracy_level",
  "temperature",
  "launch",
  "launch_cord",
  "tail_cord",
  "pulse_width",
  "set_index",
  "conditions",
];
const MARK_FIELDS = ["map", "parameter", "strand", "wavelength", "direction", "side", "pair", "pair2", "method", "of"];

/** Forms of readings that checks still wait for, in the order of the checks. */
export function missingForms(checks) {
  const forms = checks
    .filter((check) => check.required && check.verdict === "not_measured" && check.form?.quantity && !check.deviation)
    .map((check) => check.form);
  const seen = new Set();
  return forms.filter((form) => !seen.has(JSON.stringify(form)) && seen.add(JSON.stringify(form)));
}

/** The form that measures a check again: what it asks for, or what the reading behind it was; null when no reading makes it. */
export function formOf(check, view, app) {
  if (check.form?.quantity) return check.form;
  const body = view.readings.find((reading) => check.readings.includes(reading.id))?.body;
  const quantity = body && app.describe.quantities.find((each) => each.name === body.quantity);
  if (!quantity) return null;
  return { quantity: quantity.name, ...Object.fromEntries(keysOf(quantity).map((name) => [name, body[name]])) };
}

/** Does this quantity belong on this link? */
export const isFor = (quantity, view) => quantity.media.includes(view.medium);

/** What this person did the last time with a quantity: instrument, unit, method, reference. */
export async function habitsOf(app, view, name) {
  const kept = await app.draft.get(HABITS).catch(() => null);
  if (kept?.[name]) return kept[name];
  const last = view.readings.filter((reading) => !reading.voided && reading.body.quantity === name).at(-1);
  return last ? pickHabits(last.body) : {};
}

function pickHabits(body) {
  const habits = { unit: body.value?.unit, tableUnits: body.table?.units };
  for (const field of HABIT_FIELDS) if (body[field] !== undefined) habits[field] = body[field];
  return habits;
}

export async function keepHabits(app, body) {
  const kept = (await app.draft.get(HABITS)) ?? {};
  await app.draft.set(HABITS, { ...kept, [body.quantity]: pickHabits(body) });
}

/** An empty reading with what is known already: habits first, then the marks asked for. */
export function blankBody(quantity, link, { unit, tableUnits, ...habits }, marks) {
  const body = { link, quantity: quantity.name, visit: "install", ...habits };
  for (const name of keysOf(quantity)) if (marks[name]) body[name] = marks[name];
  if (!quantity.form) body.value = { value: "", unit: quantity.units.includes(unit) ? unit : quantity.units[0] };
  if (quantity.form === "table") body.table = blankTable(quantity, tableUnits);
  return body;
}

/** The body as an entry has it: nothing empty, nothing that the quantity doesn't take. */
export function cleanBody(body) {
  const clean = {};
  for (const [name, value] of Object.entries(body)) {
    if (isEmpty(value)) continue;
    clean[name] = cleanValue(name, value);
  }
  return clean;
}

function cleanValue(name, value) {
  if (name === "instrument") return cleanBody(value);
  if (name === "table") return cleanTable(value);
  return typeof value === "string" ? value.trim() : value;
}

function isEmpty(value) {
  if (value === null || value === undefined) return true;
  if (typeof value === "string") return !value.trim();
  if (typeof value === "object" && "unit" in value) return !String(value.value ?? "").trim();
  return typeof value === "object" && Object.values(value).every(isEmpty);
}

/**
 * Asks core what the half-typed reading would do, once for each state of it. Fills state.judged, or state.errors by field, or
 * state.lacks (a mark that is still to be chosen).
 * An older question that is answered late is dropped.
 * @returns {Promise<boolean>} false when it was dropped, since something else is typed by now
 */
export async function examine(state, app) {
  const typed = JSON.stringify(state.body);
  if (state.examination?.typed !== typed) state.examination = { typed, outcome: judge(state, app) };
  const { examination } = state;
  const outcome = await examination.outcome;
  if (examination !== state.examination) return false;
  Object.assign(state, outcome, { errors: { ...outcome.errors } });
  // What is not about a field may pass: it is asked again.
  if (outcome.errors.form) state.examination = null;
  return true;
}

async function judge(state, app) {
  const outcome = { judged: null, errors: {}, lacks: null };
  if (isBegun(state.body) && state.body.value?.value?.trim() !== "-") {
    try {
      if (/\?/.test(state.body.map ?? ""))
        throw Object.assign(new Error("Choose the far pin, or open, for each of the eight near pins."), {
          code: "missing",
          field: "map",
        });
      const { book, link } = state;
      const asked = { book, link, draft: cleanBody(state.body), at: localTime(), by: app.status.name };
      outcome.judged = await app.core("checks", asked);
      if (state.quantity.trend) outcome.judged.trend = await app.core("trend", asked);
    } catch (error) {
      if (error.code === "missing" && MARK_FIELDS.includes(error.field))
        outcome.lacks = { field: error.field, text: sentence(error) };
      else outcome.errors[error.field || "form"] = sentence(error);
    }
  }
  return outcome;
}

/** Keeps the reading. Rejects when nothing was kept; what to fill in the next time follows without anyone waiting for it. */
export async function keepReading(state, app) {
  await app.write(state.book, "reading", cleanBody(state.body));
  Promise.all([keepHabits(app, state.body), dropBeginning(state, app, state.beginning)]).catch((error) =>
    app.say(sentence(error), "bad"),
  );
}

/** Readies the form for the next reading that is missing, by what is known already; gives its form or null. */
export function prepareNext(state) {
  state.forms = state.forms.filter((form) => !isMetBy(form, state.body));
  return ready(state);
}

/** The method doesn't tell readings apart here: whatever it was, that strand is measured now. */
function isMetBy(form, body) {
  const marks = Object.entries(form).filter(([name]) => name !== "method");
  return marks.every(([name, value]) => String(body[name] ?? "") === String(value ?? ""));
}

function ready(state) {
  const { book, link, quantity, body } = state;
  const next = state.forms.find((form) => form.quantity === quantity.name) ?? null;
  // The method is kept: what core proposes is that of the readings before this one.
  const blank = blankBody(quantity, link, pickHabits(body), { ...body, ...next, ...(body.method && { method: body.method }) });
  Object.assign(state, { body: blank, judged: null, errors: {}, lacks: null, asking: false, unusualKept: false });
  Object.assign(state, { beginning: null, examination: null, readied: JSON.stringify(blank) });
  if (next) nameInAddress(state, `#/book/${book}/link/${link}/reading${query(next)}`);
  return next;
}

/** A reload comes back to the reading that is asked for; who has left the form meanwhile is left alone. */
function nameInAddress(state, address) {
  if (location.hash !== state.address) return;
  history.replaceState(null, "", address);
  state.address = location.hash;
}

/**
 * Asks core what the saved reading changed. A form that nobody has touched meanwhile is readied by that.
 * @returns {Promise<object | null | undefined>} the form that it was readied for, or undefined when it was left as it is
 */
export async function catchUp(state, app) {
  const asked = (state.catching = (state.catching ?? 0) + 1);
  const { book, link } = state;
  const [view, judged] = await Promise.all([app.core("link", { book, link }), app.core("checks", { book, link })]);
  if (asked !== state.catching) return undefined;
  Object.assign(state, { view, checks: judged.checks, forms: missingForms(judged.checks) });
  return JSON.stringify(state.body) === state.readied ? ready(state) : undefined;
}
