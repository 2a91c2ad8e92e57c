/** Readings of a link as a list: what was read, with what, by whom; a voided one stays, struck, with its reason. */
import { html, nothing } from "lit-html";
import { sentence, single } from "./attempt.js";
import { unbroken } from "./figure.js";
import { sheet } from "./sheet.js";
import { keysText } from "./reading_keys.js";
import { joined, timeText, valueText } from "./values.js";

export const quantityOf = (app, name) => app.describe.quantities.find((each) => each.name === name);

/**
 * @param view the link view, which names what the readings are about
 * @param onVoid called with a reading that a person wants to void; without it the list is only read
 */
export function readingList(readings, view, app, onVoid = null) {
  if (!readings?.length) return html`<p class="none">No readings yet.</p>`;
  return html`<ul class="readings">
    ${readings.map((reading) => readingRow(reading, view, app, onVoid))}
  </ul>`;
}

function readingRow(reading, view, app, onVoid) {
  const { body, voided } = reading;
  const quantity = quantityOf(app, body.quantity);
  const title = quantity?.title ?? body.quantity;
  const marks = quantity
    ? joined([keysText(app, view, quantity, body), body.frequency && `at ${valueText(body.frequency)}`], ", ")
    : "";
  const about = joined([
    instrumentText(body.instrument),
    reading.by,
    timeText(reading.at),
    body.visit === "service" ? "service visit" : "",
  ]);
  return html`<li class=${voided ? "reading reading-voided" : "reading"}>
    <p class="reading-title">${title}</p>
    ${marks ? html`<p class="reading-marks">${unbroken(marks)}</p>` : nothing}
    <p class="reading-value">${voided ? html`<s>${unbroken(reading.text)}</s>` : unbroken(reading.text)}</p>
    <small>${about}</small>
    ${body.note ? html`<p class="reading-note">${body.note}</p>` : nothing}
    ${
      voided
        ? html`<p class="reading-void">Void: ${voided.reason} <small>${voided.by}, ${timeText(voided.at)}</small></p>`
        : nothing
    }
    ${
      !voided && onVoid
        ? html`<button
            type="button"
            class="quiet-button"
            aria-label=${`Void ${joined([title, marks, reading.text], ", ")}`}
            @click=${() => onVoid(reading)}
          >
            Void …
          </button>`
        : nothing
    }
  </li>`;
}

const instrumentText = (instrument) => joined([instrument?.name, instrument?.serial && `no. ${instrument.serial}`], ", ");

/** @param state {reading, reason, error}; @param done called after the void is saved. */
export function voidSheet(state, app, { book, link, redraw, onClose, done }) {
  return sheet({
    title: "Void this reading",
    onClose,
    body: html`<p>${quantityOf(app, state.reading.body.quantity)?.title}: <strong>${state.reading.text}</strong></p>
      <p>The reading stays in the book, struck out, with your reason. It no longer counts in any check.</p>
      <label class="field"
        ><span>Reason</span
        ><textarea
          rows="3"
          .value=${state.reason}
          aria-invalid=${state.error ? "true" : "false"}
          @input=${(event) => (state.reason = event.target.value)}
        ></textarea>
      </label>
      ${state.error ? html`<p class="field-error" role="alert">${state.error}</p>` : nothing}`,
    actions: html`<button
      type="button"
      class="main-action"
      @click=${() => single(state, () => saveVoid(state, app, { book, link, redraw, done }))}
    >
      Void reading
    </button>`,
  });
}

async function saveVoid(state, app, { book, link, redraw, done }) {
  if (!state.reason.trim()) {
    state.error =
      "A reason is needed: say why this reading doesn't count, for example 'dirty connector, cleaned and measured again'.";
    return redraw();
  }
  try {
    await app.write(book, "void", { link, reading: state.reading.id, reason: state.reason.trim() });
  } catch (error) {
    state.error = sentence(error);
    return redraw();
  }
  app.say("Reading voided; saved on this phone", "good");
  return done();
}
