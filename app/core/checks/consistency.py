"""Readings that contradict each other: each may pass alone, yet one of them is wrong.

Others of the kind stand with their subject: lengths and marks in route.py and fibre_lengths.py, wavelengths and directions in fibre_compared.py,
the floor of a loss in fibre_loss.py, references in fibre_reference.py, ohms per metre in copper_material.py, calibration in instruments.py.
"""

from .. import limits
from ..constants import LIGHT_M_PER_NS
from ..kinds import METAL_MEDIA
from ..numbers import short_text, text
from . import base, judging, lengths, power_case

FILE = "consistency"
_AS_SET = 0.02  # jackets and instruments give whole hundredths: what lies two of them off or less is no other setting


def velocity(link: dict, site: dict) -> list:
    """Delay against length: the velocity factor that the two make. Outside what any cable has, the delay or the length is wrong."""
    if link["medium"] not in METAL_MEDIA:
        return []
    sheath, held = lengths.sheath(link), base.latest(link, "propagation_delay", ["pair"])
    if sheath is None or sheath["m"] == 0:
        return []
    return [_velocity(link, sheath, row) for row in held if base.reading_number(row["reading"], "ns") > 0]


def _velocity(link: dict, sheath: dict, held: dict) -> dict:
    delay_ns, pair = base.reading_number(held["reading"], "ns"), held["keys"]["pair"]
    found = sheath["m"] / (LIGHT_M_PER_NS * delay_ns)
    low, high = limits.row(FILE, "velocity:low"), limits.row(FILE, "velocity:high")
    row = low if found < float(low["value"]) else high
    line = (
        "velocity factor = "
        + text(sheath["m"], 2)
        + " m / (0.299792458 m/ns * "
        + short_text(delay_ns)
        + " ns) = "
        + text(found, 3)
    )
    check = judging.by_row(
        "velocity",
        [["pair", pair]] if pair else [],
        "copper",
        "Delay against length" + (", pair " + pair if pair else ""),
        found,
        FILE,
        row,
        working=sheath["working"] + [line],
        readings=[held["reading"]],
        notes=_set_velocity(link, found) + sheath["notes"],
        required=False,
    )
    if check["verdict"] == base.FAIL:
        check["notes"].insert(0, "The delay, a sheath mark, or slack that is not recorded is wrong.")
    return check


def _set_velocity(link: dict, found: float) -> list:
    """The velocity factor that was set on the instrument, where it is not what length and delay make."""
    stated = base.decimal(link, "velocity")
    if stated is None or abs(stated - found) <= _AS_SET:
        return []
    return [
        "The link states a velocity factor of " + short_text(stated) + "; with it an instrument shows " + text(stated / found, 3)
        + " of the length."
    ]  # fmt: skip


def skew_agreement(link: dict, site: dict) -> list:
    """Skew as the instrument shows it against the spread of the delays of the four pairs."""
    if link["medium"] not in METAL_MEDIA:
        return []
    shown = base.newest(link, "delay_skew")
    delays = [held for held in base.latest(link, "propagation_delay", ["pair"]) if held["keys"]["pair"]]
    if shown is None or len(delays) < 4:
        return []
    values = [base.reading_number(held["reading"], "ns") for held in delays]
    spread, skew = max(values) - min(values), base.reading_number(shown, "ns")
    line = "|" + short_text(skew) + " - (" + short_text(max(values)) + " - " + short_text(min(values)) + ")| ns"
    return [
        judging.by_row(
            "skew_agreement",
            [],
            "copper",
            "Skew shown against the delays of the pairs",
            abs(skew - spread),
            FILE,
            limits.row(FILE, "skew_difference"),
            working=[line],
            readings=[shown] + [held["reading"] for held in delays],
            required=False,
        )
    ]


def voltage_drop(link: dict, site: dict) -> list:
    """Voltage lost on the way: never a gain, and near what current and resistance make of it when the power drawn was read too."""
    source, far = base.newest(link, "source_voltage"), base.newest(link, "far_voltage")
    if link["medium"] not in METAL_MEDIA or source is None or far is None:
        return []
    source_v, far_v = base.reading_number(source, "V"), base.reading_number(far, "V")
    line = "drop = " + short_text(source_v) + " - " + short_text(far_v) + " = " + short_text(source_v - far_v) + " V"
    if source_v < far_v:
        notes = ["More arrives than is sent: the two were not read at the same time, or a meter or its place is wrong."]
        row = limits.row(FILE, "voltage_rise")
        return [_drop("voltage_order", source_v - far_v, row, [line], [source, far], notes)]
    return _against_calculated(link, source, far, line)


def _against_calculated(link: dict, source: dict, far: dict, line: str) -> list:
    drawn, cable = base.newest(link, "far_power"), power_case.cable(link)
    far_v = base.reading_number(far, "V")
    if drawn is None or "missing" in cable or far_v <= 0:
        return []
    current, ohm = base.reading_number(drawn, "W") / far_v, power_case.ohm_of(link, cable)
    expected, measured = current * ohm, base.reading_number(source, "V") - far_v
    lines = [
        power_case.ohm_line(link, cable),
        line,
        "expected = " + short_text(base.reading_number(drawn, "W")) + " W / " + short_text(far_v) + " V * " + short_text(ohm)
        + " ohm = " + text(expected, 2) + " V",
    ]  # fmt: skip
    notes = ["More drop than the cable makes: a poor contact or joint."] if measured > expected else []
    row = limits.row(FILE, "voltage_difference")
    check = _drop("voltage_drop", abs(measured - expected), row, cable["working"] + lines, [source, far, drawn], [])
    check["notes"] = notes if check["verdict"] == base.FAIL else []
    return [check]


def _drop(rule: str, measured: float, row: dict, working: list, readings: list, notes: list) -> dict:
    title = (
        "Voltage drop on the cable against what was drawn"
        if rule == "voltage_drop"
        else "Voltage at the source against the far end"
    )
    more = {"working": working, "readings": readings, "notes": notes, "required": False}
    return judging.by_row(rule, [], "power", title, measured, FILE, row, **more)


RULES = [velocity, skew_agreement, voltage_drop]
