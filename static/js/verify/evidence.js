/** What a file holds that can be held against a seal: entries as exact text, hashes of photos and limit sets, faults of the file itself. */

import { sha256 } from "../ids.js";
import { attachments, UnreadablePdf } from "./pdf.js";
import { open as openZip } from "./zip.js";

const RESAVED =
  "It may have been saved again by another program. " +
  "`spanbook verify` on a computer may still read it; the handover package can be checked here.";

/**
 * @typedef {{texts: [string, string][], photos: Record<string, {sha256: string, where: string}>, limits: Record<string, string> | null,
 *            problems: string[], notes: string[], photos_expected: boolean, what: string}} Evidence
 */

/** The file is nothing that could hold a seal; the message says what was looked for. */
export class NoEvidence extends Error {}

const LARGEST_FILE_BYTES = 1024 * 1024 * 1024;
const PHOTO = /(?:^|\/)photos\/([0-9a-f]{64})\.(?:jpg|png|webp|heic|bin)$/;
const PHONE_FORM = "spanbook-phone-export";

/**
 * @param {File} file record PDF, handover package, or exported book
 * @param {(done: number, all: number) => void} onProgress photos looked at
 * @returns {Promise<Evidence>}
 */
export async function gather(file, onProgress = () => {}) {
  if (file.size > LARGEST_FILE_BYTES) throw new NoEvidence("The file is larger than 1 GB. `spanbook verify` on a computer reads it.");
  const bytes = new Uint8Array(await file.arrayBuffer());
  const start = new TextDecoder("latin1").decode(bytes.subarray(0, 5));
  if (start === "%PDF-") return ofPdf(bytes);
  if (start.startsWith("PK")) return ofZip(bytes, onProgress);
  return ofJson(bytes, file.name);
}

const empty = (what) => ({ texts: [], photos: {}, limits: null, problems: [], notes: [], photos_expected: true, what });

function ofPdf(bytes) {
  const found = empty("record PDF");
  found.photos_expected = false;
  found.notes.push("How the pages of the PDF look is under no seal: the entries attached to it are.");
  let attached;
  try {
    attached = attachments(bytes);
  } catch (error) {
    if (error instanceof UnreadablePdf)
      throw new NoEvidence(`What is attached to this PDF can't be read on the phone. ${RESAVED}`);
    found.problems.push("What is attached to the PDF is damaged.");
    return found;
  }
  if (!attached.has("book.json")) throw new NoEvidence(`No signed entries were found in this PDF. ${RESAVED}`);
  takeBook(found, attached.get("book.json"), "book.json in the PDF");
  return found;
}

async function ofJson(bytes, name) {
  const found = empty("exported book");
  const photos = takeBook(found, bytes, name);
  for (const [place, photo] of (Array.isArray(photos) ? photos : []).entries()) {
    const where = `photo ${place + 1} of ${name}`;
    try {
      const held = Uint8Array.from(atob(photo.base64), (character) => character.charCodeAt(0));
      takePhoto(found, photo.sha256, await sha256(held.buffer), where);
    } catch {
      found.problems.push(`${where} can't be read.`);
    }
  }
  return found;
}

/** Of two photos with one name the one that is not as its name says counts: a good copy beside it must not hide it. */
function takePhoto(found, named, hash, where) {
  if (!Object.hasOwn(found.photos, named) || hash !== named) found.photos[named] = { sha256: hash, where };
}

/** Reads {"entries": [texts]} as the office or a phone exports it. Gives the photos that a phone's export carries. */
function takeBook(found, bytes, name) {
  let data;
  try {
    data = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    found.problems.push(`${name} is damaged: it isn't whole JSON text.`);
    return [];
  }
  if (!Array.isArray(data?.entries)) throw new NoEvidence("This is no exported book, handover package or record PDF of Spanbook.");
  for (const [place, text] of data.entries.entries()) found.texts.push([String(text), `entry ${place + 1} of ${name}`]);
  return data.format === PHONE_FORM ? data.photos : [];
}

async function ofZip(bytes, onProgress) {
  const zip = openZip(bytes);
  if (!zip)
    return {
      ...empty("zip"),
      problems: ["The zip is torn: its list of files can't be read. Fetch it again."],
    };
  const bag = zip.names.map((name) => name.match(/^([^/]+\/)bagit\.txt$/)?.[1]).find(Boolean);
  const found = empty(bag ? "handover package" : "exported book");
  if (!bag && !zip.names.includes("book.json"))
    throw new NoEvidence("This zip is no exported book and no handover package of Spanbook.");
  for (const name of new Set(zip.names.filter((each, place) => zip.names.indexOf(each) !== place)))
    found.problems.push(`${name} stands twice in the zip.`);
  const photos = zip.names.filter((name) => PHOTO.test(name));
  const read = reader(zip, found);
  for (const [place, name] of photos.entries()) {
    const held = read(name);
    const named = name.match(PHOTO)[1];
    takePhoto(found, named, held ? await sha256(held) : "", name);
    onProgress(place + 1, photos.length);
    await drawn();
  }
  if (bag) await takeBag(found, zip, bag, read);
  else {
    const held = read("book.json");
    if (held) takeBook(found, held, "book.json");
  }
  return found;
}

/** Lets the screen say how far it is. */
const drawn = () => new Promise((go) => setTimeout(go, 0));

/** A file of the zip, or null with the fault noted. */
function reader(zip, found) {
  return (name) => {
    try {
      return zip.read(name);
    } catch {
      found.problems.push(`${name} in the zip is torn.`);
      return null;
    }
  };
}

async function takeBag(found, zip, bag, read) {
  const limits = {};
  for (const name of zip.names) {
    const [, folder, file] = name.slice(bag.length).match(/^data\/(entries|limits)\/([^/]+)\.json$/) ?? [];
    if (!folder) continue;
    const held = read(name);
    if (!held) continue;
    if (folder === "limits") limits[file] = await sha256(held);
    else found.texts.push([new TextDecoder("utf-8", { ignoreBOM: true }).decode(held), name.slice(bag.length)]);
  }
  found.limits = limits;
  for (const list of ["manifest-sha256.txt", "tagmanifest-sha256.txt"]) await holdAgainst(found, zip, bag, list, read);
}

/** Every file of a bag against its list of hashes, both ways. */
async function holdAgainst(found, zip, bag, list, read) {
  const held = zip.names.includes(bag + list) ? read(bag + list) : null;
  if (!held) {
    found.problems.push(`${list} is missing or torn: the files of the package can't be held against it.`);
    return;
  }
  const listed = new Map();
  for (const line of new TextDecoder().decode(held).split(/\r\n|\n|\r/).filter(Boolean)) {
    const [, hash, name] = line.match(/^([0-9a-f]{64}) [ *](.+)$/) ?? [];
    if (name) listed.set(decoded(name), hash);
    else found.problems.push(`${list} has a line that is no hash and name.`);
  }
  for (const [name, hash] of listed) {
    if (!zip.names.includes(bag + name)) found.problems.push(`${name} is listed in ${list} but not in the package.`);
    else {
      const content = read(bag + name);
      if (content && (await sha256(content)) !== hash) found.problems.push(`${name} is not the file that ${list} lists.`);
    }
  }
  if (list !== "manifest-sha256.txt") return;
  for (const name of zip.names)
    if (name.startsWith(`${bag}data/`) && !name.endsWith("/") && !listed.has(name.slice(bag.length)))
      found.problems.push(`${name.slice(bag.length)} is in the package but not in ${list}.`);
}

/** RFC 8493: a percent sign and line ends in a name are written as %25, %0A, %0D. */
const decoded = (name) => name.replace(/%(25|0A|0D)/gi, (_all, digits) => String.fromCharCode(parseInt(digits, 16)));
