/** A reading that is being taken: how it starts, what core says of it while it is typed, how it is saved, what comes next. */
import { localTime } from "../ids.js";
import { sentence } from "./attempt.js";
import { beginningOf, dropBeginning, isBegun } from "./reading_begun.js";
import { keysOf } from "./reading_keys.js";
import { query } from "./values.js";

const HABITS = "reading-habits";
const HABIT_FIELDS = [
  "method",
  "instrument",
  "visit",
  "reference_at",
  "reference_value",
  "uncertainty",
  "temperature",
  "conditions",
];
const MARK_FIELDS = ["map", "strand", "wavelength", "direction", "side", "pair", "pair2", "method", "of"];

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
  const habits = { unit: body.value?.unit };
  for (const field of HABIT_FIELDS) if (body[field] !== undefined) habits[field] = body[field];
  return habits;
}

async function keepHabits(app, body) {
  const kept = (await app.draft.get(HABITS)) ?? {};
  await app.draft.set(HABITS, { ...kept, [body.quantity]: pickHabits(body) });
}

/** An empty reading with what is known already: habits first, then the marks asked for. */
export function blankBody(quantity, link, { unit, ...habits }, marks) {
  const body = { link, quantity: quantity.name, visit: "install", ...habits };
  for (const name of keysOf(quantity)) if (marks[name]) body[name] = marks[name];
  if (!quantity.form) body.value = { value: "", unit: quantity.units.includes(unit) ? unit : quantity.units[0] };
  return body;
}

/** The body as an entry has it: nothing empty, nothing that the quantity doesn't take. */
export function cleanBody(body) {
  const clean = {};
  for (const [name, value] of Object.entries(body)) {
    if (isEmpty(value)) continue;
    clean[name] = name === "instrument" ? cleanBody(value) : typeof value === "string" ? value.trim() : value;
  }
  return clean;
}

function isEmpty(value) {
  if (value === null || value === undefined) return true;
  if (typeof value === "string") return !value.trim();
  if (typeof value === "object" && "unit" in value) return !String(value.value ?? "").trim();
  return typeof value === "object" && Object.values(value).every(isEmpty);
}

/**
 * Asks core what the half-typed reading would do. Fills state.judged, or state.errors by field, or state.lacks (a mark that is
 * still to be chosen).
 * An older question that is answered late is dropped.
 */
export async function examine(state, app) {
  const asked = (state.asked = (state.asked ?? 0) + 1);
  const outcome = { judged: null, errors: {}, lacks: null };
  if (isBegun(state.body) && state.body.value?.value?.trim() !== "-") {
    try {
      if (/\?/.test(state.body.map ?? ""))
        throw Object.assign(new Error("Choose the far pin, or open, for each of the eight near pins."), {
          code: "missing",
          field: "map",
        });
      const { book, link } = state;
      outcome.judged = await app.core("checks", {
        book,
        link,
        draft: cleanBody(state.body),
        at: localTime(),
        by: app.status.name,
      });
    } catch (error) {
      if (error.code === "missing" && MARK_FIELDS.includes(error.field))
        outcome.lacks = { field: error.field, text: sentence(error) };
      else outcome.errors[error.field || "form"] = sentence(error);
    }
  }
  if (asked === state.asked) Object.assign(state, outcome);
}

/** Keeps the reading and what to fill in the next time. Rejects when nothing was kept. */
export async function keepReading(state, app) {
  await app.write(state.book, "reading", cleanBody(state.body));
  await Promise.all([keepHabits(app, state.body), dropBeginning(state, app, state.beginning)]).catch((error) =>
    app.say(sentence(error), "bad"),
  );
}

/** Loads what has changed by a saved reading and readies the form for the next one that is missing; gives its form or null. */
export async function prepareNext(state, app) {
  const { book, link, quantity, body } = state;
  const [view, judged] = await Promise.all([app.core("link", { book, link }), app.core("checks", { book, link })]);
  const forms = missingForms(judged.checks);
  const next = forms.find((form) => form.quantity === quantity.name) ?? null;
  const blank = blankBody(quantity, link, pickHabits(body), { ...body, ...next });
  Object.assign(state, {
    view,
    checks: judged.checks,
    forms,
    body: blank,
    judged: null,
    errors: {},
    lacks: null,
    asking: false,
    unusualKept: false,
  });
  state.beginning = beginningOf(state);
  if (next) history.replaceState(null, "", `#/book/${book}/link/${link}/reading${query(next)}`);
  return next;
}
