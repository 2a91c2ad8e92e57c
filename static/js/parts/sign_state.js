/** Signing: what the screen shows, what stands in the way, who signs, and what of it is kept until it is sealed. */
import { localTime } from "../ids.js";
import { sealsOf } from "./seal_state.js";
import { counted } from "./values.js";

export const ROLES = [
  ["installer", "Installer"],
  ["client", "Client"],
  ["witness", "Witness"],
];
export const draftKey = (link) => `sign:${link}`;
const roleWord = (role) => ROLES.find(([name]) => name === role)[1];

/** All that whoever signs is shown, as core says it at this moment. */
export async function gather({ book, link }, app) {
  await app.openBook(book);
  const ask = (op) => app.core(op, { book, link });
  const [view, judged, list, covers] = await Promise.all(["link", "checks", "sign_off", "cover"].map(ask));
  const seals = await sealsOf({ book, link, view, checks: judged.checks }, app);
  return { view, checks: judged.checks, list, covers, seals, mark: markOf(list, covers, view) };
}

/** A signature holds for what was shown when it was made: this tells whether that is still what is shown. */
const markOf = (list, covers, view) =>
  JSON.stringify([covers.digest, list.items.map(({ id, state }) => [id, state]), list.stops.map(wordsOf), view.seals.at(-1)?.id]);

/** A stop's words with what calls for them, as they stand in the signed text. */
export const wordsOf = ({ words, why }) => `${words} ${why}`;

// ---- who signs, and what they have read

export const newPerson = (role, name = "") => ({
  role,
  name,
  way: "drawn",
  strokes: [],
  width: 0,
  height: 0,
  typed: "",
  at: "",
  mark: "",
});

/** Notes that a person signed just now, or not any more. */
export function signedNow(person, mark) {
  const is = isSigned(person);
  Object.assign(person, { at: is ? localTime() : "", mark: is ? mark : "" });
}

export const isSigned = ({ way, strokes, typed, name }) =>
  way === "typed" ? typed.trim() !== "" && typed.trim() === name.trim() : strokes.length > 0;

/** Someone of whom nothing is filled in does not sign; an installer's name alone is only the name this phone knows. */
const isUsed = (person) =>
  person.strokes.length > 0 || person.typed !== "" || (person.role !== "installer" && person.name.trim() !== "");

export const signing = (people) => people.filter(isUsed);

/** Was something added or changed after this person signed? */
export const isOutdated = (person, mark) => isSigned(person) && person.mark !== mark;

/** Was exactly this stop, with these words, acknowledged? */
export const acknowledgement = (read, stop) => (read[stop.id]?.words === wordsOf(stop) ? read[stop.id] : null);

// ---- the draft

/** What of the state goes into the draft, at each pen-up and change: plain data only. `sealing` is the seal being made of it. */
export function draftOf({ people, read, sealing = "" }) {
  const kept = people.map(({ role, name, way, strokes, width, height, typed, at, mark }) => ({
    ...{ role, name, way, strokes, width, height },
    ...{ typed, at, mark },
  }));
  return { people: kept, read, sealing };
}

/** The draft as it was left; null when there is none, or when its seal was kept just before the app was closed. */
export async function draftLeft(link, view, app) {
  const kept = await app.draft.get(draftKey(link)).catch(() => null);
  if (!kept || !view.seals.some(({ id }) => id === kept.sealing)) return kept;
  await app.draft.clear(draftKey(link)).catch(() => {});
  return null;
}

/** The people of a draft; one of an earlier version of the app has no typed signatures. */
export const peopleOf = (kept, app) =>
  kept?.people?.map((person) => ({ ...newPerson(person.role), ...person })) ?? [newPerson("installer", app.status.name)];

// ---- what stands in the way

/** What keeps this from being sealed, as sentences; none when it can be. */
export function obstacles({ list, people, read, view, mark }) {
  const { failing, missing } = list.counts;
  const found = [];
  if (!view.stations.length && !view.readings.length) found.push("Nothing is recorded on this link yet.");
  if (failing + missing > 0)
    found.push(`${counted(failing + missing, "item")} failing or missing: measure, write down, or accept with a reason.`);
  for (const stop of list.stops) if (!acknowledgement(read, stop)) found.push(`${stop.title}: not acknowledged yet.`);
  const used = signing(people);
  if (!used.some((person) => person.role === "installer")) found.push("The installer has not signed yet.");
  return [...found, ...used.flatMap((person) => lacksOf(person, mark).map((words) => `${roleWord(person.role)}: ${words}`))];
}

function lacksOf(person, mark) {
  if (!person.name.trim()) return ["the name is missing."];
  if (!isSigned(person))
    return [person.way === "typed" ? "the name typed as a signature is not the name above." : "the drawn signature is missing."];
  return isOutdated(person, mark) ? ["signed before something was added or changed: confirm, or sign again."] : [];
}
