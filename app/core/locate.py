"""From a distance along the fibre to a sheath mark: index, tails, excess, direction of the print, and both ends together."""

import math

from .constants import FEET_M, LIGHT_M_PER_NS
from .errors import Refused
from .numbers import short_text, text
from .ranges import above_zero, between


def corrected_m(shown_m: float, index_set: float, index_true: float) -> float:
    """Length shown with one group index, brought to the true one: shown * set / true, m. Exact."""
    return shown_m * index_set / index_true


def event_width_m(pulse_ns: float, group_index: float) -> float:
    """Least width of an event in a trace: c * pulse / (2 n), m. Exact."""
    return LIGHT_M_PER_NS * pulse_ns / (2.0 * group_index)


def sheath_m(optical_m: float, tail_m: float, excess: float) -> float:
    """Sheath distance of a fibre distance: (optical - tail) / (1 + excess), m; excess is fibre over sheath."""
    return (optical_m - tail_m) / (1.0 + excess)


def helix_excess(helix_radius_mm: float, lay_mm: float) -> float:
    """Excess of a fibre that runs in a helix: sqrt(1 + (2 pi r / lay)^2) - 1. Plane geometry of the unrolled helix."""
    turn = 2.0 * math.pi * helix_radius_mm / lay_mm
    return math.sqrt(1.0 + turn * turn) - 1.0


def shorter_by(excess: float) -> float:
    """The other convention in use, sheath = (1 - k) * fibre: k = excess / (1 + excess)."""
    return excess / (1.0 + excess)


def optical_to_mark(
    shown_m: float,
    near_mark: float,
    mark_unit: str,
    counts: str,
    excess: float,
    tail_m: float = 0.0,
    launch_m: float = 0.0,
    index_set: float = 1.468,
    index_true: float = 1.468,
) -> dict:
    """Sheath mark of an event that a trace shows.

    fibre = (shown - launch) * index set / index true; sheath = (fibre - tail) / (1 + excess); mark = near mark +- sheath / unit

    Inputs:
        shown (m, 0 to 200000): distance of the event as the trace shows it
        near_mark (ratio, 0 to 10000000): sheath mark at the near end
        mark_unit (word: m ft): what the marks count
        counts (word: up down): whether the marks grow or fall from the near end on
        excess (ratio, -0.05 to 0.2): fibre over sheath, 0.015 is 1.5 percent
        tail (m, 0 to 1000, 0): bare fibre inside the near panel
        launch (m, 0 to 10000, 0): launch cord in front
        index_set (ratio, 1.4 to 1.6, 1.468): group index that the instrument was set to
        index_true (ratio, 1.4 to 1.6, 1.468): group index of the fibre
    Result:
        fibre_distance (m): along the fibre, from the near panel
        sheath_distance (m): along the sheath, from the near mark
        mark (ratio): printed mark at the event, in the marks' unit
    Errors: Refused for an event inside launch cord or panel.
    Holds: on one piece of cable; as good as the excess, see the uncertainty of a located place.
    Source: Common practice | | optical distance to sheath mark | practice
    Example: optical_to_mark(562.0, 1832, "m", "down", 0.015, 0.0, 150.0, 1.4682, 1.4677) gives mark 1425.95
    """
    fibre_m = corrected_m(shown_m - launch_m, index_set, index_true)
    along_m = sheath_m(fibre_m, tail_m, excess)
    if along_m < 0:
        allowed = "an event behind the launch cord and the tail, " + short_text(launch_m + tail_m) + " m"
        raise Refused("range", "shown", short_text(shown_m), allowed, "Check launch cord and tail.")
    count = along_m / (FEET_M if mark_unit == "ft" else 1.0)
    mark = near_mark + (count if counts == "up" else -count)
    if mark < 0:
        raise Refused(
            "range", "counts", counts, "a direction in which the mark stays above 0", "Check which way the marks count."
        )
    working = [
        "fibre = (" + short_text(shown_m, 7) + " - " + short_text(launch_m) + ") * " + short_text(index_set, 6) + " / "
        + short_text(index_true, 6) + " = " + text(fibre_m, 2) + " m",
        "sheath = (" + text(fibre_m, 2) + " - " + short_text(tail_m) + ") / " + short_text(1.0 + excess, 6) + " = " + text(along_m, 2) + " m",
        "mark = " + short_text(near_mark, 8) + (" + " if counts == "up" else " - ") + text(count, 2) + " = " + text(mark, 2),
    ]  # fmt: skip
    return {"results": {"fibre_distance": fibre_m, "sheath_distance": along_m, "mark": mark}, "working": working, "notes": []}


def both_ends(near_sheath_m: float, far_sheath_m: float, sheath_length_m: float) -> dict:
    """One event found from both ends: by how much the two miss each other, and the place that shares the miss.

    miss = near + far - sheath; place = near * sheath / (near + far)

    Inputs:
        near_sheath (m, above 0 to 200000): sheath distance from the near end
        far_sheath (m, above 0 to 200000): sheath distance from the far end
        sheath_length (m, above 0 to 200000): sheath from end to end, by the marks
    Result:
        miss (m): what near and far together are too long
        place (m): sheath distance from the near end, the miss shared in proportion
        agrees (word): false when they miss by more than 2 m and more than 1 percent
    Errors: Refused outside the ranges.
    Holds: both for the same event.
    Source: Common practice | | location from both ends | practice
    Example: near_sheath=293.407 far_sheath=147.198 sheath_length=441 gives miss -0.395 m, place 293.67 m
    """
    above_zero(near_sheath_m, 200000, "near_sheath", "m")
    above_zero(far_sheath_m, 200000, "far_sheath", "m")
    above_zero(sheath_length_m, 200000, "sheath_length", "m")
    together = near_sheath_m + far_sheath_m
    miss = together - sheath_length_m
    place = near_sheath_m * sheath_length_m / together
    agrees = abs(miss) <= max(2.0, 0.01 * sheath_length_m) + 1e-9
    working = [
        "miss = " + text(near_sheath_m, 2) + " + " + text(far_sheath_m, 2) + " - " + text(sheath_length_m, 2) + " = " + text(miss, 2) + " m",
        "place = " + text(place, 2) + " m from the near end",
    ]  # fmt: skip
    notes = (
        [] if agrees else ["They miss each other by too much: an index, the excess or a mark is wrong, or it is not one event."]
    )
    return {"results": {"miss": miss, "place": place, "agrees": agrees}, "working": working, "notes": notes}


def short_distance(pair_loop_ohm: float, loop_ohm_km: float) -> dict:
    """Distance to a hard short across a pair, by its loop resistance.

    distance = loop / loop resistance per km

    Inputs:
        pair_loop (ohm, 0 to 10000): loop read into the shorted pair, test leads taken off
        loop_ohm_km (ratio, above 0 to 2000): loop of the good pair in ohm per km, twice one conductor
    Result:
        distance (m): cable from the instrument to the short
    Errors: Refused outside the ranges.
    Holds: a short without resistance of its own; the cable at the temperature that the loop is given for.
    Source: Two conductors in a loop | | ratio of resistances | practice
    Example: short_distance(6.2, 168.4) gives distance 36.82 m
    """
    between(pair_loop_ohm, 0, 10000, "pair_loop", "ohm")
    above_zero(loop_ohm_km, 2000, "loop_ohm_km")
    distance = pair_loop_ohm / loop_ohm_km * 1000.0
    line = short_text(pair_loop_ohm) + " ohm / " + short_text(loop_ohm_km) + " ohm per km = " + text(distance, 2) + " m"
    return {"results": {"distance": distance}, "working": [line], "notes": []}
