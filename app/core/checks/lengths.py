"""The lengths of a link that several rules use: by sheath marks, by instrument, along the route."""

from ..numbers import short_text, text
from ..units import convert
from . import base


def mark_unit(link: dict) -> str:
    """What the sheath marks of this link count."""
    return base.field(link, "mark_unit") or "m"


def sheath(link: dict) -> dict | None:
    """Cable length from the first to the last station with a mark -> {"m", "working": [...]}, or None with fewer than two such stations."""
    marked = [station for station in link["stations"] if base.decimal(station, "mark") is not None]
    if len(marked) < 2:
        return None
    first, last = base.decimal(marked[0], "mark"), base.decimal(marked[-1], "mark")
    out = base.decimal(marked[-1], "mark_out")
    last = last if out is None else out
    unit = mark_unit(link)
    length_m = convert(abs(last - first), unit, "m")
    line = "sheath = |" + short_text(last, 8) + " - " + short_text(first, 8) + "| " + unit + " = " + text(length_m, 2) + " m"
    return {"m": length_m, "working": [line], "what": "sheath"}


def instrument_rows(link: dict) -> list:
    """Newest length shown by an instrument, a row for each pair or strand."""
    return base.latest(link, "instrument_length", ["pair", "strand"])


def known(link: dict) -> dict | None:
    """The best length there is: by sheath marks, else by instrument, else along the route -> {"m", "what", "working"}."""
    by_marks = sheath(link)
    if by_marks:
        return by_marks
    rows = instrument_rows(link)
    if rows:
        lengths = [base.reading_number(row["reading"], "m") for row in rows]
        line = "length by the instrument, the shortest shown: " + text(min(lengths), 2) + " m"
        return {"m": min(lengths), "what": "instrument", "working": [line]}
    places = [station["chainage"]["m"] for station in link["stations"] if station.get("chainage")]
    if len(places) < 2 or places[-1] - places[0] <= 0:
        return None
    length_m = places[-1] - places[0]
    return {
        "m": length_m,
        "what": "route",
        "working": ["length along the route, no better is known: " + text(length_m, 2) + " m"],
    }


def station_name(station: dict) -> str:
    """A station in a few words for a title: its name, or what it is, with its chainage."""
    words = base.field(station, "name") or str(base.field(station, "type") or "station").replace("_", " ")
    if station.get("chainage"):
        words += " at " + station["chainage"]["text"] + " m"
    return words
