/** The handover package of a link, made on the phone without signal: the same as the office's, but without the PDF. */

import { Bag } from "./bag.js";
import { derOf, pemOf } from "./der.js";
import { endingOf } from "./endings.js";
import { localTime, sha256 } from "./ids.js";
import { checked } from "./key.js";
import { originalOf } from "./photos.js";
import * as store from "./store.js";

/** Something came while the package was made; the message says what to do. */
export class Changed extends Error {}

const bytesOf = (text) => new TextEncoder().encode(text);

/**
 * @param {{book: string, link: string}} which
 * @param {{core: Function, openBook: Function, status: {online: boolean}}} app
 * @param {(words: string, done: number, all: number) => void} onProgress
 * @returns {Promise<{file: File, missing: string[]}>} the zip, and SHA-256 of photos that are not to be had here
 */
export async function makePackage({ book, link }, app, onProgress) {
  await app.openBook(book);
  const { name, photos } = await app.core("handover_photos", { book, link });
  const bag = new Bag(name);
  const here = await addPhotos(bag, photos, app, onProgress);
  onProgress("Working out plans and tables …", photos.length, photos.length);
  const signatures = await checked(await app.core("seals", { texts: await store.textsOf(book) }));
  const asked = await app.core("handover", { book, link, made_at: localTime(), signatures, photos_here: here });
  if (asked.name !== name || asked.photos.length + asked.photos_missing.length !== photos.length)
    throw new Changed("Something new came for this link while the package was made. Make it again.");
  await addTexts(bag, asked);
  const zip = await bag.close(asked.info, app.core);
  return { file: new File([zip], `${name}.zip`, { type: zip.type }), missing: asked.photos_missing };
}

/** One photo at a time. Gives the SHA-256 of those that went in. */
async function addPhotos(bag, photos, app, onProgress) {
  const here = [];
  for (const [place, [key]] of photos.entries()) {
    onProgress(`Photo ${place + 1} of ${photos.length}`, place, photos.length);
    const bytes = await photoBytes(key, app);
    if (!bytes) continue;
    await bag.add(`data/photos/${key}.${endingOf(bytes)}`, bytes, true);
    here.push(key);
  }
  return here;
}

/** The photo as it was taken, or null: not on this phone and not to be fetched, or damaged here. */
async function photoBytes(key, app) {
  try {
    const kept = app.status.online ? await originalOf(key) : await store.photo(key);
    return kept && (await sha256(kept.bytes)) === key ? new Uint8Array(kept.bytes) : null;
  } catch {
    return null;
  }
}

async function addTexts(bag, { entries, limits, seals, files }) {
  for (const id of entries) await bag.add(`data/entries/${id}.json`, bytesOf((await store.entry(id)).text));
  const held = limits.length ? await limitTexts() : {};
  for (const id of limits) await bag.add(`data/limits/${id}.json`, bytesOf(held[id]));
  for (const { file, jwk, signature } of seals) {
    await bag.add(`data/seals/${file}.sig`, derOf(signature));
    if (await isKey(jwk)) await bag.add(`data/seals/${file}.pem`, bytesOf(pemOf(jwk)));
  }
  for (const [path, text] of files) await bag.add(path, bytesOf(text));
}

/** A point that is not on the curve is no key, and openssl would read no file of it. */
async function isKey(jwk) {
  const kind = { name: "ECDSA", namedCurve: "P-256" };
  return crypto.subtle.importKey("jwk", jwk, kind, true, ["verify"]).then(
    () => true,
    () => false,
  );
}

/** The limit sets as text, from what core was started with. */
async function limitTexts() {
  const response = await fetch("/core.json");
  return (await response.json()).limits;
}
