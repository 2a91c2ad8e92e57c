/** Who signs: name, and a signature drawn on the pad, or the name typed once more by a person who can't draw. */
import { html, nothing } from "lit-html";
import { isOutdated, isSigned, newPerson, ROLES, signedNow } from "./sign_state.js";
import { signaturePad } from "./signature.js";
import { labelOf, timeText } from "./values.js";

const TYPED_WORDS = "Typed by the person who signs. The record says that it was typed, not drawn.";

export function signers(model, app) {
  return html`<section class="panel" aria-labelledby="signatures-title">
    <h2 id="signatures-title">Signatures</h2>
    ${model.people.map((person) => personForm(model, app, person))}
    <div class="strip-jobs">
      ${ROLES.filter(([role]) => !model.people.some((person) => person.role === role)).map(
        ([role, label]) =>
          html`<button type="button" class="button" @click=${() => addPerson(model, app, role)}>+ ${label}</button>`,
      )}
    </div>
  </section>`;
}

function addPerson(model, app, role) {
  model.people.push(newPerson(role));
  app.redraw();
}

function personForm(model, app, person) {
  const label = labelOf(ROLES, person.role);
  const who = label.toLowerCase();
  const named = (event) => {
    person.name = event.target.value;
    if (person.way === "typed") signedNow(person, model.mark);
    model.keepSoon();
    app.redraw();
  };
  return html`<fieldset class="signer">
    <legend>${label}</legend>
    <div class="field">
      <label for=${`name-${person.role}`}>Name of the ${who}</label>
      <input id=${`name-${person.role}`} type="text" autocomplete="off" .value=${person.name} @input=${named} />
    </div>
    ${person.way === "typed" ? typedSignature(model, app, person, who) : drawnSignature(model, app, person, who)}
    ${isSigned(person) && person.at ? html`<small>Signed ${timeText(person.at)}</small>` : nothing}
    ${isOutdated(person, model.mark) ? outdated(model, app, person) : nothing}
  </fieldset>`;
}

function drawnSignature(model, app, person, who) {
  // "Signed" is shown once the strokes are on the device: a phone that is killed after that gives them back.
  const drawn = async () => {
    signedNow(person, model.mark);
    await model.keep();
    app.redraw();
  };
  return html`${signaturePad(person, { label: `Signature of the ${who}`, onStroke: drawn })}
  ${
    person.strokes.length
      ? nothing
      : html`<button type="button" class="second-action" @click=${() => signBy("typed", model, app, person)}>
          ${`The ${who} can't draw: sign by typing`}
        </button>`
  }`;
}

function typedSignature(model, app, person, who) {
  const typed = (event) => {
    person.typed = event.target.value;
    signedNow(person, model.mark);
    model.keepSoon();
    app.redraw();
  };
  const id = `typed-${person.role}`;
  const isOther = person.typed.trim() !== "" && !isSigned(person);
  return html`<div class="field">
      <label for=${id}>Signature of the ${who}: the same name typed once more</label>
      <input id=${id} type="text" autocomplete="off" aria-describedby=${`${id}-words`} .value=${person.typed} @input=${typed} />
      <small id=${`${id}-words`}>${isOther ? "Not yet the name above." : TYPED_WORDS}</small>
    </div>
    <button type="button" class="second-action" @click=${() => signBy("drawn", model, app, person)}>Draw instead</button>`;
}

function signBy(way, model, app, person) {
  Object.assign(person, { way, typed: "" });
  signedNow(person, model.mark);
  model.keep();
  app.redraw();
}

/** Something came after the signature: whoever signed has to see it, and says so. */
function outdated(model, app, person) {
  const confirm = () => {
    signedNow(person, model.mark);
    model.keep();
    app.redraw();
  };
  return html`<aside class="notice">
    <p>Something was added or changed after this signature. Look through the list once more, then sign again or confirm.</p>
    <button type="button" class="second-action" @click=${confirm}>
      ${person.name.trim() || "Signer"} has seen it and stands by it
    </button>
  </aside>`;
}
