/** Checks of one rule that pass, folded into one row that names the tightest; what fails or waits is never folded. */
import { html } from "lit-html";
import { marginBar } from "./bar.js";
import { unbroken } from "./figure.js";
import { memoryLegend, memoryMark } from "./memory.js";
import { valueText } from "./values.js";
import { fails, verdictMark } from "./verdict.js";

const LEAST_TO_FOLD = 2;

/**
 * What fails first, then what waits, then what passes, each in core's order.
 * @returns {(object | object[])[]} a check, or the checks of a rule that fold into one row
 */
export function foldedRows(checks) {
  const calm = checks.filter(({ verdict }) => verdict === "pass");
  const urgent = checks.filter(({ verdict }) => verdict !== "pass");
  const failing = urgent.filter(({ verdict }) => fails(verdict));
  const open = urgent.filter(({ verdict }) => verdict === "not_measured");
  const close = urgent.filter((check) => !failing.includes(check) && !open.includes(check));
  return [...failing, ...open, ...close, ...[...byRule(calm)].flatMap((rule) => (rule.length < LEAST_TO_FOLD ? rule : [rule]))];
}

function byRule(checks) {
  const rules = new Map();
  for (const check of checks) rules.set(check.rule, [...(rules.get(check.rule) ?? []), check]);
  return rules.values();
}

/** @param row draws one check; @param open whether it shows them all. */
export function foldOf(checks, row, open) {
  const tightest = tightestOf(checks);
  const spare = tightest ? [", tightest ", unbroken(`${valueText(tightest.margin)} to spare`)] : "";
  return html`<details class="check-fold" ?open=${open}>
    <summary>
      <span class="check-title">${sharedTitle(checks)}:</span> ${checks.length} pass${spare}
      <span class="check-fold-foot">${verdictMark("pass")}${memoryMark(checks)}<span class="check-fold-bar">${marginBar(tightest)}</span></span>
      ${memoryLegend(checks)}
    </summary>
    <ul class="check-rows">
      ${checks.map((check) => html`<li>${row(check)}</li>`)}
    </ul>
  </details>`;
}

/** The one with the least margin; none where margins are of different units, or where a rule has none. */
function tightestOf(checks) {
  const unit = checks[0].margin?.unit;
  if (!checks.every(({ margin }) => margin && margin.unit === unit)) return null;
  return checks.reduce((least, check) => (Number(check.margin.text) < Number(least.margin.text) ? check : least));
}

/** What the titles have in common, at the start and after a colon at the end: "Loss", "Bond: resistance". */
function sharedTitle(checks) {
  const titles = checks.map(({ title }) => title);
  const words = titles.map((title) => title.split(" "));
  const differs = words[0].findIndex((word, place) => words.some((each) => each[place] !== word));
  const shared = differs < 0 ? titles[0] : words[0].slice(0, differs).join(" ");
  const start = shared.split(/[,:]/)[0].replace(/ at$/, ""); // "Connector at 12.0 m"
  const [end, ...others] = new Set(titles.map((title) => title.split(": ")[1] ?? ""));
  return [start || titles[0], others.length ? "" : end].filter(Boolean).join(": ");
}
