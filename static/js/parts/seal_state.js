/** What is known of a link's seals on this phone: device signatures checked here, what came after, verdicts that differ now. */
import { canSign, checked } from "../key.js";

const NONE = { signatures: {}, since: { entries: [], verdicts: [] }, verdicts: [] };

/**
 * @param {{book: string, link: string, view: object, checks?: object[]}} about
 * @returns {Promise<{signatures: Record<string, "good" | "bad">, since: {entries: string[], verdicts: string[]},
 *           verdicts: object[]}>}
 */
export async function sealsOf({ book, link, view, checks }, app) {
  const last = view.seals.at(-1);
  if (!last) return NONE;
  const ask = (op) => app.core(op, { book, link });
  const [signatures, since, judged] = await Promise.all([
    checked(view.seals),
    ask("since_signing"),
    checks ? { checks } : ask("checks"),
  ]);
  return { signatures, since, verdicts: otherVerdicts(last.verdicts, judged.checks) };
}

/** Verdicts as they were signed beside those of now, where they differ; a check that is gone or new has just one of them. */
function otherVerdicts(signed, checks) {
  const now = new Map(checks.map((check) => [check.id, check]));
  const before = new Map(signed.map((row) => [row.check, row]));
  const changed = signed
    .filter((row) => now.get(row.check)?.verdict !== row.verdict)
    .map((row) => pairOf(row, now.get(row.check)));
  const added = checks.filter(({ id }) => !before.has(id)).map((check) => pairOf(null, check));
  return [...changed, ...added];
}

const pairOf = (row, check) => ({ title: check?.title ?? row.title, signed: row?.verdict ?? null, now: check?.verdict ?? null });

/** The device signature of a seal in words, and how they sound. */
export function signatureWords(seal, signatures) {
  if (!seal.signature) return ["none: signed by an earlier version of the app, by the digest alone", "plain"];
  if (!canSign()) return ["cannot be checked in this browser", "plain"];
  return signatures[seal.id] === "good"
    ? ["good, checked on this phone", "good"]
    : ["bad: this text is not what the key signed", "bad"];
}
