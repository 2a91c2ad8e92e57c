/** What the last seal of a link says: who signed, what it covers, and what came after it. */
import { html, nothing } from "lit-html";
import { counted, joined, timeText } from "./values.js";

export function sealPanel({ view }) {
  const seal = view.seals.at(-1);
  if (!seal) return nothing;
  return html`<section class=${seal.sound ? "panel seal" : "panel seal seal-broken"} aria-labelledby="seal-title">
    <h2 id="seal-title">Signed, revision ${seal.revision}</h2>
    <p>
      ${seal.signatures.map(({ name, role, at }) => html`<span class="seal-signer">${name}, ${role}, ${timeText(at)}</span>`)}
    </p>
    <p>Covers ${counted(seal.entries, "entry", "entries")} and ${counted(seal.photos, "photo")}.</p>
    <p>Digest (SHA-256)</p>
    <code class="digest">${inGroups(seal.digest)}</code>
    ${trouble(seal)} ${afterwards(seal)}
  </section>`;
}

/** Eight digits at a time, so that two people can read it to each other. */
const inGroups = (digest) => (digest.match(/.{1,8}/g) ?? []).join(" ");

function trouble(seal) {
  if (seal.sound && !seal.missing?.length) return nothing;
  const words = [
    seal.sound ? "" : "What is here does not match what was signed.",
    seal.missing?.length
      ? `${counted(seal.missing.length, "covered entry is", "covered entries are")} not on this phone yet and may still come.`
      : "",
  ];
  return html`<p class="field-error" role="alert">${joined(words, " ")}</p>`;
}

function afterwards(seal) {
  if (!seal.after.length) return html`<p>Nothing was added after signing.</p>`;
  return html`<p class="seal-after">
    After signing: ${counted(seal.after.length, "entry", "entries")} that this seal does not cover.
  </p>`;
}
