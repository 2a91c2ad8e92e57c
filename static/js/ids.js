// Ids and times as entries carry them.

let last_ms = 0;

/**
 * A UUID of version 7 (RFC 9562): milliseconds first, so that ids sort in the order in which they were made on this phone.
 * @param {number} now_ms
 * @returns {string}
 */
export function uuid7(now_ms = Date.now()) {
  // Two entries of one millisecond still sort, and a clock that is set back does not reorder them.
  last_ms = Math.max(now_ms, last_ms + 1);
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (let place = 0; place < 6; place += 1) bytes[place] = Math.floor(last_ms / 256 ** (5 - place)) % 256;
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const digits = hex(bytes.buffer);
  return [
    [0, 8],
    [8, 12],
    [12, 16],
    [16, 20],
    [20, 32],
  ]
    .map(([from, to]) => digits.slice(from, to))
    .join("-");
}

/**
 * The device's time with its offset from UTC, for example 2026-03-14T10:22:05.123+01:00.
 * @param {Date} moment
 * @returns {string}
 */
export function localTime(moment = new Date()) {
  const offset_min = -moment.getTimezoneOffset();
  const shifted = new Date(moment.getTime() + offset_min * 60_000);
  const size_min = Math.abs(offset_min);
  const zone = `${offset_min < 0 ? "-" : "+"}${two(Math.floor(size_min / 60))}:${two(size_min % 60)}`;
  return shifted.toISOString().replace("Z", zone);
}

/**
 * @param {ArrayBuffer} bytes
 * @returns {Promise<string>} SHA-256 in hex
 */
export async function sha256(bytes) {
  return hex(await crypto.subtle.digest("SHA-256", bytes));
}

function hex(buffer) {
  return Array.from(new Uint8Array(buffer), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function two(number) {
  return String(number).padStart(2, "0");
}
