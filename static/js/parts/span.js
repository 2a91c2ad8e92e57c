/** What lies between two stations: its length, and the place to put a station that was left out. */
import { html } from "lit-html";
import { unbroken } from "./figure.js";
import { stationTitle } from "./station.js";
import { held, joined, query, valueText } from "./values.js";

/** The address of the form for a new station between two others (null = an end of the link). */
export function stationHref(book, link, before, after) {
  return `#/book/${book}/edit/station/new${query({ link, order: orderBetween(before, after) })}`;
}

/** A number between those of two stations, so that the new one sorts there; stations without a number give none. */
export function orderBetween(before, after) {
  const [low, high] = [before, after].map((station) => Number.parseFloat(held(station, "order")));
  if (Number.isFinite(low) && Number.isFinite(high)) return String((low + high) / 2);
  if (Number.isFinite(low)) return String(low + 1);
  if (Number.isFinite(high)) return String(high - 1);
  return before || after ? undefined : "1";
}

export function spanRow({ app, book, link, view }, before, after) {
  const names = [before, after].map((station, index) =>
    station ? stationTitle(app, station) : ["the near end", "the far end"][index],
  );
  const known = view.spans?.find((span) => span.from === before?.subject && span.to === after?.subject);
  const text = joined([
    known?.length?.text && `${valueText(known.length)} route`,
    known?.cable?.text && `${valueText(known.cable)} cable`,
  ]);
  const between = before && after;
  return html`<li class="strip-row strip-span">
    <div class="strip-line"></div>
    <p class="strip-body"><span>${unbroken(text) || (between ? "Length not known yet" : "")}</span></p>
    <a
      class="strip-insert"
      href=${stationHref(book, link, before, after)}
      aria-label=${`Add a station between ${names[0]} and ${names[1]}`}
      >+</a
    >
  </li>`;
}
