"""Balanced copper pairs: limits against frequency, conductor resistance, what the conductor is made of, lengths."""

import math

from . import limits
from .constants import LIGHT_M_PER_NS
from .copper_limits import limit_at
from .errors import Refused
from .numbers import short_text, text
from .ranges import above_zero, between, one_of

COPPER_OHM_MM2_PER_M = 0.017241  # annealed copper at 20 degC
COPPER_PER_DEGC = 0.00393  # its growth of resistance per degC, from 20 degC
TIA_FILE = "tia-568.2-d"
ISO_FILE = "iso-11801-1-2017-copper"
PRACTICE_FILE = "copper-practice"
CLASSES = {"D": "5e", "E": "6", "EA": "6A"}
QUANTITIES = ["insertion_loss", "next", "psnext", "acrf", "psacrf", "return_loss", "delay", "skew"]
NOMINAL_MHZ = 10.0  # where a delay that is given as one number is specified
_DERATING = {"22": 0.2, "24": 0.2, "26": 0.5}  # stranded cords lose this much more than the fixed cable


def copper_limit(quantity: str, category: str, setup: str, frequency_mhz: float | None = None) -> dict:
    """The limit of a transmission quantity of balanced cabling at one frequency.

    limit = the edition's formula or table for the category, at the frequency

    Inputs:
        quantity (word: insertion_loss next psnext acrf psacrf return_loss delay skew): what is measured
        category (word: 5e 6 6A D E EA): category by TIA (5e, 6, 6A) or class by ISO/IEC (D, E, EA)
        setup (word: channel permanent_link): with its cords, or socket to socket
        frequency (MHz, 1 to 500, optional): frequency; delay and skew are taken at 10 MHz when it is left out
    Result:
        limit (dB): the limit, in dB; in ns for delay and skew
    Errors: Refused for a word not listed, a missing frequency, and a frequency above the category's range (100, 250 or 500 MHz).
    Holds: at 20 degC, for the full length of the setup; a short link may measure far inside it.
    Source:
        ANSI/TIA-568.2-D | 2018 | clause 6 | memory
        ISO/IEC 11801-1 | 2017 | clauses 6 and 7 | memory
    Example: copper_limit("next", "6", "channel", 100.0) gives limit 39.9 dB
    """
    one_of(quantity, QUANTITIES, "quantity")
    one_of(category, ["5e", "6", "6A", "D", "E", "EA"], "category")
    one_of(setup, ["channel", "permanent_link"], "setup")
    file_id, row = limit_row(ISO_FILE if category in CLASSES else TIA_FILE, quantity, CLASSES.get(category, category), setup)
    if frequency_mhz is None and quantity not in ("delay", "skew"):
        raise Refused("missing", "frequency", None, "a frequency in MHz", "Give the frequency that the limit is wanted at.")
    frequency_mhz = NOMINAL_MHZ if frequency_mhz is None else frequency_mhz
    limit = limit_at(row, frequency_mhz)
    working = [
        quantity.replace("_", " ")
        + ", "
        + category
        + ", "
        + setup.replace("_", " ")
        + ", at "
        + short_text(frequency_mhz)
        + " MHz: limit "
        + text(limit, 2)
        + " "
        + row["unit"]
    ]
    notes = [row["note"]] if "note" in row else []
    return {
        "results": {"limit": limit},
        "units": {"limit": row["unit"]},
        "working": working,
        "notes": notes,
        "source": [limits.source(file_id, row)],
    }


def limit_row(file_id: str, quantity: str, category: str, setup: str) -> list:
    """[file id, row] of a transmission limit. category: 5e, 6 or 6A, also for the classes D, E, EA of the ISO file."""
    return [file_id, limits.row(file_id, quantity + ":" + category + ":" + setup)]


def cord_allowance(fixed_length_m: float, awg: str) -> dict:
    """How long all stranded cords of a channel may be together, given the fixed cable.

    cords = (102 - fixed length) / (1 + D), D = 0.2 for 22 and 24 AWG, 0.5 for 26 AWG

    Inputs:
        fixed_length (m, 0 to 90): length of the fixed cable, socket to socket
        awg (word: 22 24 26): conductor of the cords
    Result:
        cords_total (m): all cords of both ends together
    Errors: Refused for a fixed cable above 90 m and a conductor not listed.
    Holds: printed for 70 to 90 m of fixed cable; a cord at the work place stays at 22 m or less.
    Source: ANSI/TIA-568.1 | D | multi-user outlet clause | 2+
    Example: cord_allowance(90.0, "24") gives cords_total 10 m
    """
    between(fixed_length_m, 0, 90, "fixed_length", "m", "Fixed cable never goes above 90 m in a channel.")
    extra = _DERATING[one_of(awg, ["22", "24", "26"], "awg")]
    total = (102.0 - fixed_length_m) / (1.0 + extra)
    working = [
        "cords = (102 - " + short_text(fixed_length_m) + ") / (1 + " + short_text(extra) + ") = " + short_text(total) + " m"
    ]
    notes = ["Round down to whole metres: " + str(int(total + 1e-9)) + " m."]
    if fixed_length_m < 70:
        notes.append("The printed table begins at 70 m of fixed cable; no single cord should be longer than 22 m.")
    return {"results": {"cords_total": total}, "working": working, "notes": notes}


def length_at_temperature(temperature_degc: float, screened: bool) -> dict:
    """How long fixed cable may be when it lies warm, with 10 m of cords at 20 degC.

    the edition's table at its temperatures; between them 90 m / (growth of loss), not below the next warmer row

    Inputs:
        temperature (degC, -40 to 60): average temperature of the cable
        screened (word: true false): screened cable
    Result:
        fixed_length_max (m): longest fixed cable
    Errors: Refused above 60 degC, where cable and limit end.
    Holds: up to 20 degC it is 90 m.
    Source: ANSI/TIA-568.2-D | 2018 | temperature annex | memory
    Example: length_at_temperature(40.0, False) gives fixed_length_max 84 m
    """
    between(temperature_degc, -40, 60, "temperature", "degC", "Choose a cooler route: cable is rated to 60 degC.")
    row = limits.row(TIA_FILE, "length_at_temperature:" + ("screened" if screened else "unscreened"))
    growth = loss_growth(temperature_degc, screened)
    length, where = _length_in_table(row["table"], temperature_degc, 90.0 / growth)
    working = [
        "loss grows by the factor " + text(growth, 3) + " from 20 degC; 90 m / factor = " + text(90.0 / growth, 1) + " m",
        where + ": " + text(length, 1) + " m",
    ]
    return {"results": {"fixed_length_max": length}, "working": working, "notes": []}


def _length_in_table(table: list, temperature_degc: float, by_growth: float) -> tuple:
    for point in table:
        if temperature_degc == float(point[0]) or temperature_degc <= 20:
            return float(point[1]), "table at " + point[0] + " degC"
        if temperature_degc < float(point[0]):
            return max(by_growth, float(point[1])), "between rows, not below the row for " + point[0] + " degC"
    raise Refused("range", "temperature", temperature_degc, "up to " + table[-1][0] + " degC")


def loss_growth(temperature_degc: float, screened: bool) -> float:
    """Factor on insertion loss against 20 degC: 0.4 % a degree to 40 degC, 0.6 % above (unscreened); 0.2 % (screened); 1 below 20 degC."""
    if screened:
        return 1.0 + 0.002 * max(0.0, temperature_degc - 20.0)
    return 1.0 + 0.004 * max(0.0, min(temperature_degc, 40.0) - 20.0) + 0.006 * max(0.0, temperature_degc - 40.0)


def conductor_ohm_per_m(awg: float, temperature_degc: float = 20.0) -> float:
    """One solid copper conductor: rho / (pi d^2 / 4), d = 0.127 * 92^((36-n)/39) mm, times 1 + 0.00393 (T - 20)."""
    diameter_mm = 0.127 * 92.0 ** ((36.0 - awg) / 39.0)
    area_mm2 = math.pi * diameter_mm * diameter_mm / 4.0
    return COPPER_OHM_MM2_PER_M / area_mm2 * copper_growth(temperature_degc)


def copper_growth(temperature_degc: float) -> float:
    """Factor on the resistance of copper against 20 degC: 1 + 0.00393 (T - 20)."""
    return 1.0 + COPPER_PER_DEGC * (temperature_degc - 20.0)


def conductor_resistance(awg: float, length_m: float, temperature_degc: float = 20.0) -> dict:
    """Resistance of one solid copper conductor and of a pair looped at the far end.

    conductor = 0.017241 / (pi d^2 / 4) * length * (1 + 0.00393 (T - 20)), d = 0.127 * 92^((36 - n)/39) mm; loop = 2 * conductor

    Inputs:
        awg (count, 10 to 30): conductor size number
        length (m, 0 to 10000): length of the cable
        temperature (degC, -40 to 90, 20): temperature of the conductor
    Result:
        conductor (ohm): one conductor
        pair_loop (ohm): out and back along one pair
    Errors: Refused outside the ranges.
    Holds: solid copper; stranded is 2 to 5 % above, and the lay of the pairs adds 2 to 4 % of length.
    Source: ASTM B258 conductor sizes with IEC 60028 copper | | size rule and resistivity | 2+
    Example: conductor_resistance(24, 100.0) gives conductor 8.42 ohm and pair_loop 16.84 ohm
    """
    between(awg, 10, 30, "awg")
    between(length_m, 0, 10000, "length", "m")
    between(temperature_degc, -40, 90, "temperature", "degC")
    per_m = conductor_ohm_per_m(awg, temperature_degc)
    conductor = per_m * length_m
    working = [
        short_text(awg) + " AWG copper at " + short_text(temperature_degc) + " degC: " + short_text(per_m * 1000.0) + " ohm/km",
        "conductor = "
        + short_text(per_m * 1000.0)
        + " ohm/km * "
        + short_text(length_m / 1000.0)
        + " km = "
        + short_text(conductor)
        + " ohm",
        "pair loop = 2 * conductor = " + short_text(2.0 * conductor) + " ohm",
    ]
    return {"results": {"conductor": conductor, "pair_loop": 2.0 * conductor}, "working": working, "notes": []}


def conductor_material(pair_loop_ohm: float, length_m: float, awg: float, temperature_degc: float = 20.0) -> dict:
    """Is it copper? Loop ohms per metre against solid copper of the same size.

    ratio = loop at 20 degC / (2 * copper ohm per metre * length); up to 1.08 copper, from 1.30 not copper, between: query

    Inputs:
        pair_loop (ohm, above 0 to 10000): loop resistance of one pair, test leads taken off
        length (m, above 0 to 10000): length of the cable, from its sheath marks
        awg (count, 22 to 26): conductor size as printed on the jacket
        temperature (degC, -40 to 90, 20): temperature of the cable when it was measured
    Result:
        ratio (ratio): measured loop against copper
        finding (word): copper, query or not_copper
    Errors: Refused outside the ranges.
    Holds: it cannot tell a thinner copper conductor from copper-clad aluminium: scrape one to see.
    Source:
        Common practice | | loop resistance against copper | practice
        ASTM B566 | | copper-clad aluminium, 1.59 times copper | memory
    Example: conductor_material(26.8, 100.0, 24) gives ratio 1.59, finding not_copper
    """
    above_zero(pair_loop_ohm, 10000, "pair_loop", "ohm")
    above_zero(length_m, 10000, "length", "m")
    between(awg, 22, 26, "awg")
    between(temperature_degc, -40, 90, "temperature", "degC")
    expected = 2.0 * conductor_ohm_per_m(awg) * length_m
    at_20 = pair_loop_ohm / copper_growth(temperature_degc)
    ratio = at_20 / expected
    working = [
        "measured loop brought to 20 degC = "
        + short_text(at_20)
        + " ohm, "
        + short_text(at_20 / length_m * 100.0)
        + " ohm per 100 m",
        "copper of " + short_text(awg) + " AWG, " + short_text(length_m) + " m: loop " + short_text(expected) + " ohm",
        "ratio = " + short_text(at_20) + " / " + short_text(expected) + " = " + text(ratio, 2),
    ]
    return {
        "results": {"ratio": ratio, "finding": material_finding(ratio)},
        "working": working,
        "notes": _material_notes(ratio, at_20 / length_m),
    }


def material_finding(ratio: float) -> str:
    """copper, query or not_copper, by the two bounds of common practice."""
    if ratio <= float(limits.row(PRACTICE_FILE, "material_copper")["value"]):
        return "copper"
    return "query" if ratio < float(limits.row(PRACTICE_FILE, "material_not_copper")["value"]) else "not_copper"


def _material_notes(ratio: float, loop_ohm_per_m: float) -> list:
    notes = []
    finding = material_finding(ratio)
    if finding == "not_copper":
        notes.append(
            "Points to copper-clad aluminium or steel, or to a thinner conductor than printed. Scrape one conductor to see."
        )
    if finding == "query":
        notes.append("Check the gauge on the jacket, the temperature, the cords in the loop and the length before judging.")
    bound = 2.0 * float(limits.row(TIA_FILE, "conductor")["value"]) / 100.0
    if loop_ohm_per_m > bound:
        notes.append(
            "Above " + short_text(bound * 100.0) + " ohm loop per 100 m no solid category cable complies, whatever its gauge."
        )
    if ratio < 0.9:
        notes.append("Less than copper of this gauge can have: the gauge or the length is not right.")
    return notes


def electrical_length(delay_ns: float, nvp: float) -> dict:
    """Length of a pair from the time that a signal takes along it, one way.

    length = nvp * 0.299792458 m/ns * delay

    Inputs:
        delay (ns, 0 to 20000): one-way delay; half of what a reflection takes
        nvp (ratio, 0.4 to 1): velocity factor of the cable, from its data sheet
    Result:
        length (m): length along the pair
    Errors: Refused outside the ranges.
    Holds: as good as the velocity factor; pairs of one cable differ by 2 to 5 % by their twist.
    Source: Definition of the velocity factor; speed of light 299 792 458 m/s | SI | exact | 2+
    Example: electrical_length(555.0, 0.69) gives length 114.81 m
    """
    between(delay_ns, 0, 20000, "delay", "ns")
    between(nvp, 0.4, 1, "nvp")
    length = nvp * LIGHT_M_PER_NS * delay_ns
    working = [
        "length = " + short_text(nvp) + " * 0.299792458 m/ns * " + short_text(delay_ns) + " ns = " + text(length, 2) + " m"
    ]
    return {"results": {"length": length}, "working": working, "notes": []}
