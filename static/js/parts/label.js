/** The sheet of one label: what it is printed on, how it looks, and the label as an SVG file. */
import { html, nothing } from "lit-html";
import { download } from "../export.js";
import { sentence } from "./attempt.js";
import { fieldInput } from "./fields.js";
import { sheet } from "./sheet.js";

const OF_A_CABLE = ["cable", "strand", "pair"];

/** An SVG of core as the address of a picture. */
export const svgAddress = (svg) => `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;

/** @param diameter of the cable, {value, unit}, if it is recorded: a flag is folded around it. */
export function openLabel({ row, stocks, matrix, address, diameter }) {
  const offered = stocks.filter(({ form }) => form !== "sheet");
  const state = { kind: "label", row, offered, matrix, address, diameter, stock: offered[0].id, isFlag: false, made: null, error: "" };
  let latest = 0;
  state.draw = async (app) => {
    const mine = (latest += 1);
    const { texts, around } = { texts: row.lines, around: flagOf(state) };
    const [made, error] = await app.core("label", { texts, matrix, stock: state.stock, around }).then(
      (found) => [found, ""],
      (refusal) => [null, sentence(refusal)],
    );
    if (mine !== latest) return;
    Object.assign(state, { made, error });
    app.redraw();
  };
  return state;
}

const isTape = ({ offered, stock }) => offered.find(({ id }) => id === stock).form === "tape";
const canBeFlag = (state) => OF_A_CABLE.includes(state.row.what.split(":")[0]) && isTape(state);
const flagOf = (state) => (state.isFlag && canBeFlag(state) ? state.diameter : null);

export function labelSheet(state, app, onClose) {
  const { row, offered, made, error } = state;
  const choose = (change) => {
    // Until it is drawn anew there is nothing to save: a finger is quicker than core.
    Object.assign(state, change, { made: null, error: "" });
    app.redraw();
    state.draw(app);
  };
  return sheet({
    title: `Label: ${row.title}`,
    onClose,
    body: html`${fieldInput({
        field: { name: "stock", label: "Printed on", type: "word", words: offered.map(({ id, words }) => [id, words]), keys: true, required: true },
        value: state.stock,
        onChange: (stock) => stock && choose({ stock }),
        id: "label-stock",
      })}
      ${canBeFlag(state) ? flag(state, choose) : nothing}
      <p class="quiet">${offered.find(({ id }) => id === state.stock).about}</p>
      ${error ? html`<p class="field-error" role="alert">${error}</p>` : nothing}
      ${
        made
          ? html`<img class="label-picture" src=${svgAddress(made.svg)} alt=${`Label with ${row.lines.join(", ")} and the code`} />`
          : nothing
      }`,
    actions: made ? keys(state, app) : nothing,
  });
}

/** A flag needs to know how thick the cable is. */
function flag({ isFlag, diameter }, choose) {
  if (!diameter) return html`<p class="quiet">With the cable's outside diameter recorded, a label to fold around it can be made, too.</p>`;
  return fieldInput({
    field: {
      name: "flag",
      label: "Shape",
      type: "word",
      required: true,
      words: [
        ["flat", "Flat"],
        ["flag", "Flag, folded around the cable"],
      ],
    },
    value: isFlag ? "flag" : "flat",
    onChange: (shape) => choose({ isFlag: shape === "flag" }),
    id: "label-flag",
  });
}

function keys(state, app) {
  const file = fileOf(state);
  const canShare = Boolean(navigator.canShare?.({ files: [file] }));
  return html`${canShare ? html`<button type="button" class="second-action" @click=${() => share(file, app)}>Share</button>` : nothing}
    <button type="button" class="main-action" @click=${() => download(file, file.name)}>Save as SVG</button>`;
}

function fileOf({ row, stock, made }) {
  const name = row.value.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "label";
  return new File([made.svg], `${name}-${stock}.svg`, { type: "image/svg+xml" });
}

async function share(file, app) {
  try {
    await navigator.share({ files: [file], title: file.name });
  } catch (error) {
    if (error.name !== "AbortError") app.say("This phone would not share the file. Save it instead.", "bad");
  }
}
