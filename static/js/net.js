// The only module that touches the network. Every call ends in time, and no answer is an Offline error.

const ANSWER_TIMEOUT_MS = 20_000;
const PHOTO_BASE_TIMEOUT_MS = 30_000;
const SLOWEST_UPLOAD_BYTES_PER_MS = 3;

let csrf = "";

/** No usable answer from our own server. */
export class Offline extends Error {}

/** The server answered, but not with what was asked for. */
export class ServerError extends Error {
  /** @param {number} status @param {string} message */
  constructor(status, message) {
    super(message);
    this.status = status;
  }
}

/** @returns {Promise<{signed_in: boolean, name: string | null, now: string}>} also takes the token that writes need */
export async function session() {
  const found = await asked("GET", "/api/session");
  csrf = found.csrf ?? csrf;
  return found;
}

/** @returns {Promise<{signed_in: boolean, name: string}>} */
export async function signIn(name, password) {
  await session();
  const found = await written("POST", "/api/sign-in", { json: { name, password } });
  csrf = found?.csrf ?? csrf;
  return found;
}

export async function signOut() {
  await session();
  await written("POST", "/api/sign-out", { json: {} });
}

/** Tells the server which key this phone signs with, for whoever is signed in. */
export function registerKey(device, key) {
  return written("POST", "/api/device-key", { json: { device, key } });
}

/** The one exchange: takes the outbox, gives what came since the cursor. */
export function exchange(device, cursor, texts) {
  return written("POST", "/api/sync", { json: { device, cursor, entries: texts }, timeout_ms: 3 * ANSWER_TIMEOUT_MS });
}

/** @returns {Promise<boolean>} whether the server has the photo */
export async function hasPhoto(sha256) {
  const response = await send("HEAD", `/api/photos/${sha256}`);
  if (response.ok) return true;
  if (response.status === 404) return false;
  throw new ServerError(response.status, `Status ${response.status}`);
}

export async function putPhoto(sha256, type, bytes) {
  const timeout_ms = PHOTO_BASE_TIMEOUT_MS + bytes.byteLength / SLOWEST_UPLOAD_BYTES_PER_MS;
  await written("PUT", `/api/photos/${sha256}`, { bytes, type, timeout_ms });
}

/**
 * @param {string} sha256
 * @param {"" | "jpeg"} as the photo as it came, or as a JPEG that every browser shows
 * @returns {Promise<{type: string, bytes: ArrayBuffer}>}
 */
export async function getPhoto(sha256, as = "") {
  const response = await send("GET", `/api/photos/${sha256}${as ? `?as=${as}` : ""}`, { timeout_ms: 3 * PHOTO_BASE_TIMEOUT_MS });
  if (!response.ok) throw new ServerError(response.status, await messageOf(response));
  return { type: response.headers.get("Content-Type") ?? "image/jpeg", bytes: await response.arrayBuffer() };
}

/** A write whose token has gone stale is tried once more with a fresh one. */
async function written(method, address, options) {
  try {
    return await asked(method, address, options);
  } catch (error) {
    if (!(error instanceof ServerError) || error.status !== 403) throw error;
  }
  await session();
  return asked(method, address, options);
}

async function asked(method, address, options = {}) {
  const response = await send(method, address, options);
  if (!response.ok) throw new ServerError(response.status, await messageOf(response));
  if (response.status === 204) return null;
  try {
    return await response.json();
  } catch (error) {
    throw new Offline("Something else than our server answered. Is this a network with a sign-in page?", { cause: error });
  }
}

async function send(method, address, { json, bytes, type, timeout_ms = ANSWER_TIMEOUT_MS } = {}) {
  const headers = { Accept: "application/json" };
  if (method !== "GET" && method !== "HEAD") headers["X-CSRFToken"] = csrf;
  if (json) headers["Content-Type"] = "application/json";
  if (bytes) headers["Content-Type"] = type || "application/octet-stream";
  const body = json ? JSON.stringify(json) : bytes;
  try {
    return await fetch(address, {
      method,
      headers,
      body,
      signal: AbortSignal.timeout(timeout_ms),
      redirect: "error",
      cache: "no-store",
    });
  } catch (error) {
    throw new Offline("No answer from the server.", { cause: error });
  }
}

async function messageOf(response) {
  try {
    const found = await response.json();
    return found.message ?? found.error?.message ?? found.error ?? `Status ${response.status}`;
  } catch {
    return `Status ${response.status}`;
  }
}
