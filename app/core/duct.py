"""Several like cables in one duct: do three of them jam, how much heavier they pull, how much room is left, what a bend presses."""

import math

from . import limits
from .errors import Refused
from .numbers import short_text, text
from .ranges import above_zero, between

LIMITS = "ducts"
TRIANGLE_BELOW = 2.4
BEND_OVALITY = 1.05


def jam_ratio(inside_diameter_mm: float, cable_mm: float) -> float:
    """1.05 D / d, with the 5 percent that a bend makes the duct wider one way. Source: pulling handbooks, from memory."""
    return BEND_OVALITY * inside_diameter_mm / cable_mm


def weight_correction(inside_diameter_mm: float, cable_mm: float, lie: str) -> float:
    """Factor on the weight of three like cables, by how they lie; k = d / (D - d).

    triangle: 1 / sqrt(1 - k^2); cradle: 1 + 4/3 k^2. Errors: Refused where three do not fit. Source: pulling handbooks, from memory.
    """
    share = _share(inside_diameter_mm, cable_mm)
    return 1.0 / math.sqrt(1.0 - share * share) if lie == "triangle" else 1.0 + 4.0 / 3.0 * share * share


def clearance_mm(inside_diameter_mm: float, cable_mm: float) -> float:
    """Room above three like cables in a triangle: D/2 - 1.366 d + (D - d)/2 * sqrt(1 - k^2). Source: pulling handbooks, from memory."""
    share = _share(inside_diameter_mm, cable_mm)
    rise = (inside_diameter_mm - cable_mm) / 2.0 * math.sqrt(1.0 - share * share)
    return inside_diameter_mm / 2.0 - 1.366 * cable_mm + rise


def _share(inside_diameter_mm: float, cable_mm: float) -> float:
    """k = d / (D - d), below 1 where three like cables have room: D above 2 d, and 2.1547 d to hold the triangle."""
    least = cable_mm * (1.0 + 2.0 / math.sqrt(3.0))
    if inside_diameter_mm < least - 1e-9:
        allowed = "a bore of " + short_text(least) + " mm or more for three cables of " + short_text(cable_mm) + " mm"
        raise Refused("range", "inside_diameter", short_text(inside_diameter_mm), allowed, "Three of them do not fit.")
    return cable_mm / (inside_diameter_mm - cable_mm)


def sidewall_three_n_m(tension_n: float, radius_m: float, correction: float, lie: str) -> float:
    """Force on the most pressed of three cables per metre of bend: cradle (3 Wc - 2) T / (3 R), triangle Wc T / (2 R); T of all three.

    Source: IEEE 525 annex J: triangle seen in one public place, cradle from memory.
    """
    if lie == "triangle":
        return correction * tension_n / (2.0 * radius_m)
    return (3.0 * correction - 2.0) * tension_n / (3.0 * radius_m)


def three_cables(
    inside_diameter_mm: float, cable_mm: float, friction: float = 0.5, tension_n: float = 0.0, bend_radius_m: float = 1.0
) -> dict:
    """Three like cables pulled together through a duct: jamming, weight, room and force in a bend.

    jam ratio = 1.05 D / d; k = d / (D - d); weight: triangle 1 / sqrt(1 - k^2), cradle 1 + 4/3 k^2
    room = D/2 - 1.366 d + (D - d)/2 * sqrt(1 - k^2); sidewall: triangle W T / (2 R), cradle (3 W - 2) T / (3 R)

    Inputs:
        inside_diameter (mm, above 0 to 2000): bore of the duct
        cable (mm, above 0 to 500): outside diameter of one cable
        friction (ratio, above 0 to 2, 0.5): coefficient of friction of one cable
        tension (N, 0 to 100000, 0): tension of all three at the end of the bend
        bend_radius (m, above 0 to 100, 1): centre line of the bend
    Result:
        jam_ratio (ratio): from 2.8 to 3.2 they may wedge in a bend
        lie (word): triangle below 2.4, cradle above
        weight_correction (ratio): take the weight of all three times this, or the friction times this
        friction_corrected (ratio): friction to use with the weight of all three
        clearance (mm): room left above a triangle, wanted 6 mm or more
        sidewall (N/m): on the most pressed cable
    Errors: Refused where three do not fit.
    Holds: three cables alike, or three alike of four.
    Source:
        Pulling handbooks | | jam ratio band | 2+
        Pulling handbooks | | weight correction and clearance of three cables | memory
        IEEE 525 | annex J | sidewall of three cables, cradled | memory
        IEEE 525 | annex J | sidewall of three cables, triangle | 1
    Example: three_cables(101.6, 36.83) gives jam_ratio 2.897, lie cradle
    """
    above_zero(inside_diameter_mm, 2000, "inside_diameter", "mm")
    above_zero(cable_mm, 500, "cable", "mm")
    above_zero(friction, 2, "friction")
    between(tension_n, 0, 100000, "tension", "N")
    above_zero(bend_radius_m, 100, "bend_radius", "m")
    ratio = jam_ratio(inside_diameter_mm, cable_mm)
    lie = "triangle" if ratio < TRIANGLE_BELOW else "cradle"
    correction = weight_correction(inside_diameter_mm, cable_mm, lie)
    results = {
        "jam_ratio": ratio,
        "lie": lie,
        "weight_correction": correction,
        "friction_corrected": correction * friction,
        "clearance": clearance_mm(inside_diameter_mm, cable_mm),
        "sidewall": sidewall_three_n_m(tension_n, bend_radius_m, correction, lie),
    }
    working = [
        "jam ratio = 1.05 * " + short_text(inside_diameter_mm) + " / " + short_text(cable_mm) + " = " + text(ratio, 2),
        "they lie in a " + lie + ": weight times " + text(correction, 3),
        "room left = " + text(results["clearance"], 1) + " mm",
    ]
    return {"results": results, "working": working, "notes": _notes(ratio, results["clearance"])}


def _notes(ratio: float, room_mm: float) -> list:
    notes = []
    low, high, least = [limits.row(LIMITS, name)["value"] for name in ("jam:low", "jam:high", "clearance")]
    if float(low) <= ratio <= float(high):
        notes.append("In the band from " + low + " to " + high + " three like cables may wedge in a bend: choose another duct.")
    if room_mm < float(least):
        notes.append("Less than " + least + " mm of room: hard to pull.")
    return notes
