"""The loss budget: of what glass, connections and splices the limit is made, and beside it on one scale what was measured."""

from . import draw
from .checks import base, fibre_loss
from .checks.fibre_traces import strand_order, traces
from .errors import Refused
from .fibre import METHOD_WORDS
from .numbers import steps_text, text, to_steps
from .ordering import in_order
from .picture_loss import glass, nice, step_of

WIDTH = 180.0
MOST_TRACES = 4
_LEFT, _RIGHT = 34.0, 172.0
_HEAD, _ROW, _AXIS = 8.0, 10.5, 9.0
_SIZE = 2.9
_PART_WORDS = {"glass": "glass", "connections": "connections", "splices": "splices"}


def budgets(link: dict) -> list:
    """One for each wavelength and reference method that was measured; of those required before any was.

    {"wavelength", "method", "limit_db" or None, "missing": why, "parts" [[glass, connections or splices, dB]...], [] for a limit typed for the
    link, "losses" [{"strand", "direction", "db"}...], "traces" [{"strand", "parts"}...]}
    """
    held = {}
    for row in fibre_loss.loss_rows(link):
        method = row["reading"]["body"].get("method")
        if method:
            loss = {"strand": row["keys"]["strand"], "direction": row["keys"]["direction"]}
            loss["db"] = base.reading_number(row["reading"], "dB")
            held.setdefault((row["keys"]["wavelength"], method), []).append(loss)
    for wavelength in [] if held else fibre_loss.REQUIRED.get(fibre_loss.mode(link) or "", []):
        held[(wavelength, "one_cord")] = []
    return [_budget(link, marks[0], marks[1], held[marks]) for marks in sorted(held)]


def _budget(link: dict, wavelength: str, method: str, losses: list) -> dict:
    limit = _limit(link, wavelength, method)
    return {
        "wavelength": wavelength,
        "method": method,
        "limit_db": limit.get("db"),
        "missing": limit.get("missing", ""),
        "parts": limit.get("parts", []),
        "losses": in_order(losses, lambda loss: strand_order((loss["strand"], loss["direction"]))),
        "traces": _traces(link, wavelength),
    }


def _limit(link: dict, wavelength: str, method: str) -> dict:
    try:
        return fibre_loss.loss_limit(link, wavelength, method)
    except Refused as refusal:
        return {"missing": refusal.allowed}


def _traces(link: dict, wavelength: str) -> list:
    """What each strand's events add up to, strands that the OTDR saw to their end alone."""
    found = []
    for trace in [one for one in traces(link) if one["wavelength"] == wavelength and one["length_m"]][:MOST_TRACES]:
        lost = {"glass": trace["length_m"] * glass(link, trace)["db_m"], "connections": 0.0, "splices": 0.0}
        for place in trace["places"]:
            lost["connections" if place["kind"] == "connector" else "splices"] += step_of(place)[0]
        parts = [[name, lost[name]] for name in ("glass", "connections", "splices")]
        if min([part[1] for part in parts]) >= 0:
            found.append({"strand": trace["strand"], "parts": parts})
    return found


def parts_words(parts: list) -> str:
    """'glass 0.17 dB + connections 1.40 dB + splices 0.60 dB'."""
    return " + ".join([_PART_WORDS[name] + " " + text(loss, 2) + " dB" for name, loss in parts])


def limit_words(held: dict) -> str:
    """What the limit is made of; why there is none."""
    if held["limit_db"] is None:
        return "No limit: " + held["missing"]
    return (parts_words(held["parts"]) if held["parts"] else "limit typed for this link") + " = " + text(held["limit_db"], 2) + " dB"


def measured_words(held: dict) -> str:
    """'8 readings, 0.58 dB to 0.72 dB, 1.45 dB to spare'."""
    losses = [loss["db"] for loss in held["losses"]]
    if not losses:
        return "Not measured"
    words = str(len(losses)) + (" reading, " if len(losses) == 1 else " readings, ") + text(min(losses), 2) + " dB"
    words += " to " + text(max(losses), 2) + " dB" if len(losses) > 1 else ""
    if held["limit_db"] is None:
        return words
    spare = to_steps(held["limit_db"], 2) - to_steps(max(losses), 2)
    return words + ", " + steps_text(abs(spare), 2) + " dB " + ("to spare" if spare >= 0 else "above the limit")


def budget(link: dict) -> str:
    """The loss budget of a fibre link as SVG, 180 mm wide, a part for each wavelength and reference method; says so where there is none."""
    held = budgets(link)
    if not held:
        words = "No loss budget: choose the fibre."
        return draw.picture(WIDTH, 20.0, "Loss budget", [draw.text(WIDTH / 2, 12.0, words, 3.2, "middle", draw.QUIET)])
    most = max([_most(one) for one in held] + [0.1])
    pieces, top = [], 1.0
    for one in held:
        bottom = top + _HEAD + _ROW * (2 + len(one["traces"]))
        pieces += _lines(most, top + _HEAD - 1.5, bottom) + _part(one, most, top)
        top = bottom + 2.0
    return draw.picture(WIDTH, top + _AXIS, "Loss budget: limit and measured loss", pieces + _axis(most, top))


def _most(held: dict) -> float:
    sums = [_sum(trace["parts"]) for trace in held["traces"]]
    return max([held["limit_db"] or 0.0] + [loss["db"] for loss in held["losses"]] + sums)


def _sum(parts: list) -> float:
    total = 0.0
    for _, loss in parts:
        total += loss
    return total


def _x(loss_db: float, most: float) -> float:
    return _LEFT + (_RIGHT - _LEFT) * max(0.0, loss_db) / most


def _part(held: dict, most: float, top: float) -> list:
    method = METHOD_WORDS.get(held["method"], held["method"]) + " method"
    pieces = [draw.text(0, top + 3.6, held["wavelength"] + " nm, " + method, 3.4, "start", draw.INK, "600")]
    y = top + _HEAD
    pieces.append(draw.text(0, y + 3.4, "Limit", 3.1))
    if held["limit_db"] is not None:
        pieces += _bar(held["parts"] or [["own", held["limit_db"]]], most, y)
    pieces.append(_said(limit_words(held), y))
    pieces += [draw.text(0, y + _ROW + 3.4, "Measured", 3.1)] + _dots(held, most, y + _ROW)
    for place in range(len(held["traces"])):
        trace, row = held["traces"][place], y + _ROW * (2 + place)
        words = parts_words(trace["parts"]) + " = " + text(_sum(trace["parts"]), 2) + " dB"
        pieces.append(draw.text(0, row + 3.4, draw.shorten("OTDR, strand " + trace["strand"], 3.1, _LEFT - 2), 3.1))
        pieces += _bar(trace["parts"], most, row) + [_said(words, row)]
    return pieces


def _said(words: str, y: float) -> str:
    return draw.text(_LEFT, y + 8.0, draw.shorten(words, _SIZE, WIDTH - _LEFT), _SIZE, "start", draw.QUIET, halo=True)


def _bar(parts: list, most: float, y: float) -> list:
    """Parts end to end: glass white, connections hatched, splices full, a limit of the link's own grey."""
    pieces, lost = [], 0.0
    for name, loss in parts:
        left, right = _x(lost, most), _x(lost + loss, most)
        lost += loss
        if right > left:
            pieces += _piece(name, left, right, y)
    return pieces


def _piece(name: str, left: float, right: float, y: float) -> list:
    fill = {"splices": draw.QUIET, "own": draw.PALE}.get(name, draw.PAPER)
    pieces = [draw.rectangle(left, y + 0.6, right - left, 4.0, fill, draw.INK, 0.3)]
    strokes = int((right - left - 0.8) / 1.6) if name == "connections" else 0
    if strokes > 0:
        pieces.append(draw.strokes(left + 0.4, y + 4.2, "l1 -3.2m0.6 3.2" * strokes, draw.QUIET, 0.25))
    return pieces


def _dots(held: dict, most: float, y: float) -> list:
    """Every loss by a dot on a line that ends at the limit."""
    pieces = [draw.line(_LEFT, y + 2.6, _RIGHT, y + 2.6, draw.LINE, 0.3)]
    if held["limit_db"] is not None:
        limit_x = _x(held["limit_db"], most)
        pieces.append(draw.line(limit_x, y - 6.0, limit_x, y + 5.0, draw.INK, 0.5, "1.2 0.9"))
    for loss in held["losses"]:
        beyond = held["limit_db"] is not None and loss["db"] > held["limit_db"]
        pieces.append(draw.circle(_x(loss["db"], most), y + 2.6, 1.2, draw.BAD if beyond else draw.INK, draw.PAPER, 0.25))
    return pieces + [_said(measured_words(held), y)]


def _lines(most: float, top: float, bottom: float) -> list:
    return [draw.line(_x(at, most), top, _x(at, most), bottom, draw.LINE, 0.15) for at in _ticks(most)]


def _axis(most: float, top: float) -> list:
    pieces = [draw.line(_LEFT, top, _RIGHT, top, draw.QUIET, 0.2)]
    ticks = _ticks(most)
    decimals = 2 if len(ticks) > 1 and ticks[1] < 0.1 else 1
    for place in range(len(ticks)):
        unit = " dB" if place == len(ticks) - 1 else ""
        pieces.append(draw.text(_x(ticks[place], most), top + 4.0, text(ticks[place], decimals) + unit, _SIZE, "middle", draw.QUIET))
    words = "White: glass. Hatched: connections. Grey: splices and loss points. Dots: readings. Dashed: the limit."
    return pieces + [draw.text(0, top + 8.2, words, _SIZE, "start", draw.QUIET)]


def _ticks(most: float) -> list:
    step, at, found = nice(most / 6.0), 0.0, []
    while at <= most * 1.0001:
        found.append(at)
        at += step
    return found
