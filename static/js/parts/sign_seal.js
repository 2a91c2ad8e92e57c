/** The seal: core makes the text, this phone's key signs it, and both are kept in one entry or not at all. */
import { localTime } from "../ids.js";
import { publicKey, sign } from "../key.js";
import { textsOf } from "../store.js";
import { sentence } from "./attempt.js";
import { acknowledgement, draftKey, draftOf, gather, signing, wordsOf } from "./sign_state.js";
import { timeText } from "./values.js";

/** What would be signed is not what the screen showed. */
export class NotAsShown extends Error {}

/** Signs exactly what the screen shows. Rejects with nothing sealed, and NotAsShown when something came in meanwhile. */
export async function seal(state, app) {
  const { book, link } = state;
  const header = { id: app.newId(), at: localTime() };
  const key = await publicKey();
  const signed = await textFor(state, { seal: header.id, at: header.at, by: app.status.name, device: app.device(), key }, app);
  if (!isAsShown(JSON.parse(signed), state)) throw new NotAsShown();
  const signature = await sign(signed);
  // Should the app be closed between the next two steps, the draft is known to be sealed already.
  await app.draft.set(draftKey(link), draftOf({ ...state, sealing: header.id }));
  await app.writeAll(book, [{ ...header, kind: "seal", v: 2, body: { link, signed, key, signature } }]);
  await app.draft.clear(draftKey(link)).catch((error) => app.say(sentence(error), "bad"));
}

async function textFor({ book, link, people, list, read }, header, app) {
  const stops = list.stops
    .map((stop) => ({ id: stop.id, ...acknowledgement(read, stop) }))
    .map(({ id, name, at }) => ({ id, name, at }));
  try {
    const { text } = await app.core("seal_text", { book, link, ...header, signatures: signing(people).map(signatureOf), stops });
    return text;
  } catch (error) {
    // The screen had nothing open: what is open now came after it.
    if (error.code === "open") throw new NotAsShown("", { cause: error });
    throw error;
  }
}

function signatureOf({ role, name, way, strokes, width, height, at }) {
  const who = { name: name.trim(), role, at };
  return way === "typed" ? { ...who, typed: who.name } : { ...who, strokes, width, height };
}

/** Are the entries, photos, items and stops of the text those on the screen, and is the seal before it the one shown there? */
function isAsShown(text, { covers, list, view }) {
  const shown = [
    covers.entries,
    covers.photos,
    list.items.map(({ id, title, state, detail }) => [id, title, state, detail]),
    list.stops.map((stop) => [stop.id, wordsOf(stop)]),
    view.seals.at(-1)?.id ?? null,
  ];
  const stops = text.stops.map(([id, words]) => [id, words]);
  return JSON.stringify([text.entries, text.photos, text.list, stops, text.previous?.[0] ?? null]) === JSON.stringify(shown);
}

/** What is here now in place of what the screen showed; `came` names what is new, by whom and when. */
export async function asItIsNow(state, app) {
  const now = await gather(state, app);
  const shown = idsOf(state);
  const fresh = idsOf(now).filter((id) => !shown.includes(id));
  const entries = (await textsOf(state.book)).map((text) => JSON.parse(text)).filter(({ id }) => fresh.includes(id));
  return {
    ...now,
    came: entries.map(({ kind, by, at }) => `${kind[0].toUpperCase()}${kind.slice(1)} by ${by}, ${timeText(at)}`),
  };
}

const idsOf = ({ covers, view }) => [...covers.entries.map(([id]) => id), ...view.seals.map(({ id }) => id)];
