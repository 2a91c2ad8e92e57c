/** The state of one calculator's form: what is typed, kept on this phone, and what core makes of it. */
import { debounce, sentence } from "./attempt.js";
import { isEmpty } from "./fields.js";
import { fromTexts, inputsFor, lacking } from "./bench_typed.js";

const TYPING_PAUSE_MS = 250;
const draftKey = (name) => `bench:${name}`;

/**
 * @typedef {{about: object, values: Record<string, import("./bench_typed.js").Typed>, answer: object | null,
 *            answered: Record<string, import("./bench_typed.js").Typed>, error: {field: string, text: string} | null,
 *            question: number}} Bench `answered`: the values that the answer is of
 *
 * @param {object} about a calculator as core describes it
 * @returns {Promise<Bench>} with what was typed the last time, worked out
 */
export async function openBench(about, app) {
  const kept = await app.draft.get(draftKey(about.name)).catch(() => null);
  const bench = { about, values: kept?.values ?? {}, answer: null, answered: {}, error: null, question: 0, noted: null };
  bench.later = debounce(() => workOut(bench, app), TYPING_PAUSE_MS);
  await compute(bench, app);
  return bench;
}

/** Takes what was typed; the result follows when the typing pauses. */
export function type(bench, name, value, app) {
  bench.values = { ...bench.values, [name]: value };
  bench.noted = null;
  bench.later();
  app.redraw();
}

/** Fills in the example of the calculator's description. */
export function takeExample(bench, app) {
  return replaceAll(bench, fromTexts(bench.about.inputs, bench.about.example_inputs), app);
}

export function clear(bench, app) {
  return replaceAll(bench, {}, app);
}

function replaceAll(bench, values, app) {
  Object.assign(bench, { values, noted: null });
  return workOut(bench, app);
}

/** Keeps what is typed and works it out now, without waiting for a pause. */
export async function workOut(bench, app) {
  bench.later.cancel();
  keep(bench, app);
  await compute(bench, app);
  app.redraw();
}

function keep(bench, app) {
  app.draft.set(draftKey(bench.about.name), { values: bench.values }).catch((error) => app.say(sentence(error), "bad"));
}

export const isUntouched = ({ values }) => Object.values(values).every(isEmpty);

/** Asks core also while something is missing, since it says early what is wrong. An older question's answer is dropped. */
async function compute(bench, app) {
  const { about, values } = bench;
  const question = (bench.question += 1);
  const found = isUntouched(bench) ? {} : await ask(about, values, app);
  if (question === bench.question) Object.assign(bench, { answer: null, answered: values, error: null, ...found });
}

async function ask(about, values, app) {
  try {
    return { answer: await app.core("calc", { name: about.name, inputs: inputsFor(about.inputs, values) }) };
  } catch (error) {
    const awaited = error.code === "missing" && lacking(about.inputs, values).some(({ name }) => name === error.field);
    return awaited ? {} : { error: { field: error.field ?? "", text: sentence(error) } };
  }
}
