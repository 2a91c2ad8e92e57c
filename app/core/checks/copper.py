"""Rules for pairs of copper that continuity and time settle: wire map, length by the instrument, delay and skew."""

from .. import limits, pairs
from ..copper_limits import limit_at
from ..kinds import COPPER, METAL_MEDIA
from ..numbers import short_text, text, to_steps
from . import base, copper_material, copper_ohms, copper_sweep, judging

GROUP = "copper"
_INSTRUMENT_FILE = "tia-1152-a"


def wire_map(link: dict, site: dict) -> list:
    """Every pin on its own pin at the far end, and no split pair."""
    if link["medium"] not in METAL_MEDIA:
        return []
    source = base.source_of(_INSTRUMENT_FILE, limits.row(_INSTRUMENT_FILE, "wire_map"))
    title, wanted = "Wire map", "1 to 1, 2 to 2, and so on to 8; no split pair"
    reading = base.newest(link, "wire_map")
    if reading is None:
        return [
            base.not_measured(
                "wire_map", [], GROUP, title, form={"quantity": "wire_map"}, limit_text=wanted, sense="is", source=source
            )
        ]
    body = reading["body"]
    faults = pairs.map_faults(body["map"])
    notes = []
    if body.get("split") == "yes":
        faults.append("split pair")
    elif body.get("split") != "no":
        notes.append("Continuity does not see a split pair: only NEXT or an impedance test does.")
    found = "; ".join(faults) if faults else "all eight pins right"
    working = ["near 1 to 8 arrive at far " + " ".join([pin or "open" for pin in pairs.read_map(body["map"])])]
    return [base.statement("wire_map", [], GROUP, title, not faults, found, wanted, source, working, [reading], notes)]


def instrument_length(link: dict, site: dict) -> list:
    """Length by the instrument: the shortest pair, failing only above the nominal length and a tenth."""
    if link["medium"] != COPPER:
        return []
    row = limits.row(_INSTRUMENT_FILE, "instrument_length:" + judging.setup_of(link))
    title, rule = "Length by the instrument, shortest pair", "instrument_length"
    rows = base.latest(link, "instrument_length", ["pair"])
    if not rows:
        return [judging.waiting(rule, [], GROUP, title, _INSTRUMENT_FILE, row, form={"quantity": rule, "pair": "1-2"})]
    shortest = rows[0]
    for other in rows[1:]:
        if base.reading_number(other["reading"], "m") < base.reading_number(shortest["reading"], "m"):
            shortest = other
    measured = base.reading_number(shortest["reading"], "m")
    more = judging.of_reading(shortest["reading"], "m", shortest["others"])
    more["readings"] = [shortest["reading"]] + [other["reading"] for other in rows if other is not shortest]
    more["notes"] += judging.setup_notes(link)
    if to_steps(measured, 1) > to_steps(float(row["nominal"]), 1):
        more["notes"].append(
            "Above " + row["nominal"] + " m by the velocity factor: check the sheath marks. It is no leave to build longer."
        )
    more["working"] = [
        "limit = " + row["nominal"] + " m + 10 % = " + row["value"] + " m, for the uncertainty of the velocity factor"
    ]
    return [judging.by_row(rule, [], GROUP, title, measured, _INSTRUMENT_FILE, row, **more)]


def delay(link: dict, site: dict) -> list:
    """Propagation delay of each pair read."""
    found = _transmission_row(link, "delay")
    if link["medium"] != COPPER or found is None:
        return []
    file_id, row = found
    limit = limit_at(row, 10.0)
    rows = base.latest(link, "propagation_delay", ["pair"])
    if not rows:
        form = {"quantity": "propagation_delay", "pair": "1-2"}
        return [
            base.not_measured(
                "delay",
                [],
                GROUP,
                "Propagation delay",
                form,
                text(limit, 0),
                row["unit"],
                row["sense"],
                base.source_of(file_id, row),
            )
        ]
    checks = []
    for held in rows:
        pair = held["keys"]["pair"]
        more = judging.of_reading(held["reading"], "ns", held["others"])
        more["notes"] += judging.setup_notes(link)
        more["working"] = ["limit at 10 MHz for " + judging.setup_of(link).replace("_", " ") + " = " + text(limit, 1) + " ns"]
        measured = base.reading_number(held["reading"], "ns")
        title = "Propagation delay" + (", pair " + pair if pair else "")
        checks.append(judging.by_row("delay", _pair_keys(pair), GROUP, title, measured, file_id, row, limit=limit, **more))
    return checks


def _pair_keys(pair: str) -> list:
    return [["pair", pair]] if pair else []


def skew(link: dict, site: dict) -> list:
    """Delay skew as read, or from the delays of all four pairs."""
    found = _transmission_row(link, "skew")
    if link["medium"] != COPPER or found is None:
        return []
    file_id, row = found
    reading = base.newest(link, "delay_skew")
    if reading is not None:
        more = judging.of_reading(reading, "ns")
        return [judging.by_row("skew", [], GROUP, "Delay skew", base.reading_number(reading, "ns"), file_id, row, **more)]
    delays = [held for held in base.latest(link, "propagation_delay", ["pair"]) if held["keys"]["pair"]]
    if len(delays) < 4:
        return [judging.waiting("skew", [], GROUP, "Delay skew", file_id, row, form={"quantity": "delay_skew"})]
    values = [base.reading_number(held["reading"], "ns") for held in delays]
    working = ["skew = " + short_text(max(values)) + " - " + short_text(min(values)) + " ns, from the delays of the four pairs"]
    readings = [held["reading"] for held in delays]
    furthest = [readings[values.index(max(values))], readings[values.index(min(values))]]
    more = {"working": working, "readings": readings, "uncertainty": base.combined_uncertainty(furthest, "ns")}
    return [judging.by_row("skew", [], GROUP, "Delay skew", max(values) - min(values), file_id, row, **more)]


def _transmission_row(link: dict, quantity: str) -> list | None:
    category = base.field(link, "category")
    if not category:
        return None
    file_id = judging.copper_file(link)
    return [file_id, limits.row(file_id, quantity + ":" + category + ":" + judging.setup_of(link))]


def category_set(link: dict, site: dict) -> list:
    """Without a category nothing of a copper link can be judged against frequency: say so in one row."""
    if link["medium"] != COPPER or base.field(link, "category"):
        return []
    missing = "set the category of the link"
    return [base.not_measured("category", [], GROUP, "Delay, skew, insertion loss, NEXT, return loss", missing=missing)]


RULES = [category_set, wire_map, instrument_length, delay, skew] + copper_ohms.RULES + copper_material.RULES + copper_sweep.RULES
