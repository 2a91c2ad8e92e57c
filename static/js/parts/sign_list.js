/** The sign-off list: what is failing or missing on top; then what was accepted; what is done folded. */
import { html, nothing } from "lit-html";
import { deviationGroups } from "./deviation.js";
import { unbroken } from "./figure.js";
import { acceptedOf, openItem, stateMark } from "./sign_item.js";
import { counted } from "./values.js";

/** @param accept called with the checks, or items, that a person wants to accept with one reason */
export function signOffList(model, app, accept) {
  const { items, counts } = model.list;
  const open = items.filter(isOpen);
  return html`<section class="panel" aria-labelledby="list-title">
      <h2 id="list-title">${open.length ? `Open: ${open.length}` : "Nothing is open"}</h2>
      <p>
        ${counted(counts.done, "item")} done, ${counts.accepted} accepted, ${counts.missing} missing, ${counts.failing} failing.
      </p>
      ${open.length ? nothing : html`<p class="told">Everything required is there and passes, or is accepted.</p>`}
      ${acceptAll(open, model, accept)} ${byGroup(open, (item) => openItem(item, model, app, accept))}
    </section>
    ${accepted(model)} ${done(items.filter(({ state }) => state === "done"))}`;
}

const isOpen = ({ state }) => state === "failing" || state === "missing";

/** Under the name of each group its items: those that fail first. */
function byGroup(items, draw) {
  const groups = [...new Set(items.map(({ group_words }) => group_words))];
  const inOrder = [...items].sort((one, other) => (one.state < other.state ? -1 : one.state > other.state ? 1 : 0));
  return groups.map(
    (words) =>
      html`<h3 class="sign-group">${words}</h3>
        <ul class="sign-items">
          ${inOrder.filter((item) => item.group_words === words).map(draw)}
        </ul>`,
  );
}

function acceptAll(open, model, accept) {
  const missing = open.filter(({ state }) => state === "missing");
  if (missing.length < 2) return nothing;
  const all = () => accept(missing.flatMap((item) => acceptedOf(item, model)));
  const words = `Accept all ${missing.length} missing with one reason …`;
  return html`<button type="button" class="button" @click=${all}>${words}</button>`;
}

function accepted({ checks, list }) {
  const items = list.items.filter((item) => item.deviation && !item.checks.length);
  const all = [...checks.filter((check) => check.deviation), ...items.map((item) => ({ ...item, mark: stateMark("missing") }))];
  if (!all.length) return nothing;
  return html`<section class="panel" aria-labelledby="deviations-title">
    <h2 id="deviations-title">Accepted as deviations</h2>
    ${deviationGroups(all)}
  </section>`;
}

function done(items) {
  if (!items.length) return nothing;
  return html`<details class="sign-done">
    <summary>Done: ${counted(items.length, "item")}</summary>
    ${byGroup(items, doneItem)}
  </details>`;
}

const doneItem = ({ title, detail }) =>
  html`<li class="sign-item sign-done-item"><strong class="sign-item-title">${title}</strong> ${unbroken(detail)}</li>`;
