"""Sweeps of the category 6 link: smooth curves with a ripple, as a certifier shows them, the same at every run."""

from __future__ import annotations

import math

from seed_data.people import CERTIFIER
from seed_data.writer import Writer, quantity

_POINTS = 56
# Loss of each pair as a share of 100 m of category 6 cable; level at 100 MHz and phase of the ripple for what is read between pairs and of echoes.
_LOSS_SHARE = {"1-2": 0.772, "3-6": 0.781, "4-5": 0.797, "7-8": 0.776}
_NEXT = {
    ("1-2", "3-6"): (49.3, 0.4),
    ("1-2", "4-5"): (50.6, 1.9),
    ("1-2", "7-8"): (54.1, 2.8),
    ("3-6", "4-5"): (46.6, 0.9),
    ("3-6", "7-8"): (50.2, 3.7),
    ("4-5", "7-8"): (49.8, 5.1),
}
_ACCURACY_DB = {"insertion_loss": "0.4", "next": "1.6", "return_loss": "1.3"}  # as the certifier's sheet states it, invented
_ECHO = {"1-2": (19.4, 0.2), "3-6": (17.6, 1.1), "4-5": (18.8, 2.3), "7-8": (18.1, 3.3)}


def write(writer: Writer, link: str) -> None:
    """Insertion loss of four pairs, NEXT of six combinations and return loss of four pairs, from the near end."""
    for pair, share in _LOSS_SHARE.items():
        _trace(writer, link, [(f, share * _cable_db(f)) for f in _frequencies()], parameter="insertion_loss", pair=pair)
    for (pair, pair2), (level, phase) in _NEXT.items():
        points = [(f, min(78.0, level - 15 * math.log10(f / 100) + _ripple(f, phase))) for f in _frequencies()]
        _trace(writer, link, points, parameter="next", pair=pair, pair2=pair2, side="near")
    for pair, (level, phase) in _ECHO.items():
        points = [(f, min(38.0, level - 10 * math.log10(f / 100) + _ripple(f, phase))) for f in _frequencies()]
        _trace(writer, link, points, parameter="return_loss", pair=pair, side="near")


def _frequencies() -> list[float]:
    """From 1 to 250 MHz in equal ratios."""
    return [round(250 ** (step / (_POINTS - 1)), 2) for step in range(_POINTS)]


def _cable_db(megahertz: float) -> float:
    return 1.82 * math.sqrt(megahertz) + 0.0169 * megahertz + 0.25 / math.sqrt(megahertz)


def _ripple(megahertz: float, phase: float) -> float:
    """Never below zero, so that the level is the worst that is met."""
    return 3.2 * abs(math.sin(megahertz / 7.3 + phase)) + 1.4 * abs(math.sin(megahertz / 2.1 + 2 * phase))


def _trace(writer: Writer, link: str, points: list[tuple[float, float]], **marks: str) -> None:
    rows = [[f"{megahertz:g}", f"{decibels:.1f}"] for megahertz, decibels in points]
    table = {"units": ["MHz", "dB"], "rows": rows}
    more = {"uncertainty": quantity(_ACCURACY_DB[marks["parameter"]], "dB"), "accuracy_level": "III"}
    writer.reading(link, "sweep", **marks, table=table, **more, instrument=CERTIFIER)
