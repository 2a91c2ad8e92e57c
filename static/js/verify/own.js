/** What this phone itself holds of a book, to be held against its seals. */

import { sha256 } from "../ids.js";
import * as store from "../store.js";

/**
 * @param {string} book
 * @param {(done: number, all: number) => void} onProgress photos looked at
 * @returns {Promise<import("./evidence.js").Evidence>}
 */
export async function ofThisPhone(book, onProgress = () => {}) {
  const texts = (await store.textsOf(book)).map((text) => [text, "this phone"]);
  const photos = {};
  const named = [...new Set(texts.map(([text]) => photoOf(text)).filter(Boolean))].sort();
  for (const [place, name] of named.entries()) {
    const held = await store.photo(name);
    if (held) photos[name] = { sha256: await sha256(held.bytes), where: "this phone" };
    onProgress(place + 1, named.length);
  }
  // A photo that was never shown here is on the server only, which is no fault.
  return { texts, photos, limits: null, problems: [], notes: [], photos_expected: false, what: "what this phone holds" };
}

function photoOf(text) {
  try {
    const { kind, body } = JSON.parse(text);
    return kind === "photo" ? body.sha256 : null;
  } catch {
    return null;
  }
}
