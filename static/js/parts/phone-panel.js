// What this phone keeps, for how long, who writes on it, and what the server did not take.

import { html, nothing } from "lit-html";
import { exportAll } from "../export.js";
import * as net from "../net.js";
import { KEEPING_WORDS } from "../storage.js";
import { tryRefusedAgain } from "../store.js";
import { amount, calm, isOverdue } from "./status.js";

const SHORT_TIME = { dateStyle: "medium", timeStyle: "short" };
const SIGNED_IN_WORDS = new Map([
  [true, ", signed in"],
  [false, ", not signed in"],
]);

/**
 * Folded under a line that says how things stand, unless somebody has to act.
 * @param {{keeping: keyof typeof KEEPING_WORDS}} model
 */
export function phonePanel(model, app) {
  return html`<section class="panel" aria-labelledby="phone-title">
    <details class="fold phone-fold" ?open=${needsSomebody(app.status)}>
      <summary>
        <h2 id="phone-title">This phone</h2>
        <span class="quiet">${inShort(app.status)}</span>
      </summary>
      ${inFull(model, app)}
    </details>
  </section>`;
}

function needsSomebody(status) {
  return status.signedIn === false || status.refused.length > 0 || Boolean(status.problem) || isOverdue(status);
}

function inShort(status) {
  const { entries, photos } = status.waiting;
  if (entries + photos === 0) return calm(status);
  return `${amount(status)} ${entries + photos === 1 ? "waits" : "wait"}`;
}

function inFull(model, app) {
  const { status } = app;
  return html`${refusedList(status, app)}
    <dl class="pairs">
      <dt>Writes as</dt>
      <dd>${status.name || "no name yet"}${SIGNED_IN_WORDS.get(status.signedIn) ?? ""}</dd>
      <dt>Not on the server yet</dt>
      <dd>${amount(status) || "nothing"}</dd>
      <dt>Last exchange</dt>
      <dd>${status.lastSync ? new Date(status.lastSync).toLocaleString([], SHORT_TIME) : "none yet"}</dd>
      <dt>Storage</dt>
      <dd>${KEEPING_WORDS[model.keeping]}</dd>
    </dl>
    ${status.problem ? html`<p class="field-error">${status.problem}</p>` : nothing}
    <div class="row">
      ${
        status.signedIn === true
          ? html`<button class="quiet-button" @click=${() => signOut(app)}>Sign out</button>`
          : html`<a class="button" href="#/sign-in">Sign in</a>`
      }
      <button class="quiet-button" @click=${() => takeOut(app)}>Export what is on this phone</button>
    </div>`;
}

function refusedList({ refused }, app) {
  if (refused.length === 0) return nothing;
  return html`<aside class="notice notice-bad">
    <p><strong>Not taken by the server.</strong> These stay on this phone:</p>
    <ul>
      ${refused.map(({ id, message }) => html`<li>${message} <small>(${id.slice(0, 13)})</small></li>`)}
    </ul>
    <button class="second-action" @click=${() => again(app)}>Try again</button>
  </aside>`;
}

async function again(app) {
  await tryRefusedAgain();
  await app.sync.now();
  await app.refresh();
}

async function signOut(app) {
  try {
    await net.signOut();
  } catch (error) {
    app.say(`Not signed out: ${error.message}`, "bad");
    return;
  }
  app.status.signedIn = false;
  await app.setName("");
  app.say("Signed out. What is on this phone stays on it.");
  await app.refresh();
}

async function takeOut(app) {
  try {
    const count = await exportAll();
    app.say(`Exported ${count.entries} entries and ${count.photos} photos.`, "good");
  } catch (error) {
    app.say(`The export did not work: ${error.message}`, "bad");
  }
}
