/** A reading that is a table: a row a line, big number inputs, lists for words. Several cells pasted into one fill the rows. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { blankTable, mostRows, pastedCells, withCell, withoutRow, withPasted, withRow, withRowBack, withUnit } from "./table_cells.js";
import { turnedSign, unitWord } from "./values.js";

/** More rows than this at once would make a phone slow, and nobody types so many: the others are paged. */
const ROWS_SHOWN = 20;
const MOST_BESIDE = 2;

/** As it stands: a key may be pressed before the one before it is drawn, so no handler takes the table that was drawn. */
export const tableOf = ({ quantity, body }) => body.table ?? blankTable(quantity);

/**
 * @param state {quantity, body, errors}; what only the screen knows (which rows are shown, the row taken out last) is kept in it too
 * @param onChange(changes) with the new table
 */
export function tableInput(state, onChange, app) {
  const table = tableOf(state);
  const change = changing(state, onChange);
  const first = firstShown(state, table);
  const shown = table.rows.slice(first, first + ROWS_SHOWN);
  const beside = state.quantity.columns.length <= MOST_BESIDE;
  return html`<div
    class=${beside ? "table-input table-beside" : "table-input"}
    id="reading-value"
    role="group"
    aria-label=${state.quantity.title}
    tabindex="-1"
    @keydown=${(event) => onEnter(event, state, change, app)}
  >
    ${unitChoices(state, change)} ${pager(state, table, first, app)}
    <ol class="table-rows" start=${first + 1}>
      ${shown.map((cells, place) => rowOf(state, table, first + place, cells, change, app))}
    </ol>
    ${undo(state, onChange)} ${words(state)}
  </div>`;
}

/** The key at the thumb. */
export function addRowKey(state, onChange, app) {
  if (state.quantity.form !== "table") return nothing;
  const add = () => addRow(state, changing(state, onChange), app);
  return html`<button type="button" class="second-action table-add" @click=${add}>Add row</button>`;
}

function changing(state, onChange) {
  return (next) => {
    Object.assign(state, { taken: null, pasted: "", fault: "" });
    onChange({ table: next });
  };
}

// ---- which rows are shown

function firstShown(state, { rows }) {
  const last = Math.max(0, rows.length - ROWS_SHOWN);
  return Math.min(state.firstRow ?? last, last);
}

function pager(state, { rows }, first, app) {
  if (rows.length <= ROWS_SHOWN) return nothing;
  const to = (row) => {
    state.firstRow = Math.max(0, Math.min(row, rows.length - ROWS_SHOWN));
    app.redraw();
  };
  return html`<div class="table-pager">
    <button type="button" class="key" ?disabled=${first === 0} @click=${() => to(first - ROWS_SHOWN)}>Earlier</button>
    <span role="status">Rows ${first + 1} to ${first + ROWS_SHOWN} of ${rows.length}</span>
    <button type="button" class="key" ?disabled=${first + ROWS_SHOWN >= rows.length} @click=${() => to(first + ROWS_SHOWN)}>
      Later
    </button>
  </div>`;
}

// ---- a row

const cellId = (row, column) => `cell-${row}-${column}`;
const faultOf = ({ errors }, { label }, row) => errors[`${label.toLowerCase()} in row ${row + 1}`];

function rowOf(state, table, row, cells, change, app) {
  const { columns } = state.quantity;
  const takeOut = () => {
    const taken = tableOf(state);
    change(withoutRow(state.quantity, taken, row));
    state.taken = { row, cells: taken.rows[row] };
    app.redraw();
  };
  return html`<li class="table-row">
    <span class="table-number" aria-hidden="true">${row + 1}</span>
    <div class="table-cells">${columns.map((column, place) => cell(state, table, row, place, cells[place], change, app))}</div>
    <button type="button" class="quiet-button table-out" aria-label=${`Take out row ${row + 1}`} @click=${takeOut}>✕</button>
    ${columns.map((column) => faultLine(faultOf(state, column, row)))} ${faultLine(state.errors[`row ${row + 1}`])}
  </li>`;
}

const faultLine = (text) => (text ? html`<p class="field-error" role="alert">${text}</p>` : nothing);

function cell(state, table, row, place, text, change, app) {
  const column = state.quantity.columns[place];
  const put = (next) => change(withCell(tableOf(state), row, place, next));
  const unit = column.units ? unitWord(table.units[place]) : "";
  return html`<div class=${column.words ? "table-cell table-cell-word" : "table-cell"}>
    <label for=${cellId(row, place)}>${column.label}${unit ? html` <small>${unit}</small>` : nothing}</label>
    ${column.words ? wordList(state, row, place, text, put) : numberCell(state, row, place, text, put, change, app)}
  </div>`;
}

const named = (state, row, place) => `${state.quantity.columns[place].label}, row ${row + 1}`;

function wordList(state, row, place, text, put) {
  const { words: all, optional, label } = state.quantity.columns[place];
  return html`<select
    id=${cellId(row, place)}
    aria-label=${named(state, row, place)}
    aria-invalid=${faultOf(state, { label }, row) ? "true" : "false"}
    @change=${(event) => put(event.target.value)}
  >
    <option value="" .selected=${live(text === "")}>${optional ? "Not set" : "Choose"}</option>
    ${all.map(([word, shown]) => html`<option value=${word} .selected=${live(word === text)}>${shown}</option>`)}
  </select>`;
}

function numberCell(state, row, place, text, put, change, app) {
  const column = state.quantity.columns[place];
  const flip = () => put(turnedSign(tableOf(state).rows[row][place]));
  return html`<div class="table-number-cell">
    ${
      Number(column.low) < 0
        ? html`<button type="button" class="sign-key" aria-label=${`Plus or minus, ${named(state, row, place)}`} @click=${flip}>
            ±
          </button>`
        : nothing
    }
    <input
      id=${cellId(row, place)}
      type="text"
      inputmode="decimal"
      autocomplete="off"
      enterkeyhint="next"
      aria-label=${named(state, row, place)}
      aria-invalid=${faultOf(state, column, row) ? "true" : "false"}
      .value=${live(text)}
      @input=${(event) => put(event.target.value)}
      @paste=${(event) => onPaste(event, state, row, place, change, app)}
    />
  </div>`;
}

// ---- units

function unitChoices(state, change) {
  const chosen = tableOf(state).units;
  const several = state.quantity.columns
    .map((column, place) => ({ column, place }))
    .filter(({ column }) => (column.units ?? []).length > 1);
  return several.map(
    ({ column, place }) =>
      html`<div class="marks" role="group" aria-labelledby=${`unit-${place}`}>
        <span class="marks-label" id=${`unit-${place}`}>${column.label} in</span>
        <div class="key-row">
          ${column.units.map(
            (unit) =>
              html`<button
                type="button"
                class="key"
                aria-pressed=${chosen[place] === unit ? "true" : "false"}
                @click=${() => change(withUnit(tableOf(state), place, unit))}
              >
                ${unitWord(unit)}
              </button>`,
          )}
        </div>
      </div>`,
  );
}

// ---- rows come and go

function addRow(state, change, app) {
  const table = tableOf(state);
  if (table.rows.length >= mostRows(state.quantity)) {
    state.fault = `At most ${mostRows(state.quantity)} rows fit.`;
    app.redraw();
    return;
  }
  state.firstRow = undefined;
  change(withRow(state.quantity, table));
  focusCell(table.rows.length);
}

function focusCell(row) {
  requestAnimationFrame(() => {
    const place = document.getElementById(cellId(row, 0));
    place?.focus({ preventScroll: true });
    place?.scrollIntoView({ block: "center" });
  });
}

function undo(state, onChange) {
  const { taken } = state;
  if (!taken) return nothing;
  const back = () => {
    state.taken = null;
    onChange({ table: withRowBack(tableOf(state), taken.row, taken.cells) });
  };
  return html`<p class="table-undo" role="status">
    Row ${taken.row + 1} taken out. <button type="button" class="quiet-button" @click=${back}>Put it back</button>
  </p>`;
}

const words = ({ pasted, fault, errors }) => html`
  ${pasted ? html`<p class="trial-hint" role="status">${pasted}</p>` : nothing}
  ${faultLine(fault)} ${faultLine(errors.table)} ${faultLine(errors.units)}
`;

/** The keypad's own key goes to the next cell, and from the last one to a new row. */
function onEnter(event, state, change, app) {
  if (event.key !== "Enter" || !event.target.matches("input, select")) return;
  event.preventDefault();
  const cells = [...event.currentTarget.querySelectorAll(".table-cell input, .table-cell select")];
  const next = cells[cells.indexOf(event.target) + 1];
  if (next) next.focus();
  else addRow(state, change, app);
}

function onPaste(event, state, row, place, change, app) {
  const text = event.clipboardData?.getData("text/plain") ?? "";
  try {
    const cells = pastedCells(text);
    if (!cells) return;
    event.preventDefault();
    const { table: next, said } = withPasted(state.quantity, tableOf(state), row, place, cells);
    change(next);
    state.pasted = said;
  } catch (error) {
    event.preventDefault();
    state.fault = error.message;
  }
  app.redraw();
}
