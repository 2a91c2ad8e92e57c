/** What the bench's screens share: the calculators, and where the bench stands (on its own, or with a link that a result may go to). */
import { html, nothing } from "lit-html";

/** @type {Promise<object[]> | null} */
let described = null;

/** All calculators as core describes them. They stay the same while the app runs, so core is asked once. */
export function calculators(app) {
  described ??= app.core("calculators").catch((error) => {
    described = null;
    throw error;
  });
  return described;
}

/** The address after # of the list of calculators. */
export const benchBase = ({ book, link }) => (link ? `/book/${book}/link/${link}/bench` : "/bench");

/** The way back to the link that the bench was opened from. */
export function benchCrumb(target) {
  if (!target) return nothing;
  return html`<p class="crumb"><a href=${`#/book/${target.book}/link/${target.link}`}>${target.name}</a></p>`;
}
