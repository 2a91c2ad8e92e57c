/** One input of a calculator as a field, made from its description. */
import { html } from "lit-html";
import { isNeeded } from "./bench_typed.js";
import { fieldInput, isEmpty } from "./fields.js";
import { grouped, radios } from "./frame.js";
import { joined, unitWord } from "./values.js";

const MOST_BUTTONS = 4;

/**
 * @param {import("./bench_typed.js").Entry} entry
 * @param {{value: import("./bench_typed.js").Typed, error: string, onChange: (value: any) => void}} state
 */
export function benchField(entry, { value, error, onChange }) {
  const input = { field: fieldOf(entry), value: value ?? null, error, onChange, id: `bench-${entry.name}` };
  return entry.type === "word" ? wordField(entry, input) : fieldInput(input);
}

function fieldOf(entry) {
  const shared = { name: entry.name, label: entry.label, hint: hintOf(entry), required: isNeeded(entry) };
  if (entry.type === "word") return { ...shared, type: "word", words: entry.choices };
  if (entry.type === "count") return { ...shared, type: "count" };
  if (entry.type === "text") return { ...shared, type: "text" };
  // A list needs a comma, which the keypads of some phones lack.
  const mode = entry.type === "list" ? "text" : "decimal";
  return { ...shared, type: "quantity", units: entry.units, mode, negative: entry.type === "number" && goesBelowZero(entry) };
}

/** Without a bound anything may be typed. */
const goesBelowZero = ({ low, above }) => Number(low ?? above ?? -1) < 0;

/** What is asked for, in which range, and what holds when it is left out. */
function hintOf(entry) {
  const several = entry.type === "list" ? "several with commas between" : "";
  const meaning = entry.meaning.toLowerCase() === entry.label.toLowerCase() ? "" : entry.meaning;
  const asked = capital(joined([meaning, entry.range, several], "; "));
  return `${asked}${asked && "."}${leftOut(entry)}`.trim();
}

function leftOut(entry) {
  if (entry.optional) return " May be left out.";
  if (entry.default === undefined || entry.type === "word") return "";
  return ` ${`${entry.default} ${unitWord(entry.unit)}`.trim()} when left out.`;
}

const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

/** A word that stands when nothing is chosen is shown as chosen. */
function wordField(entry, input) {
  const value = isEmpty(input.value) ? (entry.default ?? null) : input.value;
  if (entry.choices.length > MOST_BUTTONS) return fieldInput({ ...input, value });
  const { field, id, error, onChange } = input;
  const keys = radios({ id, words: entry.choices, value, onChange });
  return grouped({ field, error, id }, html`<div class="choices">${keys}</div>`);
}
