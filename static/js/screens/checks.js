/** All checks of a link, by group: what was measured against what limit, and what is still not measured. */
import { html, nothing } from "lit-html";
import { foldedRows, foldOf } from "../parts/check_fold.js";
import { checkShort } from "../parts/check_row.js";
import { unbroken } from "../parts/figure.js";
import { moduleTrend } from "../parts/module_trend.js";
import { ownLimits } from "../parts/own_limits.js";
import { joined, labelOf, nameOf, query } from "../parts/values.js";
import { fails, passes, verdictShape } from "../parts/verdict.js";

const FILTERS = [
  ["all", "All", () => true],
  ["failing", "Failing", (check) => fails(check.verdict)],
  ["open", "Not measured", (check) => check.verdict === "not_measured" && check.required],
];

export async function load({ book, link, show }, app) {
  await app.openBook(book);
  const asked = ["link", "checks", "trend"].map((op) => app.core(op, { book, link }));
  const [view, judged, trend] = await Promise.all(asked);
  return { book, link, view, ...judged, trend, show: FILTERS.some(([name]) => name === show) ? show : "all", unfolded: false };
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
    ${groupKeys(app, rows)} ${unfoldKey(model, app, rows)}
    ${
      rows.length
        ? foldedGroups(app, rows).map(([group, folded]) => groupOf(model, app, group, folded))
        : html`<p class="none">${nothingTo(show)}</p>`
    }
    ${show === "all" ? html`${applications(model.applications)} ${moduleTrend(model.trend)} ${ownLimits(model, app)}` : nothing}
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

/** The groups with their counts, to jump to; an address after # names a screen, so these are buttons. */
function groupKeys(app, rows) {
  const groups = app.describe.words.groups
    .map(([group, label]) => [group, label, rows.filter((check) => check.group === group)])
    .filter(([, , mine]) => mine.length);
  if (groups.length < 2) return nothing;
  return html`<nav class="group-keys" aria-label="Groups of checks">
    ${groups.map(
      ([group, label, mine]) =>
        html`<button type="button" class="key" @click=${() => jumpTo(group)}>
          <span>${label}</span><small>${counts(mine)}</small>
        </button>`,
    )}
  </nav>`;
}

function counts(checks) {
  const number = (test) => checks.filter(test).length;
  return joined(
    [
      [number((check) => fails(check.verdict)), "fail"],
      [number((check) => check.verdict === "not_measured"), "not measured"],
      [number((check) => passes(check.verdict)), "pass"],
    ].map(([count, word]) => count > 0 && `${count} ${word}`),
    ", ",
  );
}

function jumpTo(group) {
  const heading = document.getElementById(`group-${group}`);
  heading?.focus({ preventScroll: true });
  heading?.scrollIntoView();
}

function unfoldKey(model, app, rows) {
  if (!foldedGroups(app, rows).some(([, folded]) => folded.some(Array.isArray))) return nothing;
  const turn = () => {
    model.unfolded = !model.unfolded;
    app.redraw();
  };
  return html`<button type="button" class="quiet-button unfold" aria-pressed=${model.unfolded ? "true" : "false"} @click=${turn}>
    Every check on a row of its own
  </button>`;
}

const foldedGroups = (app, rows) =>
  app.describe.words.groups.map(([group]) => [group, foldedRows(rows.filter((check) => check.group === group))]);

function groupOf({ book, link, unfolded }, app, group, folded) {
  if (!folded.length) return nothing;
  const address = (check) => `#/book/${book}/link/${link}/check${query({ id: check.id })}`;
  const row = (check) => html`<a class=${`check-row check-${check.verdict}`} href=${address(check)}>${checkShort(check)}</a>`;
  return html`<section class="check-group" aria-labelledby=${`group-${group}`}>
    <h2 id=${`group-${group}`} tabindex="-1">${labelOf(app.describe.words.groups, group)}</h2>
    <ul class="check-rows">
      ${folded.map((each) => html`<li>${Array.isArray(each) ? foldOf(each, row, unfolded) : row(each)}</li>`)}
    </ul>
  </section>`;
}

const CARRIES = { supported: ["pass", "carries"], no: ["fail", "does not carry"], not_proven: ["not_measured", "not proven"] };

/** Which Ethernet applications the measured link carries, with core's reason; the others stay folded. */
function applications(rows) {
  if (!rows?.length) return nothing;
  const carried = rows.filter(({ verdict }) => verdict === "supported");
  const others = rows.filter(({ verdict }) => verdict !== "supported");
  return html`<section class="check-group" aria-labelledby="applications-title">
    <h2 id="applications-title">What this link can carry</h2>
    ${carried.length ? applicationList(carried) : html`<p class="none">None is proven yet.</p>`}
    ${
      others.length
        ? html`<details class="fold">
            <summary>${others.length} that it does not carry, or that are not proven</summary>
            ${applicationList(others)}
          </details>`
        : nothing
    }
  </section>`;
}

function applicationList(rows) {
  return html`<ul class="applications">
    ${rows.map(({ label, verdict, reason }) => {
      const [shape, words] = CARRIES[verdict] ?? ["not_measured", verdict];
      return html`<li>
        <p class="application">
          <strong>${label}</strong><span class=${`verdict verdict-${shape}`}>${verdictShape(shape)}<span>${words}</span></span>
        </p>
        <p>${unbroken(reason)}</p>
      </li>`;
    })}
  </ul>`;
}
