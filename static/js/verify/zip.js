/** A zip held in memory, read one file at a time: names first, so that nothing is unpacked that nobody asks for. */

import { unzipSync } from "fflate";

const LARGEST_MEMBER_BYTES = 64 * 1024 * 1024;

/**
 * @param {Uint8Array} bytes
 * @returns {{names: string[], read: (name: string) => Uint8Array} | null} null when its list of files can't be read
 */
export function open(bytes) {
  const names = [];
  try {
    unzipSync(bytes, { filter: ({ name }) => names.push(name) && false });
  } catch {
    return null;
  }
  return { names, read: (name) => member(bytes, name) };
}

/** Throws when the file in it is torn, or says that it is larger than any photo. */
function member(bytes, name) {
  const found = unzipSync(bytes, {
    filter: (file) => file.name === name && file.originalSize <= LARGEST_MEMBER_BYTES,
  });
  if (!found[name]) throw new Error(name);
  return found[name];
}
