// A short notice over the screen, read out by screen readers.

import { html, nothing, render } from "lit-html";

const SHOWN_MS = 4_000;
const SHOWN_BAD_MS = 15_000;

let place = null;
let timer = 0;

/** @param {HTMLElement} element where notices appear */
export function notice(element) {
  place = element;
  place.className = "notice-place";
  place.setAttribute("role", "status");
  place.setAttribute("aria-live", "polite");
}

/**
 * @param {string} text
 * @param {"plain" | "good" | "bad"} tone
 */
export function say(text, tone = "plain") {
  clearTimeout(timer);
  render(shown(text, tone), place);
  timer = setTimeout(clear, tone === "bad" ? SHOWN_BAD_MS : SHOWN_MS);
}

function clear() {
  render(nothing, place);
}

function shown(text, tone) {
  return html`<div class="notice notice-${tone}">
    <p>${text}</p>
    <button class="quiet-button" @click=${clear}>Close</button>
  </div>`;
}
