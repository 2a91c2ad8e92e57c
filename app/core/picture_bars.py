"""Margin bars: where each measured value lies against its limit, with the band of its uncertainty."""

from . import draw
from .checks.base import MEMORY_LEGEND, VERDICT_WORDS, memory_mark

WIDTH = 180.0
MOST_ROWS = 15
_ROW = 7.2
_TOP = 8.0
_TRACK_LEFT, _TRACK_WIDTH = 74.0, 62.0


def bars(checks: list) -> str:
    """One row a check that has a bar: title, track with limit and measured value, verdict in words. Result: SVG, 180 mm wide."""
    rows = [check for check in checks if check["bar"] and check["limit"]]
    height = _TOP + _ROW * max(len(rows), 1) + 2
    pieces = _heads(bool([1 for check in rows if memory_mark(check)]))
    if not rows:
        pieces = [draw.text(WIDTH / 2, _TOP, "Nothing measured yet that has a limit.", 3.2, "middle", draw.QUIET)]
    y = _TOP
    for check in rows:
        pieces += _bar_row(check, y)
        y += _ROW
    return draw.picture(WIDTH, height, "Margins: measured values against their limits", pieces)


def _heads(marked: bool) -> list:
    """`marked`: a limit from memory is among them, so that the mark has to be told."""
    legend = [draw.text(0, 1.8, MEMORY_LEGEND, 2.2, "start", draw.QUIET)] if marked else []
    return legend + [
        draw.text(0, 4.4, "Check", 2.7, "start", draw.QUIET),
        draw.text(_TRACK_LEFT, 4.4, "Hatched: beyond the limit. Grey band: uncertainty.", 2.7, "start", draw.QUIET),
        draw.text(_TRACK_LEFT + _TRACK_WIDTH + 3, 4.4, "Margin, verdict", 2.7, "start", draw.QUIET),
    ]


def _bar_row(check: dict, y: float) -> list:
    bar, middle = check["bar"], y + _ROW / 2
    limit_x = _x(bar["limit"])
    pieces = [
        draw.line(0, y, WIDTH, y, draw.LINE, 0.15),
        draw.text(0, middle + 1, draw.shorten(check["title"], 2.9, _TRACK_LEFT - 4), 2.9),
        draw.rectangle(_TRACK_LEFT, middle - 1.7, _TRACK_WIDTH, 3.4, draw.PALE, None),
    ]
    pieces += _hatch(limit_x, middle, check["limit"]["sense"])
    if bar["band"]:
        low, high = _x(bar["band"][0]), _x(bar["band"][1])
        pieces.append(draw.rectangle(low, middle - 1.0, max(high - low, 0.2), 2.0, draw.LINE, draw.QUIET, 0.2))
    pieces.append(draw.line(limit_x, middle - 2.6, limit_x, middle + 2.6, draw.INK, 0.5))
    pieces.append(sign(check["verdict"], _x(bar["position"]), middle))
    pieces += _words(check, middle)
    return pieces


def _x(thousandths: int) -> float:
    return _TRACK_LEFT + _TRACK_WIDTH * max(0, min(1000, thousandths)) / 1000.0


def _hatch(limit_x: float, middle: float, sense: str) -> list:
    """Slanted lines over what is beyond the limit: right of it for a largest value, left of it for a least one."""
    low, high = (limit_x, _TRACK_LEFT + _TRACK_WIDTH) if sense == "max" else (_TRACK_LEFT, limit_x)
    count = int((high - low) / 1.6)
    # One path, up to 38 strokes: as elements of their own they were most of the drawing, and of the time of a record.
    return [draw.strokes(low + 0.4, middle + 1.5, "l1.2 -3m0.4 3" * count, draw.QUIET, 0.2)] if count > 0 else []


def sign(verdict: str, x: float, y: float) -> str:
    """A verdict's own shape: disc passes, disc with a bar passes within uncertainty, square with a bar fails within it, cross fails."""
    if verdict == "fail":
        arms = draw.line(x - 1.4, y - 1.4, x + 1.4, y + 1.4, draw.PAPER, 1.5) + draw.line(
            x - 1.4, y + 1.4, x + 1.4, y - 1.4, draw.PAPER, 1.5
        )
        return (
            arms
            + draw.line(x - 1.4, y - 1.4, x + 1.4, y + 1.4, draw.BAD, 0.8)
            + draw.line(x - 1.4, y + 1.4, x + 1.4, y - 1.4, draw.BAD, 0.8)
        )
    if verdict == "fail_within_uncertainty":
        return draw.rectangle(x - 1.4, y - 1.4, 2.8, 2.8, draw.PAPER, draw.BAD, 0.5) + draw.line(
            x - 1.4, y, x + 1.4, y, draw.BAD, 0.5
        )
    if verdict == "pass_within_uncertainty":
        return draw.circle(x, y, 1.5, draw.PAPER, draw.GOOD, 0.5) + draw.line(x - 1.5, y, x + 1.5, y, draw.GOOD, 0.5)
    return draw.circle(x, y, 1.5, draw.GOOD, draw.PAPER, 0.3)


def _words(check: dict, middle: float) -> list:
    margin = check["margin"]
    left = _TRACK_LEFT + _TRACK_WIDTH + 3
    fill = draw.GOOD if check["verdict"] in ("pass", "pass_within_uncertainty") else draw.BAD
    words = VERDICT_WORDS[check["verdict"]] + memory_mark(check)
    if margin is None:
        return [draw.text(left, middle + 1, words, 2.7, "start", fill, "600")]
    number = (margin["text"] + " " + margin["unit"]).strip(" ")
    return [
        draw.text(left, middle - 0.4, number, 2.9, "start", draw.INK, "600"),
        draw.text(left, middle + 2.5, words, 2.6, "start", fill),
    ]
