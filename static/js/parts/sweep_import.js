/** Swept results pasted or chosen as a file: core reads them, a person sees each trace with its margin, and all are kept at once or none. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { attempt, debounce, sentence } from "./attempt.js";
import { unbroken } from "./figure.js";
import { cleanBody, keepHabits } from "./reading_state.js";
import { isBegunTable } from "./table_cells.js";
import { counted, joined, valueText } from "./values.js";
import { verdictMark } from "./verdict.js";

const MOST_BYTES = 8 * 1024 * 1024;
const READ_AFTER_MS = 250;
const MARKS = ["parameter", "pair", "pair2", "side"];
const GOES_WITH = ["visit", "instrument", "uncertainty", "accuracy_level", "conditions", "note"];
const LACKING = {
  parameter: "Choose above what was measured.",
  pair: "Choose the pair above.",
  pair2: "Choose the second pair above.",
  side: "Choose above at which end it was taken.",
};
const PORT_ORDERS = [
  ["12_34", "1 and 2 near, 3 and 4 far"],
  ["13_24", "1 and 3 near, 2 and 4 far"],
];

const isSwept = ({ quantity }) => quantity.name === "sweep";
const draftKey = (link) => `sweep-text:${link}`;

/** Text that was brought and not saved yet comes back after a reload. */
export async function openImport(model, app) {
  if (!isSwept(model)) return;
  model.brought = { text: "", name: "", ports: "", ...(await app.draft.get(draftKey(model.link)).catch(() => null)) };
  if (model.brought.text) await readNow(model, app);
}

export const hasTraces = (model) => Boolean(model.brought?.traces?.length);

/** What was chosen above changed: the text is read by it anew. */
export function readAgain(model, app) {
  if (model.brought?.text) readNow(model, app);
}

/** Whoever saves meanwhile waits for the last answer: `brought.answered`, as long as `brought.reading`. */
function readNow(model, app) {
  const { brought } = model;
  brought.question = (brought.question ?? 0) + 1;
  brought.answered = ask(model, app);
  return brought.answered;
}

async function ask(model, app) {
  const { brought, book, link, body } = model;
  const { text, name, ports, question } = brought;
  const marks = Object.fromEntries(MARKS.filter((mark) => body[mark]).map((mark) => [mark, body[mark]]));
  brought.reading = true;
  app.redraw();
  const outcome = await app.core("read_sweep", { book, link, text, name, ports: ports || null, ...marks }).then(
    (found) => ({ traces: found.traces, notes: found.notes, fault: "", asksPorts: Boolean(ports) }),
    (error) => ({ traces: null, notes: [], fault: faultText(error), asksPorts: Boolean(ports) || error.field === "ports" }),
  );
  // Another text, or another choice, came meanwhile: its own answer follows.
  if (brought !== model.brought || brought.question !== question) return;
  Object.assign(brought, outcome, { reading: false });
  app.redraw();
}

const faultText = (error) =>
  error.field === "ports" ? "A file of four ports: choose how the analyser was connected." : error.message || sentence(error);

function bring(model, app, text, name = "") {
  model.typedText?.cancel();
  model.brought = { text, name, ports: "" };
  const kept = text.trim() ? app.draft.set(draftKey(model.link), { text, name }) : app.draft.clear(draftKey(model.link));
  kept.catch((error) => app.say(`What you brought is not kept if this page closes: ${sentence(error)}`, "bad"));
  return text.trim() ? readNow(model, app) : app.redraw();
}

// ---- what is shown

export function sweepImport(model, app) {
  if (!isSwept(model) || !model.brought) return nothing;
  const { brought } = model;
  if (hasTraces(model)) return found(model, app);
  return html`<details class="fold sweep-import" ?open=${!isBegunTable(model.body.table)}>
    <summary>Paste or choose a file</summary>
    ${textPlace(model, app)} ${fileKeys(model, app)} ${brought.asksPorts ? portKeys(model, app) : nothing}
    ${brought.reading ? html`<p role="status">Reading …</p>` : nothing}
    ${brought.fault ? html`<p class="field-error" role="alert">${brought.fault}</p>` : nothing}
    <p class="trial-hint">
      First line: <code>frequency MHz; 1-2; 3-6; 4-5; 7-8</code>, for NEXT and ACR-F <code>1-2/3-6</code>. Or a Touchstone file, .s2p or
      .s4p.
    </p>
  </details>`;
}

function textPlace(model, app) {
  const typed = (model.typedText ??= debounce(() => bring(model, app, model.textTyped ?? ""), READ_AFTER_MS));
  return html`<label class="field" for="sweep-text"><span>Table of numbers</span></label>
    <textarea
      id="sweep-text"
      rows="3"
      autocomplete="off"
      spellcheck="false"
      .value=${live(model.textTyped ?? (model.brought.name ? "" : model.brought.text))}
      @input=${(event) => {
        model.textTyped = event.target.value;
        typed();
      }}
      @paste=${(event) => onPaste(event, model, app)}
    ></textarea>`;
}

/** Thousands of lines that a browser puts into a field itself, as if typed, can stop the page for a minute: they are taken from the event. */
function onPaste(event, model, app) {
  const pasted = event.clipboardData?.getData("text/plain") ?? "";
  if (!pasted.includes("\n") && !pasted.includes("\r")) return;
  event.preventDefault();
  const { value, selectionStart, selectionEnd } = event.target;
  put(model, app, value.slice(0, selectionStart) + pasted + value.slice(selectionEnd));
}

function fileKeys(model, app) {
  const choose = async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (file) await takeFile(model, app, file);
  };
  const paste = async () => {
    try {
      put(model, app, await navigator.clipboard.readText());
    } catch {
      app.say("This browser does not give what was copied: paste it into the field.", "bad");
    }
  };
  return html`<div class="key-row sweep-keys">
    <button type="button" class="key" @click=${paste}>Paste</button>
    <label class="key sweep-file">Choose a file<input type="file" class="unseen" @change=${choose} /></label>
  </div>`;
}

async function takeFile(model, app, file) {
  if (file.size > MOST_BYTES) {
    model.brought.fault = `${file.name} has ${Math.round(file.size / 1024 / 1024)} MB; a table of sweeps has a few hundred kilobytes. Choose another file.`;
    return app.redraw();
  }
  const text = await attempt(app, () => file.text());
  return text === undefined ? undefined : put(model, app, text, file.name);
}

function put(model, app, text, name = "") {
  model.textTyped = undefined;
  return bring(model, app, text, name);
}

function portKeys(model, app) {
  const pick = (ports) => {
    model.brought.ports = ports;
    readNow(model, app);
  };
  return html`<div class="marks marks-ports" role="group" aria-labelledby="ports-label">
    <span class="marks-label" id="ports-label">Ports</span>
    <div class="key-row">
      ${PORT_ORDERS.map(
        ([value, label]) =>
          html`<button type="button" class="key" aria-pressed=${model.brought.ports === value ? "true" : "false"} @click=${() => pick(value)}>
            ${label}
          </button>`,
      )}
    </div>
  </div>`;
}

function found(model, app) {
  const { traces, notes, reading, asksPorts } = model.brought;
  return html`<section class="sweep-found" aria-label="Traces found" id="reading-value" tabindex="-1">
    <h2>${counted(traces.length, "trace")} found</h2>
    ${asksPorts ? portKeys(model, app) : nothing} ${notes.map((note) => html`<p class="check-note">${unbroken(note)}</p>`)}
    ${reading ? html`<p role="status">Reading …</p>` : nothing}
    <ol class="sweep-traces" aria-busy=${reading ? "true" : "false"}>
      ${traces.map(traceRow)}
    </ol>
    ${model.brought.fault ? html`<p class="field-error" role="alert">${model.brought.fault}</p>` : nothing}
  </section>`;
}

function traceRow({ title, points, lacks, check }) {
  return html`<li class="sweep-trace">
    <p class="check-title">${title || "One trace"}</p>
    <small>${counted(points, "point")}</small>
    ${
      lacks.length
        ? html`<p class="trial-hint">${LACKING[lacks[0]]}</p>`
        : check
          ? html`<p class="sweep-verdict">${verdictMark(check.verdict)} <strong class="figure">${valueText(check.margin)}</strong></p>
              <small>${unbroken(check.sentence)}</small>`
          : html`<p class="trial-hint">Not judged: set the category of the link.</p>`
    }
  </li>`;
}

// ---- saving

/** The bar at the thumb while traces wait to be kept. @param focusOn goes to an element by its id */
export function importBar(model, app, { focusOn, saved }) {
  const words = `Save ${counted(model.brought.traces.length, "trace")}`;
  const save = async () => {
    while (model.brought.reading) await model.brought.answered;
    if (!hasTraces(model)) return;
    const lacking = model.brought.traces.find(({ lacks }) => lacks.length);
    if (lacking) focusOn(`key-${lacking.lacks[0]}`);
    else await saveAll(model, app, saved);
  };
  return html`<div class="thumb-bar">
    <button type="button" class="second-action" ?disabled=${model.saving} @click=${() => drop(model, app)}>Drop them</button>
    <button type="button" class="main-action" ?disabled=${model.saving} @click=${save}>${model.saving ? "Saving …" : words}</button>
  </div>`;
}

function drop(model, app) {
  model.textTyped = undefined;
  return bring(model, app, "");
}

async function saveAll(model, app, saved) {
  if (model.saving) return;
  model.saving = true;
  app.redraw();
  const { traces } = model.brought;
  const with_ = Object.fromEntries(GOES_WITH.map((name) => [name, model.body[name]]));
  try {
    await app.writeAll(
      model.book,
      traces.map(({ body }) => ({ kind: "reading", body: cleanBody({ ...with_, ...body }) })),
    );
    keepHabits(app, { ...model.body, table: traces[0].body.table }).catch(() => {});
    drop(model, app);
    saved(model, app, `${counted(traces.length, "trace")} saved on this phone`);
  } catch (error) {
    model.brought.fault = joined([error.message || sentence(error), "Nothing of it was saved."], " ");
  } finally {
    model.saving = false;
    app.redraw();
  }
}
