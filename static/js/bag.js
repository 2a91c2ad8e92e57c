/** A bag (RFC 8493) as one zip, put together file by file: what is done goes to the browser as a Blob, so no two photos sit in memory. */

import { Zip, ZipDeflate } from "fflate";
import { sha256 } from "./ids.js";

// The same date as the office's package: it says nothing, and the same content is the same file.
const DATE = new Date(1980, 0, 1);
const MADE_ON_UNIX = 3;
const PLAIN_FILE = 0o644 << 16;

export class Bag {
  /** @param {string} folder the name of the one folder in the zip */
  constructor(folder) {
    this.folder = folder;
    /** @type {[string, string, number][]} path in the bag, SHA-256, size in bytes */
    this.payload = [];
    this.parts = [];
    this.pieces = [];
    this.zip = new Zip((error, piece) => {
      if (error) throw error;
      this.pieces.push(piece);
    });
  }

  /** Adds a file of the payload. `packed`: pictures are packed already, and are taken as they are. */
  async add(path, bytes, packed = false) {
    this.payload.push([path, await sha256(bytes), bytes.byteLength]);
    this.#put(path, bytes, packed);
  }

  #put(path, bytes, packed) {
    const file = new ZipDeflate(`${this.folder}/${path}`, { level: packed ? 0 : 6 });
    Object.assign(file, { mtime: DATE, os: MADE_ON_UNIX, attrs: PLAIN_FILE });
    this.zip.add(file);
    file.push(bytes, true);
    this.#setAside();
  }

  #setAside() {
    this.parts.push(new Blob(this.pieces));
    this.pieces = [];
  }

  /** Adds the tag files that core makes of the payload. Gives the zip. */
  async close(info, core) {
    for (const [name, text] of await core("handover_tags", { payload: this.payload, info }))
      this.#put(name, new TextEncoder().encode(text), false);
    this.zip.end();
    this.#setAside();
    return new Blob(this.parts, { type: "application/zip" });
  }
}
