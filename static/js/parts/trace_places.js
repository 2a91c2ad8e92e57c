/** Along a cable the events of one strand lie where those of the strand before lay: their places are taken over, never their losses. */
import { html, nothing } from "lit-html";
import { isBegunTable } from "./table_cells.js";

const PLACES = { fibre_events: ["distance", "kind"], section_attenuation: ["from", "to"] };

/** @param onChange(changes) with a table that holds the places of an earlier reading; nothing where there is none to take. */
export function placesKey(view, state, onChange) {
  const names = PLACES[state.quantity.name];
  const before = names && !isBegunTable(state.body.table) && lastAlike(view, state.body);
  if (!before) return nothing;
  const { strand, wavelength, table } = before.body;
  const take = () => onChange({ table: onlyPlaces(state.quantity, table, names) });
  return html`<button type="button" class="second-action places-key" @click=${take}>
    Places as on strand ${strand}, ${wavelength} nm
  </button>`;
}

/** The newest reading of the same quantity from the same end. */
function lastAlike({ readings }, { quantity, direction }) {
  return readings.filter(({ voided, body }) => !voided && body.quantity === quantity && body.direction === direction).at(-1);
}

function onlyPlaces({ columns }, { units, rows }, names) {
  const kept = columns.map(({ name }) => names.includes(name));
  return { units: [...units], rows: rows.map((row) => row.map((cell, place) => (kept[place] ? cell : ""))) };
}
