// What is on the screen: the address after # to a screen, loaded and drawn.

import { html, render } from "lit-html";
import { match } from "./routes.js";

/**
 * @typedef {import("./routes.js").Route} Route
 * @type {{route: Route, params: object, path: string, element: HTMLElement, model: any, view: Function} | null}
 */
let shown = null;
let latestWish = 0;
let app = null;
/** @type {HTMLElement} */
let main;

/** @param {object} given what screens may ask for @param {HTMLElement} place */
export function mount(given, place) {
  app = given;
  main = place;
  window.addEventListener("hashchange", () => show());
  return show();
}

/** Whether something may be half typed on the screen. */
export function isForm() {
  return Boolean(shown?.route.form);
}

/** @param {string} pattern of routes.js */
export function isAt(pattern) {
  return shown?.route.pattern === pattern;
}

export function go(path) {
  if (location.hash === `#${path}`) return show();
  location.hash = path;
  return undefined;
}

/** Goes on without leaving the present address behind: "back" must not lead into a form that was saved. */
export function replace(path) {
  if (location.hash === `#${path}`) return show();
  location.replace(`#${path}`);
  return undefined;
}

export function back() {
  if (history.length > 1) history.back();
  else go("/");
}

/** Loads and draws the current screen again. */
export async function refresh() {
  const current = shown;
  if (!current) return;
  await fill(current);
  if (current === shown) draw();
}

/** Draws the current model again, without loading. */
export function redraw() {
  if (shown) draw();
}

/** Loads and draws the screen of the address. An older wish that ends later is dropped. */
async function show() {
  const wish = (latestWish += 1);
  const found = match(location.hash.slice(1));
  if (!found) return go("/");
  if (found.route.needsName && !app.status.name) return replace(`/sign-in?then=${encodeURIComponent(found.path)}`);
  const next = { ...found, element: freshElement(), model: null, view: null };
  await fill(next);
  if (wish !== latestWish) return undefined;
  shown = next;
  draw();
  main.replaceChildren(shown.element);
  scrollTo(0, 0);
  announce(shown.element);
  return undefined;
}

async function fill(screen) {
  try {
    screen.model = await screen.route.screen.load(screen.params, app);
    screen.view = screen.route.screen.view;
  } catch (error) {
    screen.model = error;
    screen.view = failed;
  }
}

function draw() {
  try {
    render(shown.view(shown.model, app), shown.element);
  } catch (error) {
    if (shown.view === failed) throw error;
    // What was half drawn can't be drawn over.
    Object.assign(shown, { model: error, view: failed, element: freshElement() });
    render(failed(error), shown.element);
    main.replaceChildren(shown.element);
  }
}

/** A fresh element for each address, so that nothing typed in one form shows up in the next. */
function freshElement() {
  return Object.assign(document.createElement("div"), { className: "screen" });
}

/** Moves the reading point to the new screen, as a page change would. */
function announce(element) {
  const heading = element.querySelector("h1");
  document.title = heading ? `${heading.textContent.trim()} · Spanbook` : "Spanbook";
  if (!heading || element.contains(document.activeElement)) return;
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
}

function failed(error) {
  return html`<section class="page">
    <h1>This screen could not be shown</h1>
    <p>${error.message || "No reason was given."}</p>
    <p>What was saved is still on this phone.</p>
    <div class="actions">
      <button class="second-action" @click=${() => go("/")}>To the sites</button>
      <button class="main-action" @click=${() => location.reload()}>Reload</button>
    </div>
  </section>`;
}
