// Where a scanned label leads: to its link if this phone has it, else to what can be done about it.

import { html, nothing } from "lit-html";
import { reindexStale } from "../book.js";

const PAUSE_MS = 200;
/** The codes that were asked of the server since the start: once by itself, then only when a person wishes. */
const asked = new Set();
let isLooking = false;

export async function load({ code }, app) {
  const wanted = code.toLowerCase();
  const malformed = !/^[0-9a-f]{12}$/.test(wanted);
  const links = malformed ? [] : await withCode(wanted, app);
  if (links.length === 1) app.replace(pathOf(links[0]));
  else if (links.length === 0 && !malformed && !asked.has(wanted)) {
    asked.add(wanted);
    fetchAndLook(app);
  }
  return { code: code.toUpperCase(), malformed, links };
}

const pathOf = ({ book, id }) => `/book/${book}/link/${id}`;

/** The links on this phone whose id ends in the code; the index is brought up to date before it may say that there is none. */
async function withCode(code, app) {
  const now = await among(code, app);
  if (now.length > 0) return now;
  return (await reindexStale()) > 0 ? among(code, app) : [];
}

async function among(code, app) {
  const books = await app.books();
  return books.flatMap(({ book, name, links }) =>
    links.filter(({ id }) => id.endsWith(code)).map((link) => ({ ...link, book, site: name })),
  );
}

/** One exchange with the server, to its end, then this screen again if somebody still looks at it. */
async function fetchAndLook(app) {
  const here = location.hash;
  isLooking = true;
  await app.sync.now().catch(() => {});
  // A round that was running already is waited for.
  do await new Promise((done) => setTimeout(done, PAUSE_MS));
  while (app.status.busy);
  isLooking = false;
  if (location.hash === here) await app.refresh();
}

export function view(model, app) {
  const { code, links, malformed } = model;
  if (links.length === 1) return html`<section class="page"><h1>Opening the link</h1></section>`;
  return html`<section class="page">
    <h1>${heading(model)}</h1>
    <p>Code on the label: <strong class="label-code">${code}</strong></p>
    ${malformed ? notACode() : links.length > 1 ? choice(links) : advice(app)}
    <div class="actions">
      <a class="second-action" href="#/">To the sites</a>
      ${malformed || links.length > 1 ? nothing : mainAction(model, app)}
    </div>
  </section>`;
}

function heading({ malformed, links }) {
  if (malformed) return "This is no code of a link";
  return links.length > 1 ? "Which link is it?" : "This link is not on this phone";
}

const notACode = () =>
  html`<p>The code of a link has twelve digits 0 to 9 or letters A to F. Scan the label again, or find the link from the sites.</p>`;

function choice(links) {
  return html`<p>Several links on this phone have this code.</p>
    <ul class="rows">
      ${links.map(
        (link) =>
          html`<li>
            <a href=${`#${pathOf(link)}`}
              ><strong>${link.name || "Link without a name"}</strong><span class="quiet">${link.site}</span></a
            >
          </li>`,
      )}
    </ul>`;
}

/** What can be done depends on what is known of the server by now. */
function advice({ status }) {
  if (isLooking) return html`<p role="status">Asking the server ${location.host} …</p>`;
  if (!status.online) {
    return html`<p>There is no connection to ${location.host}, so it could not be fetched. Look again where there is signal.</p>
      <p>Fetch the sites before you leave for one: then a label opens its link without signal, too.</p>`;
  }
  if (!status.signedIn) return html`<p>Sign in: then this phone fetches the sites of your firm from ${location.host}, and opens the link.</p>`;
  return html`<p>The server ${location.host} has no link with this code.</p>
    <p>The phone that made the link may not have sent it yet: let it do that, then look again.</p>
    <p>Or the label is of another server: compare the address in the code with ${location.host}, and open that one.</p>
    <p>If the link was made anew, its old labels lead nowhere: print new ones.</p>`;
}

function mainAction({ code }, app) {
  if (app.status.online && !app.status.signedIn && !isLooking) {
    return html`<a class="main-action" href=${`#/sign-in?then=${encodeURIComponent(`/l/${code}`)}`}>Sign in</a>`;
  }
  return html`<button class="main-action" ?disabled=${isLooking} @click=${() => lookAgain(app)}>Look again</button>`;
}

function lookAgain(app) {
  const looking = fetchAndLook(app);
  app.redraw();
  return looking;
}
