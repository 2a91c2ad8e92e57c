"""Attenuation of sections between events, by OTDR, against what the cable may have."""

from .. import fibre, limits
from ..errors import Refused
from ..numbers import short_text, text
from ..quantities import quantity
from ..tables import column_numbers
from . import base, fibre_loss, judging
from .fibre_traces import BACK, FILE, THERE, strand_order, traces

GROUP = "fibre"
QUANTITY = "section_attenuation"


def sections(link: dict, book: dict) -> list:
    """A row for each section typed; both directions of one section are averaged. Under 200 m the slope is noise and is not judged."""
    held = {}
    for row in base.latest(link, QUANTITY, ["strand", "wavelength", "direction"]):
        marks = row["keys"]
        held.setdefault((marks["strand"], marks["wavelength"]), {})[marks["direction"]] = row["reading"]
    checks = []
    for marks in sorted(held, key=strand_order):
        checks.extend(_of_strand(link, marks, held[marks]))
    return checks


def _of_strand(link: dict, marks: tuple, ways: dict) -> list:
    length_m = _length(link, marks)
    ahead = _typed(ways.get(THERE), None) if THERE in ways else []
    behind = _typed(ways[BACK], length_m) if BACK in ways else []
    rows, used = [], {}
    for section in ahead:
        other = [place for place in range(len(behind)) if place not in used and _same(section, behind[place], length_m)]
        if other:
            used[other[0]] = True
        rows.append(_row(link, marks, section, behind[other[0]] if other else None, length_m))
    left = [behind[place] for place in range(len(behind)) if place not in used]
    return rows + [_row(link, marks, section, None, length_m) for section in left]


def _length(link: dict, marks: tuple) -> float | None:
    for trace in traces(link):
        if (trace["strand"], trace["wavelength"]) == marks:
            return trace["length_m"]
    return None


def _typed(reading: dict, length_m: float | None) -> list:
    """Sections of a reading: {"from", "to" (from the near end where the length is known), "db_km", "reading", "way"}, in m and dB/km."""
    about, table = quantity(QUANTITY), reading["body"]["table"]
    first, last, slope = [column_numbers(about, table, name) for name in ("from", "to", "attenuation")]
    found = []
    for place in range(len(first)):
        begins, ends = min(first[place], last[place]), max(first[place], last[place])
        if length_m is not None:
            begins, ends = length_m - ends, length_m - begins
        found.append({"from": begins, "to": ends, "db_km": slope[place], "reading": reading, "way": reading["body"]["direction"]})
    return found


def _same(one: dict, other: dict, length_m: float | None) -> bool:
    """One section seen from both ends: its two ends lie within a tenth of it."""
    most_m = max(2.0, (one["to"] - one["from"]) / 10.0)
    return length_m is not None and abs(one["from"] - other["from"]) <= most_m and abs(one["to"] - other["to"]) <= most_m


def _row(link: dict, marks: tuple, section: dict, other: dict | None, length_m: float | None) -> dict:
    where = text(section["from"], 0) + " to " + text(section["to"], 0) + " m"
    if section["way"] == BACK and length_m is None:
        where += " from the far end"
    keys = [["strand", marks[0]], ["wavelength", marks[1]], ["at", where.replace(" ", "_")]]
    title = "Attenuation from " + where + ", strand " + marks[0] + ", " + marks[1] + " nm"
    both = [section] + ([other] if other else [])
    least = limits.row(FILE, "section_least")
    if section["to"] - section["from"] < float(least["value"]):
        missing = (
            "shorter than " + least["value"] + " m, where the slope is noise; shown " + short_text(section["db_km"]) + " dB/km"
        )
        return _unjudged(keys, title, both, missing)
    return _judged(link, keys, title, both)


def _unjudged(keys: list, title: str, both: list, missing: str) -> dict:
    check = base.not_measured("section_attenuation", keys, GROUP, title, required=False, missing=missing)
    check["readings"] = [section["reading"]["id"] for section in both]
    return check


def _judged(link: dict, keys: list, title: str, both: list) -> dict:
    kind, chosen = base.field(link, "fibre"), fibre_loss.limit_set(link) or fibre.DEFAULT_SET
    if kind is None:
        return _unjudged(keys, title, both, "choose the fibre")
    try:
        row = fibre.attenuation_row(chosen, kind, keys[1][1])
    except Refused as refusal:
        return _unjudged(keys, title, both, "no limit for " + refusal.given + ", there is one for " + refusal.allowed)
    total = 0.0
    for section in both:
        total += section["db_km"] / len(both)
    lines = [fibre_loss.DIRECTION_WORDS[section["way"]] + ": " + short_text(section["db_km"]) + " dB/km" for section in both]
    notes = [] if len(both) == 2 else ["One direction only: for information until the other is typed."]
    return judging.by_row(
        "section_attenuation", keys, GROUP, title, total, chosen, row, working=lines, notes=notes,
        readings=[section["reading"] for section in both], required=len(both) == 2,
        form={"quantity": QUANTITY, "strand": keys[0][1], "wavelength": keys[1][1], "direction": both[0]["way"]},
    )  # fmt: skip


RULES = base.apart_by(fibre_loss.of_strand, [sections])
