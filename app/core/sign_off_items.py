"""Items of the sign-off list: which check belongs to which, and what has to be written down that no check asks for."""

from . import kinds
from .checks.base import field
from .kinds import FIBRE

GROUP = "written"
GROUP_WORDS = "Written down"

# By rule; a rule that is not here belongs to the item of its group.
_OF_RULE = {
    "fibre_loss": "loss",
    "reference_times": "reference",
    "reference_drift": "reference",
    "reference_cord": "reference",
    "reference_age": "reference",
    "bend_sign": "bends_seen",
    "wavelength_order": "bends_seen",
    "two_directions": "bends_seen",
    "connector_loss": "events",
    "splice_loss": "events",
    "loss_point": "events",
    "section_attenuation": "events",
    "reflectance": "reflections",
    "link_return_loss": "reflections",
    "light_low": "light",
    "light_high": "light",
    "light_received": "light",
    "wavelengths_meet": "light",
    "application": "light",
    "polish": "end_faces",
    "end_face": "end_faces",
    "polarity": "polarity",
    "wire_map": "wire_map",
    "instrument_length": "length",
    "delay": "length",
    "skew": "length",
    "reach": "length",
    "loop_resistance": "resistance",
    "unbalance_within": "resistance",
    "unbalance_between": "resistance",
    "material": "resistance",
    "route_ends": "route",
    "cable_length": "route",
    "marks_one_way": "route",
    "pull_tension": "pull",
    "bend_radius": "bends",
    "burial_depth": "depth",
    "unsettled": "settled",
    "bond_conductor": "bonds",
    "bond_total": "bonds",
    "electrode": "electrodes",
    "clamp_loop": "electrodes",
    "earth_difference_ac": "difference",
    "earth_difference_dc": "difference",
    "protector": "protectors",
    "protector_lead": "protectors",
    "protector_level": "protectors",
    "protector_current": "protectors",
    "cable_metal": "metal",
    "calibration": "calibration",
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
    "resistance": "Pair resistance and conductor",
    "route": "Route from entry to entry",
    "pull": "Pull in the duct",
    "bends": "Bend radii along the route",
    "depth": "Depth of cover",
    "settled": "Values that two phones set in two ways",
    "bonds": "Bonds",
    "electrodes": "Earth electrodes",
    "difference": "Potential between the two earths",
    "protectors": "Surge protectors",
    "metal": "Metal in the cable",
    "calibration": "Instruments in calibration",
    "cable": "Cable, as printed on the jacket",
    "laying": "How the cable is laid",
    "near_termination": "Termination at the near end",
    "far_termination": "Termination at the far end",
    "near_equipment": "Equipment at the near end",
    "far_equipment": "Equipment at the far end",
}


def item_of(check: dict) -> str:
    """The item that a required check belongs to: exactly one."""
    if check["rule"] in _OF_RULE:
        return _OF_RULE[check["rule"]]
    return "swept" if check["group"] == "copper" else check["group"]


TITLES["swept"] = "Copper over frequency"


def title_of(check_id: str) -> str | None:
    """The title of an item that a deviation names as 'item:<id>'; None for a check."""
    return TITLES.get(check_id[5:]) if check_id.startswith("item:") else None


def written(link: dict, site: dict) -> list:
    """Items on what has to stand in the book: the cable, how it is laid, both terminations and what they feed."""
    wanted = [("cable", link, "link", "cable", _set(link, "cable")), ("laying", link, "link", "laying", _set(link, "laying"))]
    for side, _ in kinds.SIDES:
        end = link["ends"][side]
        wanted.append((side + "_termination", end, "end", "panel", _termination(link, end)))
    for side, _ in kinds.SIDES:
        end = link["ends"][side]
        wanted.append((side + "_equipment", end, "end", "equipment", _set(end, "equipment")))
    return [_item(link, *row) for row in wanted]


def _set(thing: dict, name: str) -> list:
    """What is missing of it, in words; [] when it is there."""
    return [] if field(thing, name) not in (None, "") else [_label(thing, name)]


def _label(thing: dict, name: str) -> str:
    descriptions = kinds.THINGS[thing["kind"]]
    return next(held["label"] for held in descriptions if held["name"] == name).lower()


def _termination(link: dict, end: dict) -> list:
    place = [] if field(end, "panel") or field(end, "port") else ["socket or panel, and port"]
    return place + (_set(end, "connector") if link["medium"] == FIBRE else [])


def _item(link: dict, item_id: str, thing: dict, kind: str, name: str, missing: list) -> dict:
    named = "item:" + item_id
    accepted = [held for held in link["deviations"] if held["check"] == named]
    state = "done" if not missing else "accepted" if accepted else "missing"
    return {
        "id": item_id,
        "title": TITLES[item_id],
        "group": GROUP,
        "group_words": GROUP_WORDS,
        "state": state,
        "detail": "not written down: " + ", ".join(missing) if missing else "written down",
        "checks": [],
        "form": None,
        "edit": {"kind": kind, "subject": thing["subject"], "field": name},
        "accept": [named] if state == "missing" else [],
        "deviation": accepted[-1] if state == "accepted" else None,
    }
