// Two values that did not see each other: both are shown, and the person says which one stands.

import { html, nothing } from "lit-html";
import { unitWord } from "./values.js";

/**
 * @param {{field: object, stored?: {value: any, at: string, by: string, also?: object[]}, touched: boolean,
 *          onChange: (value: any) => void}} given
 */
export function settling({ field, stored, touched, onChange }) {
  if (!stored?.also?.length || touched) return nothing;
  return html`<aside class="notice" aria-label="${field.label}: two values">
    <p>${field.label} was set in two ways, each without seeing the other. Which one stands?</p>
    ${[stored, ...stored.also].map(
      ({ value, by, at }) =>
        html`<button type="button" class="second-action" @click=${() => onChange(value)}>
          Use ${words(field, value)}${by ? html` <small>(${by}, ${at.slice(0, 16).replace("T", " ")})</small>` : nothing}
        </button>`,
    )}
  </aside>`;
}

function words(field, value) {
  if (value === null || value === undefined) return "nothing";
  if (typeof value === "string") return field.words?.find(([word]) => word === value)?.[1] ?? `"${value}"`;
  if (Array.isArray(value)) return `${value.length} ties`;
  if ("lat" in value) return `${value.lat}, ${value.lon}`;
  return `${value.value} ${unitWord(value.unit)}`;
}

/** Says on a site or link that something is to be settled, and where. */
export function settlingHint(conflicts) {
  if (!conflicts?.length) return nothing;
  const where = [...new Set(conflicts.map(({ kind }) => kind))].join(", ");
  return html`<aside class="notice">
    <p>
      ${conflicts.length === 1 ? "One field was" : `${conflicts.length} fields were`} set in two ways (${where}). Open it and
      choose which stands.
    </p>
  </aside>`;
}
