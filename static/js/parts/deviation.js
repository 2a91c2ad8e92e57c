/** A failing or missing check accepted as it is, with a reason and a name. */
import { html, nothing } from "lit-html";
import { sentence } from "./attempt.js";
import { memoryLegend, memoryMark } from "./memory.js";
import { sheet } from "./sheet.js";
import { timeText } from "./values.js";
import { verdictMark } from "./verdict.js";

/** The mark of a check, or that of an item of the sign-off list, which brings its own. */
const markOf = (check) => html`${check.mark ?? verdictMark(check.verdict)}${memoryMark(check)}`;

/** The deviation that a check carries, in words. */
export function deviationText(deviation) {
  if (!deviation) return nothing;
  return html`<p class="deviation">
    Accepted as a deviation by ${deviation.name}, ${timeText(deviation.at)}: ${deviation.reason}
  </p>`;
}

/** Deviations of several checks, those given with one reason by one person together. */
export function deviationGroups(checks) {
  const groups = new Map();
  for (const check of checks.filter((each) => each.deviation)) {
    const key = JSON.stringify([check.deviation.reason, check.deviation.name]);
    groups.set(key, [...(groups.get(key) ?? []), check]);
  }
  return [...groups.values()].map(
    (mine) =>
      html`<div class="deviation-group">
        ${deviationText(mine[0].deviation)}
        <ul class="deviation-checks">
          ${mine.map((check) => html`<li>${check.title} ${markOf(check)}</li>`)}
        </ul>
        ${memoryLegend(mine)}
      </div>`,
  );
}

/** @param checks the checks, or items of the sign-off list {id, title, mark}, to accept with one reason. */
export const openDeviation = (app, checks) => ({ kind: "deviation", checks, reason: "", name: app.status.name, errors: {} });

export function deviationSheet(state, app, { book, link, redraw, onClose, done }) {
  const { checks, errors } = state;
  const text = (name, label, control) =>
    html`<div class="field">
      <label for=${`deviation-${name}`}>${label}</label>${control}
      ${errors[name] ? html`<p class="field-error" role="alert">${errors[name]}</p>` : nothing}
    </div>`;
  const set = (name) => (event) => {
    state[name] = event.target.value;
  };
  const reason = html`<textarea id="deviation-reason" rows="3" .value=${state.reason} @input=${set("reason")}></textarea>`;
  const name = html`<input id="deviation-name" type="text" autocomplete="name" .value=${state.name} @input=${set("name")} />`;
  return sheet({
    title: checks.length === 1 ? "Accept as a deviation" : `Accept ${checks.length} checks as deviations`,
    onClose,
    body: html`<p>The verdict stays as it is. The record shows it as a deviation, with this reason and name.</p>
      ${text("reason", "Reason", reason)} ${text("name", "Accepted by", name)}
      ${errors.form ? html`<p class="field-error" role="alert">${errors.form}</p>` : nothing}
      <ul class="deviation-checks" aria-label="What is accepted">
        ${checks.map((check) => html`<li>${check.title} ${markOf(check)}</li>`)}
      </ul>
      ${memoryLegend(checks)}`,
    actions: html`<button
      type="button"
      class="main-action"
      ?disabled=${state.saving}
      @click=${() => accept(state, app, { book, link, redraw, done })}
    >
      Accept as a deviation
    </button>`,
  });
}

async function accept(state, app, { book, link, redraw, done }) {
  state.errors = {};
  if (!state.reason.trim()) state.errors.reason = "A reason is needed: say why the link is accepted as it is.";
  if (!state.name.trim()) state.errors.name = "A name is needed: say who accepts it.";
  if (Object.keys(state.errors).length) return redraw();
  const body = { link, reason: state.reason.trim(), name: state.name.trim() };
  state.saving = true;
  redraw();
  try {
    await app.writeAll(
      book,
      state.checks.map((check) => ({ kind: "deviation", body: { ...body, check: check.id }, replaces: [] })),
    );
  } catch (error) {
    state.errors.form = sentence(error);
    state.saving = false;
    return redraw();
  }
  app.say("Saved on this phone", "good");
  return done();
}
