/** Where the bench stands: on its own, or with a link that a result may go to. */
import { html, nothing } from "lit-html";

/** The address after # of the list of calculators. */
export const benchBase = ({ book, link }) => (link ? `/book/${book}/link/${link}/bench` : "/bench");

/** The way back to the link that the bench was opened from. */
export function benchCrumb(target) {
  if (!target) return nothing;
  return html`<p class="crumb"><a href=${`#/book/${target.book}/link/${target.link}`}>${target.name}</a></p>`;
}
