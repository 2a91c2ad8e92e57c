"""A swept result drawn: value and limit over frequency, told apart by how their lines are made, the worst margin marked in words."""

import math

from . import draw
from .checks import sweep_rows
from .numbers import short_text

WIDTH, HEIGHT = 100.0, 82.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 10.0, 97.0, 20.0, 72.0
_SIZE = 3.5  # 13 px on a phone 390 px wide
_MOST_DRAWN = 180
_LIMIT_DASH, _INFORMATION_DASH = "2.4 1.4", "0.1 1.1"
_TICKS = (0.001, 0.01, 0.1, 1.0, 10.0, 100.0, 1000.0)


def sweep(link: dict, check: dict) -> str:
    """The trace of a swept check. Result: SVG, 100 mm wide, so that it can be read on a phone and in print."""
    held = sweep_rows.drawn(link, check)
    if held is None or not held["frequencies"]:
        words = draw.text(WIDTH / 2, HEIGHT / 2, "No point of this trace has a limit.", _SIZE, "middle", draw.QUIET)
        return draw.picture(WIDTH, HEIGHT, check["title"], [words])
    axes = _axes(held)
    places = _thinned(held)
    pieces = [_beyond(held, axes, places)] + _grid(axes)
    pieces += _value_lines(held, axes, places)
    pieces.append(draw.path(_points(held, "limits", axes, places), draw.BAD, 0.6, dash=_LIMIT_DASH))
    pieces += _worst(held, axes) + _legend(held, check)
    return draw.picture(WIDTH, HEIGHT, check["title"] + ": value and limit over frequency", pieces)


def alternative(check: dict) -> str:
    """The picture in words."""
    return check["title"] + ", drawn with its limit over frequency. " + check["sentence"]


# ---- axes


def _axes(held: dict) -> dict:
    low, high = held["frequencies"][0], held["frequencies"][-1]
    if high <= low * 1.01:
        low, high = low / 2.0, high * 2.0
    step, bottom, top = _decibels(min(held["values"] + held["limits"]), max(held["values"] + held["limits"]))
    return {"low": math.log10(low), "high": math.log10(high), "step": step, "bottom": bottom, "top": top}


def _decibels(least: float, most: float) -> tuple:
    """Step and ends of the upright axis, in whole dB, so that at most eight lines are drawn."""
    for step in (1, 2, 5, 10, 20, 50):
        bottom, top = step * math.floor(least / step), step * math.ceil(most / step)
        if (top - bottom) / step <= 7:
            break
    return step, bottom, max(top, bottom + step)


def _x(axes: dict, frequency: float) -> float:
    share = (math.log10(frequency) - axes["low"]) / (axes["high"] - axes["low"])
    return _LEFT + (_RIGHT - _LEFT) * share


def _y(axes: dict, decibels: float) -> float:
    return _BOTTOM - (_BOTTOM - _TOP) * (decibels - axes["bottom"]) / (axes["top"] - axes["bottom"])


def _grid(axes: dict) -> list:
    pieces = []
    level = axes["bottom"]
    while level <= axes["top"]:
        y = _y(axes, level)
        pieces.append(draw.line(_LEFT, y, _RIGHT, y, draw.LINE, 0.15))
        pieces.append(draw.text(_LEFT - 1.2, y + 1.2, str(int(level)), _SIZE, "end", draw.QUIET))
        level += axes["step"]
    last = -10.0
    for tick in [decade * factor for decade in _TICKS for factor in (1, 2, 5)]:
        if axes["low"] - 1e-9 <= math.log10(tick) <= axes["high"] + 1e-9:
            x = _x(axes, tick)
            pieces.append(draw.line(x, _TOP, x, _BOTTOM, draw.LINE, 0.15))
            if x - last > 7.5:
                pieces.append(draw.text(x, _BOTTOM + 4.2, short_text(tick), _SIZE, "middle", draw.QUIET))
                last = x
    pieces.append(draw.path([[_LEFT, _TOP], [_LEFT, _BOTTOM], [_RIGHT, _BOTTOM]], draw.INK, 0.3))
    pieces.append(draw.text(_RIGHT, _BOTTOM + 8.4, "Frequency, MHz", _SIZE, "end", draw.QUIET))
    pieces.append(draw.text(_LEFT - 1.2, _TOP - 2.8, "dB", _SIZE, "end", draw.QUIET))
    return pieces


# ---- lines


def _thinned(held: dict) -> list:
    """Places that are drawn: all, or of each of many stretches the point with the least margin."""
    count = len(held["frequencies"])
    if count <= _MOST_DRAWN:
        return list(range(count))
    sign = 1.0 if held["sense"] == "max" else -1.0
    found = []
    for stretch in range(_MOST_DRAWN):
        own = range(stretch * count // _MOST_DRAWN, (stretch + 1) * count // _MOST_DRAWN)
        least = own[0]
        for place in own:
            if sign * (held["limits"][place] - held["values"][place]) < sign * (held["limits"][least] - held["values"][least]):
                least = place
        found.append(least)
    return sorted(set(found + [0, count - 1] + ([held["worst"]] if held["worst"] is not None else [])))


def _points(held: dict, name: str, axes: dict, places: list) -> list:
    return [[_x(axes, held["frequencies"][place]), _y(axes, held[name][place])] for place in places]


def _beyond(held: dict, axes: dict, places: list) -> str:
    """What lies beyond the limit is shaded."""
    edge = _TOP if held["sense"] == "max" else _BOTTOM
    along = _points(held, "limits", axes, places)
    return draw.path([[along[0][0], edge]] + along + [[along[-1][0], edge]], draw.PALE, 0.1, draw.PALE, True)


def _value_lines(held: dict, axes: dict, places: list) -> list:
    """Runs of points that count, and dotted ones of points for information only."""
    pieces, run = [], []
    for place in places:
        if run and held["flags"][place] != held["flags"][run[-1]]:
            pieces += _run(held, axes, run + [place], held["flags"][run[-1]])
            run = []
        run.append(place)
    return pieces + _run(held, axes, run, held["flags"][run[-1]])


def _run(held: dict, axes: dict, run: list, informative: bool) -> list:
    along = _points(held, "values", axes, run)
    if len(along) == 1:
        return [draw.circle(along[0][0], along[0][1], 0.6, draw.INK, None)]
    return [draw.path(along, draw.INK, 0.7 if informative else 0.5, dash=_INFORMATION_DASH if informative else None)]


def _worst(held: dict, axes: dict) -> list:
    """Where the margin is least: a line from the value to its limit and a dot, named above the drawing."""
    if held["worst"] is None:
        return []
    place = held["worst"]
    x, y, limit = _x(axes, held["frequencies"][place]), _y(axes, held["values"][place]), _y(axes, held["limits"][place])
    return [draw.line(x, y, x, limit, draw.INK, 0.4), _dot(x, y)]


def _dot(x: float, y: float) -> str:
    return draw.circle(x, y, 1.3, draw.ACCENT, draw.INK, 0.4)


def _legend(held: dict, check: dict) -> list:
    pieces = [draw.text(1.0, 4.0, draw.shorten(check["title"], 3.7, WIDTH - 2), 3.7, "start", draw.INK, "600")]
    x, y = _LEFT + 1.0, 10.0
    shown = [["Measured", draw.INK, None, 0.5], ["Limit", draw.BAD, _LIMIT_DASH, 0.6]]
    if any(held["flags"]):
        shown.append(["For information", draw.INK, _INFORMATION_DASH, 0.7])
    for words, stroke, dash, thickness in shown:
        pieces.append(draw.line(x, y - 1.1, x + 8.0, y - 1.1, stroke, thickness, dash))
        pieces.append(draw.text(x + 9.2, y, words, _SIZE))
        x += 12.5 + draw.width_of(words, _SIZE)
    if held["worst"] is not None and check["margin"]:
        at = short_text(held["frequencies"][held["worst"]], 6)
        words = "Worst margin " + check["margin"]["text"] + " dB at " + at + " MHz"
        pieces += [_dot(_LEFT + 5.0, y + 4.0), draw.text(_LEFT + 10.2, y + 5.2, words, _SIZE, "start", draw.INK, "600")]
    return pieces
