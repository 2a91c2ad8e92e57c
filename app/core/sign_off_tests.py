"""Which item of the sign-off list a required check belongs to: one item for each kind of test."""

from .acceptance import GROUP_WORDS
from .checks.base import field
from .sign_off_items import new_at, sides_without

# By rule; a rule that is not here belongs to the item of its group, so that none is ever left out of the list.
_OF_RULE = {
    "loss": ["fibre_loss", "strands_measured"],
    "reference": ["reference_times", "reference_drift", "reference_cord", "reference_age"],
    "bends_seen": ["bend_sign", "wavelength_order", "two_directions"],
    "events": ["connector_loss", "splice_loss", "loss_point", "section_attenuation"],
    "reflections": ["reflectance", "link_return_loss"],
    "light": ["light_low", "light_high", "light_received", "wavelengths_meet", "application"],
    "end_faces": ["polish", "end_face"],
    "polarity": ["polarity"],
    "wire_map": ["wire_map"],
    "length": ["instrument_length", "delay", "skew"],
    "reach": ["reach"],
    "resistance": ["loop_resistance", "unbalance_within", "unbalance_between", "material"],
    "route": ["route_ends", "cable_length", "marks_one_way"],
    "pull": ["pull_tension"],
    "bends": ["bend_radius"],
    "depth": ["burial_depth"],
    "settled": ["unsettled"],
    "bonds": ["bond_conductor", "bond_total"],
    "electrodes": ["electrode", "clamp_loop"],
    "difference": ["earth_difference_ac", "earth_difference_dc"],
    "protectors": ["protector", "protector_lead", "protector_level", "protector_current"],
    "metal": ["cable_metal"],
    "calibration": ["calibration"],
}
TITLES = {
    "loss": "Loss of each strand",
    "reference": "References of the loss readings",
    "bends_seen": "Signs of a bend in the fibre",
    "events": "Connectors, splices and points of loss",
    "reflections": "Return loss of connectors and link",
    "light": "Light between the transceivers",
    "end_faces": "Connector polish and end faces",
    "polarity": "Polarity",
    "wire_map": "Wire map",
    "length": "Length, delay and skew",
    "reach": "Length within the maker's reach",
    "resistance": "Pair resistance and conductor",
    "route": "Route and cable length",
    "pull": "Pull in the duct",
    "bends": "Bend radii along the route",
    "depth": "Depth of cover",
    "settled": "Fields with two values",
    "bonds": "Bonds",
    "electrodes": "Earth electrodes",
    "difference": "Potential between the two earths",
    "protectors": "Surge protectors",
    "metal": "Metal in the cable",
    "calibration": "Instruments in calibration",
    "swept": "Copper over frequency",
}
_ITEM = {rule: item for item in _OF_RULE for rule in _OF_RULE[item]}
# Where a check waits for something that stands on the link and not for a reading: the field that brings it on.
_FIELD = {
    "category": "category",
    "cable_length": "setup",
    "fibre_loss": "fibre",
    "burial_depth": "burial_rule",
    "reach": "reach",
    "material": "gauge",
    "far_voltage": "load_power",
    "far_voltage_calculated": "load_power",
    "bend_radius": "outside_diameter",
}


def item_of(check: dict) -> str:
    """The item that a required check belongs to: exactly one."""
    if check["rule"] in _ITEM:
        return _ITEM[check["rule"]]
    return "swept" if check["group"] == "copper" else check["group"]


def gathered(checks: list) -> list:
    """[item id, its required checks] in the order of the checks."""
    order, held = [], {}
    for check in checks:
        if check["required"]:
            item = item_of(check)
            if item not in held:
                order.append(item)
            held.setdefault(item, []).append(check)
    return [[item, held[item]] for item in order]


def title_of(item: str, group: str) -> str:
    """The item's title; that of the group where it gathers what no kind of test names."""
    return TITLES.get(item) or GROUP_WORDS[group]


def edit_of(checks: list, link: dict) -> dict | None:
    """Where the first of these waiting checks that can be helped gets what it lacks, or None.

    {"kind", "subject", "field"} for a field of the link; for a thing that is not recorded yet its subject is "new", and "side" says at which end.
    """
    for check in checks:
        if check["rule"] == "protector":
            return new_at("protector", sides_without(link["protectors"]))
        if check["rule"] == "protector_lead":
            return _first_without(link["protectors"], "protector", "lead_length")
        if check["rule"] == "route_ends" and len(link["stations"]) < 2:
            return {"kind": "station", "subject": "new", "field": "type"}
        name = _FIELD.get(check["rule"])
        if name and field(link, name) is None:
            return {"kind": "link", "subject": link["subject"], "field": name}
    return None


def _first_without(things: list, kind: str, name: str) -> dict | None:
    for thing in things:
        if field(thing, name) is None:
            return {"kind": kind, "subject": thing["subject"], "field": name}
    return None
