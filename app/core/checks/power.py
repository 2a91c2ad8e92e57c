"""Rules for power over the pairs: what was measured at the far end, and what the load's own figures ask of this cable."""

from .. import limits, pairs
from ..copper import conductor_ohm_per_m, copper_growth
from ..kinds import METAL_MEDIA
from ..numbers import short_text, text
from ..power import load_lines, load_voltage, most_power_w
from ..units import typed
from . import base, judging, own

GROUP = "power"
FILE = "ieee-802.3-power"


def far_voltage(link: dict, site: dict) -> list:
    """The voltage measured at the far end under load against the lowest that the load accepts."""
    if not _fed(link):
        return []
    title, rule = "Voltage at the far end, measured under load", "far_voltage"
    least, reading = base.number(link, "load_voltage_min", "V"), base.newest(link, "far_voltage")
    source = _load_source(link)
    if reading is None or (least is None and not own.held_for(rule)):
        missing = [] if reading else ["the voltage at the far end under load"]
        missing += [] if least is not None or own.held_for(rule) else ["the lowest voltage that the load accepts"]
        form = None if reading else {"quantity": "far_voltage"}
        shown = "" if least is None else short_text(least)
        return [base.not_measured(rule, [], GROUP, title, form, shown, "V", "min", source, missing=judging.needs(missing))]
    more = judging.of_reading(link, reading, "V")
    more["notes"] += _light_load_notes(link)
    return [base.judge(rule, [], GROUP, title, base.reading_number(reading, "V"), least, "V", 1, "min", source, **more)]


def _fed(link: dict) -> bool:
    return link["medium"] in METAL_MEDIA and judging.carries_power(link)


def _load_source(link: dict) -> dict:
    return base.typed_source(base.field(link, "load_source") or "Load as typed on the link")


def _light_load_notes(link: dict) -> list:
    drawn, load = base.newest(link, "far_power"), base.number(link, "load_power", "W")
    if drawn is None or load is None:
        return []
    power = base.reading_number(drawn, "W")
    if power >= load:
        return []
    return [
        "Only " + short_text(power) + " W was drawn; the load may take " + short_text(load) + " W: see the calculated voltage."
    ]


# ---- the calculated end: one case of supply, cable and load, used by the rules below


def case_of(link: dict) -> dict:
    """Supply, cable and load of a link: {"missing"}, or {"source_v", "load_w", "ohm", "sets", "pair_set_ohm", "working", "readings", "notes"}."""
    source_v, source_reading = _source_voltage(link)
    load_w = base.number(link, "load_power", "W")
    missing = [] if source_v else ["the voltage at the source"]
    missing += [] if load_w is not None else ["the power of the load"]
    cable = _cable(link)
    missing += cable.get("missing", [])
    if missing:
        return {"missing": missing}
    sets = 2 if base.field(link, "power_pairs") == "4" else 1
    ohm = cable["pair_set_ohm"] / sets
    line = "R = pair set " + short_text(cable["pair_set_ohm"]) + " ohm / " + str(sets) + " = " + short_text(ohm) + " ohm"
    notes = [] if base.field(link, "power_pairs") else ["Pairs that carry power are not set on the link: taken as two pairs."]
    most = float(limits.row(FILE, "pair_set_resistance")["value"])
    if cable["pair_set_ohm"] > most:
        notes.append("Calculated, outside the IEEE 802.3 channel of " + short_text(most) + " ohm a pair set.")
    return {
        "source_v": source_v,
        "load_w": load_w,
        "ohm": ohm,
        "sets": sets,
        "pair_set_ohm": cable["pair_set_ohm"],
        "working": cable["working"] + [line],
        "readings": cable["readings"] + ([source_reading] if source_reading else []),
        "notes": notes + cable["notes"],
    }


def _source_voltage(link: dict) -> tuple:
    """Measured under load where it was, else as typed on the link."""
    reading = base.newest(link, "source_voltage")
    if reading is not None:
        return base.reading_number(reading, "V"), reading
    return base.number(link, "source_voltage", "V"), None


def _cable(link: dict) -> dict:
    """Resistance of a pair set at the hottest cable temperature: from the loops read, else from gauge and length."""
    hottest = base.number(link, "cable_temperature", "degC")
    held = judging.loops(link)
    if held:
        return _cable_from_loops(held, hottest)
    gauge, length = base.decimal(link, "gauge"), judging.cable_length(link)
    if not gauge or not length:
        return {"missing": ["pair loop resistances (or conductor gauge and cable length)"]}
    temperature = 20.0 if hottest is None else hottest
    ohm = conductor_ohm_per_m(gauge, temperature) * length["m"]
    line = (
        short_text(gauge)
        + " AWG copper at "
        + short_text(temperature)
        + " degC: pair set = one conductor = "
        + short_text(ohm)
        + " ohm"
    )
    notes = (
        ["No pair loop was read: resistance from gauge and length, without connectors."] + length["notes"] + _cold_notes(hottest)
    )
    return {"pair_set_ohm": ohm, "working": [length["line"], line], "readings": length["readings"], "notes": notes}


def _cold_notes(hottest: float | None) -> list:
    return [] if hottest is not None else ["The hottest cable temperature is not set: resistance is not raised for warm cable."]


def _cable_from_loops(held: dict, hottest: float | None) -> dict:
    names = sorted(held)
    ohms = []
    for pair in names:
        stated = held[pair]["reading"]["body"].get("temperature")
        at = typed(stated, "degC", "temperature") if stated else 20.0
        growth = 1.0 if hottest is None else copper_growth(hottest) / copper_growth(at)
        ohms.append(held[pair]["ohm"] * growth)
    pair_set = pairs.supply_ohm(ohms, 1)
    at_words = "" if hottest is None else ", brought to " + short_text(hottest) + " degC"
    line = (
        "loops "
        + ", ".join([short_text(ohm) for ohm in ohms])
        + " ohm"
        + at_words
        + "; pair set = mean loop / 2 = "
        + short_text(pair_set)
        + " ohm"
    )
    readings = [held[pair]["reading"] for pair in names]
    return {"pair_set_ohm": pair_set, "working": [line], "readings": readings, "notes": _cold_notes(hottest)}


def calculated_voltage(link: dict, site: dict) -> list:
    """Voltage at the far end when the load draws its full power, by the quadratic; no root means that nothing feeds this load."""
    if not _fed(link):
        return []
    title, rule = "Voltage at the far end, calculated at full load", "far_voltage_calculated"
    case, least, source = case_of(link), base.number(link, "load_voltage_min", "V"), _load_source(link)
    missing = case.get("missing", []) + ([] if least is not None else ["the lowest voltage that the load accepts"])
    if missing:
        return [base.not_measured(rule, [], GROUP, title, _case_form(link), source=source, missing=judging.needs(missing))]
    voltage = load_voltage(case["source_v"], case["load_w"], case["ohm"])
    if voltage is None:
        return [_no_root(rule, title, case, least, source)]
    working = case["working"] + load_lines(case["source_v"], case["load_w"], case["ohm"], voltage)
    notes = case["notes"] + _least_source_notes(link, case)
    return [
        base.judge(
            rule, [], GROUP, title, voltage, least, "V", 1, "min", source, working=working, readings=case["readings"], notes=notes
        )
    ]


def _case_form(link: dict) -> dict | None:
    """The reading that would bring the calculation on, where it is a reading and not a field that is lacking."""
    if not judging.loops(link):
        return {"quantity": "loop_resistance", "pair": "1-2"}
    return None if _source_voltage(link)[0] else {"quantity": "source_voltage"}


def _no_root(rule: str, title: str, case: dict, least: float, source: dict) -> dict:
    most = most_power_w(case["source_v"], case["ohm"])
    found = "no voltage feeds " + short_text(case["load_w"]) + " W through " + short_text(case["ohm"]) + " \u03a9"
    working = case["working"] + [
        "Vs^2 - 4 R P = "
        + short_text(case["source_v"] * case["source_v"] - 4.0 * case["ohm"] * case["load_w"])
        + ", below zero: no root",
        "most that any load can draw = Vs^2 / (4 R) = " + short_text(most) + " W",
    ]
    wanted = "at least " + short_text(least) + " V at the load"
    notes = ["At most " + text(most, 1) + " W can be drawn here."] + case["notes"]
    return base.statement(rule, [], GROUP, title, False, found, wanted, source, working, case["readings"], notes)


def _least_source_notes(link: dict, case: dict) -> list:
    """What would arrive if the source gave only the least that its class allows."""
    row = class_for(case["load_w"])
    if row is None or link["medium"] != "copper":
        return []
    least = float(row["source_voltage_min"])
    if case["source_v"] <= least:
        return []
    voltage = load_voltage(least, case["load_w"], case["ohm"])
    arrives = "nothing that feeds it" if voltage is None else text(voltage, 1) + " V"
    return [
        "At the least source voltage of class "
        + row["class"]
        + ", "
        + row["source_voltage_min"]
        + " V, the load would get "
        + arrives
        + "."
    ]


def class_for(load_w: float) -> dict | None:
    """The lowest class of IEEE 802.3 that a load of this power belongs to, or None above class 8."""
    for row in limits.rows(FILE, quantity="class_power"):
        if load_w <= float(row["load_power"]) + 1e-9:
            return row
    return None


def supply_power(link: dict, site: dict) -> list:
    """What the source has to give against the most that it may: as typed, else its class for copper to 100 m."""
    if not _fed(link):
        return []
    case = case_of(link)
    voltage = None if "missing" in case else load_voltage(case["source_v"], case["load_w"], case["ohm"])
    bound = _supply_bound(link, case)
    if voltage is None or bound is None:
        return []
    limit, source, line = bound
    asked = case["source_v"] * case["load_w"] / voltage
    working = case["working"] + load_lines(case["source_v"], case["load_w"], case["ohm"], voltage) + [line]
    title = "Power that the source has to give"
    return [
        base.judge(
            "supply_power",
            [],
            GROUP,
            title,
            asked,
            limit,
            "W",
            1,
            "max",
            source,
            working=working,
            readings=case["readings"],
            notes=case["notes"],
        )
    ]


def _supply_bound(link: dict, case: dict) -> tuple | None:
    most = base.number(link, "source_power", "W")
    if most is not None:
        return most, base.typed_source("Supply as typed on the link"), "the source may give " + short_text(most) + " W"
    row = None if "missing" in case or link["medium"] != "copper" else class_for(case["load_w"])
    if row is None:
        return None
    return (
        float(row["value"]),
        base.source_of(FILE, row),
        "a load of " + short_text(case["load_w"]) + " W is class " + row["class"],
    )


def pair_set_current(link: dict, site: dict) -> list:
    """Current in a pair set against the type's limit, for copper to 100 m."""
    if link["medium"] != "copper" or not _fed(link):
        return []
    drawn = drawn_current(link)
    held = None if "missing" in drawn else class_for(drawn["load_w"])
    if held is None:
        return []
    name = held["class"] if int(held["class"]) >= 3 else "3"
    row = limits.row(FILE, "pair_set_current:" + name)
    notes = list(drawn["notes"])
    if held["pairs"] == "4" and drawn["sets"] == 1:
        notes.append("Class " + held["class"] + " is fed over four pairs.")
    more = {"working": drawn["working"], "readings": drawn["readings"], "notes": notes}
    return [judging.by_row("pair_set_current", [], GROUP, "Current in a pair set", drawn["a"], FILE, row, **more)]


def drawn_current(link: dict) -> dict:
    """Current in a pair set at full load: {"missing"}, or {"a", "load_w", "sets", "working", "readings", "notes"}."""
    case = case_of(link)
    if "missing" in case:
        return case
    voltage = load_voltage(case["source_v"], case["load_w"], case["ohm"])
    if voltage is None:
        return {"missing": ["a load that this supply can feed"]}
    sets, load_w = case["sets"], case["load_w"]
    current = load_w / voltage / sets
    shares = " / " + str(sets) + " pair sets = " if sets > 1 else " = "
    line = "I = " + short_text(load_w) + " W / " + text(voltage, 2) + " V" + shares + text(current, 3) + " A"
    return {
        "a": current,
        "load_w": load_w,
        "sets": sets,
        "working": case["working"] + [line],
        "readings": case["readings"],
        "notes": case["notes"],
    }


RULES = [far_voltage, calculated_voltage, supply_power, pair_set_current]
