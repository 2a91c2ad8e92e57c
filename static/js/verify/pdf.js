// The files attached to a PDF as Spanbook sets it: classic cross-reference table, streams plain or deflated.
// A program that saved the PDF again may have packed its objects; then this finds nothing and says so, and `spanbook verify` reads it.

import { Unzlib } from "fflate";

const LARGEST_ATTACHMENT_BYTES = 64 * 1024 * 1024;
const PIECE_BYTES = 16 * 1024;
const LONGEST_HEAD = 2000;

/** The PDF is not built as Spanbook builds it; nothing can be said of what is attached. */
export class UnreadablePdf extends Error {}

/**
 * @param {Uint8Array} bytes the whole PDF
 * @returns {Map<string, Uint8Array>} name to content
 */
export function attachments(bytes) {
  const text = new TextDecoder("latin1").decode(bytes); // a character a byte, so that places in both are the same
  const offsets = objectOffsets(text);
  const found = new Map();
  for (const offset of offsets.values()) {
    const head = text.slice(offset, offset + LONGEST_HEAD).split("endobj", 1)[0];
    if (!/^\d+ 0 obj\s*<</.test(head) || !/\/Type\s*\/Filespec\b/.test(head)) continue;
    const name = head.match(/\/UF\s*\(([^()\\]*)\)/)?.[1];
    const at = head.match(/\/EF\s*<<[^>]*\/F\s+(\d+) 0 R/)?.[1];
    if (name && at) found.set(name, stream(bytes, text, offsets.get(Number(at))));
  }
  return found;
}

function objectOffsets(text) {
  const start = Number(text.slice(-2048).match(/startxref\s+(\d+)\s+%%EOF\s*$/)?.[1] ?? NaN);
  if (!text.startsWith("xref", start)) throw new UnreadablePdf();
  const offsets = new Map();
  const section = /\s*(\d+) (\d+)[ \r\n]+/y;
  section.lastIndex = start + 4;
  for (let match = section.exec(text); match; match = section.exec(text)) {
    const [first, count] = [Number(match[1]), Number(match[2])];
    const rows = section.lastIndex;
    for (let row = 0; row < count; row += 1) {
      const [, offset, kind] = text.slice(rows + row * 20, rows + row * 20 + 18).match(/^(\d{10}) \d{5} ([nf])$/) ?? [];
      if (kind === "n") offsets.set(first + row, Number(offset));
    }
    section.lastIndex = rows + count * 20;
  }
  if (offsets.size === 0) throw new UnreadablePdf();
  return offsets;
}

function stream(bytes, text, offset) {
  const begin = text.indexOf("stream", offset);
  const head = text.slice(offset, begin);
  const length = Number(head.match(/\/Length (\d+)(?! 0 R)/)?.[1] ?? NaN);
  if (offset === undefined || begin < 0 || begin - offset > LONGEST_HEAD || Number.isNaN(length)) throw new UnreadablePdf();
  const from = begin + (text[begin + 6] === "\r" ? 8 : 7);
  const held = bytes.subarray(from, from + length);
  if (!head.includes("/Filter")) return held;
  if (!/\/Filter\s*\/FlateDecode/.test(head)) throw new UnreadablePdf();
  return inflated(held);
}

/** Piece by piece, so that a small stream that claims to be huge is given up early. */
function inflated(held) {
  const parts = [];
  let size = 0;
  const reader = new Unzlib((part) => {
    parts.push(part);
    size += part.length;
  });
  for (let from = 0; from < held.length; from += PIECE_BYTES) {
    reader.push(held.subarray(from, from + PIECE_BYTES), from + PIECE_BYTES >= held.length);
    if (size > LARGEST_ATTACHMENT_BYTES) throw new UnreadablePdf();
  }
  const whole = new Uint8Array(size);
  let place = 0;
  for (const part of parts) {
    whole.set(part, place);
    place += part.length;
  }
  return whole;
}
