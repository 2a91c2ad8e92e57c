"""Rules for the live line: the rate that both ends agree on, and frames lost."""

from .. import limits
from ..kinds import COPPER, DIRECTIONS, EXTENDED
from ..numbers import short_text
from ..traffic import frames_per_second
from ..units import typed
from . import base, judging, own

GROUP = "traffic"
FILE = "copper-practice"
_DIRECTION_WORDS = {pair[0]: pair[1].lower() for pair in DIRECTIONS}


def negotiated_rate(link: dict, site: dict) -> list:
    """The rate that both ends agree on against the rate that the link must run at."""
    title, rule = "Rate agreed by both ends", "negotiated_rate"
    wanted, reading = base.number(link, "rate", "Mbit/s"), base.newest(link, "negotiated_rate")
    needed = wanted is not None or link["medium"] == EXTENDED
    if reading is None and not needed:
        return []
    source = base.typed_source("Rate asked of the link")
    if reading is None or wanted is None:
        missing = [] if reading else ["the rate that both ends show"]
        missing += [] if wanted is not None else ["the rate that the link must run at"]
        form = None if reading else {"quantity": rule}
        shown = "" if wanted is None else short_text(wanted, 6)
        return [
            base.not_measured(
                rule, [], GROUP, title, form, shown, "Mbit/s", "min", source, required=needed, missing=judging.needs(missing)
            )
        ]
    measured = base.reading_number(reading, "Mbit/s")
    more = judging.of_reading(reading, "Mbit/s")
    more["notes"] += _rate_notes(link, measured, wanted)
    return [base.judge(rule, [], GROUP, title, measured, wanted, "Mbit/s", 0, "min", source, **more)]


def _rate_notes(link: dict, measured: float, wanted: float) -> list:
    notes = ["A link that comes up is not proof of its category."] if link["medium"] == COPPER else []
    if link["medium"] == COPPER and measured <= 100 and wanted >= 1000:
        notes.append("Two pairs carry 100 Mbit/s, four pairs more: see pairs 4-5 and 7-8.")
    return notes


def frame_loss(link: dict, site: dict) -> list:
    """No frame lost, in each direction tested, over the time of the test."""
    row = limits.row(FILE, "frame_loss")
    held = base.latest(link, "frame_loss", ["direction"])
    checks = [_loss_row(link, one, row) for one in held]
    if held or link["medium"] != EXTENDED:
        return checks
    source, form = base.source_of(FILE, row), {"quantity": "frame_loss"}
    if own.held_for("frame_loss"):
        return [judging.waiting("frame_loss", [], GROUP, "Frames lost", FILE, row, form=form)]
    return [base.not_measured("frame_loss", [], GROUP, "Frames lost", form, "none lost", "", "is", source)]


def _loss_row(link: dict, one: dict, row: dict) -> dict:
    direction = one["keys"]["direction"]
    keys = [["direction", direction]] if direction else []
    title = "Frames lost" + (", " + _DIRECTION_WORDS.get(direction, direction) if direction else "")
    lost = base.reading_number(one["reading"], "percent")
    more = {
        "working": ["frames lost = " + short_text(lost) + " %"],
        "notes": judging.of_reading(one["reading"], "percent", one["others"])["notes"],
    }
    _add_duration(link, one["reading"], more)
    if own.held_for("frame_loss"):
        return judging.by_row("frame_loss", keys, GROUP, title, lost, FILE, row, readings=[one["reading"]], **more)
    found = "none lost" if lost == 0 else short_text(lost) + " % lost"
    source = base.source_of(FILE, row)
    return base.statement(
        "frame_loss", keys, GROUP, title, lost == 0, found, "none lost", source, readings=[one["reading"]], **more
    )


def _add_duration(link: dict, reading: dict, more: dict) -> None:
    """How long the test ran, and how many full frames that is at most: what 'none lost' is worth."""
    least = limits.row(FILE, "frame_loss_duration")["value"]
    stated = reading["body"].get("duration")
    if not stated:
        more["notes"].append("How long the test ran is not recorded: run it for " + least + " s or more and note the time.")
        return
    seconds = typed(stated, "s", "duration")
    line = "tested for " + short_text(seconds, 6) + " s"
    rate = base.newest(link, "negotiated_rate")
    if rate is not None:
        rate_mbit_s = base.reading_number(rate, "Mbit/s")
        frames = int(frames_per_second(rate_mbit_s, 1518) * seconds)
        line += "; at " + short_text(rate_mbit_s, 6) + " Mbit/s at most " + str(frames) + " frames of 1518 bytes"
    more["working"].append(line)
    if seconds < float(least):
        more["notes"].append("The test ran less than " + least + " s: too short to show that none is lost.")


RULES = [negotiated_rate, frame_loss]
