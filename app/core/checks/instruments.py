"""Instruments: in calibration on the day of each reading."""

from .. import limits, moments
from ..errors import Refused
from ..numbers import trimmed
from ..quantities import QUANTITIES
from . import base

GROUP = "instruments"
_OWN_WORD = [about["name"] for about in QUANTITIES if about.get("trend")]  # equipment speaks of itself, no instrument measures


def calibration(link: dict, book: dict) -> list:
    """One row for each instrument used in readings that count, by name and serial."""
    groups, nameless = {}, []
    marks = base.on_trial(link)
    if marks not in (None, _NAMELESS):
        readings = base.draft_and_alike(link, "calibration", lambda alike: _one_a_day(_measured(alike)))
        return [_instrument(marks, _measured(readings))] if _measured(readings) else []
    for reading in _measured(base.counting_readings(link)):
        marks = _marks(reading["body"])
        if marks != _NAMELESS:
            groups.setdefault(marks, []).append(reading)
        elif reading["body"].get("value") or reading["body"].get("table"):
            nameless.append(reading)
    rows = [_instrument(marks, groups[marks]) for marks in sorted(groups)]
    return rows + _nameless(nameless)


_NAMELESS = ("", "")


def _measured(readings: list) -> list:
    return [reading for reading in readings if reading["body"]["quantity"] not in _OWN_WORD]


def _marks(body: dict) -> tuple:
    """Name and serial of a reading's instrument."""
    instrument = body.get("instrument")
    if not instrument:
        return _NAMELESS
    return trimmed(instrument.get("name") or ""), trimmed(instrument.get("serial") or "")


def _nameless(readings: list) -> list:
    if not readings:
        return []
    missing = str(len(readings)) + (" reading names" if len(readings) == 1 else " readings name") + " no instrument"
    row = base.not_measured("calibration", [["instrument", "none"]], GROUP, "Instrument named", required=False, missing=missing)
    row["readings"] = [reading["id"] for reading in readings]
    return [row]


def _instrument(marks: tuple, readings: list) -> dict:
    name, serial = marks
    keys = [["instrument", name], ["serial", serial]]
    title = "In calibration: " + (name + " " + serial).strip(" ")
    findings = [_finding(reading) for reading in _one_a_day(readings)]
    worst = findings[0]
    for finding in findings:
        worst = finding if _worst_first(finding) < _worst_first(worst) else worst
    ids = readings
    if worst["left"] is None:
        row = base.not_measured("calibration", keys, GROUP, title, source=_source(), missing=worst["words"])
        row["readings"] = [reading["id"] for reading in ids]
        return row
    days = str(abs(worst["left"])) + (" day" if abs(worst["left"]) == 1 else " days")
    words = worst["words"] + ", " + (days + " left" if worst["left"] >= 0 else days + " overdue")
    ok = worst["left"] >= 0 and not worst["early"]
    if worst["early"]:
        words = worst["words"] + ": calibrated only after it was used"
    return base.statement(
        "calibration",
        keys,
        GROUP,
        title,
        ok,
        words,
        "in calibration on the day of each reading",
        base.typed_source(_DUE) if worst["typed"] else _source(),
        worst["working"],
        ids,
    )


_DUE = "Due date of the instrument's calibration"


def _source() -> dict:
    return limits.source("lengths", limits.row("lengths", "calibration:months"))


def _one_a_day(readings: list) -> list:
    """Of readings with the same day and dates the one with the lowest id: the others say the same, and there are hundreds of them."""
    kept = {}
    for reading in readings:
        instrument = reading["body"]["instrument"]
        said = (reading["at"][:10], instrument.get("calibrated"), instrument.get("due"))
        if said not in kept or reading["id"] < kept[said]["id"]:
            kept[said] = reading
    return list(kept.values())


def _worst_first(finding: dict) -> tuple:
    """Overdue or early first, then what has no date, then the fewest days left; the reading's id settles the rest."""
    if finding["left"] is None:
        return (1, 0, finding["id"])
    bad = finding["left"] < 0 or finding["early"]
    return (0 if bad else 2, finding["left"], finding["id"])


def _finding(reading: dict) -> dict:
    """A reading's day by its instrument's dates: {"left" days or None, "early", "typed" (the due date), "words", "working", "id"}."""
    instrument = reading["body"]["instrument"]
    day = moments.day_number(reading["at"])
    unknown = {"left": None, "early": False, "typed": False, "words": "no calibration date", "working": [], "id": reading["id"]}
    try:
        calibrated = moments.day_number(instrument["calibrated"]) if instrument.get("calibrated") else None
        due = moments.day_number(instrument["due"]) if instrument.get("due") else None
    except Refused as refusal:
        unknown["words"] = "the calibration date '" + refusal.given + "' is no date"
        return unknown
    if calibrated is None and due is None:
        return unknown
    working = [] if calibrated is None else ["calibrated " + moments.date_text(calibrated)]
    if due is None:
        due = _year_later(instrument["calibrated"])
        working.append("due 12 months later, common practice: " + moments.date_text(due))
    else:
        working.append("due " + moments.date_text(due) + ", as typed")
    working.append("used " + moments.date_text(day))
    words = "used " + moments.date_text(day) + ", due " + moments.date_text(due)
    return {
        "left": due - day,
        "early": calibrated is not None and calibrated > day,
        "typed": bool(instrument.get("due")),
        "words": words,
        "working": working,
        "id": reading["id"],
    }


def _year_later(date: str) -> int:
    """The same day 12 months later (29 February: the 28th), in days since 1970."""
    month_day = "-02-28" if date[4:10] == "-02-29" else date[4:10]
    return moments.day_number(str(int(date[:4]) + 1) + month_day)


RULES = base.apart_by(_marks, [calibration])
