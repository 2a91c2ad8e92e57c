"""The lengths of a link that several rules use: by sheath marks, by instrument, along the route."""

from .. import limits
from ..numbers import short_text, text, to_steps
from ..units import convert
from . import base


def mark_unit(link: dict) -> str:
    """What the sheath marks of this link count."""
    return base.field(link, "mark_unit") or "m"


def route_gap(link: dict) -> str:
    """What a route from building entry to building entry lacks, in words; "" when it is whole.

    Bonds are no part of the route, and neither are `other` stations before its first or beyond its last place, such as racks.
    """
    kinds = [station["type"] for station in link["stations"]]
    route = [station for station in link["stations"] if station["type"] not in ("other", "bond")]
    if not route:
        return "no building entry is recorded" if kinds else "no station is recorded"
    if route[0]["type"] != _ENTRY:
        return "the route recorded so far begins at " + bare_name(route[0])
    if len(route) < 2 or route[-1]["type"] != _ENTRY:
        return "the route recorded so far ends at " + bare_name(route[-1])
    return ""


_ENTRY = "building_entry"


def growth_notes(link: dict) -> list:
    """A note for what leans on a length that is not yet the whole one, because the route does not run from entry to entry."""
    gap = route_gap(link)
    return [gap[:1].upper() + gap[1:] + ", so the length may still grow."] if gap else []


def sheath(link: dict) -> dict | None:
    """Cable length from the first to the last station with a mark, or None with fewer than two such stations.

    Gives {"m", "what", "working": [...], "notes": [...] while the route is not whole}.
    """
    return base.once(link, "sheath", lambda: _sheath(link))


def _sheath(link: dict) -> dict | None:
    marked = [station for station in link["stations"] if base.decimal(station, "mark") is not None]
    if len(marked) < 2:
        return None
    first, last = base.decimal(marked[0], "mark"), base.decimal(marked[-1], "mark")
    out = base.decimal(marked[-1], "mark_out")
    last = last if out is None else out
    unit = mark_unit(link)
    length_m = convert(abs(last - first), unit, "m")
    line = "sheath = |" + short_text(last, 8) + " - " + short_text(first, 8) + "| " + unit + " = " + text(length_m, 2) + " m"
    return {"m": length_m, "working": [line], "what": "sheath", "notes": growth_notes(link)}


def excess_row(percent: float) -> dict:
    """The limit of how much longer (above zero) or shorter the fibre may be than its sheath; by whole steps, not by the last bit of a length."""
    return limits.row("lengths", "excess:high" if to_steps(percent, 1) >= 0 else "excess:low")


def instrument_rows(link: dict) -> list:
    """Newest length shown by an instrument, a row for each pair or strand."""
    return base.latest(link, "instrument_length", ["pair", "strand"])


def known(link: dict) -> dict | None:
    """The best length there is: by sheath marks, by instrument, or along the route -> {"m", "what", "working", "notes"}."""
    return base.once(link, "known length", lambda: _known(link))


def _known(link: dict) -> dict | None:
    by_marks = sheath(link)
    if by_marks:
        return by_marks
    rows = instrument_rows(link)
    if rows:
        lengths = [base.reading_number(row["reading"], "m") for row in rows]
        line = "length by the instrument, the shortest shown: " + text(min(lengths), 2) + " m"
        return {"m": min(lengths), "what": "instrument", "working": [line], "notes": []}
    places = [station["chainage"]["m"] for station in link["stations"] if station.get("chainage")]
    if len(places) < 2 or places[-1] - places[0] <= 0:
        return None
    length_m = places[-1] - places[0]
    return {
        "m": length_m,
        "what": "route",
        "working": ["length along the route, no better is known: " + text(length_m, 2) + " m"],
        "notes": growth_notes(link),
    }


def bare_name(station: dict) -> str:
    """A station's name, or what it is."""
    return base.field(station, "name") or str(base.field(station, "type") or "station").replace("_", " ")


def station_name(station: dict) -> str:
    """A station in a few words for a title: its name, or what it is, with its chainage."""
    words = bare_name(station)
    if station.get("chainage"):
        words += " at " + station["chainage"]["text"] + " m"
    return words
