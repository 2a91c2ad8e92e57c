"""Runs a formula by its name: typed texts in, one plain object out, for the command line and the bench alike.

The descriptions (inputs, units, ranges, results, sources) are read from the formulas' docstrings by ``app/calculators.py`` and handed in
as JSON, since MicroPython drops docstrings. A formula gives ``{"results": {...}, "working": [...], "notes": [...]}`` and, where its
source depends on the case, ``"source": [...]``.
"""

from . import copper, earthing, fibre, geometry, lightning, optics, plant, power, traffic
from .calculator_inputs import allowed, value_of
from .decision import change, decision
from .errors import Refused
from .numbers import clean_decimal, is_blank, short_text, text
from .textform import loads

FUNCTIONS = [
    ["copper_limit", copper.copper_limit],
    ["cord_allowance", copper.cord_allowance],
    ["length_at_temperature", copper.length_at_temperature],
    ["conductor_resistance", copper.conductor_resistance],
    ["conductor_material", copper.conductor_material],
    ["electrical_length", copper.electrical_length],
    ["power_at_far_end", power.power_at_far_end],
    ["power_reach", power.power_reach],
    ["frame_rate", traffic.frame_rate],
    ["tcp_goodput", traffic.tcp_goodput],
    ["fibre_allowance", fibre.fibre_allowance],
    ["transceiver_budget", optics.transceiver_budget],
    ["ethernet_support", optics.ethernet_support],
    ["optical_power", optics.optical_power],
    ["optical_distance", fibre.optical_distance],
    ["two_way_event", fibre.two_way_event],
    ["return_loss_total", fibre.return_loss_total],
    ["fibre_excess", fibre.fibre_excess],
    ["earth_slope", earthing.earth_slope],
    ["soil_resistivity", earthing.soil_resistivity],
    ["rod_resistance", earthing.rod_resistance],
    ["clamp_loop", earthing.clamp_loop],
    ["bond_resistance", earthing.bond_resistance],
    ["backbone_bond_size", earthing.backbone_bond_size],
    ["lead_voltage", earthing.lead_voltage],
    ["lightning_exposure", lightning.lightning_exposure],
    ["pull_tension", plant.pull_tension],
    ["duct_fill", plant.duct_fill],
    ["eye_clearance", plant.eye_clearance],
    ["order_length", plant.order_length],
    ["sheath_length", plant.sheath_length],
    ["mark_to_place", plant.mark_to_place],
    ["ground_distance", geometry.ground_distance],
    ["tie_position", geometry.tie_position],
    ["decision", decision],
    ["change", change],
    ["locate_budget", plant.locate_budget],
]
NAMES = [pair[0] for pair in FUNCTIONS]
_FUNCTION = {pair[0]: pair[1] for pair in FUNCTIONS}
_DECIMALS = {"m": 2, "mm": 2, "dB": 2, "dBm": 2, "N": 1, "N/m": 1, "V": 2, "W": 2, "percent": 1, "deg": 2, "degC": 1, "ns": 1}
_DESCRIPTIONS = {}


def configure(descriptions: str) -> int:
    """Take the descriptions: JSON text {name: description}. Result: how many."""
    held = loads(descriptions)
    _DESCRIPTIONS.clear()
    _DESCRIPTIONS.update(held)
    return len(held)


def describe() -> list:
    """All descriptions, in the table's order."""
    return [_DESCRIPTIONS[name] for name in NAMES if name in _DESCRIPTIONS]


def description(name: str) -> dict:
    """One description. Errors: Refused("unknown")."""
    if name not in _DESCRIPTIONS:
        raise Refused("unknown", "calculator", name, "one of " + ", ".join(NAMES), "List them with: spanbook calc")
    return _DESCRIPTIONS[name]


def run(name: str, texts: dict) -> dict:
    """A calculator by name with typed texts {input name: text} -> the object of the contract.

    Errors: Refused naming the input: unknown or missing input, no number, wrong unit, out of range, a word not on its list.
    """
    about = description(name)
    _refuse_unknown(about, texts)
    values = {}
    for entry in about["inputs"]:
        typed = texts.get(entry["name"])
        if typed is None or (isinstance(typed, str) and is_blank(typed)):
            typed = entry.get("default")
        if typed is None:
            _refuse_missing(entry)
            continue
        values[entry["parameter"]] = value_of(entry, typed)
    return _answer(about, _FUNCTION[name](**values))


def _refuse_unknown(about: dict, texts: dict) -> None:
    names = [entry["name"] for entry in about["inputs"]]
    for given in sorted(texts):
        if given not in names:
            raise Refused("unknown", given, texts[given], "one of the inputs " + ", ".join(names), "Correct the input's name.")


def _refuse_missing(entry: dict) -> None:
    if not entry.get("optional"):
        raise Refused("missing", entry["name"], None, allowed(entry), "Give " + entry["meaning"].rstrip(".") + ".")


def _answer(about: dict, given: dict) -> dict:
    unit_of = {entry["key"]: entry["unit"] for entry in about["results"]}
    unit_of.update(given.get("units", {}))
    results = {}
    for key in given["results"]:
        results[key] = _result(given["results"][key], unit_of.get(key, ""))
    return {
        "calculator": about["name"],
        "results": results,
        "working": given.get("working", []),
        "source": given.get("source", about["source"]),
        "notes": given.get("notes", []),
    }


def _result(value: object, unit: str) -> dict:
    if value is None or value is True or value is False or isinstance(value, str):
        words = {True: "yes", False: "no", None: ""}
        return {"value": value, "unit": unit, "text": value if isinstance(value, str) else words[value]}
    if isinstance(value, int):
        return {"value": value, "unit": unit, "text": clean_decimal(str(value))}
    return {"value": value, "unit": unit, "text": text(value, _DECIMALS[unit]) if unit in _DECIMALS else short_text(value)}
