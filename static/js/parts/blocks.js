/** The record model's blocks drawn for screen and paper. Every text is final: nothing is added, nothing rounded. */
import { html, nothing } from "lit-html";
import { enlargeable } from "./enlarge.js";
import { unbroken } from "./figure.js";
import { picture } from "./photos.js";

const drawings = new WeakMap();

/**
 * @param block of the record model; @param title its section and its place there, to name what scrolls.
 */
export function recordBlock(block, title, app) {
  const draw = DRAW[block.form];
  return draw
    ? draw(block, title, app)
    : html`<p class="field-error">This version cannot show a part of the record (${block.form}). Update the app.</p>`;
}

const DRAW = { rows, table, svg: drawing, text: lines, code, photos, signatures };

function rows({ rows: pairs }) {
  return html`<dl class="record-rows">
    ${pairs.map(
      ([label, text]) =>
        html`<div>
          <dt>${label}</dt>
          <dd>${unbroken(text)}</dd>
        </div>`,
    )}
  </dl>`;
}

const isNil = (text) => text === "" || text === "–";

/** Margin tables by their heads: on a narrow screen a row of them is two lines, and a source is said where it changes. */
const MARGIN_COLUMNS = {
  Measured: "measured",
  Limit: "limit",
  Margin: "margin",
  Verdict: "verdict",
  Source: "source",
};
const isMargins = ({ head }) => Object.keys(MARGIN_COLUMNS).every((name) => head.includes(name));

function marginClass({ head, rows: body }, place, index) {
  const column = MARGIN_COLUMNS[head[index]] ?? "check";
  const isSame = column === "source" && place > 0 && body[place - 1][index] === body[place][index];
  const figures = ["Measured", "Limit", "Margin"].map((name) => head.indexOf(name));
  const goesOn = figures.includes(index) && figures.some((other) => other > index && !isNil(body[place][other]));
  const isFailing = column === "verdict" && body[place][index].startsWith("Fails");
  return `margin-${column} ${isSame ? "same" : ""} ${goesOn ? "goes-on" : ""} ${isFailing ? "margin-fails" : ""}`;
}

/** On a narrow screen each row becomes a card with its column heads; the roles keep it a table for screen readers. */
function table(block, title) {
  const { head, align = [], rows: body } = block;
  const margins = isMargins(block);
  const side = (index, text) => `${align[index] === "r" ? "number" : ""} ${isNil(text) ? "nil" : ""}`;
  const cell = (text, index, place) => `${side(index, text)} ${margins ? marginClass(block, place, index) : ""}`;
  const kind = margins ? "record-table record-margins" : "record-table";
  return html`<div class=${kind} role="region" aria-label=${`${title}, table`} tabindex="0">
    <table role="table">
      <thead role="rowgroup">
        <tr role="row">
          ${head.map((text, index) => html`<th role="columnheader" scope="col" class=${side(index)}>${text}</th>`)}
        </tr>
      </thead>
      <tbody role="rowgroup">
        ${body.map(
          (cells, place) =>
            html`<tr role="row">
              ${cells.map(
                (text, index) =>
                  html`<td role="cell" class=${cell(text, index, place)} data-head=${head[index] ?? ""}
                    ><span>${unbroken(text)}</span></td
                  >`,
              )}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

function lines({ lines: texts }) {
  return texts.map((text) => html`<p class="record-line">${unbroken(text)}</p>`);
}

/** Commands to be typed as they stand: a line is never broken, so that none is copied wrongly. */
function code({ lines: texts }, title) {
  return html`<pre class="record-code" role="region" aria-label=${`${title}, to be typed`} tabindex="0">${texts.join("\n")}</pre>`;
}

function photos({ items }, title, app) {
  if (!items.length) return nothing;
  return html`<ul class="record-photos">
    ${items.map(
      (item) =>
        html`<li>
          <figure>
            ${picture(app, item, "record-photo")}
            <figcaption>${item.caption}</figcaption>
          </figure>
        </li>`,
    )}
  </ul>`;
}

function signatures({ items }) {
  return html`<ul class="record-signatures">
    ${items.map(
      (item) =>
        html`<li>
          ${svgFigure(item, item.svg, `Signature of ${item.name}`)}
          ${item.typed ? html`<span>${item.typed}</span>` : nothing}
          <strong>${item.name}</strong><span>${item.role}</span><span>${item.at}</span>
        </li>`,
    )}
  </ul>`;
}

/** Drawn for paper: too fine for a phone's width, hence the key. */
function drawing(block, title) {
  return enlargeable(svgFigure(block, block.text, block.alt), title);
}

/** The same element each time a block is drawn: lit moves it instead of parsing it again. */
function svgFigure(owner, text, alt) {
  if (!text) return nothing;
  if (!drawings.has(owner)) drawings.set(owner, parsed(text, alt));
  return html`<figure class="record-drawing">${drawings.get(owner)}</figure>`;
}

const ACTIVE = "script, foreignObject, iframe, object, embed, animate, set, use, image, a, style";

/** SVG text -> an element of this page without anything that could act; a sentence where it can't be read. */
function parsed(text, alt) {
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (root.localName !== "svg" || root.querySelector("parsererror")) return unreadable(alt);
  for (const element of root.querySelectorAll(ACTIVE)) element.remove();
  for (const element of [root, ...root.querySelectorAll("*")]) {
    for (const { name } of [...element.attributes])
      if (name.startsWith("on") || name === "style" || name.endsWith("href")) element.removeAttribute(name);
  }
  root.setAttribute("role", "img");
  root.setAttribute("aria-label", alt);
  return document.adoptNode(root);
}

function unreadable(alt) {
  const words = document.createElement("p");
  words.className = "field-error";
  words.textContent = `${alt}: this drawing could not be shown.`;
  return words;
}
