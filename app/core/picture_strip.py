"""The route unrolled: chainage to scale from left to right, depth of cover downwards, every station with its name."""

from . import draw, units
from .errors import Refused
from .kinds import STATION_TYPES
from .numbers import clean_decimal

WIDTH = 180.0
HEIGHT = 92.0
MOST_STATIONS = 36
_LEFT, _RIGHT = 12.0, 174.0
_GROUND = 52.0
_LABEL_GAP = 4.4
_DEEPEST = 22.0
_TYPE_WORDS = {word: label for word, label in STATION_TYPES}


def station_words(number: int, station: dict) -> str:
    """'3 Handhole H1': number along the route, what it is, its name; the type is left out where the name says it already."""
    name = _field(station, "name") or ""
    kind = _TYPE_WORDS.get(station["type"], "Station")
    if name and (station["type"] == "other" or kind.lower() in name.lower()):
        return str(number) + " " + name
    return str(number) + " " + kind + (" " + name if name else "")


def _field(thing: dict, name: str) -> object:
    held = thing["fields"].get(name)
    return held["value"] if held else None


def chainage_m(station: dict) -> float | None:
    """A station's chainage in metres, or None when it has none."""
    held = station.get("chainage")
    return held["m"] if held else None


def depth_mm(station: dict) -> float | None:
    """A station's depth of cover in mm, or None when it was not taken."""
    value = _field(station, "depth")
    try:
        return None if value is None else units.typed(value, "mm", "depth")
    except Refused:
        return None


def filled_chainages(stations: list) -> list:
    """[chainage in m, known] for every station; an unknown one is set between its neighbours by order. None when fewer than two are known."""
    known = [chainage_m(station) for station in stations]
    marks = [index for index in range(len(known)) if known[index] is not None]
    if len(marks) < 2 or known[marks[0]] == known[marks[-1]]:
        return None
    rows = []
    for index in range(len(known)):
        if known[index] is not None:
            rows.append([known[index], True])
        else:
            rows.append([_between(known, marks, index), False])
    return rows


def _between(known: list, marks: list, index: int) -> float:
    before = [mark for mark in marks if mark < index]
    after = [mark for mark in marks if mark > index]
    if not before:
        return known[after[0]]
    if not after:
        return known[before[-1]]
    low, high = before[-1], after[0]
    return known[low] + (known[high] - known[low]) * (index - low) / (high - low)


def spread(wanted: list, low: float, high: float, gap: float) -> list:
    """Places for labels at least `gap` apart (less where there is no room), near where they are wanted; `wanted` rises."""
    count = len(wanted)
    if count > 1:
        gap = min(gap, (high - low) / (count - 1))
    places = []
    for want in wanted:
        place = max(want, low)
        if places:
            place = max(place, places[-1] + gap)
        places.append(place)
    limit = high
    for index in range(count - 1, -1, -1):
        places[index] = min(places[index], limit)
        limit = places[index] - gap
    return places


def strip(link: dict, first: int = 0, count: int = MOST_STATIONS) -> str:
    """The strip drawing of stations `first` up to `first + count` of a link view, 180 x 92 mm.

    Chainage runs to scale where at least two stations have one, else the stations stand evenly and the drawing says so.
    """
    height = HEIGHT if link["stations"][first : first + count] else 20.0
    return draw.picture(WIDTH, height, "Route as a strip, near end at the left", pieces(link, first, count))


def pieces(link: dict, first: int, count: int) -> list:
    """What the strip drawing is made of, for the unrolled plan too."""
    stations = link["stations"][first : first + count]
    if not stations:
        return [draw.text(WIDTH / 2, 12, "No station recorded along the route.", 3.4, "middle", draw.QUIET)]
    rows = filled_chainages(stations)
    places = _places(rows, len(stations))
    return _ground() + _cable(stations, places) + _stations(stations, places, rows, first) + _axis(stations, places, rows)


def _places(rows: list | None, count: int) -> list:
    if rows is None:
        step = (_RIGHT - _LEFT) / max(count - 1, 1)
        return [_LEFT + step * index for index in range(count)]
    low = min([row[0] for row in rows])
    high = max([row[0] for row in rows])
    return [_LEFT + (row[0] - low) * (_RIGHT - _LEFT) / (high - low) for row in rows]


def _ground() -> list:
    pieces = [draw.line(_LEFT - 4, _GROUND, _RIGHT + 4, _GROUND, draw.QUIET, 0.35)]
    x = _LEFT - 3
    while x < _RIGHT + 4:
        pieces.append(draw.line(x, _GROUND, x - 1.2, _GROUND + 1.2, draw.LINE, 0.25))
        x += 3
    return pieces


def _scale_mm(stations: list) -> float:
    """Millimetres of depth that one drawn millimetre stands for."""
    deepest = 0.0
    for station in stations:
        deepest = max(deepest, depth_mm(station) or 0.0)
    for scale in (20.0, 40.0, 50.0, 100.0, 200.0, 500.0):
        if deepest / scale <= _DEEPEST - 6:
            return scale
    return max(deepest / (_DEEPEST - 6), 1.0)


def _cable(stations: list, places: list) -> list:
    """The cable at its recorded depths; dashed at half height where no depth was taken."""
    scale = _scale_mm(stations)
    depths = [depth_mm(station) for station in stations]
    if all(depth is None for depth in depths):
        level = _GROUND + 9
        return [
            draw.cable([[places[0], level], [places[-1], level]]),
            draw.text(_LEFT, level + 5, "Depth not recorded", 2.7, "start", draw.QUIET),
        ]
    points, pieces = [], []
    for index in range(len(stations)):
        if depths[index] is not None:
            points.append([places[index], _GROUND + depths[index] / scale])
    if len(points) > 1:
        pieces.append(draw.cable(points))
    for end, at in ((points[0], places[0]), (points[-1], places[-1])):
        if at != end[0]:
            pieces.append(draw.path([[at, end[1]], end], draw.INK, 0.6, "none", False, "1.6 1.2"))
    for index in range(len(stations)):
        if depths[index] is not None:
            room = places[index + 1] - places[index] if index + 1 < len(places) else WIDTH - places[index]
            pieces.append(_depth_mark(stations[index], places[index], _GROUND + depths[index] / scale, room))
    return pieces


def _depth_mark(station: dict, x: float, y: float, room: float) -> str:
    """Depth as typed beside a dashed line from the ground to the cable, where the next station leaves room for the words."""
    value = _field(station, "depth")
    words = clean_decimal(value["value"]) + " " + value["unit"]
    mark = draw.line(x, _GROUND, x, y, draw.QUIET, 0.2, "0.8 0.8") + draw.circle(x, y, 0.7, draw.PAPER, draw.INK, 0.35)
    if draw.width_of(words, 2.6) + 2 > room:
        return mark
    return mark + draw.text(x + 1, (_GROUND + y) / 2 + 1.6, words, 2.6, "start", draw.QUIET)


def _stations(stations: list, places: list, rows: list | None, first: int) -> list:
    """Every station's symbol on the ground line, and its words above, turned to read upwards."""
    at = spread(places, _LEFT - 3, _RIGHT + 2, _LABEL_GAP)
    pieces = []
    for index in range(len(stations)):
        foot = _GROUND - 7
        pieces.append(draw.path([[places[index], _GROUND - 1.3], [at[index], foot]], draw.QUIET, 0.2))
        words = draw.shorten(station_words(first + index + 1, stations[index]), 2.9, 42)
        pieces.append(draw.text(at[index] + 1, foot - 0.8, words, 2.9, "start", draw.INK, None, -90))
        known = rows is None or rows[index][1]
        pieces.append(symbol(stations[index]["type"], places[index], _GROUND, known))
    return pieces


def symbol(kind: str, x: float, y: float, known: bool) -> str:
    """A station's sign, about 2.6 mm: filled where its place was recorded, hollow and dashed where it was set between neighbours."""
    fill, dash = (draw.INK, None) if known else (draw.PAPER, "0.7 0.5")
    if kind == "building_entry":
        return draw.rectangle(x - 1.1, y - 1.1, 2.2, 2.2, fill, draw.INK, 0.35, dash)
    if kind == "handhole":
        return draw.rectangle(x - 1.6, y - 1.0, 3.2, 2.0, draw.PAPER, draw.INK, 0.45, dash) + draw.rectangle(
            x - 0.7, y - 0.4, 1.4, 0.8, fill, None
        )
    if kind == "slack_loop":
        return draw.circle(x, y, 1.5, draw.PAPER, draw.INK, 0.4, dash) + draw.circle(x, y, 0.6, fill, draw.INK, 0.25)
    if kind == "closure":
        return draw.path([[x - 1.5, y], [x, y - 1.5], [x + 1.5, y], [x, y + 1.5]], draw.INK, 0.35, fill, True, dash)
    if kind == "marker":
        return draw.path([[x - 1.3, y + 1.0], [x + 1.3, y + 1.0], [x, y - 1.5]], draw.INK, 0.35, fill, True, dash)
    if kind == "bond":
        lines = draw.line(x - 1.5, y, x + 1.5, y, draw.INK, 0.45) + draw.line(x - 1.0, y + 0.8, x + 1.0, y + 0.8, draw.INK, 0.45)
        return lines + draw.line(x - 0.5, y + 1.6, x + 0.5, y + 1.6, draw.INK, 0.45)
    return draw.circle(x, y, 1.0, fill, draw.INK, 0.35, dash)


def _axis(stations: list, places: list, rows: list | None) -> list:
    """Chainage and depth as recorded, under each station, where there is room for them."""
    y = _GROUND + _DEEPEST + 3
    at = spread(places, _LEFT - 3, _RIGHT + 2, _LABEL_GAP)
    pieces = []
    for index in range(len(stations)):
        words = _axis_words(stations[index])
        pieces.append(draw.text(at[index] + 1, y, words, 2.6, "end", draw.QUIET, None, -90))
    note = "Chainage to scale from left to right, depth of cover downwards; a hollow sign has no chainage of its own."
    if rows is None:
        note = "Not to scale: fewer than two stations have a chainage."
    pieces.append(draw.text(_LEFT - 4, HEIGHT - 1.5, note, 2.6, "start", draw.QUIET))
    return pieces


def _axis_words(station: dict) -> str:
    held = station.get("chainage")
    return "" if not held else held["text"] + " " + held["unit"]
