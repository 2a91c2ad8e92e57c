/**
 * Photos: thumbnails from this phone, and a sheet to take or choose them. The draft is written before the camera opens,
 * since phones kill the page then.
 */
import { html, nothing } from "lit-html";
import { createRef, ref } from "lit-html/directives/ref.js";
import { until } from "lit-html/directives/until.js";
import { sentence } from "./attempt.js";
import { sheet } from "./sheet.js";
import { counted, timeText } from "./values.js";

const WAITING = "photo-waiting";
const ASK_AGAIN_AFTER_MS = 20_000;
const urls = new Map();

/** The address of a photo's picture, asked for once; a photo that can't be had is asked for again after a while. */
function urlOf(app, sha256) {
  if (!urls.has(sha256)) {
    const asked = Promise.resolve(app.photo.photoUrl(sha256));
    asked.catch(() => setTimeout(() => urls.delete(sha256), ASK_AGAIN_AFTER_MS));
    urls.set(sha256, asked);
  }
  return urls.get(sha256);
}

/** One picture, or the words why it is not there. */
export function picture(app, photo, className = "thumb") {
  const words = photo.caption || "Photo without a caption";
  const shown = urlOf(app, photo.sha256).then(
    (url) => html`<img class=${className} src=${url} alt=${words} @error=${missing} />`,
    (error) => html`<span class="photo-missing">${sentence(error)}</span>`,
  );
  return until(shown, html`<span class="photo-missing" aria-busy="true">${words}</span>`);
}

function missing(event) {
  const note = document.createElement("span");
  note.className = "photo-missing";
  note.textContent = "This photo is kept, but this phone can't show it here";
  event.target.replaceWith(note);
}

export function photoStrip(app, photos) {
  if (!photos?.length) return nothing;
  const one = (photo) =>
    html`<li>
      <figure>
        ${picture(app, photo)}
        <figcaption>${photo.caption || timeText(photo.at)}</figcaption>
      </figure>
    </li>`;
  return html`<ul class="photo-strip" aria-label=${counted(photos.length, "photo")}>
    ${photos.map(one)}
  </ul>`;
}

/** The photo that a person was about to take when the page went away, or null. */
export const waitingPhoto = (app) => app.draft.get(WAITING).catch(() => null);
export const dropWaitingPhoto = (app) => app.draft.clear(WAITING);

/** On the start page: the way to the place where a photo was being taken when the phone closed the app. */
export function waitingPhotoNotice(waiting, app) {
  if (!waiting) return nothing;
  const drop = async () => {
    await dropWaitingPhoto(app).catch((error) => app.say(sentence(error), "bad"));
    await app.refresh();
  };
  return html`<aside class="notice">
    <p>A photo of ${waiting.about ?? "a link"} was being taken: choose it from the gallery.</p>
    <div class="strip-jobs">
      <a class="quiet-button" href=${`#${waiting.path}`}>Go there</a>
      <button type="button" class="quiet-button" @click=${drop}>It is not missing</button>
    </div>
  </aside>`;
}

/** @param places [subject, label] pairs of what a photo can be of; @param of the one chosen first. */
export function openPhoto({ book, link, places, of, caption = "", path }) {
  return {
    kind: "photo",
    book,
    link,
    places,
    of: of ?? places[0][0],
    caption,
    path,
    camera: createRef(),
    gallery: createRef(),
    saved: [],
    busy: "",
    errors: [],
  };
}

export function photoSheet(state, app, { redraw, onClose }) {
  // A sheet that is closed by hand was not closed by the phone: nothing waits any more.
  const close = () => {
    dropWaitingPhoto(app).catch((error) => app.say(sentence(error), "bad"));
    onClose();
  };
  const ask = (input) => () => openPicker(state, app, input, redraw);
  const take = (event) => keepFiles(state, app, event.target, redraw);
  const busy = Boolean(state.busy);
  return sheet({
    title: "Photo",
    onClose: close,
    body: html`<label class="field"
        ><span>Photo of</span>
        <select @change=${(event) => (state.of = event.target.value)}>
          ${state.places.map(([value, label]) => html`<option value=${value} ?selected=${value === state.of}>${label}</option>`)}
        </select></label
      >
      <label class="field"
        ><span>Caption</span
        ><input type="text" autocomplete="off" .value=${state.caption} @input=${(event) => (state.caption = event.target.value)}
      /></label>
      <input
        hidden
        type="file"
        accept="image/*"
        capture="environment"
        aria-label="Photo from the camera"
        ${ref(state.camera)}
        @change=${take}
      />
      <input
        hidden
        type="file"
        accept="image/*"
        multiple
        aria-label="Photo from the gallery"
        ${ref(state.gallery)}
        @change=${take}
      />
      <p role="status" class="photo-progress">
        ${state.busy || (state.saved.length ? `${counted(state.saved.length, "photo")} saved on this phone` : "")}
      </p>
      ${state.errors.map((text) => html`<p class="field-error" role="alert">${text}</p>`)} ${photoStrip(app, state.saved)}`,
    actions: html`<button type="button" class="second-action" ?disabled=${busy} @click=${ask(state.gallery)}>Choose photo</button>
      <button type="button" class="main-action" ?disabled=${busy} @click=${ask(state.camera)}>Take photo</button>`,
  });
}

async function openPicker(state, app, input, redraw) {
  const { book, link, of, caption, path } = state;
  const [, about] = state.places.find(([subject]) => subject === of) ?? [];
  try {
    await app.draft.set(WAITING, { book, link, of, about, caption, path });
  } catch (error) {
    state.errors = [
      `${sentence(error)} The photo can still be taken; if the phone closes this page meanwhile, its place is not remembered.`,
    ];
    redraw();
  }
  input.value.click();
}

async function keepFiles(state, app, input, redraw) {
  const files = [...input.files];
  state.errors = [];
  for (const [index, file] of files.entries()) {
    state.busy = `Saving photo ${index + 1} of ${files.length} …`;
    redraw();
    try {
      state.saved.push(await keepOne(state, app, file));
    } catch (error) {
      state.errors.push(`${file.name || "The photo"} was not saved: ${sentence(error)}`);
    }
  }
  input.value = "";
  state.busy = "";
  state.caption = state.errors.length ? state.caption : "";
  if (!state.errors.length) await dropWaitingPhoto(app).catch((error) => state.errors.push(sentence(error)));
  redraw();
}

async function keepOne(state, app, file) {
  const taken = await app.photo.takePhoto(file);
  const { sha256, type, bytes } = taken;
  const body = { link: state.link, of: state.of, sha256, type, bytes: String(bytes.byteLength), caption: state.caption.trim() };
  for (const name of ["width", "height", "taken"]) if (taken[name]) body[name] = String(taken[name]);
  await app.write(state.book, "photo", body, [], { photo: { sha256, type, bytes } });
  return { sha256, caption: body.caption, at: taken.taken ?? "" };
}
