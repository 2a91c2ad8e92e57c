"""Rules for power over the pairs: what was measured at the far end, and what the loads' own figures ask of this cable."""

from ..numbers import short_text, text
from ..power import load_lines, load_voltage, most_power_w
from . import base, judging, own, power_case, power_room
from .power_case import FILE, case_of, class_of, demand, drawn_current, fed, least_voltage

GROUP = "power"


def far_voltage(link: dict, site: dict) -> list:
    """The voltage measured at the far end under load against the lowest that every load accepts."""
    if not fed(link):
        return []
    title, rule = "Voltage at the far end, measured under load", "far_voltage"
    least, reading = least_voltage(link), base.newest(link, "far_voltage")
    lacking = [] if own.held_for(rule) else least["missing"]
    if reading is None or lacking:
        missing = ([] if reading else ["the voltage at the far end under load"]) + lacking
        form = None if reading else {"quantity": "far_voltage"}
        shown, words = "" if least["v"] is None else short_text(least["v"]), judging.needs(missing)
        return [base.not_measured(rule, [], GROUP, title, form, shown, "V", "min", least["source"], missing=words)]
    more = judging.of_reading(reading, "V")
    more["notes"] += _light_load_notes(link)
    more["working"] = least["working"]
    measured = base.reading_number(reading, "V")
    return [base.judge(rule, [], GROUP, title, measured, least["v"], "V", 1, "min", least["source"], **more)]


def _light_load_notes(link: dict) -> list:
    drawn, load_w = base.newest(link, "far_power"), demand(link)["power_w"]
    if drawn is None or load_w is None:
        return []
    power = base.reading_number(drawn, "W")
    if power >= load_w:
        return []
    who = "the load" if len(power_case.loads(link)) == 1 else "the loads together"
    return [
        "Only "
        + short_text(power)
        + " W was drawn; "
        + who
        + " may take "
        + short_text(load_w)
        + " W: see the calculated voltage."
    ]


def calculated_voltage(link: dict, site: dict) -> list:
    """Voltage at the far end when all loads draw their full power, by the quadratic; no root means that nothing feeds them."""
    if not fed(link):
        return []
    title, rule = "Voltage at the far end, calculated at full load", "far_voltage_calculated"
    case, least = case_of(link), least_voltage(link)
    taken = own.for_rule(rule, "V", "min", 1)
    source, missing = least["source"], case.get("missing", []) + ([] if taken else least["missing"])
    if missing:
        words, form = judging.needs(missing), _case_form(link)
        return [base.not_measured(rule, [], GROUP, title, form, "", "V", "min", source, missing=words)]
    voltage = load_voltage(case["source_v"], case["load_w"], case["ohm"])
    if voltage is None:
        wanted = (taken["limit"], taken["source"]) if taken else (least["v"], source)
        return [_no_root(rule, title, case, *wanted)]
    working = case["working"] + load_lines(case["source_v"], case["load_w"], case["ohm"], voltage) + least["working"]
    more = {"working": working, "readings": case["readings"], "notes": case["notes"]}
    return [base.judge(rule, [], GROUP, title, voltage, least["v"], "V", 1, "min", source, **more)]


def _case_form(link: dict) -> dict | None:
    """The reading that would bring the calculation on, where it is a reading and not a field that is lacking."""
    if not judging.loops(link):
        return {"quantity": "loop_resistance", "pair": "1-2"}
    return None if power_case.source_voltage(link)[0] else {"quantity": "source_voltage"}


def _no_root(rule: str, title: str, case: dict, least: float, source: dict) -> dict:
    most = most_power_w(case["source_v"], case["ohm"])
    found = "no voltage feeds " + short_text(case["load_w"]) + " W through " + short_text(case["ohm"]) + " \u03a9"
    below = case["source_v"] * case["source_v"] - 4.0 * case["ohm"] * case["load_w"]
    working = case["working"] + [
        "Vs^2 - 4 R P = " + short_text(below) + ", below zero: no root",
        "most that any load can draw = Vs^2 / (4 R) = " + short_text(most) + " W",
    ]
    wanted = "at least " + short_text(least) + " V at the load"
    notes = ["At most " + text(most, 1) + " W can be drawn here."] + case["notes"]
    return base.statement(rule, [], GROUP, title, False, found, wanted, source, working, case["readings"], notes)


def supply_power(link: dict, site: dict) -> list:
    """What the source has to give against the most that it may: as typed, else its class for copper to 100 m."""
    if not fed(link):
        return []
    case = case_of(link)
    voltage = None if "missing" in case else load_voltage(case["source_v"], case["load_w"], case["ohm"])
    bound = None if voltage is None else supply_bound(link, case["load_w"])
    if bound is None:
        return []
    limit, source, line = bound
    asked = case["source_v"] * case["load_w"] / voltage
    working = case["working"] + load_lines(case["source_v"], case["load_w"], case["ohm"], voltage) + [line]
    more = {"working": working, "readings": case["readings"], "notes": case["notes"]}
    title = "Power that the source has to give"
    return [base.judge("supply_power", [], GROUP, title, asked, limit, "W", 1, "max", source, **more)]


def supply_bound(link: dict, load_w: float) -> tuple | None:
    """The most that the source may give, its source, and a working line; None where nothing says it."""
    most = base.number(link, "source_power", "W")
    if most is not None:
        return most, base.typed_source("Supply as typed on the link"), "the source may give " + short_text(most) + " W"
    row = class_of(link, load_w)
    if row is None:
        return None
    line = "a load of " + short_text(load_w) + " W is class " + row["class"]
    return float(row["value"]), base.source_of(FILE, row), line


def pair_set_current(link: dict, site: dict) -> list:
    """Current in a pair set against the type's limit, for copper to 100 m."""
    if not fed(link):
        return []
    drawn = drawn_current(link)
    held = None if "missing" in drawn else class_of(link, drawn["load_w"])
    if held is None:
        return []
    row = power_room.current_row(held)
    notes = list(drawn["notes"])
    if held["pairs"] == "4" and drawn["sets"] == 1:
        notes.append("Class " + held["class"] + " is fed over four pairs.")
    more = {"working": drawn["working"], "readings": drawn["readings"], "notes": notes}
    return [judging.by_row("pair_set_current", [], GROUP, "Current in a pair set", drawn["a"], FILE, row, **more)]


def least_source(link: dict, site: dict) -> list:
    """Beside the case of this source: what would arrive if a source gave only the least voltage of its class. For information."""
    load_w = demand(link)["power_w"] if fed(link) else None
    row, path = class_of(link, load_w), power_case.cable(link)
    least = least_voltage(link)
    if row is None or "missing" in path or least["v"] is None:
        return []
    source_v, ohm = float(row["source_voltage_min"]), power_case.ohm_of(link, path)
    title = "Voltage at the far end, from the least source of class " + row["class"]
    working = path["working"] + [
        base.source_text(base.source_of(FILE, row)) + ": the source gives " + short_text(source_v) + " V or more"
    ]
    voltage = load_voltage(source_v, load_w, ohm)
    if voltage is None:
        found = (
            "no voltage feeds "
            + short_text(load_w)
            + " W through "
            + short_text(ohm)
            + " \u03a9 from "
            + short_text(source_v)
            + " V"
        )
        wanted = "at least " + short_text(least["v"]) + " V at the load"
        return [
            base.statement(
                "least_source", [], GROUP, title, False, found, wanted, least["source"], working, path["readings"], required=False
            )
        ]
    working += load_lines(source_v, load_w, ohm, voltage) + least["working"]
    notes = ["The worst case of any source of this class; the verdict is taken with the source of this link."]
    more = {"working": working, "readings": path["readings"], "notes": notes, "required": False}
    return [base.judge("least_source", [], GROUP, title, voltage, least["v"], "V", 1, "min", least["source"], **more)]


RULES = (
    [far_voltage, calculated_voltage, least_source] + power_room.EACH_LOAD + [supply_power, pair_set_current] + power_room.ROOM
)
