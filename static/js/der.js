/** A device's key and signature in the forms that openssl reads: PEM of a public key (RFC 7468, RFC 5480), DER of a signature (RFC 3279). */

/** What stands before x and y of every public key on P-256: SEQUENCE of algorithm (EC public key, P-256) and bit string, point uncompressed. */
const P256_KEY_HEAD = "3059301306072a8648ce3d020106082a8648ce3d03010703420004";
const PEM_LINE = 64;
const INTEGER = 0x02;
const SEQUENCE = 0x30;

/**
 * @param {{x: string, y: string}} key coordinates in base64url
 * @returns {string} PEM, ended by a line feed
 */
export function pemOf({ x, y }) {
  const bytes = [...fromHex(P256_KEY_HEAD), ...fromBase64Url(x), ...fromBase64Url(y)];
  const lines = btoa(String.fromCharCode(...bytes)).match(new RegExp(`.{1,${PEM_LINE}}`, "g"));
  return `-----BEGIN PUBLIC KEY-----\n${lines.join("\n")}\n-----END PUBLIC KEY-----\n`;
}

/**
 * @param {string} signature 128 hex digits, r then s
 * @returns {Uint8Array}
 */
export function derOf(signature) {
  const bytes = fromHex(signature);
  const numbers = [...integer(bytes.slice(0, 32)), ...integer(bytes.slice(32))];
  return Uint8Array.from([SEQUENCE, numbers.length, ...numbers]);
}

/** A number without leading zeros, but with one where its first bit would make it negative. */
function integer(bytes) {
  let first = 0;
  while (first < bytes.length - 1 && bytes[first] === 0) first += 1;
  const digits = bytes.slice(first);
  if (digits[0] & 0x80) digits.unshift(0);
  return [INTEGER, digits.length, ...digits];
}

const fromHex = (text) => (text.match(/../g) ?? []).map((pair) => parseInt(pair, 16));

function fromBase64Url(text) {
  return [...atob(text.replaceAll("-", "+").replaceAll("_", "/"))].map((character) => character.charCodeAt(0));
}
