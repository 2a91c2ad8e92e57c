/** A pad to sign on. Strokes are kept as whole numbers of the pad's own pixels and given up at each pen-up: none is lost. */
import { html } from "lit-html";
import { ref } from "lit-html/directives/ref.js";
import SignaturePad from "signature_pad";

const whole = (group) => group.points.map((point) => [Math.round(point.x), Math.round(point.y)]);
const drawn = (points, scale) => ({ points: points.map(([x, y]) => ({ x: x * scale, y: y * scale, time: 0, pressure: 0.5 })) });

/**
 * @param person holds strokes, width and height; they are changed in place.
 * @param onStroke called after each stroke and after clearing.
 */
export function signaturePad(person, { label, onStroke }) {
  person.mountPad ??= (canvas) => mount(person, canvas, () => person.onStroke());
  person.onStroke = onStroke;
  return html`<div class="signature">
    <canvas class="signature-pad" role="img" aria-label=${`${label}: sign here with a finger`} ${ref(person.mountPad)}></canvas>
    <button type="button" class="quiet-button" @click=${() => clear(person)}>Clear ${label.toLowerCase()}</button>
  </div>`;
}

function mount(person, canvas, told) {
  person.pad?.off();
  person.pad = null;
  if (canvas) requestAnimationFrame(() => canvas.isConnected && start(person, canvas, told));
}

function start(person, canvas, told) {
  const { clientWidth: width, clientHeight: height } = canvas;
  const density = Math.max(window.devicePixelRatio || 1, 1);
  canvas.width = width * density;
  canvas.height = height * density;
  canvas.getContext("2d").scale(density, density);
  const pad = new SignaturePad(canvas, { minWidth: 1.2, maxWidth: 3, penColor: "#14181b" });
  person.pad = pad;
  restore(person, pad, width, height);
  pad.addEventListener("endStroke", () => {
    person.strokes = pad.toData().map(whole);
    told();
  });
}

/** Strokes of an earlier screen width are brought to this one, so that all strokes share one measure. */
function restore(person, pad, width, height) {
  const scale = person.width ? width / person.width : 1;
  if (person.strokes?.length) pad.fromData(person.strokes.map((points) => drawn(points, scale)));
  person.strokes = pad.toData().map(whole);
  person.width = width;
  person.height = height;
}

function clear(person) {
  person.pad?.clear();
  person.strokes = [];
  person.onStroke();
}
