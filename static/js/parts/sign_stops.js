/** What has to be acknowledged one by one before anyone signs: each its own check, with its words and what calls for it. */
import { html, nothing } from "lit-html";
import { localTime } from "../ids.js";
import { unbroken } from "./figure.js";
import { acknowledgement, wordsOf } from "./sign_state.js";
import { timeText } from "./values.js";

export function stopList(model, app) {
  const { stops } = model.list;
  if (!stops.length) return nothing;
  return html`<section class="panel" aria-labelledby="stops-title">
    <h2 id="stops-title">Before anyone signs</h2>
    <p>Read each, and tick it when those who use and serve the link have been told.</p>
    <ul class="stops">
      ${stops.map((stop) => oneStop(stop, model, app))}
    </ul>
  </section>`;
}

function oneStop(stop, model, app) {
  const held = acknowledgement(model.read, stop);
  const tick = (event) => {
    if (event.target.checked) model.read[stop.id] = { words: wordsOf(stop), name: app.status.name, at: localTime() };
    else delete model.read[stop.id];
    model.keep();
    app.redraw();
  };
  const id = `stop-${stop.id}`;
  return html`<li class=${held ? "stop stop-read" : "stop"}>
    <label class="tick"
      ><input type="checkbox" aria-describedby=${id} .checked=${Boolean(held)} @change=${tick} /><span
        >${stop.title}: read and passed on</span
      ></label
    >
    <div id=${id}>
      <p>${unbroken(stop.words)}</p>
      <p class="stop-why">${unbroken(stop.why)}</p>
    </div>
    ${held ? html`<small>Acknowledged by ${held.name}, ${timeText(held.at)}</small>` : nothing}
  </li>`;
}
