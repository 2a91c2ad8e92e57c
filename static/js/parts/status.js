// The line at the top of every screen: what is on this phone only, and what stands in its way.

import { html } from "lit-html";

const STALE_MS = 24 * 60 * 60 * 1000;

/** @param {{status: import("../sync.js").Status, sync: {now: () => void}, go: (path: string) => void}} app */
export function statusBar(app) {
  const { status } = app;
  const count = status.waiting.entries + status.waiting.photos;
  return html`<div class="status-bar">
    <a class="mark" href="#/" aria-label="Spanbook, to the sites">${mark()}<span>Spanbook</span></a>
    ${count === 0 && status.signedIn !== false ? html`<p class="status-text">${calm(status)}</p>` : waiting(app, count)}
  </div>`;
}

/** Nothing waits: how sure that is. */
export function calm({ lastSync, online }) {
  if (!online) return "Nothing waits · no answer";
  return lastSync ? "All on the server" : "Nothing waits to be sent";
}

function waiting(app, count) {
  const { status } = app;
  if (status.signedIn === false) {
    return html`<a class="status-button" href="#/sign-in" @click=${(event) => afterScan(event, app)}>
      ${count > 0 ? html`<span>${amount(status)} on this phone only</span> <span>sign in to send</span>` : "Sign in"}
    </a>`;
  }
  const tone = isOverdue(status) ? "status-button status-overdue" : "status-button";
  return html`<button class=${tone} ?disabled=${status.busy} @click=${() => sendNow(app)}>
    <span>${amount(status)} on this phone only</span>
    <span>${status.busy ? "sending" : status.online ? "send now" : "no answer, try now"}</span>
  </button>`;
}

/** Who signs in after scanning a label goes on to its link, by whichever key. */
function afterScan(event, app) {
  const here = location.hash.slice(1);
  if (!here.startsWith("/l/")) return;
  event.preventDefault();
  app.go(`/sign-in?then=${encodeURIComponent(here)}`);
}

/** Something waits, and there was no exchange for a day. */
export function isOverdue({ waiting: { entries, photos }, lastSync }) {
  return entries + photos > 0 && lastSync !== null && Date.now() - lastSync > STALE_MS;
}

async function sendNow(app) {
  await app.sync.now();
  const { status } = app;
  if (status.problem) app.say(status.problem, "bad");
  else if (status.signedIn === false) app.go("/sign-in");
  else if (!status.online) app.say("No answer from the server. Everything stays on this phone and goes when there is signal.");
}

/** @param {import("../sync.js").Status} status */
export function amount({ waiting: { entries, photos } }) {
  return [entries > 0 && plural(entries, "entry", "entries"), photos > 0 && plural(photos, "photo", "photos")]
    .filter(Boolean)
    .join(", ");
}

export function plural(count, one, many) {
  return `${count} ${count === 1 ? one : many}`;
}

/** The state of a link: its word, and a colour beside it. */
export function stateMark(state) {
  return html`<span class="state state-${state.replaceAll(" ", "-")}">${state}</span>`;
}

/** Two buildings and the cable between them, with a station in the ground. */
function mark() {
  return html`<svg class="mark-picture" viewBox="4 8 56 50" aria-hidden="true">
    <path class="mark-buildings" d="M8 34V20l9-8 9 8v14zM38 34V20l9-8 9 8v14z" />
    <path d="M17 34c0 22 30 22 30 0" />
    <circle cx="32" cy="50.5" r="5.5" />
  </svg>`;
}
