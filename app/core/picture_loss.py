"""Loss along a strand: what is lost from the near end on, over distance, with each connector, splice and loss point by its own shape."""

from . import draw
from .checks import base, fibre_loss
from .checks.fibre_events import two_way_loss
from .checks.fibre_places import whereabouts
from .checks.fibre_traces import traces
from .numbers import text
from .quantities import quantity
from .tables import column_numbers

WIDE, NARROW = 180.0, 96.0  # for paper, and for the width of a phone
_LEFT, _RIGHT_EDGE = 14.0, 6.0
_DEEP = 54.0
_SIZE = 3.2
_LABEL_ROWS = 6
_LABEL_STEP = 5.0
_LINE = 4.6
_STEPS = [
    0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0, 20000.0, 50000.0,
]  # fmt: skip
_LEGEND = [["connector", "connector"], ["splice", "splice"], ["loss_point", "loss point"]]


def along(link: dict, strand: str, wavelength: str, width: float = WIDE) -> str:
    """A strand's loss along the link by its events typed from an OTDR. Result: SVG, `width` mm wide; says so when none were typed."""
    title = "Loss along strand " + strand + ", " + wavelength + " nm"
    found = [trace for trace in traces(link) if (trace["strand"], trace["wavelength"]) == (strand, wavelength)]
    about = glass(link, found[0]) if found else {}
    points = _points(found[0], about["db_m"]) if found else []
    if not points or _longest(found[0], points) <= 0:
        words = "No events of this strand were typed that could be drawn."
        return draw.picture(width, 20.0, title, [draw.text(width / 2, 12.0, words, 3.0, "middle", draw.QUIET)])
    labels = _placed(link, found[0], points, width)
    top = 10.0 + _LABEL_STEP * (1 + max([label["row"] for label in labels] + [0]))
    foot = _foot(about["words"], top + _DEEP + 11.0, width)
    return draw.picture(width, foot[0], title, _drawn(found[0], points, labels, top, width) + foot[1])


def glass(link: dict, trace: dict) -> dict:
    """Loss of the glass between events: {"db_m", "words"}: as typed for its sections, else what the loss by meter leaves, else none."""
    typed = _sections(link, trace)
    if typed is not None:
        return {"db_m": typed / 1000.0, "words": "glass as its sections were typed, " + text(typed, 2) + " dB/km"}
    left = _left_by_meter(link, trace)
    if left is not None:
        return {"db_m": left / 1000.0, "words": "glass by what the loss by meter leaves, " + text(left, 2) + " dB/km"}
    return {"db_m": 0.0, "words": "glass drawn without loss: neither its sections nor a one-cord loss were typed"}


def _sections(link: dict, trace: dict) -> float | None:
    """Mean attenuation of the sections typed, dB/km, each by its length."""
    lost, length_m = 0.0, 0.0
    for row in base.latest(link, "section_attenuation", ["strand", "wavelength", "direction"]):
        if (row["keys"]["strand"], row["keys"]["wavelength"]) == (trace["strand"], trace["wavelength"]):
            about, table = quantity("section_attenuation"), row["reading"]["body"]["table"]
            first, last, slope = [column_numbers(about, table, name) for name in ("from", "to", "attenuation")]
            for place in range(len(first)):
                length_m += abs(last[place] - first[place])
                lost += abs(last[place] - first[place]) * slope[place]
    return lost / length_m if length_m > 0 else None


def _left_by_meter(link: dict, trace: dict) -> float | None:
    """The loss by one-cord method less the events, over the length, dB/km; None where that is below zero or not known."""
    held = [
        base.reading_number(row["reading"], "dB")
        for row in fibre_loss.loss_rows(link)
        if (row["keys"]["strand"], row["keys"]["wavelength"]) == (trace["strand"], trace["wavelength"])
        and row["reading"]["body"].get("method") == "one_cord"
    ]
    if not held or not trace["length_m"]:
        return None
    left = 0.0
    for loss in held:
        left += loss / len(held)
    for place in trace["places"]:
        left -= step_of(place)[0]
    return left / trace["length_m"] * 1000.0 if left >= 0 else None


def step_of(place: dict) -> tuple:
    """(loss of an event in dB, is it the average of both directions); the end, where the trace falls into noise, loses nothing."""
    if place["kind"] == "end":
        return 0.0, False
    averaged = two_way_loss(place)
    if averaged is not None:
        return averaged, True
    shown = [event["loss"] for event in (place["there"], place["back"]) if event and event["loss"] is not None]
    return (shown[0] if shown else 0.0), False


def _points(trace: dict, glass_db_m: float) -> list:
    """Each event with the loss before and behind it: {"m", "before", "behind", "averaged", "place"}; ends of the link last."""
    found, lost, here_m = [], 0.0, 0.0
    for place in trace["places"]:
        if place["m"] is None:
            return []
        lost += max(place["m"] - here_m, 0.0) * glass_db_m
        here_m = max(place["m"], here_m)
        loss, averaged = step_of(place)
        found.append({"m": place["m"], "before": lost, "behind": lost + loss, "averaged": averaged, "place": place})
        lost += loss
    if trace["length_m"] and trace["length_m"] > here_m:
        lost += (trace["length_m"] - here_m) * glass_db_m
        found.append({"m": trace["length_m"], "before": lost, "behind": lost, "averaged": True, "place": None})
    return found


def _longest(trace: dict, points: list) -> float:
    return max(trace["length_m"] or 0.0, points[-1]["m"])


def _x(at_m: float, length_m: float, width: float) -> float:
    return _LEFT + (width - _LEFT - _RIGHT_EDGE) * max(0.0, min(at_m, length_m)) / length_m


def _drawn(trace: dict, points: list, labels: list, top: float, width: float) -> list:
    length_m = _longest(trace, points)
    levels = [0.0] + [point[name] for point in points for name in ("before", "behind")]
    low, high = min(levels), max(max(levels), min(levels) + 0.1)

    def x(at_m: float) -> float:
        return _x(at_m, length_m, width)

    def y(loss_db: float) -> float:
        return top + _DEEP * (loss_db - low) / (high - low)

    pieces = _levels(low, high, top, x(length_m), y) + _distances(length_m, top + _DEEP, width, x) + _line(points, x, y)
    for label in labels:
        baseline = top - 7.0 - _LABEL_STEP * label["row"]
        pieces.append(draw.line(label["x"], baseline + 0.8, label["x"], y(label["db"]) - 2.0, draw.QUIET, 0.15))
        pieces.append(draw.text(label["left"], baseline, label["words"], _SIZE, halo=True))
    return pieces


def _levels(low: float, high: float, top: float, right: float, y: object) -> list:
    pieces = [draw.text(1, top - 2.5, "dB lost", _SIZE, "start", draw.QUIET)]
    step = nice((high - low) / 5.0)
    level = int(low / step) * step
    while level <= high + step * 0.001:
        if level >= low:
            pieces.append(draw.line(_LEFT, y(level), right, y(level), draw.LINE, 0.15))
            pieces.append(draw.text(_LEFT - 2.5, y(level) + 1, text(level, 2 if step < 0.1 else 1), _SIZE, "end", draw.QUIET))
        level += step
    return pieces


def _distances(length_m: float, bottom: float, width: float, x: object) -> list:
    pieces, step, at_m = [], nice(length_m / (8.0 if width >= WIDE else 5.0)), 0.0
    while at_m <= length_m * 1.0001:
        pieces.append(draw.line(x(at_m), bottom, x(at_m), bottom + 1.2, draw.QUIET, 0.2))
        unit = " m" if at_m + step > length_m * 1.0001 else ""
        pieces.append(draw.text(x(at_m), bottom + 5.0, text(at_m, 0) + unit, _SIZE, "middle", draw.QUIET))
        at_m += step
    return pieces + [draw.line(_LEFT, bottom, x(length_m), bottom, draw.QUIET, 0.2)]


def nice(least: float) -> float:
    """The least step of 1, 2, 5 and so on that is not below it."""
    for step in _STEPS:
        if step >= least:
            return step
    return least


def _line(points: list, x: object, y: object) -> list:
    """The curve: solid where both directions were averaged, a dashed step where only one was seen; then the shapes."""
    pieces, before = [], [x(0.0), y(0.0)]
    for point in points:
        here, behind = [x(point["m"]), y(point["before"])], [x(point["m"]), y(point["behind"])]
        pieces.append(draw.path([before, here], draw.INK, 0.5))
        if behind[1] != here[1]:
            pieces.append(draw.path([here, behind], draw.INK, 0.5, dash=None if point["averaged"] else "0.8 0.8"))
        before = behind
    for point in points:
        if point["place"]:
            pieces.append(shape(point["place"]["kind"], x(point["m"]), y(point["behind"]), point["averaged"]))
    return pieces


def shape(kind: str, x: float, y: float, filled: bool) -> str:
    """A kind of event by its own shape: square connector, disc splice, diamond loss point, upright bar for the end; hollow when seen one way."""
    fill = draw.INK if filled else draw.PAPER
    if kind == "connector":
        return draw.rectangle(x - 1.3, y - 1.3, 2.6, 2.6, fill, draw.INK, 0.4)
    if kind == "splice":
        return draw.circle(x, y, 1.4, fill, draw.INK, 0.4)
    if kind == "loss_point":
        return draw.path([[x, y - 1.9], [x + 1.9, y], [x, y + 1.9], [x - 1.9, y]], draw.INK, 0.4, fill, True)
    return draw.line(x, y - 2.2, x, y + 2.2, draw.INK, 0.8)


def _placed(link: dict, trace: dict, points: list, room: float) -> list:
    """Each event's station and loss, in rows above the curve so that none lies on another; what finds no room is in the table alone."""
    found, ends = [], [0.0] * _LABEL_ROWS
    for point in points:
        if not point["place"] or point["place"]["kind"] == "end":
            continue
        words, here = _label(link, trace, point), _x(point["m"], _longest(trace, points), room)
        width = draw.width_of(words, _SIZE)
        left = max(1.0, min(here, room - 1.0 - width))
        free = [row for row in range(_LABEL_ROWS) if ends[row] <= left]
        if free:
            ends[free[0]] = left + width + 2.0
            found.append({"row": free[0], "x": here, "left": left, "words": words, "db": point["behind"]})
    return found


def _label(link: dict, trace: dict, point: dict) -> str:
    where = whereabouts(link, point["m"], trace["length_m"])["words"] or text(point["m"], 0) + " m"
    if [event for event in (point["place"]["there"], point["place"]["back"]) if event and event["loss"] is not None]:
        return where + ": " + text(point["behind"] - point["before"], 2) + " dB" + ("" if point["averaged"] else ", one way")
    return where


def _foot(glass_words: str, top: float, width: float) -> tuple:
    """(height of the picture, the shapes with their words and what the curve is made of), in as many lines as the width asks for."""
    pieces, left = [], 1.0
    for kind, words in _LEGEND:
        pieces.append(shape(kind, left + 1.5, top - 1.0, True))
        pieces.append(draw.text(left + 4.2, top, words, _SIZE))
        left += 8.0 + draw.width_of(words, _SIZE)
    said = "Hollow, dashed: seen from one end only. Averages of both directions; " + glass_words + "."
    lines, line = [], ""
    for word in said.split(" "):
        if line and draw.width_of(line + " " + word, _SIZE) > width - 8.0:
            lines.append(line)
            line = word
        else:
            line = (line + " " + word).strip(" ")
    for words in lines + [line]:
        top += _LINE
        pieces.append(draw.text(1, top, words, _SIZE, "start", draw.QUIET))
    return top + 2.0, pieces
