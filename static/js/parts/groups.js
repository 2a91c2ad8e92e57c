// How long forms are divided. A field that no group names comes last, so that a new field of core is never lost.

const GROUPS = {
  link: [
    ["", ["name", "medium", "near_building", "far_building", "label"]],
    [
      "What is installed",
      [
        ...["category", "setup", "fibre", "strands", "strands_used", "connections", "splices"],
        ...["laying", "cable", "reel", "gauge", "outside_diameter"],
      ],
    ],
    ["Judged by", ["limit_set", "decision_rule", "loss_directions", "application", "rate", "project_loss_limit", "project_limit_source"]],
    [
      "In the ground",
      [
        ...["services_located", "services_reference", "burial_rule", "project_depth", "project_depth_source"],
        ...["electrode_reference", "cable_metal", "screened", "mark_unit"],
      ],
    ],
    ["Surges", ["port_withstand", "port_withstand_source"]],
    ["From the maker", ["reach", "reach_source", "loop_limit", "velocity", "group_index"]],
    [
      "Power over the link",
      ["power_pairs", "feeding", "source_voltage", "source_power", "load_power", "load_voltage_min", "load_source", "cable_temperature"],
    ],
  ],
  end: [
    ["", ["panel", "port", "equipment", "equipment_port", "connector", "polish", "power_source"]],
    [
      "Transceiver",
      [
        "transceiver",
        "fibres_used",
        "transmit_wavelength",
        "receive_wavelength",
        "transmit_min",
        "transmit_max",
        "receive_min",
        "receive_max",
        "penalties",
        "transceiver_source",
      ],
    ],
    ["Earth rods", ["rod_length", "rod_diameter", "rods"]],
  ],
  site: [
    ["", ["name", "client", "place", "address", "job", "installer", "note"]],
    ["Lightning", ["flash_density", "flash_density_source", "surroundings"]],
  ],
  building: [
    ["", ["name", "use", "position", "width", "depth", "earthing"]],
    ["Lightning", ["height", "setting"]],
  ],
  station: [
    ["", ["type", "name", "mark", "mark_out", "chainage"]],
    ["In the ground", ["depth", "depth_method", "duct", "bend_radius", "bend_state"]],
    ["Where to find it again", ["ties", "tie_side", "position"]],
  ],
};

/**
 * @param {string} kind
 * @param {import("./fields.js").Field[]} fields
 * @returns {[title: string, fields: import("./fields.js").Field[]][]}
 */
export function divided(kind, fields) {
  const groups = GROUPS[kind] ?? [["", fields.map(({ name }) => name)]];
  const named = new Set(groups.flatMap(([, names]) => names));
  const pick = (names) => names.map((name) => fields.find((field) => field.name === name)).filter(Boolean);
  const rest = fields.filter(({ name }) => !named.has(name));
  return [...groups.map(([title, names]) => [title, pick(names)]), ["Besides", rest]].filter(([, found]) => found.length > 0);
}
