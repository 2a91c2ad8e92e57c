"""Limits of the project's or a maker's own: what they can be of, and which rules they then decide. Judged by: checks/own.py.

A link has at most one own limit of a kind, known by `<link>:limit:<what>`, so that two phones that type one each are seen to disagree.
What is judged by a field of the link already (loss of a fibre, depth of cover, the maker's reach, the rate) stays there.
"""

from .kinds import COPPER, EXTENDED, FIBRE, METAL_MEDIA

_EVERY = [COPPER, EXTENDED, FIBRE]


def _of(what: str, label: str, units: list, sense: str, media: list, rules: list) -> dict:
    """`sense` max: the most that passes; min: the least. The first unit is the one that the phone offers first."""
    return {"what": what, "label": label, "units": units, "sense": sense, "media": media, "rules": rules}


OWN_LIMITS = [
    _of("loop_resistance", "Pair loop resistance", ["ohm", "mohm"], "max", METAL_MEDIA, ["loop_resistance"]),
    _of("unbalance_within", "Resistance unbalance within a pair", ["mohm", "ohm"], "max", METAL_MEDIA, ["unbalance_within"]),
    _of("unbalance_between", "Resistance unbalance between pairs", ["mohm", "ohm"], "max", METAL_MEDIA, ["unbalance_between"]),
    _of("delay", "Propagation delay", ["ns"], "max", [COPPER], ["delay"]),
    _of("skew", "Delay skew", ["ns"], "max", [COPPER], ["skew"]),
    _of("length", "Cable length", ["m", "ft"], "max", [COPPER, FIBRE], ["cable_length", "instrument_length"]),
    _of("connector_loss", "Loss of a connector", ["dB"], "max", [FIBRE], ["connector_loss"]),
    _of("splice_loss", "Loss of a splice", ["dB"], "max", [FIBRE], ["splice_loss"]),
    _of("return_loss", "Return loss of the link", ["dB"], "min", [FIBRE], ["link_return_loss"]),
    _of("far_voltage", "Voltage at the far end", ["V"], "min", METAL_MEDIA, ["far_voltage", "far_voltage_calculated"]),
    _of("frame_loss", "Frames lost", ["percent", "ppm"], "max", _EVERY, ["frame_loss"]),
    _of("electrode_resistance", "Earth electrode resistance", ["ohm"], "max", _EVERY, ["electrode"]),
    _of("bond_resistance", "Bond resistance", ["mohm", "ohm"], "max", _EVERY, ["bond_total"]),
    _of("lead_length", "Earth lead of a surge protector", ["m", "mm", "ft", "in"], "max", _EVERY, ["protector_lead"]),
    _of("pull_tension", "Pulling tension", ["N", "lbf", "kN"], "max", _EVERY, ["pull_tension"]),
    _of("bend_radius", "Bend radius", ["mm", "m", "in"], "min", _EVERY, ["bend_radius"]),
]
WORDS = [[held["what"], held["label"]] for held in OWN_LIMITS]
_BY_WHAT = {held["what"]: held for held in OWN_LIMITS}
_BY_RULE = {rule: held for held in OWN_LIMITS for rule in held["rules"]}


def about(what: str) -> dict | None:
    """The description of an own limit, or None for a word that this version does not know."""
    return _BY_WHAT.get(what)


def of_rule(rule: str) -> dict | None:
    """The description of the own limit that can decide a rule, or None where none can."""
    return _BY_RULE.get(rule)


def subject_of(link_id: object, what: object) -> str:
    """How the own limit of a link is known."""
    return str(link_id) + ":limit:" + str(what)


def label_of(subject: str) -> str:
    """What the limit of that subject is a limit of, in words."""
    held = about(subject.rpartition(":")[2])
    return held["label"][:1].lower() + held["label"][1:] if held else "something this version does not know"
