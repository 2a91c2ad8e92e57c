// Cautions, shown where the danger is. Short; local code, the makers' instructions and licensed practice come first.

import { html, nothing } from "lit-html";

/** @type {Record<string, [title: string, text: string]>} */
const CAUTIONS = {
  storm: [
    "Storm",
    "Thunder heard or lightning seen: stop, leave cable, stakes and ladder, go inside a proper building or a hard-top vehicle. " +
      "Wait 30 minutes after the last thunder. Don't start what can't be dropped quickly.",
  ],
  "storm-copper": ["Storm", "Don't handle copper between buildings or its earths during a storm, not even indoors."],
  dig: [
    "Before digging",
    "Have buried services located (in the USA: 811) and wait for the marks. " +
      "Dig by hand near a mark. Test stakes and rods count as digging too.",
  ],
  trench: [
    "In a trench",
    "From 1.5 m (5 ft), or in unstable ground, it needs protection against caving in; from 1.2 m (4 ft) a way out close by. " +
      "Keep the spoil back from the edge. Never enter alone.",
  ],
  confined: [
    "Pit or vault",
    "Test the air before and during, ventilate, and have someone outside. A permit where one is required.",
  ],
  overhead: [
    "Power lines",
    "Keep ladder, cable and tools at least 3 m (10 ft) from power lines, more above 50 kV. Treat every line as live.",
  ],
  ladder: [
    "Ladder",
    "The right type, at 4 to 1, tied, 0.9 m (3 ft) above the landing; three points of contact; not in wind or storm.",
  ],
  "mains-sep": [
    "Keep from mains",
    "Never share a box, duct or raceway with mains without a barrier. Keep the distances that the local rule asks for.",
  ],
  gpd: [
    "Two earths",
    "Measure AC and DC from the incoming shield or conductor to the local earth before joining them. " +
      "More than 1 V: find out why first. Approaching 50 V AC or 120 V DC: don't touch, call an electrician. " +
      "Never bridge the two earths with your hands.",
  ],
  "earth-open": [
    "Live earth",
    "Don't disconnect the earth of a live installation: an opened earth lead can be at mains voltage. " +
      "Isolate with a qualified person, and reconnect and prove it before switching on.",
  ],
  "earth-test": [
    "Earth test",
    "Keep people and animals off stakes and leads while the test runs. Stop if the instrument flags stray voltage.",
  ],
  panel: [
    "Service panel",
    "Don't open a service panel or meter enclosure for a bond. Use the bonding point provided for it, or an electrician.",
  ],
  poe: [
    "Powered pair",
    "Shut the port down before unplugging: a powered plug drawn out sparks, and that pits the contacts. " +
      "If that can't be done, note it and inspect.",
  ],
  "poe-test": [
    "Before a copper test",
    "Take the power off before connecting a tester. Never feed maker-specific power into an unknown port.",
  ],
  laser: [
    "Light in the fibre",
    "Treat every fibre as lit: the light is invisible. Never look into an end, nor with a magnifier; " +
      "prove both ends dark with a power meter. Cap open ports.",
  ],
  vfl: ["Red light finder", "Don't point it at eyes, and don't look into it through a scope."],
  shards: [
    "Fibre ends",
    "Safety glasses, a dark mat, every offcut into a closed bin and counted. No food; wash hands; check clothes.",
  ],
  arc: ["Splicing arc", "No flammable gas or vapour near it, and never in a pit whose air was not tested."],
  solvent: ["Solvent", "Ventilate, no flame, let it dry."],
  lift: ["Heights and loads", "Fall protection at edges and on poles, help with reels, traffic control at the kerb."],
};
const DEFER =
  "Local code and the makers' instructions come first; mains and service earths are for licensed people. If unsure, stop.";

/**
 * @param {string | string[] | undefined} ids one caution or several; unknown ids show nothing
 */
export function caution(ids) {
  const known = [ids ?? []].flat().filter((id) => id in CAUTIONS);
  if (known.length === 0) return nothing;
  return html`<aside class="caution" aria-label="Caution">
    ${known.map((id) => html`<p><strong>${CAUTIONS[id][0]}.</strong> ${CAUTIONS[id][1]}</p>`)}
    <p class="caution-defer">${DEFER}</p>
  </aside>`;
}

/** What a thing's form warns of, by what it is about: few at a time, or none is read. */
const FORMS = {
  bond: () => ["gpd", "panel"],
  protector: () => ["storm-copper", "earth-open"],
  end: ({ medium }) => (medium === "fibre" ? ["laser"] : ["poe", "storm-copper"]),
  load: () => ["poe"],
  link: ({ laying, feeding }) => [
    "storm",
    ...(laying === "aerial" ? ["overhead"] : []),
    ...(feeding === "passive" ? ["poe-test"] : []),
  ],
  station: ({ type, medium }) => STATIONS[type]?.(medium) ?? [],
};
const STATIONS = {
  building_entry: () => ["mains-sep"],
  handhole: () => ["dig", "trench"],
  marker: () => ["dig"],
  slack_loop: () => ["dig"],
  closure: (medium) => (medium === "fibre" ? ["dig", "shards"] : ["dig"]),
  bond: () => ["gpd", "panel"],
};

/**
 * @param {string} kind
 * @param {{type?: string, medium?: string, laying?: string, feeding?: string}} about
 * @returns {string[]}
 */
export function cautionsFor(kind, about = {}) {
  return [...new Set(FORMS[kind]?.(about) ?? [])];
}
