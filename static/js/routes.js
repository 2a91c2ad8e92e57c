// Addresses after # and their screens. A screen is a module with `load(params, app)` and `view(model, app)`.

import * as bench from "./screens/bench.js";
import * as benchForm from "./screens/bench-form.js";
import * as books from "./screens/books.js";
import * as check from "./screens/check.js";
import * as checks from "./screens/checks.js";
import * as found from "./screens/found.js";
import * as labels from "./screens/labels.js";
import * as limitSet from "./screens/limit-set.js";
import * as limits from "./screens/limits.js";
import * as link from "./screens/link.js";
import * as newBook from "./screens/new-book.js";
import * as reading from "./screens/reading.js";
import * as record from "./screens/record.js";
import * as sign from "./screens/sign.js";
import * as signIn from "./screens/sign-in.js";
import * as site from "./screens/site.js";
import * as thing from "./screens/thing.js";
import * as verify from "./screens/verify.js";

/**
 * @typedef {{load: (params: object, app: object) => Promise<any>, view: (model: any, app: object) => unknown}} Screen
 * @typedef {{pattern: string, screen: Screen, needsName: boolean, form: boolean}} Route
 */

/** `form`: something may be half typed here. `needsName`: entries are written here, so it must be known who writes. */
const reads = { form: false, needsName: false };
const writes = { form: true, needsName: true };

/** @type {Route[]} */
const ROUTES = [
  { pattern: "/", screen: books, ...reads },
  { pattern: "/sign-in", screen: signIn, form: true, needsName: false },
  { pattern: "/bench", screen: bench, ...reads },
  { pattern: "/bench/:name", screen: benchForm, form: true, needsName: false },
  { pattern: "/limits", screen: limits, ...reads },
  { pattern: "/limits/:id", screen: limitSet, ...reads },
  { pattern: "/l/:code", screen: found, ...reads },
  { pattern: "/verify", screen: verify, ...reads },
  { pattern: "/book/new", screen: newBook, ...writes },
  { pattern: "/book/:book", screen: site, ...reads },
  { pattern: "/book/:book/edit/:kind/:subject", screen: thing, ...writes },
  { pattern: "/book/:book/link/:link", screen: link, form: true, needsName: true },
  { pattern: "/book/:book/link/:link/reading", screen: reading, ...writes },
  { pattern: "/book/:book/link/:link/bench", screen: bench, ...reads },
  { pattern: "/book/:book/link/:link/bench/:name", screen: benchForm, form: true, needsName: false },
  { pattern: "/book/:book/link/:link/checks", screen: checks, ...reads },
  { pattern: "/book/:book/link/:link/check", screen: check, form: true, needsName: true },
  { pattern: "/book/:book/link/:link/sign", screen: sign, ...writes },
  { pattern: "/book/:book/link/:link/verify", screen: verify, ...reads },
  { pattern: "/book/:book/link/:link/record", screen: record, ...reads },
  { pattern: "/book/:book/link/:link/labels", screen: labels, ...writes },
];

/**
 * @param {string} address what stands after #
 * @returns {{route: Route, params: Record<string, string>, path: string} | null} null when no screen has this address
 */
export function match(address) {
  const [path, query = ""] = (address || "/").split("?");
  for (const route of ROUTES) {
    const named = matchPath(route.pattern, path);
    if (named) return { route, params: { ...Object.fromEntries(new URLSearchParams(query)), ...named }, path: address || "/" };
  }
  return null;
}

function matchPath(pattern, path) {
  const wanted = pattern.split("/");
  const given = path.split("/");
  if (wanted.length !== given.length) return null;
  const named = {};
  for (const [place, part] of wanted.entries()) {
    if (part.startsWith(":") && given[place]) named[part.slice(1)] = decoded(given[place]);
    else if (part !== given[place]) return null;
  }
  return named;
}

function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
