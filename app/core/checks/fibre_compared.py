"""Losses of one strand held against each other: wavelengths that were swapped, the sign of a bend, two directions that differ."""

import math

from .. import limits
from ..numbers import parse_decimal, short_text, text, to_steps
from . import base, fibre_loss
from .fibre_traces import strand_order

GROUP = "fibre"


def _by_place(link: dict) -> dict:
    """{(strand, direction): {wavelength: row}} of what was measured."""
    found = {}
    for row in fibre_loss.loss_rows(link):
        found.setdefault((row["keys"]["strand"], row["keys"]["direction"]), {})[row["keys"]["wavelength"]] = row
    return found


def bend_sign(link: dict, book: dict) -> list:
    """Single-mode: a loss at 1550 nm clearly over that at 1310 nm points to a tight bend or a pinched cord."""
    return [
        _bend_sign(place, held["1310"], held["1550"])
        for place, held in _sorted(_by_place(link))
        if "1310" in held and "1550" in held
    ]


def _sorted(found: dict) -> list:
    return [[place, found[place]] for place in sorted(found, key=strand_order)]


def _bend_sign(place: tuple, low: dict, high: dict) -> dict:
    low_db, high_db = base.reading_number(low["reading"], "dB"), base.reading_number(high["reading"], "dB")
    suspect, certain = limits.row("lengths", "bend:suspect"), limits.row("lengths", "bend:certain")
    more_db = high_db - low_db
    notes = []
    if to_steps(more_db, 2) > to_steps(float(suspect["value"]), 2):
        sure = to_steps(more_db, 2) > to_steps(float(certain["value"]), 2)
        notes = [
            "Near certain: a tight bend or pinched cord." if sure else "Suspected: a tight bend or pinched cord.",
            "Look at loops, ties, trays and entries.",
        ]
    return base.judge(
        "bend_sign",
        [["strand", place[0]], ["direction", place[1]]],
        GROUP,
        "Sign of a bend, strand " + place[0] + ", " + fibre_loss.DIRECTION_WORDS.get(place[1], place[1]),
        more_db,
        float(suspect["value"]),
        "dB",
        2,
        "max",
        limits.source("lengths", suspect),
        ["loss at 1550 nm - loss at 1310 nm = " + text(high_db, 2) + " - " + text(low_db, 2) + " = " + text(more_db, 2) + " dB"],
        [low["reading"], high["reading"]],
        uncertainty=base.combined_uncertainty([low["reading"], high["reading"]], "dB"),
        notes=notes,
    )


def wavelength_order(link: dict, book: dict) -> list:
    """Multimode: a loss at 850 nm below that at 1300 nm by more than the uncertainty is not possible; the wavelengths were swapped."""
    return [
        _order(place, held["850"], held["1300"]) for place, held in _sorted(_by_place(link)) if "850" in held and "1300" in held
    ]


def _usual(reading: dict) -> float:
    """Uncertainty of a loss on multimode where none is stated, dB: more where the launch was not controlled."""
    if reading["body"].get("launch") == "open":
        return float(limits.row("fibre-practice", "uncertainty:MM:open")["value"])
    return float(limits.row("lengths", "uncertainty:MM")["value"])


def _order(place: tuple, short: dict, long: dict) -> dict:
    short_db, long_db = base.reading_number(short["reading"], "dB"), base.reading_number(long["reading"], "dB")
    guards = [base.reading_uncertainty(row["reading"], "dB") or _usual(row["reading"]) for row in (short, long)]
    guard_db = math.sqrt(guards[0] * guards[0] + guards[1] * guards[1])
    working = [
        "loss at 850 nm - loss at 1300 nm = "
        + text(short_db, 2)
        + " - "
        + text(long_db, 2)
        + " = "
        + text(short_db - long_db, 2)
        + " dB",
        "least = 0 - uncertainty of the difference, sqrt("
        + short_text(guards[0])
        + "^2 + "
        + short_text(guards[1])
        + "^2) = -"
        + text(guard_db, 2)
        + " dB",
    ]
    check = base.judge(
        "wavelength_order",
        [["strand", place[0]], ["direction", place[1]]],
        GROUP,
        "850 nm not below 1300 nm, strand " + place[0] + ", " + fibre_loss.DIRECTION_WORDS.get(place[1], place[1]),
        short_db - long_db,
        -guard_db,
        "dB",
        2,
        "min",
        base.practice_source("more loss at 850 nm than at 1300 nm"),
        working,
        [short["reading"], long["reading"]],
    )
    if check["verdict"] == base.FAIL:
        check["notes"] = ["The two wavelengths were swapped, or one reference is bad."]
    return check


def two_directions(link: dict, book: dict) -> list:
    """Where both directions were measured, how far they differ: unlike fibres or a dirty end. A flag, not a limit of any standard."""
    kind, held, checks = fibre_loss.mode(link), {}, []
    for row in fibre_loss.loss_rows(link):
        held.setdefault((row["keys"]["strand"], row["keys"]["wavelength"]), {})[row["keys"]["direction"]] = row
    for place, both in _sorted(held):
        if kind and "near_to_far" in both and "far_to_near" in both:
            checks.append(_difference(kind, place, both["near_to_far"], both["far_to_near"]))
    return checks


def _difference(kind: str, place: tuple, there: dict, back: dict) -> dict:
    there_db, back_db = base.reading_number(there["reading"], "dB"), base.reading_number(back["reading"], "dB")
    row = limits.row("lengths", "directions:" + kind)
    working = [
        "average = (" + text(there_db, 2) + " + " + text(back_db, 2) + ") / 2 = " + text((there_db + back_db) / 2.0, 2) + " dB",
        "difference = " + text(abs(there_db - back_db), 2) + " dB",
    ]
    check = base.judge(
        "two_directions",
        [["strand", place[0]], ["wavelength", place[1]]],
        GROUP,
        "Two directions agree, strand " + place[0] + ", " + place[1] + " nm",
        abs(there_db - back_db),
        parse_decimal(row["value"]),
        "dB",
        2,
        "max",
        limits.source("lengths", row),
        working,
        [there["reading"], back["reading"]],
        uncertainty=base.combined_uncertainty([there["reading"], back["reading"]], "dB"),
        required=False,
    )
    if check["verdict"] in base.FAILING:
        check["notes"] = ["Unlike fibres were joined, or an end is dirty."]
    return check


RULES = base.apart_by(fibre_loss.of_strand, [bend_sign, wavelength_order, two_directions])
