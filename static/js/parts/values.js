/** How values of entries read on the screen. Nothing here rounds: a value is shown as it was typed, or as core printed it. */

const UNIT_WORDS = {
  ohm: "Ω",
  mohm: "mΩ",
  kohm: "kΩ",
  percent: "%",
  degC: "°C",
  degF: "°F",
  uW: "µW",
  um: "µm",
  us: "µs",
  mm2: "mm²",
  deg: "°",
  "ohm*m": "Ωm",
  "ohm*cm": "Ωcm",
  "1/km2/yr": "per km² a year",
  "1/yr": "a year",
  yr: "years",
  1: "",
};

export const unitWord = (unit) => UNIT_WORDS[unit] ?? unit ?? "";

/** A typed value {value, unit}, or core's {text, unit}, or plain text -> text with its unit. */
export function valueText(value) {
  if (value === null || value === undefined) return "";
  if (typeof value !== "object") return String(value);
  return `${value.value ?? value.text ?? ""} ${unitWord(value.unit)}`.trim();
}

/** What a thing of a view holds under a name, or undefined. */
export const held = (thing, name) => thing?.fields?.[name]?.value ?? undefined;

/** A typed number with its sign turned, since decimal keypads of some phones have no minus. */
export const turnedSign = (text) => (/^\s*[-\u2212]/.test(text) ? text.replace(/^\s*[-\u2212]/, "") : `-${text}`);

/** The name of a thing, or what to call it without one. */
export const nameOf = (thing, otherwise = "") => held(thing, "name") || otherwise;

/** `2026-03-14T10:22:05.123+01:00` -> `2026-03-14 10:22`, in the zone it was written in. */
export const timeText = (at) => (at ? `${at.slice(0, 10)} ${at.slice(11, 16)}` : "");

/** The fields of a kind of thing, as core describes them. */
export const fieldsOf = (app, kind) => app.describe.things[kind] ?? [];

/** [value, label] pairs -> the label of a value; the value itself when it has none. */
export const labelOf = (pairs, value) => (pairs ?? []).find((pair) => pair[0] === value)?.[1] ?? value;

/** The label of a word that a field of a kind holds. */
export function wordText(app, kind, name, value) {
  const field = fieldsOf(app, kind).find((each) => each.name === name);
  return labelOf(field?.words, value);
}

/** "1 photo", "3 photos". */
export const counted = (number, one, many = `${one}s`) => `${number} ${number === 1 ? one : many}`;

/** Joins what is there with a separator. */
export const joined = (parts, between = " · ") => parts.filter(Boolean).join(between);

/** The query that carries defaults to another screen. */
export function query(values) {
  const pairs = Object.entries(values ?? {}).filter(([, value]) => value !== undefined && value !== null && value !== "");
  const text = new URLSearchParams(pairs.map(([key, value]) => [key, String(value)])).toString();
  return text ? `?${text}` : "";
}
