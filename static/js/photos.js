// A file from camera or gallery becomes a photo that can be kept and sent; a kept photo becomes an address to show.

import * as net from "./net.js";
import { localTime, sha256 } from "./ids.js";
import * as store from "./store.js";

const LONG_EDGE_PX = 2048;
const JPEG_QUALITY = 0.82;
const LARGEST_FILE_BYTES = 40 * 1024 * 1024;
const UNDECODABLE = /^image\/(heic|heif|avif|tiff)/;
const UNDECODABLE_NAME = /\.(heic|heif)$/i;

/** A file that can't be taken; the message says why. */
export class PhotoError extends Error {}

/**
 * Downscales to a JPEG of 2048 px; what can't be decoded here (such as HEIC) is kept as it came, and the server converts it.
 * @param {File} file
 * @returns {Promise<{sha256: string, type: string, bytes: ArrayBuffer, width: number | null, height: number | null,
 *                    taken: string | null}>}
 */
export async function takePhoto(file) {
  if (file.size > LARGEST_FILE_BYTES) {
    const size_mb = Math.ceil(file.size / (1024 * 1024));
    throw new PhotoError(`This file has ${size_mb} MB; a photo may have up to 40 MB. Take it again with a smaller picture size.`);
  }
  if (file.size === 0) throw new PhotoError("This file is empty. Take or choose the photo again.");
  const bitmap = await decoded(file);
  const kept = bitmap ? await downscaled(bitmap, file) : await undecoded(file);
  const taken = file.lastModified ? localTime(new Date(file.lastModified)) : null;
  return { ...kept, sha256: await sha256(kept.bytes), taken };
}

/** A phone short of memory may fail here: the photo is then kept as it came rather than lost. */
async function downscaled(bitmap, file) {
  try {
    return await drawn(bitmap);
  } catch {
    return asItCame(file, file.type || "image/jpeg");
  } finally {
    bitmap.close();
  }
}

async function drawn(bitmap) {
  const scale = Math.min(1, LONG_EDGE_PX / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const canvas = new OffscreenCanvas(width, height);
  const pen = canvas.getContext("2d");
  pen.imageSmoothingQuality = "high";
  pen.drawImage(bitmap, 0, 0, width, height);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: JPEG_QUALITY });
  // Phones give back a canvas's memory late unless it is made small.
  canvas.width = 0;
  return { type: "image/jpeg", bytes: await blob.arrayBuffer(), width, height };
}

async function decoded(file) {
  try {
    return await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    return null;
  }
}

async function undecoded(file) {
  if (!UNDECODABLE.test(file.type) && !UNDECODABLE_NAME.test(file.name)) {
    throw new PhotoError(`"${file.name}" can't be read as a picture. Choose a JPEG, PNG, WebP or HEIC photo.`);
  }
  return asItCame(file, file.type || "image/heic");
}

async function asItCame(file, type) {
  return { type, bytes: await file.arrayBuffer(), width: null, height: null };
}

/** @type {Map<string, string>} addresses made so far; few and small, so they live as long as the page */
const shown = new Map();

/**
 * A photo as it was taken: from this phone, else fetched. Throws a PhotoError that says why it is not to be had.
 * @param {string} key SHA-256
 * @returns {Promise<{sha256: string, type: string, bytes: ArrayBuffer}>}
 */
export async function originalOf(key) {
  return (await store.photo(key)) ?? (await fetched(key));
}

/**
 * An address to show a photo with. One that only the server has is fetched, checked against its hash, and kept.
 * @param {string} key SHA-256
 * @returns {Promise<string>}
 */
export async function photoUrl(key) {
  if (!shown.has(key)) shown.set(key, URL.createObjectURL(await blobOf(key)));
  return shown.get(key);
}

async function blobOf(key) {
  const kept = await originalOf(key);
  const original = new Blob([kept.bytes], { type: kept.type });
  if (!UNDECODABLE.test(kept.type) || (await canShow(original))) return original;
  const jpeg = kept.jpeg ?? (await rendition(key).catch(() => null));
  return jpeg ? new Blob([jpeg], { type: "image/jpeg" }) : original;
}

async function fetched(key) {
  const { type, bytes } = await net.getPhoto(key).catch((error) => {
    throw new PhotoError(whyNotHere(error), { cause: error });
  });
  if ((await sha256(bytes)) !== key)
    throw new PhotoError("What the server sent is not this photo. Try again with a better signal.");
  const photo = { sha256: key, type, bytes };
  // Without room it is shown all the same, and fetched again next time.
  await store.keepPulledPhoto(photo).catch(() => {});
  return photo;
}

const NOT_HERE = {
  401: "This photo is on the server; sign in to fetch it",
  404: "This photo is still on the phone that took it; it comes when that has signal",
};

function whyNotHere(error) {
  if (error instanceof net.Offline) return "This photo is on the server; it comes with signal";
  return NOT_HERE[error.status] ?? `This photo could not be fetched: ${error.message}`;
}

/** What this phone can't decode, the server turns into a JPEG; that is kept beside the original. */
async function rendition(key) {
  const { bytes } = await net.getPhoto(key, "jpeg");
  await store.keepRendition(key, bytes).catch(() => {});
  return bytes;
}

async function canShow(blob) {
  const bitmap = await decoded(blob);
  bitmap?.close();
  return bitmap !== null;
}
