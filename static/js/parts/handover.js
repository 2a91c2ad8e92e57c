/** "Handover package" on the record's screen: made here, its progress shown, then shared or saved by a second tap. */
import { html, nothing } from "lit-html";
import { download } from "../export.js";
import { makePackage } from "../handover.js";
import { localTime } from "../ids.js";
import { sentence } from "./attempt.js";
import { counted, timeText } from "./values.js";

/** By link, since the screen is loaded anew when something arrives and the making goes on. */
const made = new Map();
const MOST_NAMED = 8;
const MEGABYTE = 1024 * 1024;

export function handoverPanel(model, app) {
  const state = made.get(model.link) ?? { stage: "none" };
  return html`<section class="panel handover" aria-labelledby="handover-title">
    <h2 id="handover-title">To hand over</h2>
    <p>
      One zip with everything of this link: entries, photos, seals, plans for maps, tables, and how to check it. Made on this phone,
      without signal. The office makes it with the PDF.
    </p>
    ${STAGES[state.stage](state, model, app)}
  </section>`;
}

const STAGES = { none: startButton, making, failed, ready };

function startButton(_state, model, app) {
  return html`<button type="button" class="second-action" @click=${() => begin(model, app)}>Handover package</button>`;
}

function making({ words, done, all }) {
  return html`<p role="status">${words}</p>
    <progress class="wide-progress" aria-label="Making the package" .value=${done} max=${Math.max(all, 1)}></progress>`;
}

function failed(state, model, app) {
  return html`<p class="field-error" role="alert">${state.fault}</p>
    ${startButton(state, model, app)}`;
}

function ready(state, model, app) {
  const { file, at } = state;
  return html`<p role="status" class="told">${file.name}, ${sizeText(file.size)}, made ${timeText(at)}.</p>
    ${missingNote(state, model)}
    <p class="button-row">
      ${canShare(file) ? html`<button type="button" class="second-action" @click=${() => share(file, app)}>Share it</button>` : nothing}
      <button type="button" class="second-action" @click=${() => download(file, file.name)}>Save it</button>
      <button type="button" class="quiet-button" @click=${() => begin(model, app)}>Make it again</button>
    </p>`;
}

function missingNote({ missing }, { view }) {
  if (missing.length === 0) return nothing;
  const captions = new Map(view.photos.map(({ sha256, caption }) => [sha256, caption]));
  const rest = missing.length - MOST_NAMED;
  return html`<div class="notice" role="alert">
    <p>${counted(missing.length, "photo is", "photos are")} not on this phone and not in the package, which says so:</p>
    <ul>
      ${missing.slice(0, MOST_NAMED).map((sha256) => html`<li>${captions.get(sha256) || "No caption"}, ${sha256.slice(0, 16)}</li>`)}
      ${rest > 0 ? html`<li>and ${rest} more, named in its VERIFY.txt</li>` : nothing}
    </ul>
    <p>With signal, make it again: they are fetched then.</p>
  </div>`;
}

async function begin(model, app) {
  const show = (state) => {
    made.set(model.link, state);
    app.redraw();
  };
  show({ stage: "making", words: "Beginning …", done: 0, all: 1 });
  try {
    const found = await makePackage(model, app, (words, done, all) => show({ stage: "making", words, done, all }));
    show({ stage: "ready", at: localTime(), ...found });
    requestAnimationFrame(showButtons);
  } catch (error) {
    show({ stage: "failed", fault: sentence(error) });
  }
}

/** They are taller than the one button before them, and would lie under the bar at the bottom edge. */
function showButtons() {
  document.querySelector(".handover .button-row")?.scrollIntoView({ block: "nearest" });
}

function canShare(file) {
  return Boolean(navigator.canShare?.({ files: [file] }));
}

async function share(file, app) {
  try {
    await navigator.share({ files: [file], title: file.name });
  } catch (error) {
    if (error.name !== "AbortError") app.say("This phone would not share the file. Save it instead.", "bad");
  }
}

function sizeText(bytes) {
  return bytes < MEGABYTE ? `${Math.ceil(bytes / 1024)} KB` : `${Math.ceil(bytes / MEGABYTE)} MB`;
}
