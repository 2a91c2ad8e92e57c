/** What a table holds and what a paste does to it; knows nothing of the page. A table: {units: [...], rows: [[text ...] ...]}. */

const MOST_ROWS = 2000;
const LINES = /\r\n|\r|\n|\u2028|\u2029/;
const BLANK_CELL = /^[\s\u00a0]*$/;

export const mostRows = (quantity) => Number(quantity.most ?? MOST_ROWS);

const emptyRow = (quantity) => quantity.columns.map(() => "");

/** A table without anything in it. @param {string[]} [units] chosen the last time */
export function blankTable(quantity, units = []) {
  const unitOf = ({ units: offered }, place) => (offered?.includes(units[place]) ? units[place] : (offered?.[0] ?? ""));
  const rows = Array.from({ length: Math.max(1, Number(quantity.least ?? 1)) }, () => emptyRow(quantity));
  return { units: quantity.columns.map(unitOf), rows };
}

export const isBlankRow = (row) => row.every((cell) => BLANK_CELL.test(cell));
export const isBegunTable = (table) => Boolean(table?.rows?.some((row) => !isBlankRow(row)));

/** As an entry has it: empty rows at the end left out; one in between stays, so that core can say which row lacks its numbers. */
export function cleanTable({ units, rows }) {
  let count = rows.length;
  while (count > 0 && isBlankRow(rows[count - 1])) count -= 1;
  return { units, rows: rows.slice(0, count).map((row) => row.map((cell) => cell.trim())) };
}

const put = (list, place, value) => list.map((held, index) => (index === place ? value : held));

export const withCell = ({ units, rows }, row, column, text) => ({ units, rows: put(rows, row, put(rows[row], column, text)) });
export const withUnit = ({ units, rows }, column, unit) => ({ units: put(units, column, unit), rows });
export const withRow = (quantity, { units, rows }) => ({ units, rows: [...rows, emptyRow(quantity)] });
export const withRowBack = ({ units, rows }, row, cells) => ({ units, rows: [...rows.slice(0, row), cells, ...rows.slice(row)] });

export function withoutRow(quantity, { units, rows }, row) {
  const left = rows.filter((_, place) => place !== row);
  return { units, rows: left.length ? left : [emptyRow(quantity)] };
}

/**
 * Pasted text as cells, or null when it is one cell's text. Tabs part cells, else semicolons, else commas.
 * @throws {Error} with a sentence, when a comma may be either
 */
export function pastedCells(text) {
  const lines = text.split(LINES).filter((line) => !BLANK_CELL.test(line.replaceAll(/[;,]/g, "")));
  const separator = separatorOf(lines);
  if (lines.length < 2 && !separator) return null;
  return lines.map((line) => (separator ? line.split(separator) : [line]).map((cell) => cell.trim()));
}

function separatorOf(lines) {
  for (const sign of ["\t", ";"]) if (lines.some((line) => line.includes(sign))) return sign;
  if (!lines.some((line) => line.includes(","))) return "";
  const parts = lines.some((line) => /[.a-z]/i.test(line) || /,\s|,.*,/.test(line));
  if (parts) return ",";
  if (lines.length === 1) return "";
  throw new Error(
    "Nothing was put in: each pasted line has one comma, which may be a decimal sign or part two cells. Part cells by tabs or semicolons.",
  );
}

/**
 * Puts pasted cells in, from one cell to the right and down; rows are added as needed.
 * @returns {{table: object, said: string}}
 * @throws {Error} with a sentence; nothing was put in then
 */
export function withPasted(quantity, table, row, column, cells) {
  const fitting = quantity.columns.slice(column);
  const heading = cells.length > 1 && isHeading(cells[0], fitting);
  const body = heading ? cells.slice(1) : cells;
  if (row + body.length > mostRows(quantity))
    throw new Error(`Nothing was put in: that makes ${row + body.length} rows, and at most ${mostRows(quantity)} fit.`);
  const widest = Math.max(...body.map((one) => one.length));
  if (widest > fitting.length)
    throw new Error(`Nothing was put in: a pasted line has ${widest} cells, and from this column there is room for ${fitting.length}.`);
  const rows = table.rows.map((one) => [...one]);
  const unknown = [];
  body.forEach((one, down) => {
    rows[row + down] ??= emptyRow(quantity);
    one.forEach((cell, right) => {
      const word = wordOf(fitting[right], cell);
      if (word === undefined) unknown.push(`“${cell.slice(0, 30)}” in row ${row + down + 1}`);
      rows[row + down][column + right] = word ?? "";
    });
  });
  return { table: { units: table.units, rows }, said: saidOf(body.length, heading, unknown) };
}

const isHeading = (cells, columns) =>
  columns.some(({ words }) => !words) && cells.every((cell, place) => columns[place]?.words || !/\d/.test(cell));

function wordOf({ words }, cell) {
  if (!words || cell === "") return cell;
  const wanted = cell.toLowerCase();
  return words.find((pair) => pair.some((each) => each.toLowerCase() === wanted))?.[0];
}

function saidOf(rows, heading, unknown) {
  const first = `${rows} ${rows === 1 ? "row" : "rows"} put in${heading ? ", the heading line left out" : ""}.`;
  return unknown.length ? `${first} Not understood, so left empty: ${unknown.slice(0, 5).join(", ")}.` : first;
}
