/** The mark of a verdict whose limit was written down from memory, for places too small for its source, and what the mark means. */
import { html, nothing } from "lit-html";

const isFromMemory = (check) => check?.source?.seen === "memory";

/** @param {object | object[]} checks one check, or those that share a row */
export function memoryMark(checks) {
  if (![checks].flat().some(isFromMemory)) return nothing;
  return html`<span class="memory-mark"><span aria-hidden="true">†</span><span class="unseen">, limit from memory</span></span>`;
}

/** Stands once below what is marked; nothing where nothing is. */
export function memoryLegend(checks) {
  if (!checks.some(isFromMemory)) return nothing;
  return html`<p class="memory-legend">† limit from memory, check your edition</p>`;
}
