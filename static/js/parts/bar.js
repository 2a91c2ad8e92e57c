/** The margin bar: the limit as a line with the failing side hatched, the reading as a pointer, its uncertainty as a band. */
import { html, nothing, svg } from "lit-html";
import { valueText } from "./values.js";

const INSET = 12;
const WIDTH = 1000;

/** @param check a check row of core; without a bar (yes/no findings, not measured) nothing is drawn. */
export function marginBar(check) {
  const bar = check?.bar;
  if (!bar) return nothing;
  const failsRight = check.limit?.sense !== "min";
  return html`<svg
    class="margin-bar margin-bar-${check.verdict}"
    viewBox="0 0 ${WIDTH + 2 * INSET} 96"
    role="img"
    aria-label=${spoken(check)}
  >
    ${svg`<g transform="translate(${INSET} 0)">
      <rect class="bar-ground" x="0" y="38" width=${WIDTH} height="32"></rect>
      ${failsRight ? failing(bar.limit, WIDTH) : failing(0, bar.limit)}
      ${band(bar.band)}
      <path class="bar-limit" d="M${bar.limit} 22V86"></path>
      <path class="bar-pointer" d="M${bar.position} 66l-22 -44h44z"></path>
    </g>`}
  </svg>`;
}

/** The failing side: slanted strokes, so that it shows without colour too. */
function failing(from, to) {
  const strokes = [];
  for (let x = from + 8; x < to - 8; x += 28) strokes.push(`M${x} 70l${Math.min(20, to - x)} -32`);
  return svg`<path class="bar-failing" d=${strokes.join("") || "M0 0"}></path>`;
}

function band(edges) {
  if (!edges) return nothing;
  return svg`<rect class="bar-band" x=${edges[0]} y="44" width=${Math.max(edges[1] - edges[0], 4)} height="20"></rect>`;
}

function spoken(check) {
  const side = check.limit?.sense === "min" ? "at least" : "at most";
  const unsure = check.uncertainty ? `, uncertainty ${valueText(check.uncertainty)}` : "";
  return `Measured ${valueText(check.measured)}, limit ${side} ${valueText(check.limit)}${unsure}`;
}
