"""Several earth rods at a spacing of one's own, and what a clamp-on reading says of like electrodes."""

import math

from .errors import Refused
from .numbers import short_text, text
from .ranges import above_zero, between

# BS 7430 factor for rods in a line, by their number; from memory
LINE_FACTOR = {2: 1.00, 3: 1.66, 4: 2.15, 5: 2.54, 6: 2.87, 7: 3.15, 8: 3.39, 9: 3.61, 10: 3.81}


def one_rod_ohm(resistivity_ohm_m: float, length_m: float, diameter_mm: float) -> float:
    """rho / (2 pi L) * (ln(8 L / d) - 1), d the DIAMETER. Source: BS 7430, Dwight 1936 (seen in two or more public places)."""
    return resistivity_ohm_m / (2.0 * math.pi * length_m) * (math.log(8.0 * length_m / (diameter_mm / 1000.0)) - 1.0)


def two_rods_ohm(resistivity_ohm_m: float, length_m: float, diameter_mm: float, spacing_m: float) -> float:
    """Two rods joined, further apart than they are long: half of one rod, plus what they share of the soil.

    rho / (4 pi L) (ln(8 L / d) - 1) + rho / (4 pi s) (1 - L^2/(3 s^2) + 2 L^4/(5 s^4)). Source: Dwight 1936, IEEE 142, from memory.
    """
    near = (length_m / spacing_m) * (length_m / spacing_m)
    shared = resistivity_ohm_m / (4.0 * math.pi * spacing_m) * (1.0 - near / 3.0 + 2.0 * near * near / 5.0)
    return one_rod_ohm(resistivity_ohm_m, length_m, diameter_mm) / 2.0 + shared


def joined_ohm(one_ohm: float, rods: int, factor: float, resistivity_ohm_m: float, spacing_m: float) -> float:
    """R (1 + lambda alpha) / n with alpha = rho / (2 pi R s). Source: BS 7430 (seen in one public place)."""
    alpha = resistivity_ohm_m / (2.0 * math.pi * one_ohm * spacing_m)
    return one_ohm * (1.0 + factor * alpha) / rods


def rods_in_line(resistivity_ohm_m: float, length_m: float, diameter_mm: float, rods: int, spacing_m: float) -> dict:
    """Resistance of rods in a line, joined, at a spacing of one's own.

    one = rho / (2 pi L) * (ln(8 L / d) - 1); alpha = rho / (2 pi one * spacing); all = one * (1 + lambda * alpha) / n

    Inputs:
        resistivity (ohm*m, above 0 to 100000): of the soil
        length (m, above 0 to 100): driven length of each rod
        diameter (mm, above 0 to 200): diameter of the rods
        rods (count, 2 to 10): how many stand in the line
        spacing (m, above 0 to 1000): from rod to rod
    Result:
        one_rod (ohm): one rod alone
        all_rods (ohm): all of them joined
        two_rods (ohm): for two rods, by the longer formula beside it
    Errors: Refused for rods closer than they are long, and for a rod thicker than a tenth of its length.
    Holds: uniform soil, like rods, spacing of one rod length or more; the factors lambda are from memory.
    Source:
        BS 7430 | 2011 | vertical rod | 2+
        BS 7430 | 2011 | several rods, 1 + lambda alpha | 1
        BS 7430 | 2011 | rods in a line, factor lambda | memory
        IEEE 142 | | two rods at a spacing, Dwight 1936 | memory
    Example: rods_in_line(100.0, 2.4, 16.0, 3, 5.0) gives one_rod 40.39 ohm, all_rods 15.22 ohm
    """
    above_zero(resistivity_ohm_m, 100000, "resistivity", "ohm*m")
    above_zero(length_m, 100, "length", "m")
    above_zero(diameter_mm, min(200.0, length_m * 100.0), "diameter", "mm", "The formula is for a thin rod.")
    if rods not in LINE_FACTOR:
        raise Refused("range", "rods", rods, "2 to 10", "The table of factors ends there.")
    between(spacing_m, length_m, 1000, "spacing", "m", "Closer than one rod length the formula does not hold.")
    one = one_rod_ohm(resistivity_ohm_m, length_m, diameter_mm)
    everything = joined_ohm(one, rods, LINE_FACTOR[rods], resistivity_ohm_m, spacing_m)
    results = {"one_rod": one, "all_rods": everything}
    alpha = resistivity_ohm_m / (2.0 * math.pi * one * spacing_m)
    working = [
        "one rod = " + text(one, 2) + " ohm",
        "alpha = " + short_text(alpha) + ", lambda = " + short_text(LINE_FACTOR[rods]),
        "all rods = " + text(everything, 2) + " ohm",
    ]
    if rods == 2:
        results["two_rods"] = two_rods_ohm(resistivity_ohm_m, length_m, diameter_mm, spacing_m)
        working.append("by the formula for two rods = " + text(results["two_rods"], 2) + " ohm")
    return {"results": results, "working": working, "notes": []}


def clamp_of_like(reading_ohm: float, electrodes: int) -> dict:
    """What one electrode of several like ones has, from the loop that a clamp-on meter shows.

    one = reading * (n - 1) / n

    Inputs:
        reading (ohm, 0 to 100000): shown by the clamp
        electrodes (count, 2 to 1000): how many like electrodes are joined, with the one clamped
    Result:
        one (ohm): of one electrode
    Errors: Refused outside the ranges.
    Holds: electrodes alike and far enough apart not to share soil; bonds without resistance.
    Source: Two resistances in a loop, n alike | | arithmetic, derived | memory
    Example: clamp_of_like(12.0, 6) gives one 10 ohm
    """
    between(reading_ohm, 0, 100000, "reading", "ohm")
    between(electrodes, 2, 1000, "electrodes")
    one = reading_ohm * (electrodes - 1) / electrodes
    count = str(int(electrodes))
    line = short_text(reading_ohm) + " * " + str(int(electrodes) - 1) + " / " + count + " = " + short_text(one) + " ohm"
    notes = []
    if reading_ohm < 1:
        notes.append("Below 1 ohm it is most likely a loop of metal that does not pass through soil.")
    return {"results": {"one": one}, "working": ["one of " + count + " = " + line], "notes": notes}
