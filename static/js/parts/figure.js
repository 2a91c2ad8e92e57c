/** Numbers with their units, and the names of pairs, which never part at the end of a line. */
import { html } from "lit-html";

const UNITS = [
  ...["km", "mm²", "mm", "m", "ft", "in", "nm", "µm"],
  ...["dBm", "dB", "mW", "µW", "W", "mV", "kV", "V", "mA", "kA", "A", "mΩ", "kΩ", "MΩ", "Ω"],
  ...["ns", "µs", "ms", "s", "min", "h", "MHz", "kHz", "Hz", "Mbit/s", "Gbit/s"],
  ...["%", "°C", "°F", "°", "kg/m", "kg", "N", "AWG"],
];
const PAIR = "\\b[1-7]-[2-8]\\b";
const FIGURE = new RegExp(
  `${PAIR}|(?:[±≤≥] )?[-−+]?\\d[\\d.,]* (?:${UNITS.join("|")})(?![\\p{L}\\p{N}/])(?: ± [\\d.,]+)?`,
  "gu",
);

/** @param text of core or as typed; nothing in it changes but where it may break. */
export function unbroken(text) {
  if (typeof text !== "string") return text;
  const parts = [];
  let end = 0;
  for (const { 0: figure, index } of text.matchAll(FIGURE)) {
    parts.push(text.slice(end, index), html`<span class="figure">${figure}</span>`);
    end = index + figure.length;
  }
  return parts.length ? [...parts, text.slice(end)] : text;
}
