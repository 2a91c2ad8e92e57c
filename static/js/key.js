// The key that this phone signs with: made here at first need, its private half never leaves the browser's keeping.

import { sha256 } from "./ids.js";
import * as net from "./net.js";
import * as store from "./store.js";

const KIND = { name: "ECDSA", namedCurve: "P-256" };
const WAY = { name: "ECDSA", hash: "SHA-256" };

export const CANNOT_SIGN =
  "This browser can't sign: it gives keys only to pages opened by https. Open Spanbook by its https address. " +
  "What was saved is still here.";

/** This browser can't make or use a key; the message is for the person. */
export class NoKey extends Error {}

/** @type {Promise<CryptoKeyPair> | null} */
let own = null;

function pair() {
  own ??= keptOrMade().catch((error) => {
    own = null;
    throw error;
  });
  return own;
}

async function keptOrMade() {
  if (!canSign()) throw new NoKey(CANNOT_SIGN);
  const kept = await store.deviceKey.get();
  if (kept) return kept;
  const made = await crypto.subtle.generateKey(KIND, false, ["sign", "verify"]);
  return store.deviceKey.keepFirst(made);
}

/** @returns {Promise<{kty: string, crv: string, x: string, y: string}>} the public half, with nothing else in it */
export async function publicKey() {
  const { publicKey: half } = await pair();
  const { kty, crv, x, y } = await crypto.subtle.exportKey("jwk", half);
  return { kty, crv, x, y };
}

/** @returns {Promise<string>} r, then s, as 128 hexadecimal digits, over the text's UTF-8 bytes */
export async function sign(text) {
  const { privateKey } = await pair();
  return hex(await crypto.subtle.sign(WAY, privateKey, new TextEncoder().encode(text)));
}

/** Did the holder of this key sign exactly this text? */
export async function isGood(jwk, signature, text) {
  if (!/^[0-9a-f]{128}$/.test(signature)) return false;
  try {
    const key = await crypto.subtle.importKey("jwk", jwk, KIND, false, ["verify"]);
    return await crypto.subtle.verify(WAY, key, bytes(signature), new TextEncoder().encode(text));
  } catch {
    return false;
  }
}

/** Can signatures be made and checked in this browser at all? Pages that did not come by https get no keys. */
export const canSign = () => Boolean(globalThis.crypto?.subtle);

/** {seal id: "good" | "bad"} of what core's `seals` or a link view's seals hold; what can't be checked is left out. Two of one id are good
 * only when both are. */
export async function checked(seals) {
  const found = {};
  if (!canSign()) return found;
  for (const { id, key, jwk = key, signature, text } of seals)
    if (signature) found[id] = (await isGood(jwk, signature, text)) && found[id] !== "bad" ? "good" : "bad";
  return found;
}

/** The thumbprint of a public key by RFC 7638. */
export function thumbprint({ crv, kty, x, y }) {
  return sha256(new TextEncoder().encode(JSON.stringify({ crv, kty, x, y })));
}

/** {thumbprint: words} of the one key whose holder is known without the server. None is made for it. */
export async function known() {
  if (!canSign() || !(await store.deviceKey.get())) return {};
  return { [await thumbprint(await publicKey())]: "This phone's own" };
}

/** Lets the server know this phone's key once for each person; a server that does not take it now is asked again next time. */
export async function register(device, name) {
  let key;
  try {
    key = await publicKey();
  } catch {
    return; // who signs is told then; exchanging goes on without a key
  }
  const mark = `key:${await thumbprint(key)}:${name}`;
  if ((await store.setting.get("registered")) === mark) return;
  try {
    await net.registerKey(device, key);
    await store.setting.set("registered", mark);
  } catch (error) {
    if (!(error instanceof net.ServerError)) throw error;
  }
}

const hex = (buffer) => Array.from(new Uint8Array(buffer), (byte) => byte.toString(16).padStart(2, "0")).join("");
const bytes = (text) => Uint8Array.from(text.match(/../g), (digits) => parseInt(digits, 16));
