// Takes a thing off the strip or the site, with a reason. Its entries stay in the book.

import { html, nothing } from "lit-html";

const WORDS = {
  building: "Take this building off the site",
  corner: "Take this corner off the site",
  link: "Take this link off the site",
  station: "Take this station off the route",
  bond: "Take this bond off the link",
  protector: "Take this surge protector off the link",
  load: "Take this load off the link",
  limit: "Take this limit off the link",
};

/** @param {{kind: string, form: {reason?: string, errors: Record<string, string>}}} model */
export function withdrawing({ kind, form }, onWithdraw, app) {
  if (!(kind in WORDS)) return nothing;
  const error = form.errors.withdrawn;
  const type = (event) => {
    form.reason = event.target.value;
    app.redraw();
  };
  return html`<details class="withdraw" ?open=${Boolean(error)}>
    <summary>${WORDS[kind]}</summary>
    <div class=${error ? "field field-wrong" : "field"}>
      <label for="withdraw-reason">Reason</label>
      <textarea id="withdraw-reason" rows="2" aria-invalid=${error ? "true" : "false"} @input=${type}></textarea>
      ${error ? html`<p class="field-error">${error}</p>` : nothing}
    </div>
    <button type="button" class="second-action" ?disabled=${form.saving} @click=${onWithdraw}>${WORDS[kind]}</button>
  </details>`;
}
