/** The record model's blocks drawn for screen and paper. Every text is final: nothing is added, nothing rounded. */
import { html, nothing } from "lit-html";
import { picture } from "./photos.js";

const drawings = new WeakMap();

/** @param block of the record model; @param title its section and its place there, to name what scrolls. */
export function recordBlock(block, title, app) {
  const draw = DRAW[block.form];
  return draw
    ? draw(block, title, app)
    : html`<p class="field-error">This version cannot show a part of the record (${block.form}). Update the app.</p>`;
}

const DRAW = { rows, table, svg: drawing, text: lines, photos, signatures };

function rows({ rows: pairs }) {
  return html`<dl class="record-rows">
    ${pairs.map(
      ([label, text]) =>
        html`<div>
          <dt>${label}</dt>
          <dd>${text}</dd>
        </div>`,
    )}
  </dl>`;
}

/** On a narrow screen each row becomes a card with its column heads; the roles keep it a table for screen readers. */
function table({ head, align = [], rows: body }, title) {
  const side = (index, text) => `${align[index] === "r" ? "number" : ""} ${text === "" || text === "–" ? "nil" : ""}`;
  return html`<div class="record-table" role="region" aria-label=${`${title}, table`} tabindex="0">
    <table role="table">
      <thead role="rowgroup">
        <tr role="row">
          ${head.map((text, index) => html`<th role="columnheader" scope="col" class=${side(index)}>${text}</th>`)}
        </tr>
      </thead>
      <tbody role="rowgroup">
        ${body.map(
          (cells) =>
            html`<tr role="row">
              ${cells.map(
                (text, index) => html`<td role="cell" class=${side(index, text)} data-head=${head[index] ?? ""}>${text}</td>`,
              )}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

function lines({ lines: texts }) {
  return texts.map((text) => html`<p class="record-line">${text}</p>`);
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
          <strong>${item.name}</strong><span>${item.role}</span><span>${item.at}</span>
        </li>`,
    )}
  </ul>`;
}

/** Drawn for paper: on a phone it keeps a size that can be read, and is moved sideways. */
function drawing(block, title) {
  return html`<div class="record-wide" role="region" aria-label=${`${title}, drawing`} tabindex="0">
    ${svgFigure(block, block.text, block.alt)}
  </div>`;
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
