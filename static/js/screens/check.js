/** One check opened: the working with this link's numbers, the readings behind it, and what can be done about it. */
import { html, nothing } from "lit-html";
import { figures, sourceBeside, working } from "../parts/check_row.js";
import { marginBar } from "../parts/bar.js";
import { recordBlock } from "../parts/blocks.js";
import { deviationSheet, deviationText, openDeviation } from "../parts/deviation.js";
import { unbroken } from "../parts/figure.js";
import { limitLinks } from "../parts/own_limits.js";
import { formOf } from "../parts/reading_state.js";
import { readingList, voidSheet } from "../parts/readings.js";
import { conflictOf, settlingHref } from "../parts/settling.js";
import { nameOf, query, valueText } from "../parts/values.js";
import { passes, verdictMark } from "../parts/verdict.js";

export async function load({ book, link, id }, app) {
  await app.openBook(book);
  const [view, judged] = await Promise.all([app.core("link", { book, link }), app.core("checks", { book, link })]);
  const check = judged.checks.find((each) => each.id === id) ?? null;
  return { book, link, id, view, check, picture: await pictureOf(book, link, check, app), sheet: null };
}

/** A sweep and the events along a fibre say more as a picture: its block, or null where there is none. */
async function pictureOf(book, link, check, app) {
  if (check?.sweep) return sweepPicture(book, link, check, app);
  if (check?.form?.quantity !== "fibre_events") return null;
  const { strand, wavelength } = check.form;
  const { svg } = await app.core("picture", { book, link, which: "loss", strand, wavelength, width: "narrow" });
  return svg && { form: "svg", text: svg, alt: `Loss along strand ${strand}, ${wavelength} nm; its numbers are in the checks of its events.` };
}

async function sweepPicture(book, link, check, app) {
  const { svg } = await app.core("picture", { book, link, which: "sweep", check: check.id });
  return { form: "svg", text: svg, alt: `${check.title}, drawn with its limit over frequency. ${check.sentence}`, name: "Over frequency" };
}

export function view(model, app) {
  const { book, link, view: shown, check } = model;
  const crumb = html`<p class="crumb">
    <a href=${`#/book/${book}/link/${link}`}>${nameOf(shown, "Link")}</a> ·
    <a href=${`#/book/${book}/link/${link}/checks`}>Checks</a>
  </p>`;
  if (!check) {
    return html`<section class="page">
      ${crumb}
      <h1>This check is not there any more</h1>
      <p>
        What it was made from has changed: a station, a bond or a field of the link. Go back to the checks to see the ones that
        apply now.
      </p>
    </section>`;
  }
  return html`<section class="page check">
    ${crumb}
    <h1>${unbroken(check.title)}</h1>
    <p class="check-verdict">${verdictMark(check.verdict, check.deviation)}</p>
    ${check.margin ? html`<p class="check-margin"><strong>${unbroken(valueText(check.margin))}</strong> margin</p>` : nothing}
    ${check.decision ? html`<p class="check-decision">By ${check.decision}</p>` : nothing} ${figures(check)} ${marginBar(check)}
    <p class="check-sentence">${unbroken(check.sentence)}</p>
    ${sourceBeside(check)} ${limitLinks(model, app)} ${deviationText(check.deviation)}
    ${model.picture ? recordBlock(model.picture, model.picture.name ?? "Loss along the link", app) : nothing}
    <h2>Working</h2>
    ${
      check.working.length || check.notes.length
        ? working(check)
        : html`<p class="none">There is nothing to compute until it is measured.</p>`
    }
    <h2>Readings behind it</h2>
    ${behind(model, app)} ${jobs(model, app)} ${openSheet(model, app)}
  </section>`;
}

function behind(model, app) {
  const ids = new Set(model.check.readings);
  const readings = model.view.readings.filter((reading) => ids.has(reading.id) || isSame(reading, model.check.form));
  if (!readings.length)
    return html`<p class="none">
      ${model.check.form ? "None yet." : "This check is made from what is recorded of the link, not from readings."}
    </p>`;
  return readingList(readings, model.view, app, (reading) => open(model, app, { kind: "void", reading, reason: "", error: "" }));
}

/** Readings that once settled this check and are void now are shown with the others. */
function isSame(reading, form) {
  if (!form?.quantity || reading.body.quantity !== form.quantity) return false;
  return Object.entries(form).every(([name, value]) => String(reading.body[name] ?? "") === String(value ?? ""));
}

function jobs(model, app) {
  const { book, link, check } = model;
  const accept = () => open(model, app, openDeviation(app, [check]));
  const measure = formOf(check, model.view, app);
  const conflict = conflictOf(check, model.view);
  const canAccept = !passes(check.verdict) && !check.deviation;
  if (!measure && !canAccept && !conflict) return nothing;
  return html`<nav class="thumb-bar" aria-label="What to do">
    ${canAccept ? html`<button type="button" class="second-action" @click=${accept}>Accept as deviation</button>` : nothing}
    ${
      measure
        ? html`<a class="main-action" href=${`#/book/${book}/link/${link}/reading${query(measure)}`}
            >${check.verdict === "not_measured" ? "Measure" : "Measure again"}</a
          >`
        : nothing
    }
    ${conflict ? html`<a class="main-action" href=${toSettle(model, conflict)}>Choose the value</a>` : nothing}
  </nav>`;
}

const toSettle = ({ book, link }, conflict) => settlingHref(book, link, conflict, `/book/${book}/link/${link}/checks`);

function open(model, app, state) {
  model.sheet = state;
  app.redraw();
}

function openSheet(model, app) {
  const { sheet: state, book, link } = model;
  if (!state) return nothing;
  const onClose = () => open(model, app, null);
  const done = () => app.refresh();
  const draw = { deviation: deviationSheet, void: voidSheet }[state.kind];
  return draw(state, app, { book, link, redraw: () => app.redraw(), onClose, done });
}
