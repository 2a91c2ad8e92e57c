/** All checks of a link, by group: what was measured against what limit, and what is still not measured. */
import { html, nothing } from "lit-html";
import { checkShort } from "../parts/check_row.js";
import { labelOf, nameOf, query } from "../parts/values.js";
import { fails, verdictShape } from "../parts/verdict.js";

const FILTERS = [
  ["all", "All", () => true],
  ["failing", "Failing", (check) => fails(check.verdict)],
  ["open", "Not measured", (check) => check.verdict === "not_measured" && check.required],
];

export async function load({ book, link, show }, app) {
  await app.openBook(book);
  const [view, judged] = await Promise.all([app.core("link", { book, link }), app.core("checks", { book, link })]);
  return { book, link, view, ...judged, show: FILTERS.some(([name]) => name === show) ? show : "all" };
}

export function view(model, app) {
  const { book, link, view: shown, checks, show } = model;
  const wanted = FILTERS.find(([name]) => name === show)[2];
  const rows = checks.filter(wanted);
  return html`<section class="page checks">
    <p class="crumb"><a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a></p>
    <h1>Checks</h1>
    <div class="filter" role="group" aria-label="Show">
      ${FILTERS.map(([name, label, test]) => filterKey(model, app, name, label, checks.filter(test).length))}
    </div>
    ${
      rows.length
        ? app.describe.words.groups.map(([group]) => groupOf(model, app, group, rows))
        : html`<p class="none">${nothingTo(show)}</p>`
    }
    ${show === "all" ? applications(model.applications) : nothing}
    <nav class="thumb-bar" aria-label="Go on">
      <a class="main-action" href=${`#/book/${book}/link/${link}/reading`}>Reading</a
      ><a class="main-action" href=${`#/book/${book}/link/${link}/sign`}>Sign</a>
    </nav>
  </section>`;
}

function filterKey(model, app, name, label, count) {
  const choose = () => {
    model.show = name;
    history.replaceState(
      null,
      "",
      `#/book/${model.book}/link/${model.link}/checks${query({ show: name === "all" ? "" : name })}`,
    );
    app.redraw();
  };
  return html`<button type="button" class="key" aria-pressed=${model.show === name ? "true" : "false"} @click=${choose}>
    ${label} <strong>${count}</strong>
  </button>`;
}

function nothingTo(show) {
  return (
    { failing: "Nothing fails.", open: "Nothing that is required is left unmeasured." }[show] ??
    "There is nothing to check yet: record the route and take readings."
  );
}

function groupOf({ book, link }, app, group, rows) {
  const mine = rows.filter((check) => check.group === group);
  if (!mine.length) return nothing;
  const address = (check) => `#/book/${book}/link/${link}/check${query({ id: check.id })}`;
  return html`<section class="check-group" aria-labelledby=${`group-${group}`}>
    <h2 id=${`group-${group}`}>${labelOf(app.describe.words.groups, group)}</h2>
    <ul class="check-rows">
      ${mine.map(
        (check) => html`<li><a class=${`check-row check-${check.verdict}`} href=${address(check)}>${checkShort(check)}</a></li>`,
      )}
    </ul>
  </section>`;
}

const CARRIES = { supported: ["pass", "carries"], no: ["fail", "does not carry"], not_proven: ["not_measured", "not proven"] };

/** Which Ethernet applications the measured link carries, with core's reason. */
function applications(rows) {
  if (!rows?.length) return nothing;
  return html`<section class="check-group" aria-labelledby="applications-title">
    <h2 id="applications-title">What this link can carry</h2>
    <ul class="applications">
      ${rows.map((row) => {
        const [verdict, words] = CARRIES[row.verdict] ?? ["not_measured", row.verdict];
        return html`<li>
          <strong>${row.label}</strong>
          <span class=${`verdict verdict-${verdict}`}>${verdictShape(verdict)}<span>${words}</span></span>
          <p>${row.reason}</p>
        </li>`;
      })}
    </ul>
  </section>`;
}
