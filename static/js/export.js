// The last safety net: all entries and photos of this phone as one JSON file.

import { localTime } from "./ids.js";
import * as store from "./store.js";

const PIECE_BYTES = 0x8000;

/**
 * Hands the file to the browser's download. Entries go as the exact texts that were kept.
 * @returns {Promise<{entries: number, photos: number}>}
 */
export async function exportAll() {
  const keys = await store.keysOfAll();
  const parts = [`{"format": "spanbook-phone-export", "v": 1, "made_at": ${JSON.stringify(localTime())}, "entries": [`];
  for (const [place, id] of keys.entries.entries()) {
    const { text } = await store.entry(id);
    parts.push(place ? ",\n" : "\n", JSON.stringify(text));
  }
  parts.push(`\n], "photos": [`);
  for (const [place, key] of keys.photos.entries()) {
    const { sha256, type, bytes } = await store.photo(key);
    parts.push(place ? ",\n" : "\n", JSON.stringify({ sha256, type, base64: base64(bytes) }));
  }
  parts.push("\n]}\n");
  download(new Blob(parts, { type: "application/json" }), `spanbook-phone-${localTime().slice(0, 10)}.json`);
  return { entries: keys.entries.length, photos: keys.photos.length };
}

function base64(buffer) {
  const bytes = new Uint8Array(buffer);
  let text = "";
  for (let start = 0; start < bytes.length; start += PIECE_BYTES)
    text += String.fromCharCode(...bytes.subarray(start, start + PIECE_BYTES));
  return btoa(text);
}

/** Hands a file to the browser's download. */
export function download(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = Object.assign(document.createElement("a"), { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
