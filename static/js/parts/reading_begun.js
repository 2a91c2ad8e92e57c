/** Readings begun and not saved yet: kept on the phone by what they measure and where, so that none replaces another. */
import { keysOf } from "./reading_keys.js";
import { isBegunTable } from "./table_cells.js";

const draftKey = (link) => `reading:${link}`;

/** Is there anything in it that would be a pity to lose? */
export const isBegun = (body) =>
  Boolean(body?.value?.value?.trim() || body?.answer || body?.map || body?.counts || isBegunTable(body?.table));

/** A name to keep a begun reading by: its quantity and its marks, and more where one begun before has that name. */
function freeName({ quantity, body, begun }) {
  let name = [quantity.name, ...keysOf(quantity).map((mark) => body[mark] ?? "")].join("|");
  while (name in begun) name += "|";
  return name;
}

/** All begun readings of a link by their names. */
export async function beginnings(app, link) {
  const kept = await app.draft.get(draftKey(link)).catch(() => null);
  return Object.fromEntries(Object.entries(kept ?? {}).filter(([, body]) => isBegun(body)));
}

/**
 * Keeps what is being typed; after a change of strand it is kept as that strand's, and not as the one before too. Another reading that was
 * begun there stays: `state.beginning` names the one that is typed here, null while there is none.
 */
export async function keepBeginning(state, app) {
  delete state.begun[state.beginning];
  state.beginning = isBegun(state.body) ? freeName(state) : null;
  if (state.beginning) state.begun[state.beginning] = { ...state.body };
  await app.draft.set(draftKey(state.link), state.begun);
}

export async function dropBeginning(state, app, name) {
  delete state.begun[name];
  await app.draft.set(draftKey(state.link), state.begun);
}
