/** A calculator's result as a note of a link, and which link that is: the one of the address, or the one opened last. */
import { sentence, single } from "./attempt.js";
import { resultRows, resultText } from "./bench_result.js";
import { workOut } from "./bench_state.js";
import { shownInput } from "./bench_typed.js";
import { nameOf } from "./values.js";

const OPEN_LINK = "bench:open-link";

/** Called by the strip map: this link is the open one from now on, also after a restart. */
export async function rememberOpenLink(app, { book, link, name }) {
  const kept = await app.draft.get(OPEN_LINK).catch(() => null);
  if (kept?.book === book && kept.link === link && kept.name === name) return;
  // Only the bench's offer depends on it.
  await app.draft.set(OPEN_LINK, { book, link, name }).catch(() => {});
}

/** @returns {Promise<{book: string, link: string, name: string} | null>} */
export async function openLink({ book, link }, app) {
  if (!link) return app.draft.get(OPEN_LINK).catch(() => null);
  await app.openBook(book);
  return { book, link, name: nameOf(await app.core("link", { book, link }), "this link") };
}

/** Title, inputs as typed, results, notes of the calculation, source. */
export function noteText({ about, answered, answer }) {
  const inputs = about.inputs.map((entry) => shownInput(entry, answered[entry.name])).filter(Boolean);
  const results = resultRows(about, answer).map((row) => `${row.label} = ${resultText(row)}`);
  return [about.title, inputs.join("; "), ...results, ...answer.notes, `Source: ${answer.source_text.join("; ")}`].join("\n");
}

/** Writes the note; nobody's name, no note: then that is asked first, and what is typed waits. */
export function putIntoNote(bench, target, app) {
  if (!app.status.name) return app.go(`/sign-in?then=${encodeURIComponent(location.hash.slice(1))}`);
  return single(bench, async () => {
    // A last digit may not be worked out yet: its result is what goes into the note.
    await workOut(bench, app);
    if (!bench.answer) return;
    try {
      await app.write(target.book, "note", { link: target.link, of: target.link, text: noteText(bench) });
      bench.noted = target;
      app.say(`Note saved on this phone, in ${target.name}`, "good");
    } catch (error) {
      app.say(sentence(error), "bad");
    }
    app.redraw();
  });
}
