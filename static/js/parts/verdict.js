/** A verdict as word, own shape and colour: a block that stands above its limit line, across it, or below it. */
import { html, svg } from "lit-html";

const WORDS = {
  pass: "passes",
  pass_within_uncertainty: "passes within uncertainty",
  fail_within_uncertainty: "fails within uncertainty",
  fail: "fails",
  not_measured: "not measured",
};

const SHAPES = {
  pass: svg`<path class="solid" d="M6 3h12v10H6z"/><path class="stroke" d="M1 19h22"/>`,
  pass_within_uncertainty: svg`<path class="solid" d="M6 3h12v11H6z"/><path class="stroke" d="M7 14v7h10v-7M1 14h22"/>`,
  fail_within_uncertainty: svg`<path class="solid" d="M6 10h12v11H6z"/><path class="stroke" d="M7 10V3h10v7M1 10h22"/>`,
  fail: svg`<path class="solid" d="M6 11h12v10H6z"/><path class="stroke" d="M1 5h22"/>`,
  not_measured: svg`<path class="stroke dashed" d="M6 6h12v12H6z"/>`,
};

export const verdictWord = (verdict) => WORDS[verdict] ?? verdict;

export const passes = (verdict) => verdict === "pass" || verdict === "pass_within_uncertainty";
export const fails = (verdict) => verdict === "fail" || verdict === "fail_within_uncertainty";

export function verdictShape(verdict) {
  return html`<svg class="verdict-shape" viewBox="0 0 24 24" aria-hidden="true">${SHAPES[verdict] ?? SHAPES.not_measured}</svg>`;
}

/** The verdict's shape and word; a check accepted as a deviation says so after it. */
export function verdictMark(verdict, deviation = null) {
  return html`<span class="verdict verdict-${verdict}"
    >${verdictShape(verdict)}<span class="verdict-word"
      >${verdictWord(verdict)}${deviation ? ", accepted as a deviation" : ""}</span
    ></span
  >`;
}
