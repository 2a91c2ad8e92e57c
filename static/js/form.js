// What a form of a thing holds: values as stored, what was touched since, and the entry body that a save makes of it.

import { isEmpty } from "./parts/fields.js";
import { filledTies } from "./parts/ties.js";

const DRAFT_PAUSE_MS = 300;

/**
 * @typedef {{value: any, also?: {value: any, at: string, by: string}[]}} Stored a field as core shows it
 * @typedef {{key: string, stored: Record<string, Stored>, touched: Record<string, any>, errors: Record<string, string>,
 *            saving: boolean}} Form
 *
 * @param {{key: string, stored?: object, defaults?: object}} given `defaults` count as touched: they belong to the first entry
 * @param {object} app
 * @returns {Promise<Form>}
 */
export async function openForm({ key, stored = {}, defaults = {} }, app) {
  const kept = await app.draft.get(key);
  return { key, stored, touched: { ...defaults, ...(kept?.touched ?? {}) }, errors: {}, saving: false };
}

const newStations = (book, link) => `thing:${book}:station:new:${link}:`;
export const newStationKey = (book, link, order) => newStations(book, link) + order;

/** New stations of a link that were begun and not saved. @returns {Promise<{key: string, order: string, name: string}[]>} */
export async function begunStations(book, link, app) {
  const start = newStations(book, link);
  const kept = await app.draft.startingWith(start).catch(() => []);
  return kept
    .filter(({ value }) => Object.keys(value?.touched ?? {}).some((name) => name !== "order"))
    .map(({ key, value }) => ({ key, order: key.slice(start.length), name: value.touched.name ?? "" }));
}

/** @param {Form} form */
export function valueOf(form, name) {
  return name in form.touched ? form.touched[name] : form.stored[name]?.value;
}

/** Takes a change, keeps the draft shortly after, and draws. */
export function touch(form, name, value, app) {
  form.touched[name] = value;
  delete form.errors[name];
  clearTimeout(form.timer);
  form.timer = setTimeout(() => keepDraft(form, app), DRAFT_PAUSE_MS);
  app.redraw();
}

export function keepDraft(form, app) {
  clearTimeout(form.timer);
  return app.draft.set(form.key, { touched: form.touched }).catch((error) => app.say(error.message, "bad"));
}

export function dropDraft(form, app) {
  clearTimeout(form.timer);
  // The entry is saved by now; a draft that stays behind does no harm.
  return app.draft.clear(form.key).catch(() => {});
}

/**
 * The fields that a save has to write: those that differ from what is stored, and those that settle a disagreement.
 * @param {Form} form
 * @param {import("./parts/fields.js").Field[]} fields
 * @returns {Record<string, any>}
 */
export function changes(form, fields) {
  const found = {};
  for (const { name } of fields) {
    if (!(name in form.touched)) continue;
    const stored = form.stored[name];
    const value = cleaned(form.touched[name]);
    const settles = Boolean(stored?.also?.length);
    if (settles || JSON.stringify(value) !== JSON.stringify(stored?.value ?? null)) found[name] = value;
  }
  return found;
}

function cleaned(value) {
  if (isEmpty(value)) return null;
  if (typeof value === "string") return value.trim();
  return Array.isArray(value) ? filledTies(value) : value;
}

/** @returns {Record<string, string>} a sentence for each needed field that is empty */
export function missing(form, fields) {
  const found = {};
  for (const field of fields) {
    if (field.required && isEmpty(valueOf(form, field.name))) found[field.name] = `${field.label} is needed. ${remedy(field)}`;
  }
  return found;
}

function remedy({ type }) {
  return type === "word" || type === "reference" ? "Choose it." : "Fill it in.";
}

const OWNERS = { lat: "position", lon: "position", accuracy: "position", tie: "ties", corner: "ties" };

/** The field that an error of core belongs to, or null when it belongs to none on this form. */
export function fieldOf(error, fields) {
  const names = fields.map(({ name }) => name);
  const owner = fields.find(({ type }) => type === OWNERS[error.field]);
  if (names.includes(error.field)) return error.field;
  return owner?.name ?? null;
}

/** Core's refusal in the words of the form: the label instead of the name. */
export function worded(error, field) {
  if (!error.allowed) return error.message;
  const given = error.given === "" ? "Nothing was given" : `"${error.given}" was given`;
  return `${given}; allowed is ${error.allowed}.${error.remedy ? ` ${error.remedy}` : ""}${field ? "" : ` (${error.field})`}`;
}

/** Moves to the first field with an error. */
export function focusFirstError() {
  const place = document.querySelector(".field-wrong input, .field-wrong select, .field-wrong textarea, fieldset.field-wrong");
  place?.focus({ preventScroll: true });
  place?.scrollIntoView({ block: "center" });
}
