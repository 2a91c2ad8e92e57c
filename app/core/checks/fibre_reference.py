"""The reference that losses are measured against: its cords, the steadiness of its source, its place in time."""

from .. import limits, moments
from ..fibre import DEFAULT_SET
from ..numbers import text, to_steps
from ..units import typed
from . import base, fibre_loss, judging

GROUP = "fibre"
FILE = "fibre-practice"


def reference_cord(link: dict, book: dict) -> list:
    """Loss of a second reference cord put in after the reference: at most what the limit set allows, and never a gain."""
    kind = fibre_loss.mode(link)
    rows = base.latest(link, "reference_cord_loss", ["wavelength"])
    if kind is None or not (rows or fibre_loss.loss_rows(link)):
        return []
    if not rows:
        missing = "no check of the reference cords is recorded"
        form = {"quantity": "reference_cord_loss", "wavelength": fibre_loss.REQUIRED[kind][0]}
        return [base.not_measured("reference_cord", [], GROUP, _CORDS, form, required=False, missing=missing)]
    return [_cord(row, _cord_limit(link, kind)) for row in rows]


_CORDS = "Reference cords, mated to each other"


def _cord_limit(link: dict, kind: str) -> dict:
    chosen = fibre_loss.limit_set(link) or DEFAULT_SET
    return limits.row(FILE, "reference_cord:" + chosen + ":" + kind)


def _cord(row: dict, limit: dict) -> dict:
    wavelength, loss_db = row["keys"]["wavelength"], base.reading_number(row["reading"], "dB")
    keys, title = [["wavelength", wavelength]], _CORDS + ", " + wavelength + " nm"
    form = {"quantity": "reference_cord_loss", "wavelength": wavelength}
    if to_steps(loss_db, 2) < 0:
        source = base.practice_source("no gain in a passive cord")
        check = base.judge("reference_cord", keys, GROUP, title, loss_db, 0.0, "dB", 2, "min", source, form=form)
        check["notes"] = ["The reference is bad: clean the cords, take it again, and measure again what was measured with it."]
        check["readings"] = [row["reading"]["id"]]
        return check
    check = judging.by_row(
        "reference_cord",
        keys,
        GROUP,
        title,
        loss_db,
        FILE,
        limit,
        form=form,
        **judging.of_reading(row["reading"], "dB", row["others"]),
    )
    if check["verdict"] in base.FAILING:
        check["notes"].append(
            "Clean or replace the cords, take the reference again, and measure again what was measured with them."
        )
    return check


def reference_drift(link: dict, book: dict) -> list:
    """The reference measured again at the end: how far the source has moved since."""
    return [_drift(link, row) for row in base.latest(link, "reference_again", ["wavelength"])]


def _drift(link: dict, row: dict) -> dict:
    reading, wavelength = row["reading"], row["keys"]["wavelength"]
    keys, title = [["wavelength", wavelength]], "Source steady since its reference, " + wavelength + " nm"
    before = _reference_before(link, reading, wavelength)
    if before is None:
        missing = "needs the reference value, with this reading or with a loss at this wavelength"
        check = base.not_measured("reference_drift", keys, GROUP, title, missing=missing)
        check["readings"] = [reading["id"]]
        return check
    now_dbm, then_dbm = base.reading_number(reading, "dBm"), typed(before["body"]["reference_value"], "dBm", "reference_value")
    line = "change = |" + text(now_dbm, 2) + " - (" + text(then_dbm, 2) + ")| = " + text(abs(now_dbm - then_dbm), 2) + " dB"
    readings = [reading] + ([] if before is reading else [before])
    check = judging.by_row(
        "reference_drift",
        keys,
        GROUP,
        title,
        abs(now_dbm - then_dbm),
        FILE,
        limits.row(FILE, "drift"),
        working=[line],
        readings=readings,
        uncertainty=base.reading_uncertainty(reading, "dBm"),
    )
    if check["verdict"] in base.FAILING:
        check["notes"] = [
            "The losses measured since the reference are off by up to this much: take it again and measure them again."
        ]
    return check


def _reference_before(link: dict, reading: dict, wavelength: str) -> dict | None:
    """The reading that says what the reference was: this one, else the newest loss at the wavelength that was taken before it."""
    if reading["body"].get("reference_value"):
        return reading
    found = None
    for row in fibre_loss.loss_rows(link):
        held = row["reading"]
        if row["keys"]["wavelength"] != wavelength or not held["body"].get("reference_value"):
            continue
        if base.when(held) <= base.when(reading) and (found is None or base.when(held) > base.when(found)):
            found = held
    return found


def _ages(link: dict) -> list:
    """How old its reference was, in milliseconds, when each loss was read: (age or None where it is not said, reading)."""
    return base.each(link, "reference_age", "optical_loss", fibre_loss.LOSS_KEYS, _age_of)


def _age_of(row: dict) -> tuple:
    reading, set_at = row["reading"], row["reading"]["body"].get("reference_at")
    return moments.milliseconds(reading["at"]) - moments.milliseconds(set_at) if set_at else None, reading


def reference_times(link: dict, book: dict) -> list:
    """A reading cannot be older than the reference that it is measured against."""
    ages = _ages(link)
    dated = [reading for age_ms, reading in ages if age_ms is not None]
    if not ages:
        return []
    if not dated:
        return [
            base.not_measured(
                "reference_times", [], GROUP, _REFERENCES, required=False, missing="no reading says when its reference was taken"
            )
        ]
    late = [reading for age_ms, reading in ages if age_ms is not None and age_ms < 0]
    if late:
        shown = ", ".join(
            [
                moments.shown(reading["body"]["reference_at"]) + " for a reading at " + moments.shown(reading["at"])
                for reading in late[:3]
            ]
        )
        words = str(len(late)) + " after the reading: " + shown
    else:
        words = (
            "the stated reference comes first" if len(dated) == 1 else "all " + str(len(dated)) + " stated references come first"
        )
    wanted = "each reference before its reading"
    return [
        base.statement(
            "reference_times",
            [],
            GROUP,
            _REFERENCES,
            not late,
            words,
            wanted,
            base.practice_source("reference first, reading after"),
            [],
            late or dated,
        )
    ]


_REFERENCES = "References taken before the readings"


def reference_age(link: dict, book: dict) -> list:
    """How long after its reference the latest reading was taken: sources drift, so a reference is taken anew every few hours."""
    oldest = None
    for age in _ages(link):
        if age[0] is not None and age[0] >= 0 and (oldest is None or age[0] > oldest[0]):
            oldest = age
    return [] if oldest is None else [_age(oldest[0] / 3600000.0, oldest[1])]


def _age(hours: float, reading: dict) -> dict:
    line = moments.shown(reading["body"]["reference_at"]) + " to " + moments.shown(reading["at"]) + " = " + text(hours, 1) + " h"
    limit = limits.row(FILE, "reference_hours")
    check = judging.by_row(
        "reference_age", [], GROUP, "Longest time from a reference to its reading", hours, FILE, limit, working=[line],
        readings=[reading], required=False,
    )  # fmt: skip
    if check["verdict"] == base.FAIL:
        check["notes"] = [
            "A reading counts as taken when it was saved here. Otherwise take the reference again and measure again."
        ]
    return check


RULES = base.apart_by(fibre_loss.of_strand, [reference_cord]) + [reference_drift, reference_times, reference_age]
