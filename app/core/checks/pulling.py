"""Pulling tension: the most that was read while the cable was drawn in, against what the cable bears."""

from .. import limits
from ..kinds import FIBRE
from . import base, judging

GROUP = "route"
FILE = "pull"
_NOTE = "The cable's data sheet governs: type its figure as a limit of this link."


def pull_tension(link: dict, book: dict) -> list:
    """Peak tension against the default of the cable's kind; nothing is asked for where none was read."""
    reading = base.newest(link, "pull_tension")
    if reading is None:
        return []
    row = limits.row(FILE, "fibre" if link["medium"] == FIBRE else "pair")
    more = judging.of_reading(reading, "N")
    more["notes"].append(_NOTE)
    title, measured = "Pulling tension, peak", base.reading_number(reading, "N")
    return [judging.by_row("pull_tension", [], GROUP, title, measured, FILE, row, **more)]


RULES = [pull_tension]
