"""Runs a formula by its name: typed texts in, one plain object out, for the command line and the bench alike.

The descriptions (inputs, units, ranges, results, sources) are read from the formulas' docstrings by ``app/calculators.py`` and handed in as JSON, since
MicroPython drops docstrings. A formula gives ``{"results": {...}, "working": [...], "notes": [...]}`` and, where its source depends on
the case, ``"source": [...]``.
"""

from . import copper, earthing, fibre, geometry, optics, plant, power, traffic
from .decision import change, decision
from .errors import Refused
from .numbers import clean_decimal, parse_decimal, short_text, text
from .textform import loads
from .units import convert, group_of

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
        if typed is None or (isinstance(typed, str) and typed.strip() == ""):
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


def allowed(entry: dict) -> str:
    """What an input takes, in words: from its words, or its unit and range."""
    kind = entry["type"]
    if kind == "word":
        return "one of " + ", ".join(entry["words"])
    if kind == "text":
        return entry["meaning"].rstrip(".")
    words = {"count": "a whole number", "list": "numbers with commas between"}.get(kind, "a number")
    if entry["unit"]:
        words += " in " + entry["unit"] + " (or what turns into it)"
    return words + _range_words(entry)


def _range_words(entry: dict) -> str:
    low, above, high = entry.get("low"), entry.get("above"), entry.get("high")
    parts = []
    if low is not None and high is not None:
        return " from " + low + " to " + high
    if low is not None:
        parts.append(low + " or more")
    if above is not None:
        parts.append("above " + above)
    if high is not None:
        parts.append("not above " + high)
    return (", " + " and ".join(parts)) if parts else ""


def value_of(entry: dict, typed: str) -> object:
    """One typed text -> what the formula takes: float in the contract's unit, whole number, word, true or false, list of floats, text."""
    kind = entry["type"]
    if kind == "word":
        return _word(entry, typed)
    if kind == "text":
        return typed.strip()
    if kind == "list":
        return [_number(entry, piece) for piece in _pieces(entry, typed)]
    number = _number(entry, typed)
    if kind != "count":
        return number
    if number != int(number):
        raise Refused("number", entry["name"], typed, allowed(entry), "Give a whole number.")
    return int(number)


def _word(entry: dict, typed: str) -> object:
    given = typed.strip()
    for word in entry["words"]:
        if given == word or given.lower() == word.lower():
            return (word == "true") if sorted(entry["words"]) == ["false", "true"] else word
    raise Refused("word", entry["name"], typed, allowed(entry), "Give one of these words.")


def _pieces(entry: dict, typed: str) -> list:
    """A list has commas (or semicolons) between; with semicolons the comma is a decimal sign."""
    separator = ";" if ";" in typed else ","
    pieces = [piece.strip() for piece in typed.split(separator)]
    if "" in pieces:
        raise Refused("number", entry["name"], typed, allowed(entry), "Take out the empty place.")
    return pieces


def split_unit(typed: str) -> tuple:
    """'410ft', '410 ft', '0,42' -> (number text, unit text or '')."""
    typed = typed.strip()
    end = 0
    while end < len(typed) and typed[end] in "0123456789.,+-\u2212\u2013 \u00a0\u202f\u2009":
        end += 1
    return typed[:end].strip(), typed[end:].strip()


def _number(entry: dict, typed: str) -> float:
    digits, unit = split_unit(typed)
    if digits == "":
        raise Refused("number", entry["name"], typed, allowed(entry), "Begin with a number, such as 12.5.")
    number = parse_decimal(digits, entry["name"])
    if unit and unit != entry["unit"]:
        number = _converted(entry, number, unit, typed)
    _check_range(entry, number, typed)
    return number


def _converted(entry: dict, number: float, unit: str, typed: str) -> float:
    if not entry["unit"] or group_of(unit) is None:
        raise Refused("unit", entry["name"], typed, allowed(entry), "Leave the unit off, or give one that fits.")
    try:
        return convert(number, unit, entry["unit"], entry["name"])
    except Refused as refusal:
        if refusal.code == "range":
            raise
        raise Refused("unit", entry["name"], typed, allowed(entry), "Give a unit that fits.")


def _check_range(entry: dict, number: float, typed: str) -> None:
    low, above, high = entry.get("low"), entry.get("above"), entry.get("high")
    slack = 1e-9 * max(1.0, abs(number))  # a converted unit may miss an inclusive bound by the last bit
    out = (low is not None and number < float(low) - slack) or (high is not None and number > float(high) + slack)
    if out or (above is not None and number <= float(above)):
        raise Refused("range", entry["name"], typed, allowed(entry), "Check the number and its unit.")


def _answer(about: dict, given: dict) -> dict:
    unit_of = {entry["key"]: entry["unit"] for entry in about["results"]}
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
