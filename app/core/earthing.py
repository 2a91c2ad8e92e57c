"""Earth and bonds: what a bond should measure, what a lead adds in a surge, and electrode resistance from readings."""

import math

from .conductors import BACKBONE, BACKBONE_LARGEST, metric_or_gauge, ohm_per_m
from .constants import FEET_M
from .electrodes import one_rod_ohm
from .errors import Refused
from .numbers import short_text, text
from .ranges import above_zero, between
from .slope import offset_of, potential_ratio, slope_holds, true_resistance

# IEEE 142 table for rods one length apart in line, triangle, square or circle; seen in two or more public places
ROD_FACTOR = {1: 1.0, 2: 1.16, 3: 1.29, 4: 1.36, 8: 1.68, 12: 1.80, 16: 1.92, 20: 2.00, 24: 2.16}
LEAD_HENRY_PER_M = 1e-6
_NEC = {"document": "NFPA 70 (NEC)", "edition": "2023", "clause": "chapter 9 table 8, brought from 75 degC", "seen": "2+"}
_IEC = {"document": "IEC 60228", "edition": "2004", "clause": "class 1 and 2, largest resistance", "seen": "2+"}


def bond_resistance(size: str, length_m: float, temperature_degc: float = 20.0) -> dict:
    """What a copper bonding conductor should measure, without its joints.

    resistance = table resistance per metre at the temperature * length

    Inputs:
        size (text): conductor as printed: AWG such as 6 or 1/0, 250 to 750 for kcmil, or 16mm2
        length (m, 0 to 1000): length of the conductor
        temperature (degC, -40 to 90, 20): its temperature
    Result:
        resistance (mohm): of the conductor alone
    Errors: Refused for a size that the tables do not hold.
    Holds: AWG 14 to 8 solid, thicker stranded; mm2 is the largest that the class allows.
    Source:
        NFPA 70 (NEC) | 2023 | chapter 9 table 8 | 2+
        IEC 60228 | 2004 | class 1 and 2 | 2+
    Example: bond_resistance("6", 6.096) gives resistance 8.08 mohm
    """
    between(length_m, 0, 1000, "length", "m")
    between(temperature_degc, -40, 90, "temperature", "degC")
    kind, _ = metric_or_gauge(size)
    per_m = ohm_per_m(size, temperature_degc) * 1000.0
    line = short_text(per_m) + " mohm/m * " + short_text(length_m) + " m = " + text(per_m * length_m, 2) + " mohm"
    working = [size + " copper at " + short_text(temperature_degc) + " degC: " + line]
    return {
        "results": {"resistance": per_m * length_m},
        "working": working,
        "notes": [],
        "source": [_IEC if kind == "mm2" else _NEC],
    }


def backbone_bond_size(length_m: float) -> dict:
    """Smallest copper conductor of a telecommunications bonding backbone of this length.

    2 kcmil per foot, rounded up to a size, at least 6 AWG, never above 750 kcmil

    Inputs:
        length (m, above 0 to 1000): length of the backbone, one way
    Result:
        size (word): AWG number, or kcmil
    Errors: Refused outside the range.
    Holds: copper. At 26 m the printed table takes 3/0, a hair below the rule.
    Source: ANSI/TIA-607 | D | bonding backbone size table | memory
    Example: backbone_bond_size(30.48) gives size 4/0
    """
    above_zero(length_m, 1000, "length", "m")
    size = BACKBONE_LARGEST
    for metres, feet, name in BACKBONE:
        if length_m <= max(metres, feet * FEET_M) + 1e-9:
            size = name
            break
    kcmil = 2.0 * length_m / FEET_M
    working = ["2 kcmil/ft * " + short_text(length_m / FEET_M) + " ft = " + short_text(kcmil) + " kcmil; table: " + size]
    return {"results": {"size": size}, "working": working, "notes": []}


def lead_voltage_v(current_a: float, rise_time_us: float, length_m: float) -> float:
    """Voltage along a straight lead in a surge: 1 uH/m * length * current / rise time."""
    return LEAD_HENRY_PER_M * length_m * current_a / (rise_time_us * 1e-6)


def lead_voltage(current_a: float, rise_time_us: float, length_m: float) -> dict:
    """Voltage that the lead of a surge protector adds while the surge rises.

    voltage = 1 uH/m * length * current / rise time

    Inputs:
        current (A, 0 to 200000): peak of the surge
        rise_time (us, above 0 to 1000): its front, 8 for the 8/20 wave
        length (m, 0 to 100): lead from line to protector to earth bar
    Result:
        voltage (V): along the lead, on top of the protector's own level
    Errors: Refused outside the ranges.
    Holds: a straight lead; a coiled one adds more.
    Source: IEC 60364-5-53 | 2001+A2 | clause 534, connecting leads | 2+
    Example: lead_voltage(8000.0, 8.0, 0.5) gives voltage 500 V
    """
    between(current_a, 0, 200000, "current", "A")
    above_zero(rise_time_us, 1000, "rise_time", "us")
    between(length_m, 0, 100, "length", "m")
    voltage = lead_voltage_v(current_a, rise_time_us, length_m)
    numbers = short_text(length_m) + " m * " + short_text(current_a, 6) + " A / " + short_text(rise_time_us) + " us"
    return {"results": {"voltage": voltage}, "working": ["1 uH/m * " + numbers + " = " + short_text(voltage) + " V"], "notes": []}


def earth_slope(r20_ohm: float, r40_ohm: float, r60_ohm: float, current_distance_m: float) -> dict:
    """Electrode resistance from three readings with the potential stake at 20, 40 and 60 % of the current stake's distance.

    mu = (r60 - r40) / (r40 - r20); the offset X of the electrical centre that gives this mu places the true potential stake

    Inputs:
        r20 (ohm, 0 to 100000): reading at 20 %
        r40 (ohm, 0 to 100000): reading at 40 %
        r60 (ohm, 0 to 100000): reading at 60 %
        current_distance (m, above 0 to 10000): distance of the current stake from the electrode
    Result:
        valid (word): false when the readings make no usable curve
        mu (ratio): slope coefficient, usable from 0.40 to 1.59
        potential_ratio (ratio): where the true reading lies, as a share of the current stake's distance
        resistance (ohm): of the electrode
        potential_distance (m): the same place as a distance
    Errors: Refused outside the ranges.
    Holds: uniform soil, stakes in one line; confirm in another direction or distance.
    Source: IEEE 81 | 2012 | slope method | 1
    Example: earth_slope(17.625, 19.083333, 19.916667, 20.0) gives mu 0.571, resistance 20.0 ohm
    """
    for reading, name in ((r20_ohm, "r20"), (r40_ohm, "r40"), (r60_ohm, "r60")):
        between(reading, 0, 100000, name, "ohm")
    above_zero(current_distance_m, 10000, "current_distance", "m")
    if r40_ohm <= r20_ohm or r60_ohm < r40_ohm:
        return {
            "results": {"valid": False},
            "working": [],
            "notes": ["The readings do not rise: not a valid curve. Move the stakes and repeat."],
        }
    mu = (r60_ohm - r40_ohm) / (r40_ohm - r20_ohm)
    rises = [short_text(high, 6) + " - " + short_text(low, 6) for high, low in ((r60_ohm, r40_ohm), (r40_ohm, r20_ohm))]
    working = ["mu = (" + rises[0] + ") / (" + rises[1] + ") = " + text(mu, 3)]
    if not slope_holds(mu):
        note = "The slope is outside 0.40 to 1.59, where the method ends. Move the current stake further out and repeat."
        return {"results": {"valid": False, "mu": mu}, "working": working, "notes": [note]}
    offset = offset_of(mu)
    ratio = potential_ratio(offset)
    resistance = true_resistance(r20_ohm, r40_ohm, offset)
    place = text(ratio, 3) + " * " + short_text(current_distance_m) + " m = " + text(ratio * current_distance_m, 2) + " m"
    working.append("potential stake belongs at " + place)
    working.append("resistance on the curve there = " + text(resistance, 2) + " ohm")
    results = {
        "valid": True,
        "mu": mu,
        "potential_ratio": ratio,
        "resistance": resistance,
        "potential_distance": ratio * current_distance_m,
    }
    return {"results": results, "working": working, "notes": []}


def soil_resistivity(spacing_m: float, resistance_ohm: float, stake_depth_m: float = 0.0) -> dict:
    """Soil resistivity from four stakes in line at equal spacing.

    2 pi a R for shallow stakes; with depth b: 4 pi a R / (1 + 2 a / sqrt(a^2 + 4 b^2) - a / sqrt(a^2 + b^2))

    Inputs:
        spacing (m, above 0 to 1000): distance from stake to stake
        resistance (ohm, 0 to 100000): reading
        stake_depth (m, 0 to 10, 0): how deep the stakes stand
    Result:
        resistivity (ohm*m): of the soil to about the depth of the spacing
    Errors: Refused outside the ranges.
    Holds: uniform soil; the form with depth takes the stakes as points at their depth.
    Source: IEEE 81 | 2012 | four-point method | 2+
    Example: soil_resistivity(6.096, 2.0) gives resistivity 76.6 ohm*m
    """
    above_zero(spacing_m, 1000, "spacing", "m")
    between(resistance_ohm, 0, 100000, "resistance", "ohm")
    between(stake_depth_m, 0, 10, "stake_depth", "m")
    square, depth_square = spacing_m * spacing_m, stake_depth_m * stake_depth_m
    divisor = 1.0 + 2.0 * spacing_m / math.sqrt(square + 4.0 * depth_square) - spacing_m / math.sqrt(square + depth_square)
    resistivity = 4.0 * math.pi * spacing_m * resistance_ohm / divisor
    numbers = short_text(spacing_m) + " m * " + short_text(resistance_ohm) + " ohm / " + short_text(divisor)
    working = ["4 pi * " + numbers + " = " + short_text(resistivity) + " ohm*m"]
    deep = stake_depth_m > spacing_m / 20.0 + 1e-12
    notes = (
        ["The stakes stand deeper than a twentieth of their spacing: the result leans on the form with depth."] if deep else []
    )
    return {"results": {"resistivity": resistivity}, "working": working, "notes": notes}


def rod_resistance(resistivity_ohm_m: float, length_m: float, diameter_mm: float, rods: int = 1) -> dict:
    """Resistance of one driven rod, and of several one rod length apart.

    one = rho / (2 pi L) * (ln(8 L / d) - 1), d the diameter; all = one * F / n, F from the table for n rods

    Inputs:
        resistivity (ohm*m, above 0 to 100000): of the soil
        length (m, above 0 to 100): driven length
        diameter (mm, above 0 to 200): diameter of the rod
        rods (count, 1 to 24, 1): 1, 2, 3, 4, 8, 12, 16, 20 or 24 rods
    Result:
        one_rod (ohm): one rod alone
        all_rods (ohm): all rods joined
    Errors: Refused outside the ranges, for a number of rods that the table does not hold, and for a rod thicker than a tenth of its length.
    Holds: uniform soil, rods one rod length apart in line, triangle, square or circle.
    Source:
        BS 7430 | 2011 | vertical rod | 2+
        IEEE 142 | 2007 | table 4-6, multiplying factors | 2+
    Example: rod_resistance(55.0, 3.0, 25.0) gives one_rod 17.12 ohm
    """
    above_zero(resistivity_ohm_m, 100000, "resistivity", "ohm*m")
    above_zero(length_m, 100, "length", "m")
    above_zero(diameter_mm, min(200.0, length_m * 100.0), "diameter", "mm", "The formula is for a thin rod.")
    if rods not in ROD_FACTOR:
        raise Refused(
            "word", "rods", rods, "1, 2, 3, 4, 8, 12, 16, 20 or 24", "The table holds these numbers and is not interpolated."
        )
    one = one_rod_ohm(resistivity_ohm_m, length_m, diameter_mm)
    everything = one * ROD_FACTOR[rods] / rods
    working = [
        "one rod = "
        + short_text(resistivity_ohm_m)
        + " / (2 pi * "
        + short_text(length_m)
        + ") * (ln(8 * "
        + short_text(length_m)
        + " / "
        + short_text(diameter_mm / 1000.0)
        + ") - 1) = "
        + text(one, 2)
        + " ohm"
    ]
    if rods > 1:
        working.append(
            "all rods = "
            + text(one, 2)
            + " * "
            + short_text(ROD_FACTOR[rods])
            + " / "
            + str(rods)
            + " = "
            + text(everything, 2)
            + " ohm"
        )
    return {"results": {"one_rod": one, "all_rods": everything}, "working": working, "notes": []}


def clamp_loop(resistances_ohm: list) -> dict:
    """What a clamp-on meter shows on one electrode of several that are joined: the loop through it and back through the rest.

    reading = R1 + 1 / (1/R2 + 1/R3 + ...)

    Inputs:
        resistances (list of ohm, above 0 to 100000): the electrode clamped first, then all others
    Result:
        reading (ohm): shown by the clamp
    Errors: Refused for fewer than two electrodes: an electrode alone has no loop.
    Holds: electrodes far enough apart not to share soil; bonds without resistance.
    Source: Two resistances in a loop; worked example for six equal electrodes | | arithmetic | 1
    Example: clamp_loop([10.0, 10.0, 10.0, 10.0, 10.0, 10.0]) gives reading 12 ohm
    """
    if len(resistances_ohm) < 2:
        remedy = "An electrode alone has no loop: the clamp shows over range."
        raise Refused("range", "resistances", len(resistances_ohm), "two or more electrodes", remedy)
    for resistance in resistances_ohm:
        above_zero(resistance, 100000, "resistances", "ohm")
    conductance = 0.0
    for resistance in resistances_ohm[1:]:
        conductance += 1.0 / resistance
    reading = resistances_ohm[0] + 1.0 / conductance
    working = [
        "others together = " + short_text(1.0 / conductance) + " ohm",
        "reading = "
        + short_text(resistances_ohm[0])
        + " + "
        + short_text(1.0 / conductance)
        + " = "
        + short_text(reading)
        + " ohm",
    ]
    notes = ["With two electrodes the clamp shows their sum."] if len(resistances_ohm) == 2 else []
    return {"results": {"reading": reading}, "working": working, "notes": notes}
