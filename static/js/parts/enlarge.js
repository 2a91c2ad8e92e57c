/** A drawing fits the width of the screen; a tap opens it larger, in a region that moves in both directions. */
import { html } from "lit-html";

/** @param drawing what is shown; @param title names the region and the key. */
export function enlargeable(drawing, title) {
  return html`<div class="drawing">
    <div class="drawing-window" role="region" aria-label=${`${title}, drawing`} tabindex="0" @click=${turn}>${drawing}</div>
    <button
      type="button"
      class="quiet-button screen-only"
      aria-pressed="false"
      aria-label=${`Enlarge: ${title}`}
      @click=${turn}
    >
      Enlarge
    </button>
  </div>`;
}

/** Kept in the page alone: how large a drawing is shown is nobody's business but the reader's. */
function turn(event) {
  const place = event.currentTarget.closest(".drawing");
  const [across, down] = pointOf(event);
  const large = place.classList.toggle("drawing-large");
  place.querySelector("button").setAttribute("aria-pressed", String(large));
  const view = place.querySelector(".drawing-window");
  view.scrollTo(across * view.scrollWidth - view.clientWidth / 2, down * view.scrollHeight - view.clientHeight / 2);
}

/** Where the drawing was tapped, as parts of its width and height; its middle when the key was used. */
function pointOf({ currentTarget, clientX, clientY }) {
  if (currentTarget.localName === "button") return [0.5, 0.5];
  const { left, top, width, height } = currentTarget.getBoundingClientRect();
  return [(clientX - left) / width, (clientY - top) / height];
}
