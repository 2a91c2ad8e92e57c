/** Telling a person when something did not work, and waiting until they stop typing. */

/**
 * The sentence of an error for a person; errors of core and store carry one already. The field's own name is left out, since
 * the sentence stands beside the field.
 */
export function sentence(error) {
  const whole = error?.message || String(error || "");
  const text = error?.field && whole.startsWith(`${error.field}: `) ? whole.slice(error.field.length + 2) : whole;
  return text || "That did not work, and the phone gave no reason. Nothing was saved; try again.";
}

/** Runs `work`; when it fails a person reads why. Gives what `work` gives, or undefined. */
export async function attempt(app, work) {
  try {
    return await work();
  } catch (error) {
    app.say(sentence(error), "bad");
    return undefined;
  }
}

/** A gloved finger taps twice: while the first tap's work of this state runs, a second one does nothing. */
export async function single(state, work) {
  if (state.saving) return;
  state.saving = true;
  try {
    await work();
  } finally {
    state.saving = false;
  }
}

/** Runs `work` at once; calls that come while it runs make it run once more, with what stands by then. */
export function oneAtATime(work) {
  let running = false;
  let again = false;
  return async () => {
    again = running;
    if (running) return;
    running = true;
    try {
      do {
        again = false;
        await work();
      } while (again);
    } finally {
      running = false;
    }
  };
}

/** Calls `work` once, `wait_ms` after the last call; `.cancel()` drops a call that still waits. */
export function debounce(work, wait_ms) {
  let timer = null;
  const later = () => {
    clearTimeout(timer);
    timer = setTimeout(work, wait_ms);
  };
  later.cancel = () => clearTimeout(timer);
  return later;
}
