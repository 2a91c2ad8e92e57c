/** Limits typed for a link: where a check says it can be judged by another one, and the list of those there are. */
import { html, nothing } from "lit-html";
import { limitText } from "./check_row.js";
import { unbroken } from "./figure.js";
import { held, query } from "./values.js";

/** Which limits of its own a link of this kind can have, as core describes them. */
const offered = (view, app) => app.describe.words.own_limits.filter(({ media }) => media.includes(view.medium));

const address = (book, link, what, then) =>
  `#/book/${book}/edit/limit/${link}:limit:${what}${query({ link, then })}`;

/** What core describes of the own limit of a subject, such as `<link>:limit:delay`. */
export const limitAbout = (subject, app) =>
  app.describe.words.own_limits.find(({ what }) => what === subject.slice(subject.lastIndexOf(":") + 1));

/** Under one check: where its limit can be read, and the way to judge it by another one. */
export function limitLinks({ book, link, view, check }, app) {
  const can = offered(view, app).find(({ rules }) => rules.includes(check.rule));
  const set = check.source?.set || check.published?.set;
  if (!can && !set) return nothing;
  const then = `/book/${book}/link/${link}/check${query({ id: check.id })}`;
  const typed = can && view.limits.some(({ subject }) => subject.endsWith(`:limit:${can.what}`));
  return html`<p class="limit-links">
    ${set ? html`<a class="quiet-button" href=${`#/limits/${set}`}>Read this limit set</a>` : nothing}
    ${
      can
        ? html`<a class="quiet-button" href=${address(book, link, can.what, then)}
            >${typed ? "Change the limit typed for this link" : "Judge by another limit"}</a
          >`
        : nothing
    }
  </p>`;
}

/** On the checks: the limits typed for this link with their sources, and the way to type one more. */
export function ownLimits({ book, link, view }, app) {
  const then = `/book/${book}/link/${link}/checks`;
  const free = offered(view, app).filter(({ what }) => !view.limits.some((limit) => held(limit, "what") === what));
  return html`<section class="check-group" aria-labelledby="own-limits-title">
    <h2 id="own-limits-title">Limits typed for this link</h2>
    ${view.limits.length ? listOf({ book, link, view, then }, app) : html`<p class="none">None: published limits decide.</p>`}
    ${free.length ? typeOne({ book, link, free, then }) : nothing}
  </section>`;
}

function listOf({ book, link, view, then }, app) {
  return html`<ul class="own-limits">
    ${view.limits.map((limit) => {
      const about = limitAbout(limit.subject, app);
      return html`<li>
        <a href=${address(book, link, held(limit, "what"), then)}
          ><strong>${about?.label ?? held(limit, "what")}</strong>
          <span>${unbroken(limitText({ sense: about?.sense, ...held(limit, "value") }))}</span>
          <small>${held(limit, "source")}</small></a
        >
      </li>`;
    })}
  </ul>`;
}

function typeOne({ book, link, free, then }) {
  return html`<details class="fold">
    <summary>Type a limit of the project or a maker</summary>
    <ul class="own-limits">
      ${free.map(({ what, label }) => html`<li><a href=${address(book, link, what, then)}>${label}</a></li>`)}
    </ul>
  </details>`;
}
