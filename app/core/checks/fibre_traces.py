"""Events along a fibre as they were typed from an OTDR: both directions brought to distances from the near end, and paired.

Distances of a reading run from its own end, beyond the launch cord. Nothing is clamped: a loss that looks like a gain stays negative.
"""

from .. import limits
from ..locate import event_width_m
from ..numbers import short_text, text
from ..ordering import in_order
from ..quantities import quantity
from ..tables import column_numbers, column_words
from ..units import typed
from . import base, lengths

QUANTITY = "fibre_events"
FILE = "fibre-practice"
THERE, BACK = "near_to_far", "far_to_near"
_USUAL_INDEX = 1.468  # only turns a pulse into metres


def traces(link: dict) -> list:
    """Each strand and wavelength that was looked at: {"strand", "wavelength", "ways" {direction: trace}, "length_m" or None, "places"}.

    A trace: {"reading", "others", "events", "length_m" or None, "working"}. A place: see `places`.
    """
    return base.once(link, "fibre_traces", lambda: _traces(link))


def _traces(link: dict) -> list:
    held = {}
    for row in base.latest(link, QUANTITY, ["strand", "wavelength", "direction"]):
        marks = row["keys"]
        held.setdefault((marks["strand"], marks["wavelength"]), {})[marks["direction"]] = _trace(link, row)
    return [_both(link, marks, held[marks]) for marks in in_order(held, strand_order)]


def strand_order(marks: tuple) -> tuple:
    """Strand 2 comes before strand 10."""
    return (len(marks[0]), marks[0], len(marks[1]), marks[1])


def extra(reading: dict, name: str, unit: str) -> float | None:
    """A figure that goes with a reading (cord, pulse, index) in that unit, or None."""
    value = reading["body"].get(name)
    return None if not value else typed(value, unit, name)


def _trace(link: dict, row: dict) -> dict:
    about, table = quantity(QUANTITY), row["reading"]["body"]["table"]
    shown, losses, reflectances = [column_numbers(about, table, name) for name in ("distance", "loss", "reflectance")]
    kinds, clipped = column_words(about, table, "kind"), column_words(about, table, "clipped")
    factor, working = _index_factor(link, row["reading"])
    events = []
    for place in range(len(kinds)):
        events.append(
            {
                "m": shown[place] * factor,
                "kind": kinds[place],
                "loss": losses[place],
                "reflectance": reflectances[place],
                "clipped": clipped[place] == "yes",
            }
        )
    length_m = _length(events, extra(row["reading"], "tail_cord", "m"))
    return {"reading": row["reading"], "others": row["others"], "events": events, "length_m": length_m, "working": working}


def readings_of(trace: dict) -> list:
    """The readings of a strand and wavelength, near to far first."""
    return [trace["ways"][way]["reading"] for way in (THERE, BACK) if way in trace["ways"]]


def _index_factor(link: dict, reading: dict) -> tuple:
    """What a shown distance is multiplied by where the instrument was set to another group index than the cable's, and a line on it."""
    was_set, own = extra(reading, "set_index", "1"), base.decimal(link, "group_index")
    if was_set is None or own is None or was_set == own:
        return 1.0, []
    line = "distances x " + short_text(was_set, 6) + " / " + short_text(own, 6) + ": group index set, and the cable's own"
    return was_set / own, [line]


def _length(events: list, tail_m: float | None) -> float | None:
    """Length of the link: its end, or its last connector before a tail cord; None where neither was typed."""
    ends = [event["m"] for event in events if event["kind"] == "end"]
    connectors = [event["m"] for event in events if event["kind"] == "connector" and event["m"] > 0]
    if tail_m is None or not connectors:
        return ends[-1] if ends else None
    if ends and abs(ends[-1] - connectors[-1] - tail_m) > max(2.0, tail_m * 0.02):
        return ends[-1]
    return connectors[-1]


def _both(link: dict, marks: tuple, ways: dict) -> dict:
    held = [ways[way]["length_m"] for way in (THERE, BACK) if way in ways and ways[way]["length_m"]]
    length_m = (held[0] + held[-1]) / 2.0 if held else _shown_elsewhere(link, marks[0])
    return {
        "strand": marks[0],
        "wavelength": marks[1],
        "ways": ways,
        "length_m": length_m,
        "places": places(ways.get(THERE), ways.get(BACK), length_m),
    }


def _shown_elsewhere(link: dict, strand: str) -> float | None:
    for row in lengths.instrument_rows(link):
        if row["keys"]["strand"] == strand:
            return base.reading_number(row["reading"], "m")
    return None


def places(there: dict | None, back: dict | None, length_m: float | None) -> list:
    """Places along the fibre in order: {"m" from the near end (None when the length is not known), "kind", "there", "back", "where" in words,
    "at" for the ids of checks}.

    `there` and `back` are the event as each direction shows it, or None. Ends stay apart: they are no events to average.
    """
    ahead = [[_scaled(event["m"], there, length_m), event] for event in there["events"]] if there else []
    behind = [[_mirrored(event["m"], back, length_m), event] for event in back["events"]] if back else []
    partner = _pairs(ahead, behind, apart_m([there, back], length_m)) if length_m else {}
    found = []
    for place in range(len(ahead)):
        other = behind[partner[place]] if place in partner else [ahead[place][0], None]
        found.append(_place((ahead[place][0] + other[0]) / 2.0, ahead[place][1], other[1]))
    taken = [partner[place] for place in partner]
    found += [_place(behind[place][0], None, behind[place][1]) for place in range(len(behind)) if place not in taken]
    return in_order(found, _distance)


def _scaled(event_m: float, trace: dict, length_m: float | None) -> float:
    return event_m * length_m / trace["length_m"] if length_m and trace["length_m"] else event_m


def _mirrored(event_m: float, trace: dict, length_m: float | None) -> float | None:
    return None if length_m is None else length_m - _scaled(event_m, trace, length_m)


def _distance(place: dict) -> float:
    return (place["there"] or place["back"])["m"] if place["m"] is None else place["m"]


def apart_m(both: list, length_m: float) -> float:
    """How far apart two directions may show one event: 2 m or 1 % of the length, at most 20 m, or the length of the pulse where that is more.

    One instrument with one index shows both, so what is left are its sampling and where along the pulse the event is put.
    """
    least, share, most = [float(limits.row(FILE, "pairing:" + name)["value"]) for name in ("least", "share", "most")]
    pulses_ns = [extra(trace["reading"], "pulse_width", "ns") or 0.0 for trace in both if trace]
    return max(least, min(length_m * share / 100.0, most), event_width_m(max(pulses_ns), _USUAL_INDEX))


def _pairs(ahead: list, behind: list, most_m: float) -> dict:
    """{place in ahead: place in behind}, the nearest first."""
    near = []
    for one in range(len(ahead)):
        for other in range(len(behind)):
            gap = abs(ahead[one][0] - behind[other][0])
            if gap <= most_m and _alike(ahead[one][1]["kind"], behind[other][1]["kind"]):
                near.append((gap, one, other))
    found, used = {}, {}
    for _, one, other in sorted(near):
        if one not in found and other not in used:
            found[one] = other
            used[other] = True
    return found


def _alike(one: str, other: str) -> bool:
    """A connector is one from both ends; a splice may look like a mere loss point from the other. An end is never an event of the other way."""
    smooth = ("splice", "loss_point")
    return one == other == "connector" or (one in smooth and other in smooth)


def _place(where_m: float | None, there: dict | None, back: dict | None) -> dict:
    kinds = [event["kind"] for event in (there, back) if event]
    kind = "splice" if "splice" in kinds else kinds[0]
    shown_m, behind = (where_m, "") if where_m is not None else (back["m"], " from the far end")
    words, at = text(shown_m, 1) + " m" + behind, text(shown_m, 2) + "_m" + behind.replace(" ", "_")
    return {"m": where_m, "kind": kind, "there": there, "back": back, "where": words, "at": at}
