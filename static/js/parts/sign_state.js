/** Signing: what stands in the way, who signs, and the seal over exactly what core says it covers. */
import { localTime } from "../ids.js";
import { sentence } from "./attempt.js";
import { valueText } from "./values.js";
import { fails } from "./verdict.js";

export const ROLES = [
  ["installer", "Installer"],
  ["client", "Client"],
  ["witness", "Witness"],
];
export const draftKey = (link) => `sign:${link}`;

const CAUTIONS = { fibre: ["storm", "laser"], copper: ["storm-copper", "gpd", "poe"], extended: ["storm-copper", "gpd", "poe"] };

const CAUTION_WORDS = {
  storm: "storm",
  "storm-copper": "storm and copper",
  laser: "light in the fibre",
  gpd: "two earths",
  poe: "powered pair",
};

/** The cautions that have to be acknowledged for a kind of link. */
export const cautionsOf = (medium) => CAUTIONS[medium] ?? ["storm"];

export const isOpen = (check) => check.required && !check.deviation && (fails(check.verdict) || check.verdict === "not_measured");

export const newPerson = (role, name = "") => ({ role, name, strokes: [], width: 0, height: 0, at: "" });

/** What of the state goes into the draft: plain data only, at each pen-up and each change. */
export function draftOf({ people, acknowledged }) {
  return {
    acknowledged,
    people: people.map(({ role, name, strokes, width, height, at }) => ({ role, name, strokes, width, height, at })),
  };
}

/** What keeps this from being sealed, as sentences; none when it can be. */
export function obstacles(state) {
  const { checks, people, acknowledged, view } = state;
  const open = checks.filter(isOpen);
  const found = [];
  if (!view.stations.length && !view.readings.length) found.push("Nothing is recorded on this link yet.");
  if (open.length)
    found.push(
      `${open.length === 1 ? "1 check is" : `${open.length} checks are`} failing or not measured: measure, or accept with a reason.`,
    );
  if (!acknowledged) found.push("The cautions are not acknowledged yet.");
  const signing = people.filter(isUsed);
  if (!signing.some((person) => person.role === "installer")) found.push("The installer has not signed yet.");
  for (const person of signing) {
    const who = ROLES.find(([role]) => role === person.role)[1];
    if (!person.name.trim()) found.push(`${who}: the name is missing.`);
    if (!person.strokes.length) found.push(`${who}: the drawn signature is missing.`);
  }
  return found;
}

/** Someone of whom nothing is filled in does not sign; an installer's name alone is only the name this phone knows. */
const isUsed = (person) => person.strokes.length > 0 || (person.role !== "installer" && person.name.trim() !== "");

/** Writes the acknowledgement, asks what is covered at this moment, and writes the seal. Rejects with nothing sealed. */
export async function seal(state, app) {
  const { book, link } = state;
  if (!state.acknowledgementKept) {
    await app.write(book, "note", {
      link,
      of: link,
      text: `Cautions acknowledged before signing: ${state.cautions.map((id) => CAUTION_WORDS[id]).join(", ")}.`,
    });
    state.acknowledgementKept = true;
  }
  const [covers, judged, view] = await Promise.all([
    app.core("cover", { book, link }),
    app.core("checks", { book, link }),
    app.core("link", { book, link }),
  ]);
  if (judged.checks.some(isOpen))
    throw new Error("Something came in meanwhile that is failing or not measured. Look at the open checks and sign again.");
  const signatures = state.people.filter(isUsed).map(signatureOf);
  await app.write(book, "seal", {
    link,
    revision: view.seals.length + 1,
    covers,
    signatures,
    verdicts: judged.checks.map(verdictRow),
  });
  await app.draft.clear(draftKey(link)).catch((error) => app.say(sentence(error), "bad"));
}

const signatureOf = ({ role, name, strokes, width, height, at }) => ({
  name: name.trim(),
  role,
  at: at || localTime(),
  strokes,
  width,
  height,
});

const verdictRow = (check) => [
  check.id,
  check.verdict,
  valueText(check.measured),
  valueText(check.limit),
  valueText(check.margin),
];
