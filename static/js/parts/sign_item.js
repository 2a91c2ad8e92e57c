/** An open item of the sign-off list, with what settles it: measuring, writing down, choosing, or accepting it as it is. */
import { html, nothing } from "lit-html";
import { unbroken } from "./figure.js";
import { memoryLegend, memoryMark } from "./memory.js";
import { formOf } from "./reading_state.js";
import { conflictOf, settlingHref } from "./settling.js";
import { query } from "./values.js";
import { verdictMark, verdictShape } from "./verdict.js";

const STATES = {
  done: ["pass", "done"],
  accepted: ["not_measured", "accepted as a deviation"],
  missing: ["not_measured", "missing"],
  failing: ["fail", "failing"],
};
const MOST_UNFOLDED = 3;

/** Whether an item is done, failing, missing or accepted, as shape, word and colour. */
export function stateMark(state) {
  const [verdict, words] = STATES[state];
  return html`<span class="verdict verdict-${verdict}">${verdictShape(verdict)}<span class="verdict-word">${words}</span></span>`;
}

/** What a deviation on the item names: its checks, or the item itself where nothing is measured. */
export function acceptedOf({ accept, title, state }, { checks }) {
  return accept.map((id) => checks.find((check) => check.id === id) ?? { id, title, mark: stateMark(state) });
}

export function openItem(item, model, app, accept) {
  const waiting = item.checks
    .map((id) => model.checks.find((check) => check.id === id))
    .filter((check) => check && !check.deviation);
  return html`<li class=${`sign-item sign-${item.state}`}>
    <strong class="sign-item-title">${item.title}</strong>
    ${stateMark(item.state)}
    <p>${unbroken(asSentence(item.detail))}</p>
    ${waiting.length > 1 ? nothing : waiting.map((check) => checkLink(check, model))}
    <div class="strip-jobs">
      ${remedy(item, waiting, model, app)}
      <button
        type="button"
        class="second-action"
        aria-label=${`Accept ${item.title} as a deviation`}
        @click=${() => accept(acceptedOf(item, model))}
      >
        Accept …
      </button>
    </div>
    ${waiting.length > 1 ? eachOf(waiting, model, app, accept) : nothing}
  </li>`;
}

const asSentence = (text) => text.replace(/^./, (first) => first.toUpperCase()).replace(/\.?$/, ".");

const checkLink = (check, { book, link }) =>
  html`<a class="sign-check" href=${`#/book/${book}/link/${link}/check${query({ id: check.id })}`}>${unbroken(check.title)}</a>`;

/** What settles an item: writing it down, or what settles the first of its waiting checks that can be settled here. */
function remedy(item, waiting, model, app) {
  const { book, link } = model;
  if (item.edit) {
    const address = settlingHref(book, link, item.edit, `/book/${book}/link/${link}/sign`);
    return html`<a class="second-action" href=${address} aria-label=${`Write down: ${item.title}`}>Write down</a>`;
  }
  const first = waiting.find((check) => conflictOf(check, model.view) || formOf(check, model.view, app));
  return first ? remedyOf(first, model, app, waiting.length > 1 ? item.title : first.title) : nothing;
}

/** What settles a check: a reading, or the choice between two values. */
function remedyOf(check, { book, link, view }, app, title = check.title) {
  const conflict = conflictOf(check, view);
  if (conflict) {
    const address = settlingHref(book, link, conflict, `/book/${book}/link/${link}/sign`);
    return html`<a class="second-action" href=${address} aria-label=${`Choose: ${title}`}>Choose</a>`;
  }
  const form = formOf(check, view, app);
  if (!form) return nothing;
  const address = `#/book/${book}/link/${link}/reading${query(form)}`;
  return html`<a class="second-action" href=${address} aria-label=${`Measure ${title}`}>Measure</a>`;
}

function eachOf(checks, model, app, accept) {
  return html`<details ?open=${checks.length <= MOST_UNFOLDED}>
    <summary>Each of the ${checks.length}</summary>
    <ul class="open-checks">
      ${checks.map(
        (check) =>
          html`<li>
            ${checkLink(check, model)} ${verdictMark(check.verdict)}${memoryMark(check)}
            <div class="strip-jobs">
              ${remedyOf(check, model, app)}
              <button
                type="button"
                class="second-action"
                aria-label=${`Accept ${check.title} as a deviation`}
                @click=${() => accept([check])}
              >
                Accept …
              </button>
            </div>
          </li>`,
      )}
    </ul>
    ${memoryLegend(checks)}
  </details>`;
}
