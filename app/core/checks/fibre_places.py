"""Which station an event along the fibre lies at: by the sheath marks, the fibre's excess over the sheath taken off."""

from .. import limits
from ..chainage import marks_of
from ..numbers import text, to_steps
from . import lengths

FILE = "fibre-practice"


def whereabouts(link: dict, at_m: float | None, length_m: float | None) -> dict:
    """An event's distance along the fibre -> {"words": station or end, "" where nothing is recorded, "end": near | far | None, "working"}."""
    end_m = float(limits.row(FILE, "pairing:least")["value"])
    if at_m is not None and at_m <= end_m:
        return _found("near end", "near")
    if at_m is None or length_m is None:
        return _found("", None)
    if length_m - at_m <= end_m:
        return _found("far end", "far")
    table = _stations(link)
    excess = _excess(table, length_m)
    return _found("", None) if excess is None else _nearest(table, at_m / (1.0 + excess), length_m)


def _found(words: str, end: str | None, working: list | None = None) -> dict:
    return {"words": words, "end": end, "working": working or []}


def _stations(link: dict) -> list:
    """[sheath metres from the first mark to where the cable comes in, the same where it goes out, number, station] of each with a mark."""
    found, first = [], None
    for number, station in enumerate(link["stations"]):
        inward, outward = marks_of(station, lengths.mark_unit(link))
        if inward is not None:
            first = inward if first is None else first
            found.append([abs(inward - first), abs(outward - first), number + 1, station])
    return found


def _excess(table: list, length_m: float) -> float | None:
    """How much longer the fibre is than the sheath between the first and the last mark; None without marks, or where it cannot be true."""
    if len(table) < 2 or table[-1][1] <= 0:
        return None
    excess = length_m / table[-1][1] - 1.0
    low, high = [float(limits.row("lengths", "excess:" + name)["value"]) for name in ("low", "high")]
    return excess if to_steps(low, 2) <= to_steps(excess * 100.0, 2) <= to_steps(high, 2) else None


def _nearest(table: list, sheath_m: float, length_m: float) -> dict:
    fixed, share = [float(limits.row(FILE, "place:" + name)["value"]) for name in ("fixed", "share")]
    best = None
    for inward, outward, number, station in table:
        gap = max(min(inward, outward) - sheath_m, sheath_m - max(inward, outward), 0.0)
        if gap <= fixed + length_m * share / 100.0 and (best is None or gap < best[0]):
            best = (gap, number, station)
    line = "along the sheath = " + text(sheath_m, 1) + " m from the first mark"
    if best is None:
        return _found("", None, [line + ", no station is recorded there"])
    words = "station " + str(best[1]) + " (" + lengths.bare_name(best[2]) + ")"
    return _found(words, None, [line + ", " + words + " lies " + (text(best[0], 1) + " m off" if best[0] > 0 else "there")])
