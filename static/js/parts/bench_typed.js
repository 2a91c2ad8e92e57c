// What is typed into a calculator's form: texts as core takes them, and texts as a note shows them.

import { isEmpty } from "./fields.js";
import { labelOf, unitWord } from "./values.js";

/**
 * @typedef {{name: string, label: string, meaning: string, type: "number" | "count" | "list" | "word" | "text", unit: string,
 *            units: string[], range: string, choices?: [string, string][], default?: string, optional?: boolean}} Entry an input as core
 *            describes it
 * @typedef {string | {value: string, unit: string} | null | undefined} Typed
 */

/** A unit typed with the number counts, whatever is chosen beside it: "410ft". */
const carriesUnit = (text) => /[^\d.,;+\-\u2212\u2013\s\u00a0\u202f\u2009]/.test(text);

/** @param {Entry} entry @param {Typed} typed @returns {string} the text for core */
export function textFor(entry, typed) {
  if (isEmpty(typed)) return "";
  if (typeof typed === "string") return typed;
  return entry.type === "list" ? listText(entry, typed) : numberText(entry, typed.value, typed.unit);
}

function numberText(entry, text, unit) {
  return unit === entry.unit || carriesUnit(text) || text.trim() === "" ? text : `${text.trim()} ${unit}`;
}

/** In a list each number carries its unit. */
function listText(entry, { value, unit }) {
  const mark = value.includes(";") ? ";" : ",";
  return value
    .split(mark)
    .map((piece) => numberText(entry, piece, unit))
    .join(mark);
}

/** @param {Entry[]} entries @param {Record<string, Typed>} values @returns {Record<string, string>} what core is asked with */
export function inputsFor(entries, values) {
  const texts = entries.map((entry) => [entry.name, textFor(entry, values[entry.name])]);
  return Object.fromEntries(texts.filter(([, text]) => text.trim() !== ""));
}

export const isNeeded = (entry) => !entry.optional && entry.default === undefined;

/** @returns {Entry[]} the inputs without which there is no result */
export function lacking(entries, values) {
  return entries.filter((entry) => isNeeded(entry) && isEmpty(values[entry.name]));
}

/** An input as a note shows it: as it was typed, with the unit that was chosen; a default where nothing was typed. */
export function shownInput(entry, typed) {
  const value = isEmpty(typed) ? entry.default : typed;
  if (isEmpty(value)) return "";
  if (entry.choices) return `${entry.label}: ${labelOf(entry.choices, value)}`;
  const { value: text, unit } = typeof value === "string" ? { value, unit: entry.unit } : value;
  return `${entry.label}: ${text.trim()}${carriesUnit(text) || !unit ? "" : ` ${unitWord(unit)}`}`;
}

/** Example texts as core describes them -> what the form holds. */
export function fromTexts(entries, texts) {
  const given = entries.filter(({ name }) => texts[name] !== undefined);
  return Object.fromEntries(given.map((entry) => [entry.name, fromText(entry, texts[entry.name])]));
}

function fromText(entry, text) {
  if (!["number", "list"].includes(entry.type)) return text;
  const [, number, unit] = /^([\d.,+-]+)\s*(\D.*)$/.exec(text) ?? [];
  return entry.units.includes(unit) ? { value: number, unit } : { value: text, unit: entry.unit };
}
