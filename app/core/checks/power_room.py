"""What room a cable leaves for power: is each load fed, what may be drawn at most, how long could the run be. All for information."""

from .. import limits
from ..numbers import short_text, text
from ..power import load_voltage
from ..power_bounds import CURRENT, ROOT, SOURCE, VOLTAGE, draw_bounds, governing, reach_bounds
from . import base, judging, power_case
from .power_case import FILE, case_of, demand, fed, least_voltage

GROUP = "power"
_WORDS = {
    VOLTAGE: "the lowest voltage that the load accepts",
    SOURCE: "the most that the source may give",
    CURRENT: "the most current through the pairs",
    ROOT: "the cable itself: beyond it no voltage feeds a load",
}


def each_load(link: dict, site: dict) -> list:
    """Where several loads are fed, or a load is recorded by its name: whether each one gets the voltage that it accepts, all drawing in full."""
    if not fed(link) or not link["loads"]:
        return []
    case = case_of(link)
    voltage = None if "missing" in case else load_voltage(case["source_v"], case["load_w"], case["ohm"])
    return [_load_row(load, case, voltage) for load in power_case.loads(link)]


def _load_row(load: dict, case: dict, voltage: float | None) -> dict:
    rule, keys, title = "load_fed", [["of", load["of"]]], "Fed: " + power_case.load_title(load)
    missing = case.get("missing", []) + ([] if load["least_v"] is not None else ["the lowest voltage that it accepts"])
    if missing:
        words = judging.needs(missing)
        return base.not_measured(rule, keys, GROUP, title, None, source=load["source"], required=False, missing=words)
    if voltage is None:
        found = "no voltage feeds the loads together, " + short_text(case["load_w"]) + " W"
        wanted = "at least " + short_text(load["least_v"]) + " V"
        more = {"working": case["working"], "readings": case["readings"], "required": False}
        return base.statement(rule, keys, GROUP, title, False, found, wanted, load["source"], **more)
    working = case["working"] + ["all loads in full: " + text(voltage, 2) + " V at the far end"]
    more = {"working": working, "readings": case["readings"], "required": False}
    return base.judge(rule, keys, GROUP, title, voltage, load["least_v"], "V", 1, "min", load["source"], **more)


# ---- what bounds it


def current_row(held: dict) -> dict:
    """The limit of the current in a pair set for a class; classes below 3 have that of class 3."""
    return limits.row(FILE, "pair_set_current:" + (held["class"] if int(held["class"]) >= 3 else "3"))


def _ends_of_supply(link: dict) -> dict:
    """{"w": most that the source may give or None, "a": most current through all pairs or None, "source", "working"}."""
    typed, largest = base.number(link, "source_power", "W"), power_case.largest_class(link)
    working, most_a, source = [], None, base.typed_source("Worked out from what this link holds")
    if largest is not None:
        row = current_row(largest)
        most_a = float(row["value"]) * power_case.sets_of(link)
        working.append(
            "current at most "
            + row["value"]
            + " A in a pair set, "
            + str(power_case.sets_of(link))
            + " in use: "
            + short_text(most_a)
            + " A"
        )
        source = base.source_of(FILE, row)
    most_w = typed
    if typed is not None:
        working.append("the source may give " + short_text(typed) + " W, as typed on the link")
    elif largest is not None:
        most_w = float(largest["value"])
        working.append(
            "the source's own power is not typed: the largest class over these pairs, "
            + largest["class"]
            + ", "
            + largest["value"]
            + " W"
        )
    return {"w": most_w, "a": most_a, "source": source, "working": working}


def _bound_lines(bounds: list, unit: str) -> list:
    return ["by " + _WORDS[name] + ": " + short_text(max(value, 0.0)) + " " + unit for name, value in bounds]


def _source_of_bound(name: str, link: dict, least: dict, ends: dict) -> dict:
    """Where the bound that governs comes from."""
    if name == VOLTAGE:
        return least["source"]
    if name == SOURCE and base.number(link, "source_power", "W") is not None:
        return base.typed_source("Supply as typed on the link")
    if name in (SOURCE, CURRENT):
        return ends["source"]
    return {
        "document": "Vs\u00b2 / (4 R)",
        "edition": "",
        "clause": "a load of constant power through a resistance",
        "seen": "memory",
    }


def most_drawn(link: dict, site: dict) -> list:
    """The most that the far end may draw here, and which bound it is."""
    if not fed(link):
        return []
    rule, title = "most_drawn", "Most that the far end may draw here"
    source_v, reading = power_case.source_voltage(link)
    path = power_case.cable(link)
    missing = ([] if source_v else ["the voltage at the source"]) + path.get("missing", [])
    if missing:
        return [base.not_measured(rule, [], GROUP, title, required=False, missing=judging.needs(missing))]
    if path["pair_set_ohm"] <= 0:
        return []
    least, ends = least_voltage(link), _ends_of_supply(link)
    ohm = power_case.ohm_of(link, path)
    bounds = draw_bounds(source_v, ohm, least["v"], ends["w"], ends["a"])
    name, most = governing(bounds)
    source, asked = _source_of_bound(name, link, least, ends), demand(link)
    line = "R = " + short_text(ohm) + " ohm, Vs = " + short_text(source_v) + " V"
    working = asked["working"] + path["working"] + [line] + ends["working"] + _bound_lines(bounds, "W")
    notes = ["Bound by " + _WORDS[name] + "."] + _without(least, ends) + path["notes"]
    readings = path["readings"] + ([reading] if reading else [])
    if asked["power_w"] is None:
        words = judging.needs(asked["missing"])
        check = base.not_measured(rule, [], GROUP, title, None, text(most, 1), "W", "max", source, notes, False, words)
        check["working"] = working
        return [check]
    more = {"working": working, "readings": readings, "notes": notes, "required": False}
    return [base.judge(rule, [], GROUP, title, asked["power_w"], most, "W", 1, "max", source, **more)]


def _without(least: dict, ends: dict) -> list:
    """What would bound it too and is not known."""
    notes = [] if least["v"] is not None else ["The lowest voltage of each load is not known: not bounded by it."]
    return notes + ([] if ends["w"] is not None else ["The most that the source may give is not known: not bounded by it."])


def reach(link: dict, site: dict) -> list:
    """The longest run of this cable that would still feed these loads, and which bound it is; also before a cable is laid."""
    if not fed(link):
        return []
    rule, title = "power_reach", "Longest run that would still feed this"
    source_v, reading = power_case.source_voltage(link)
    asked, metre = demand(link), power_case.per_metre(link)
    missing = ([] if source_v else ["the voltage at the source"]) + asked["missing"] + metre.get("missing", [])
    if missing or asked["power_w"] <= 0:
        words = judging.needs(missing or ["a load that draws power"])
        return [base.not_measured(rule, [], GROUP, title, required=False, missing=words)]
    least, ends, sets = least_voltage(link), _ends_of_supply(link), power_case.sets_of(link)
    bounds = reach_bounds(source_v, asked["power_w"], least["v"], ends["w"], ends["a"])
    name, most_ohm = governing(bounds)
    per_m = metre["ohm_per_m"] / sets
    most_m = max(most_ohm / per_m, 0.0)
    division = short_text(max(most_ohm, 0.0)) + " ohm / " + short_text(per_m * 1000.0) + " ohm per km = " + text(most_m, 0) + " m"
    working = asked["working"] + metre["working"] + ends["working"] + _bound_lines(bounds, "ohm") + [division]
    notes = ["Bound by " + _WORDS[name] + "."] + _without(least, ends) + _data_notes(link, most_m)
    notes += power_case.cold_notes(base.number(link, "cable_temperature", "degC"))
    readings = metre["readings"] + ([reading] if reading else [])
    return [_reach_row(link, rule, title, most_m, _source_of_bound(name, link, least, ends), working, readings, notes)]


def _reach_row(
    link: dict, rule: str, title: str, most_m: float, source: dict, working: list, readings: list, notes: list
) -> dict:
    length = judging.cable_length(link)
    if length is None:
        words = "needs the length of the cable"
        check = base.not_measured(rule, [], GROUP, title, None, text(most_m, 0), "m", "max", source, notes, False, words)
        check["working"] = working
        return check
    more = {"working": working, "readings": readings, "notes": notes, "required": False}
    return base.judge(rule, [], GROUP, title, length["m"], most_m, "m", 0, "max", source, **more)


def _data_notes(link: dict, most_m: float) -> list:
    """Power may reach further than data: a run is no longer than both."""
    if link["medium"] == "copper" and most_m > 100.0:
        return ["For power alone: data on this cable still ends at 100 m."]
    return ["For power alone: data ends where the maker says."] if link["medium"] == "extended" else []


EACH_LOAD = [each_load]
ROOM = [most_drawn, reach]
