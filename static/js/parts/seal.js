/** What the last seal of a link says: who signed with which key, what it covers, what came after it; earlier ones folded. */
import { html, nothing } from "lit-html";
import { unbroken } from "./figure.js";
import { signatureWords } from "./seal_state.js";
import { counted, joined, timeText } from "./values.js";
import { verdictMark } from "./verdict.js";

/** @param {{book: string, link: string, view: object, seals: object}} about `seals` as seal_state.js gives it */
export function sealPanel({ book, link, view, seals }) {
  const seal = view.seals.at(-1);
  if (!seal) return nothing;
  const isWhole = seal.sound && signatureWords(seal, seals.signatures)[1] !== "bad";
  return html`<section class=${isWhole ? "panel seal" : "panel seal seal-broken"} aria-labelledby="seal-title">
    <h2 id="seal-title">Signed, revision ${seal.revision}</h2>
    ${trouble(seal)}
    <ul class="seal-signers" aria-label="Who signed">
      ${seal.signatures.map((one) => html`<li>${unbroken(signerText(one))}</li>`)}
    </ul>
    ${seal.summary ? html`<p>As signed: ${seal.summary.words}</p>` : nothing} ${afterwards(seal, seals)}
    ${otherVerdicts(seals.verdicts)} ${facts(seal, seals)}
    <p><a class="quiet-button" href=${`#/book/${book}/link/${link}/verify`}>Prove what was signed</a></p>
    ${said("What had changed", seal.changes)}
    ${said(
      "Acknowledged before signing",
      seal.stops.map(([, words, name, at]) => `${words} (${name}, ${timeText(at)})`),
    )}
    ${earlier(view.seals.slice(0, -1), seals)}
  </section>`;
}

const signerText = ({ name, role, at, typed }) => `${name}, ${role}, ${timeText(at)}${typed ? ", by typing the name" : ""}`;

/** Eight digits at a time, so that two people can read it to each other. */
const inGroups = (digest) => (digest.match(/.{1,8}/g) ?? []).join(" ");

function facts(seal, { signatures }) {
  const [words, tone] = signatureWords(seal, signatures);
  return html`<dl class="seal-facts">
    <dt>Sealed</dt>
    <dd>${unbroken(`${timeText(seal.at)} by ${seal.by}`)}</dd>
    <dt>Covers</dt>
    <dd>${coversText(seal)}</dd>
    <dt>Device signature</dt>
    <dd class=${`seal-${tone}`}>${words}</dd>
    ${
      seal.key
        ? html`<dt>Device key (SHA-256)</dt>
            <dd><code class="thumbprint">${inGroups(seal.key)}</code></dd>`
        : nothing
    }
    <dt>Digest (SHA-256)</dt>
    <dd><code class="digest">${inGroups(seal.digest)}</code></dd>
  </dl>`;
}

/** A seal of an earlier version of the app names no limit sets. */
function coversText({ v, entries, photos, limits }) {
  const parts = [counted(entries, "entry", "entries"), counted(photos, "photo")];
  return joined(v === 1 ? parts : [...parts, counted(limits.length, "limit set")], ", ");
}

function trouble(seal) {
  const limits = seal.limits.filter(({ same }) => !same);
  const words = [
    seal.sound ? "" : "What is here does not match what was signed.",
    seal.differs.length ? `${counted(seal.differs.length, "entry differs", "entries differ")} from what was signed.` : "",
    seal.missing.length
      ? `${counted(seal.missing.length, "covered entry is", "covered entries are")} not on this phone yet and may still come.`
      : "",
    ...limits.map(({ id }) => `The limit set ${id} of this app is not the one that was signed with.`),
  ].filter(Boolean);
  return words.map((text) => html`<p class="field-error" role="alert">${text}</p>`);
}

function afterwards(seal, { since }) {
  if (!seal.after.length) return html`<p>Nothing was added after signing.</p>`;
  return html`<details class="seal-after">
    <summary>After signing: ${counted(seal.after.length, "entry", "entries")} that this seal does not cover</summary>
    ${textList(since.entries)}
  </details>`;
}

function otherVerdicts(rows) {
  if (!rows.length) return nothing;
  const mark = (verdict) => (verdict ? verdictMark(verdict) : "no such check");
  return html`<details class="seal-verdicts">
    <summary>${counted(rows.length, "verdict differs", "verdicts differ")} from what was signed</summary>
    <ul>
      ${rows.map(
        ({ title, signed, now }) =>
          html`<li><strong>${unbroken(title)}</strong><span>signed: ${mark(signed)}</span><span>now: ${mark(now)}</span></li>`,
      )}
    </ul>
  </details>`;
}

function said(title, texts) {
  if (!texts.length) return nothing;
  return html`<details>
    <summary>${title}: ${texts.length}</summary>
    ${textList(texts)}
  </details>`;
}

/** Sentences of core, one below the other; nothing where there are none. */
export function textList(texts) {
  if (!texts.length) return nothing;
  return html`<ul class="seal-texts">
    ${texts.map((text) => html`<li>${unbroken(text)}</li>`)}
  </ul>`;
}

function earlier(seals, { signatures }) {
  if (!seals.length) return nothing;
  return html`<details>
    <summary>Earlier revisions: ${seals.length}</summary>
    ${[...seals].reverse().map(
      (seal) =>
        html`<h3>Revision ${seal.revision}</h3>
          ${textList(seal.signatures.map(signerText))} ${facts(seal, { signatures })}`,
    )}
  </details>`;
}
