"""Runs a formula by its name: typed texts in, one plain object out, for the command line and the bench alike.

The descriptions (inputs, units, ranges, results, sources) are read from the formulas' docstrings by ``app/calculators.py`` and handed in
as JSON, since MicroPython drops docstrings. A formula gives ``{"results": {...}, "working": [...], "notes": [...]}`` and, where its
source depends on the case, ``"source": [...]``.
"""

from . import (
    copper,
    crosstalk,
    diagnostics,
    duct,
    earthing,
    electrodes,
    fibre,
    geometry,
    joints,
    lightning,
    link_segment,
    locate,
    optics,
    plant,
    power,
    pull,
    strands,
    traffic,
)
from .calculator_inputs import allowed, value_of
from .calculator_words import word_text, worded
from .checks.base import source_text
from .decision import change, decision
from .errors import Refused
from .numbers import clean_decimal, is_blank, short_text, text
from .textform import loads

# How the bench and the list of the command line are divided: [group, title].
GROUPS = [
    ["copper", "Copper"],
    ["power", "Power and data rate"],
    ["fibre", "Fibre"],
    ["earth", "Earth and lightning"],
    ["route", "Cable and ducts"],
    ["place", "Finding the place"],
    ["judge", "Measured and judged"],
]
# [name, title, group, formula]
FUNCTIONS = [
    ["copper_limit", "Limit at a frequency", "copper", copper.copper_limit],
    ["cord_allowance", "Cord lengths for a channel", "copper", copper.cord_allowance],
    ["length_at_temperature", "Longest cable in the heat", "copper", copper.length_at_temperature],
    ["conductor_resistance", "Loop resistance of a pair", "copper", copper.conductor_resistance],
    ["conductor_material", "Is it solid copper", "copper", copper.conductor_material],
    ["electrical_length", "Length from delay", "copper", copper.electrical_length],
    ["power_sum", "Power sum of crosstalk", "copper", crosstalk.power_sum],
    ["link_segment_limit", "What Ethernet asks of a copper link", "copper", link_segment.link_segment_limit],
    ["short_distance", "Distance to a short", "copper", locate.short_distance],
    ["power_at_far_end", "Power at the far end", "power", power.power_at_far_end],
    ["power_reach", "How far power reaches", "power", power.power_reach],
    ["frame_rate", "Most frames a second", "power", traffic.frame_rate],
    ["tcp_goodput", "TCP throughput", "power", traffic.tcp_goodput],
    ["fibre_allowance", "Loss allowed on a fibre link", "fibre", fibre.fibre_allowance],
    ["transceiver_budget", "Transceiver power budget", "fibre", optics.transceiver_budget],
    ["ethernet_support", "Which Ethernet a fibre carries", "fibre", optics.ethernet_support],
    ["optical_power", "dBm and microwatts", "fibre", optics.optical_power],
    ["optical_distance", "Distance from light's travel time", "fibre", fibre.optical_distance],
    ["two_way_event", "Splice loss from both ends", "fibre", fibre.two_way_event],
    ["return_loss_total", "Return loss of the link", "fibre", fibre.return_loss_total],
    ["fibre_return", "What a fibre itself sends back", "fibre", joints.fibre_return],
    ["unlike_fibres", "Splice of unlike single-mode fibres", "fibre", joints.unlike_fibres],
    ["mixed_cores", "Multimode cores mixed", "fibre", joints.mixed_cores],
    ["diagnostics_loss", "Loss by two modules' own words", "fibre", diagnostics.diagnostics_loss],
    ["average_power", "Average power from modulation", "fibre", diagnostics.average_power],
    ["strand_colour", "Colour of a strand", "fibre", strands.strand_colour],
    ["fibre_excess", "Fibre longer than its sheath", "fibre", fibre.fibre_excess],
    ["earth_slope", "Earth electrode, slope method", "earth", earthing.earth_slope],
    ["soil_resistivity", "Soil resistivity, four stakes", "earth", earthing.soil_resistivity],
    ["rod_resistance", "Earth rod resistance", "earth", earthing.rod_resistance],
    ["rods_in_line", "Earth rods in a line", "earth", electrodes.rods_in_line],
    ["clamp_loop", "Clamp meter on joined electrodes", "earth", earthing.clamp_loop],
    ["clamp_of_like", "One of several like electrodes", "earth", electrodes.clamp_of_like],
    ["bond_resistance", "Bonding conductor resistance", "earth", earthing.bond_resistance],
    ["backbone_bond_size", "Size of a bonding backbone", "earth", earthing.backbone_bond_size],
    ["lead_voltage", "Voltage along a protector's lead", "earth", earthing.lead_voltage],
    ["flash_density", "Lightning flashes from thunder days", "earth", lightning.flash_density],
    ["lightning_exposure", "Lightning surges a year", "earth", lightning.lightning_exposure],
    ["pull_tension", "Pulling tension", "route", plant.pull_tension],
    ["longest_pull", "Longest straight pull", "route", pull.longest_pull],
    ["duct_fill", "How full a duct is", "route", plant.duct_fill],
    ["three_cables", "Three like cables in a duct", "route", duct.three_cables],
    ["eye_clearance", "Pulling eye through a bend", "route", plant.eye_clearance],
    ["order_length", "Cable to order", "route", plant.order_length],
    ["sheath_length", "Length between two marks", "route", plant.sheath_length],
    ["sloped_length", "Length along a slope", "route", plant.slope],
    ["mark_to_place", "Where a sheath mark lies", "place", plant.mark_to_place],
    ["optical_to_mark", "Sheath mark of an event", "place", locate.optical_to_mark],
    ["event_from_both_ends", "One event from both ends", "place", locate.both_ends],
    ["ground_distance", "Distance between two positions", "place", geometry.ground_distance],
    ["tie_position", "A point from taped ties", "place", geometry.tie_position],
    ["decision", "Measured against a limit", "judge", decision],
    ["change", "Is a change real", "judge", change],
    ["locate_budget", "How sure a located place is", "place", plant.locate_budget],
]
NAMES = [row[0] for row in FUNCTIONS]
_FUNCTION = {row[0]: row[3] for row in FUNCTIONS}
_GROUP_TITLE = {row[0]: row[1] for row in GROUPS}
_DECIMALS = {"m": 2, "mm": 2, "dB": 2, "dBm": 2, "N": 1, "N/m": 1, "V": 2, "W": 2, "percent": 1, "deg": 2, "degC": 1, "ns": 1}
_DESCRIPTIONS = {}


def configure(descriptions: str) -> int:
    """Take the descriptions: JSON text {name: description}. Result: how many."""
    held = loads(descriptions)
    _DESCRIPTIONS.clear()
    _DESCRIPTIONS.update(held)
    return len(held)


def describe() -> list:
    """All descriptions, in the table's order, each with title, group and the words that a person reads."""
    found = []
    for name, title, group, _ in FUNCTIONS:
        if name in _DESCRIPTIONS:
            found.append(worded(_DESCRIPTIONS[name], title, group, _GROUP_TITLE[group]))
    return found


def description(name: str) -> dict:
    """One description. Errors: Refused("unknown")."""
    if name not in _DESCRIPTIONS:
        raise Refused("unknown", "calculator", name, "one of " + ", ".join(NAMES), "List them with: spanbook calc")
    return _DESCRIPTIONS[name]


def run(name: str, texts: dict) -> dict:
    """A calculator by name with typed texts {input name: text} -> the object of the contract.

    Errors: Refused naming the input: unknown, no number, wrong unit, out of range, a word not on its list; and when all that was given
    is good, a missing one, so that a form shows what is wrong before everything is filled in.
    """
    about = description(name)
    _refuse_unknown(about, texts)
    values, missing = {}, []
    for entry in about["inputs"]:
        typed = texts.get(entry["name"])
        if typed is None or (isinstance(typed, str) and is_blank(typed)):
            typed = entry.get("default")
        if typed is not None:
            values[entry["parameter"]] = value_of(entry, typed)
        elif not entry.get("optional"):
            missing.append(entry)
    if missing:
        raise Refused("missing", missing[0]["name"], None, allowed(missing[0]), "Give " + missing[0]["meaning"].rstrip(".") + ".")
    return _answer(about, _FUNCTION[name](**values))


def _refuse_unknown(about: dict, texts: dict) -> None:
    names = [entry["name"] for entry in about["inputs"]]
    for given in sorted(texts):
        if given not in names:
            raise Refused("unknown", given, texts[given], "one of the inputs " + ", ".join(names), "Correct the input's name.")


def _answer(about: dict, given: dict) -> dict:
    unit_of = {entry["key"]: entry["unit"] for entry in about["results"]}
    unit_of.update(given.get("units", {}))
    results = {}
    for key in given["results"]:
        results[key] = _result(given["results"][key], unit_of.get(key, ""))
    sources = given.get("source", about["source"])
    return {
        "calculator": about["name"],
        "results": results,
        "working": given.get("working", []),
        "source": sources,
        "source_text": [source_text(source) for source in sources],
        "notes": given.get("notes", []),
    }


def _result(value: object, unit: str) -> dict:
    """``value`` leaves core with 12 significant digits (textform.py), ``text`` is rounded by way of these: logarithms and powers of the
    phone's interpreter and the server's differ in bits far below, so that both show the same digits in either form."""
    if value is None or value is True or value is False or isinstance(value, str):
        return {"value": value, "unit": unit, "text": word_text(value)}
    if isinstance(value, int):
        return {"value": value, "unit": unit, "text": clean_decimal(str(value))}
    return {"value": value, "unit": unit, "text": text(value, _DECIMALS[unit]) if unit in _DECIMALS else short_text(value)}
