"""Where stations lie along the route, and what lies between them.

A taped or wheeled distance counts as it is. Where there is none, the sheath marks carry on from the station before: the cable from the mark going
out of one to the mark going into the next. A loop's own cable (mark in to mark out) does not move the chainage.
"""

from .checks.base import decimal, field, number
from .numbers import text
from .units import convert

_DECIMALS = 1


def order_key(station: dict) -> tuple:
    """Sort key of a station along the route: its order, then its subject so that equal orders never depend on arrival."""
    order = decimal(station, "order")
    return (0.0 if order is None else order, station["subject"])


def place(stations: list, mark_unit: str) -> None:
    """Write chainage and mark into each station view (in route order). Inputs: station views; the unit the sheath marks count in."""
    here_m = None
    mark_before = None
    for station in stations:
        taped = number(station, "chainage", "m")
        mark_in, mark_out = marks_of(station, mark_unit)
        origin = "typed"
        if taped is None:
            taped, origin = _carried_on(here_m, mark_before, mark_in, station is stations[0])
        station["chainage"] = None if taped is None else {"text": text(taped, _DECIMALS), "unit": "m", "from": origin, "m": taped}
        station["mark"] = _mark_view(station, mark_unit)
        if taped is not None:
            here_m = taped
            mark_before = mark_out  # a station without a mark breaks the chain, or its distance would be counted twice
        elif mark_out is not None and here_m is None:
            mark_before = mark_out


def _carried_on(here_m: float | None, mark_before: float | None, mark_in: float | None, first: bool) -> tuple:
    if first and mark_in is not None:
        return 0.0, "marks"
    if here_m is None or mark_before is None or mark_in is None:
        return None, "none"
    return here_m + abs(mark_in - mark_before), "marks"


def marks_of(station: dict, mark_unit: str) -> tuple:
    """The marks where the cable comes in and goes out of a station, in metres; (None, None) without a mark."""
    mark_in = decimal(station, "mark")
    if mark_in is None:
        return None, None
    mark_out = decimal(station, "mark_out")
    inward = convert(mark_in, mark_unit, "m")
    return inward, inward if mark_out is None else convert(mark_out, mark_unit, "m")


def _mark_view(station: dict, mark_unit: str) -> dict | None:
    typed, out = field(station, "mark"), field(station, "mark_out")
    if typed in (None, ""):
        return None
    return {"text": typed if out in (None, "") else typed + " / " + out, "unit": mark_unit}


def spans(stations: list, mark_unit: str) -> list:
    """What lies between neighbouring stations: [{from, to, length, cable}], length along the route and cable by its marks, as texts in metres."""
    found = []
    for index in range(len(stations) - 1):
        first, second = stations[index], stations[index + 1]
        length = cable = None
        if first["chainage"] and second["chainage"]:
            length = {"text": text(second["chainage"]["m"] - first["chainage"]["m"], _DECIMALS), "unit": "m"}
        out, inward = marks_of(first, mark_unit)[1], marks_of(second, mark_unit)[0]
        if out is not None and inward is not None:
            cable = {"text": text(abs(inward - out), _DECIMALS), "unit": "m"}
        found.append({"from": first["subject"], "to": second["subject"], "length": length, "cable": cable})
    return found
