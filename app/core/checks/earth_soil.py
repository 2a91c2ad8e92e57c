"""Rules for what stands beside an electrode's own reading: the loop by clamp, and what soil and rods predict. All for information."""

from .. import limits
from ..earthing import rod_resistance, soil_resistivity
from ..errors import Refused
from ..numbers import is_blank, short_text, text
from ..quantities import quantity
from ..tables import column_numbers
from ..units import typed
from . import base, judging
from .earth_electrode import electrode_ohm, electrodes_read

GROUP = "earthing"
FILE = "earthing"
_SIDES = ["near", "far"]
SOIL = "soil_resistance"


def clamp_loop(link: dict, site: dict) -> list:
    """The loop that a clamp shows at each end: soil or metal, and how it moved since the reading before. Never an acceptance."""
    return [_clamp_row(held) for held in base.latest(link, "clamp_resistance", ["side"])]


def _clamp_row(held: dict) -> dict:
    row, side, ohm = limits.row(FILE, "clamp_loop"), held["keys"]["side"], base.reading_number(held["reading"], "ohm")
    title = "Earth loop by clamp, " + side + " end: through soil"
    stated = held["reading"]["body"].get("electrodes")
    count = typed(stated, "1", "electrodes") if stated else None
    more = {"readings": [held["reading"]], "required": False, "working": _share_lines(ohm, count)}
    more["notes"] = _clamp_notes(ohm, float(row["value"]), held, count)
    return judging.by_row("clamp_loop", [["side", side]], GROUP, title, ohm, FILE, row, **more)


def _share_lines(ohm: float, count: float | None) -> list:
    if count is None or count < 2:
        return []
    one = ohm * (count - 1.0) / count
    line = short_text(ohm) + " ohm * (" + short_text(count) + " - 1) / " + short_text(count) + " = " + text(one, 2) + " ohm"
    return ["if all " + short_text(count) + " electrodes are alike, each is " + line]


def _clamp_notes(ohm: float, least: float, held: dict, count: float | None) -> list:
    notes = [
        "For trend only: it shows the loop with its bonds, and does not settle an electrode. Use fall of potential for that."
    ]
    if ohm < least:
        notes.append("A loop so low is most likely metal that does not pass through soil: not a reading of the electrode.")
    if count is not None and count < 2:
        notes.append("An electrode alone has no loop: there is another path.")
    if count == 2:
        notes.append("With two electrodes the clamp shows their sum.")
    if held["others"]:
        before = base.reading_number(held["others"][-1], "ohm")
        notes.append("The reading before was " + short_text(before) + " \u03a9.")
    return notes


# ---- soil and rods


def rod_prediction(link: dict, site: dict) -> list:
    """Where soil was read or rods are recorded: the electrode against what they predict."""
    soils = {held["keys"]["side"]: held for held in base.latest(link, SOIL, ["side"])}
    read = electrodes_read(link)
    return [row for row in [_rod_row(link, side, soils.get(side), read.get(side)) for side in _SIDES] if row]


def resistivities(reading: dict) -> list:
    """[spacing in m, ohm metre, note or ""] of each row of a four-stake test, as it was typed."""
    about, table = quantity(SOIL), reading["body"]["table"]
    columns = [column_numbers(about, table, name) for name in ("spacing", "resistance", "depth")]
    found = []
    for spacing, ohm, depth in zip(columns[0], columns[1], columns[2]):
        held = soil_resistivity(spacing, ohm, depth or 0.0)
        found.append([spacing, held["results"]["resistivity"], " ".join(held["notes"])])
    return found


def _rods(end: dict) -> dict:
    """{"length_m", "diameter_mm", "count", "missing"} of the rods recorded at an end."""
    length_m, diameter_mm = base.number(end, "rod_length", "m"), base.number(end, "rod_diameter", "mm")
    missing = [] if length_m else ["the driven length of the earth rod"]
    missing += [] if diameter_mm else ["its diameter"]
    return {"length_m": length_m, "diameter_mm": diameter_mm, "count": int(base.decimal(end, "rods") or 1), "missing": missing}


def predicted(soil: dict, rods: dict) -> dict:
    """What rods in this soil should read: {"ohm", "working", "notes"}. Errors: Refused for rods that the formula is not for."""
    held = resistivities(soil)
    chosen = held[0]
    for row in held[1:]:
        if abs(row[0] - rods["length_m"]) < abs(chosen[0] - rods["length_m"]):
            chosen = row
    lines = [short_text(row[0]) + " m apart: " + short_text(row[1]) + " ohm*m" for row in held]
    lines.append("the spacing nearest to the rod's length counts: " + short_text(chosen[1]) + " ohm*m")
    made = rod_resistance(chosen[1], rods["length_m"], rods["diameter_mm"], rods["count"])
    notes = [] if is_blank(chosen[2]) else [chosen[2]]
    return {"ohm": made["results"]["all_rods"], "working": lines + made["working"], "notes": notes}


def _rod_row(link: dict, side: str, soil: dict | None, read: dict | None) -> dict | None:
    rule, keys, title = "rod_prediction", [["side", side]], "Earth electrode, " + side + " end: against soil and rods"
    rods, source = _rods(link["ends"][side]), base.source_of(FILE, limits.row(FILE, "rod_prediction_high"))
    if soil is None and len(rods["missing"]) == 2:
        return None
    missing = ([] if soil else ["the soil by four stakes"]) + rods["missing"]
    form = None if soil else {"quantity": SOIL, "side": side}
    if missing:
        notes = _soil_notes(soil["reading"]) if soil else []
        words = judging.needs(missing)
        return _held(
            base.not_measured(rule, keys, GROUP, title, form, source=source, notes=notes, required=False, missing=words), soil
        )
    try:
        made = predicted(soil["reading"], rods)
    except Refused as refusal:
        return _held(base.not_measured(rule, keys, GROUP, title, source=source, required=False, missing=refusal.sentence()), soil)
    return _against(side, made, soil["reading"], read)


def _held(check: dict, soil: dict | None) -> dict:
    check["readings"] = [soil["reading"]["id"]] if soil else []
    return check


def _soil_notes(reading: dict) -> list:
    return [
        "Soil: "
        + "; ".join([short_text(row[1], 3) + " \u03a9m at " + short_text(row[0]) + " m" for row in resistivities(reading)])
        + "."
    ]


def _against(side: str, made: dict, soil: dict, read: dict | None) -> dict:
    rule, keys, title = "rod_prediction", [["side", side]], "Earth electrode, " + side + " end: against soil and rods"
    high, low = limits.row(FILE, "rod_prediction_high"), limits.row(FILE, "rod_prediction_low")
    found = electrode_ohm(read["reading"]) if read else {"why": "needs the electrode's own reading"}
    if "why" in found:
        notes = ["Predicted: " + text(made["ohm"], 1) + " \u03a9."] + made["notes"]
        source, form = base.source_of(FILE, high), {"quantity": "electrode_resistance", "side": side}
        check = base.not_measured(
            rule, keys, GROUP, title, form, source=source, notes=notes, required=False, missing=found["why"]
        )
        check["working"], check["readings"] = made["working"], [soil["id"]]
        return check
    row = low if found["ohm"] < made["ohm"] else high
    notes = list(made["notes"])
    if found["ohm"] > float(high["value"]) * made["ohm"]:
        notes.append("More than twice as predicted: a loose clamp, a broken rod, or other soil. Look before accepting it.")
    if found["ohm"] < float(low["value"]) * made["ohm"]:
        notes.append("Less than half as predicted: other metal in the soil, or an electrode that was not isolated for the test.")
    limit = float(row["value"]) * made["ohm"]
    working = made["working"] + [row["value"] + " * " + text(made["ohm"], 2) + " = " + text(limit, 2) + " ohm"]
    more = {"working": working, "readings": [read["reading"], soil], "notes": notes, "required": False}
    return base.judge(rule, keys, GROUP, title, found["ohm"], limit, "ohm", 1, row["sense"], base.source_of(FILE, row), **more)


RULES = [clamp_loop, rod_prediction]
