"""Optical fibre: the loss that cabling may have, plausibility of a measured loss, and time and length along the glass."""

import math

from . import limits as limit_files
from .constants import FEET_M, LIGHT_M_PER_NS
from .errors import Refused
from .numbers import parse_decimal, short_text, text, to_steps

MULTIMODE = ["OM1", "OM2", "OM3", "OM4", "OM5"]
DEFAULT_SET = "iso-14763-3-2024"
END_MATINGS_COUNTED = {"one_cord": 2, "two_cord": 1, "three_cord": 0}
METHOD_WORDS = {"one_cord": "one-cord", "two_cord": "two-cord", "three_cord": "three-cord"}


def mode_of(fibre: str) -> str:
    """Kind of fibre -> "MM" or "SM"."""
    return "MM" if fibre in MULTIMODE else "SM"


def fibre_allowance(
    fibre: str,
    wavelength_nm: float,
    length_m: float,
    connections: int,
    splices: int = 0,
    method: str = "one_cord",
    limits: str = DEFAULT_SET,
) -> dict:
    """Loss that a fibre link may have by a limit set: cable, end matings, inner matings and splices added up.

    allowance = attenuation * length / 1000 + ends * end mating + inner * mating + splices * splice

    Inputs:
        fibre (word: OM1 OM2 OM3 OM4 OM5 OS1 OS1a OS2): cabled fibre category
        wavelength (nm, 800 to 1700): 850 or 1300 on multimode, 1310 or 1550 on single-mode
        length (m, 0 to 100000): fibre or sheath length, measured
        connections (count, 0 to 100): mated pairs of the link, both ends included
        splices (count, 0 to 1000, 0): splices in the link
        method (word: one_cord two_cord three_cord, one_cord): how the reference was taken, one cord leaves both end matings in the result
        limits (word: iso-14763-3-2024 iso-14763-3-2014 iso-14763-3-2006 iso-11801-1-2017 tia-568.3-d tia-568.3-e, iso-14763-3-2024): limit set
    Result:
        allowance (dB): largest loss that passes
        connections_counted (count): mated pairs in the measured loss
        cable (dB): the cable's part
    Errors: a wavelength for which the limit set has no value on this fibre.
    Holds: for links measured with light source and power meter.
    Source:
        ISO/IEC 14763-3 | 2014 with Cor.1:2015 | permanent link formula | 1
        ISO/IEC 11801-1 | 2017 | cabled fibre categories, matings, splices | 2+
    Example: fibre=OS2 wavelength=1310 length=1200 connections=2 splices=2 limits=iso-14763-3-2014 gives 2.58 dB
    """
    found = allowance(fibre, short_text(wavelength_nm, 5), length_m, connections, splices, method, limits)
    results = {"allowance": found["allowance_db"], "connections_counted": found["counted"], "cable": found["cable_db"]}
    return {"results": results, "working": found["working"], "notes": found["notes"], "source": found["sources"]}


def allowance(fibre: str, wavelength: str, length_m: float, connections: int, splices: int, method: str, set_id: str) -> dict:
    """As `fibre_allowance`, for the checks: {"allowance_db", "parts" [[glass, connections or splices, dB]...], "cable_db", "counted", "ends",
    "working", "notes", "sources"}."""
    cable_row = attenuation_row(set_id, fibre, wavelength)
    end_row = limit_files.row(set_id, "end_mating:" + mode_of(fibre))
    inner_row, splice_row = limit_files.row(set_id, "mating"), limit_files.row(set_id, "splice")
    ends, inner = matings(connections, method)
    parts = [
        [
            "cable: " + cable_row["value"] + " dB/km x " + short_text(length_m / 1000.0, 6) + " km",
            float(cable_row["value"]) * length_m / 1000.0,
        ],
        [
            "end matings counted (" + METHOD_WORDS[method] + "): " + str(ends) + " x " + end_row["value"] + " dB",
            ends * float(end_row["value"]),
        ],
        ["inner matings: " + str(inner) + " x " + inner_row["value"] + " dB", inner * float(inner_row["value"])],
        ["splices: " + str(splices) + " x " + splice_row["value"] + " dB", splices * float(splice_row["value"])],
    ]
    total = 0.0
    for part in parts:
        total += part[1]
    working = [label + " = " + short_text(loss, 6) + " dB" for label, loss in parts]
    working.append("allowance = " + " + ".join([short_text(loss, 6) for _, loss in parts]) + " = " + text(total, 3) + " dB")
    used = [row for row, count in ((cable_row, 1), (end_row, ends), (inner_row, inner), (splice_row, splices)) if count]
    return {
        "allowance_db": total,
        "parts": [["glass", parts[0][1]], ["connections", parts[1][1] + parts[2][1]], ["splices", parts[3][1]]],
        "cable_db": parts[0][1],
        "counted": ends + inner,
        "ends": ends,
        "working": working,
        "notes": _cap_notes(set_id, fibre, length_m) + _row_notes(used),
        "sources": _sources(set_id, used),
    }


def attenuation_row(set_id: str, fibre: str, wavelength: str) -> dict:
    """The limit row of a fibre at a wavelength. Errors: Refused("word", "wavelength") with the wavelengths that the set has for it."""
    known = limit_files.rows(set_id, kind="attenuation", fibre=fibre)
    for row in known:
        if row["wavelength"] == wavelength:
            return row
    if not known:
        raise Refused("word", "fibre", fibre, "a fibre that " + set_id + " has values for", "Choose another limit set.")
    have = " or ".join([row["wavelength"] for row in known])
    raise Refused(
        "word", "wavelength", wavelength, have + " nm for " + fibre + " by " + set_id, "Choose one of these wavelengths."
    )


def matings(connections: int, method: str) -> tuple:
    """Mated pairs of a link, both ends included -> (end matings, inner matings) left in the measured loss by the reference method."""
    at_ends = min(connections, 2)
    return max(0, at_ends - (2 - END_MATINGS_COUNTED[method])), connections - at_ends


def _sources(set_id: str, rows: list) -> list:
    found = []
    for row in rows:
        source = limit_files.source(set_id, row)
        if source not in found:
            found.append(source)
    return found


def _row_notes(rows: list) -> list:
    return [row["clause"] + ": " + row["note"] for row in rows if row.get("note")]


def _cap_notes(set_id: str, fibre: str, length_m: float) -> list:
    for row in limit_files.rows(set_id, kind="length_cap", mode=mode_of(fibre)):
        if length_m > float(row["value"]):
            return [
                "The limit set's own table ends at "
                + row["value"]
                + " m for this kind of fibre; the formula is carried on beyond it."
            ]
    return []


def loss_fault(loss_db: float, length_m: float | None, wavelength: str, method: str) -> dict | None:
    """Is a measured loss possible at all? None when it is; else {"code", "reason", "row", "least_db"}.

    invalid_reference: below zero (one-cord) or below -0.10 dB (two- and three-cord). implausible_low: below the fibre's own floor.
    """
    lowest = limit_files.row("lengths", "negative:" + method)
    if to_steps(loss_db, 2) < to_steps(parse_decimal(lowest["value"]), 2):
        reason = (
            "bad reference: a passive link cannot give a loss below "
            + lowest["value"]
            + " dB, "
            + METHOD_WORDS[method]
            + " method"
        )
        return {"code": "invalid_reference", "reason": reason, "row": lowest, "least_db": parse_decimal(lowest["value"])}
    for row in limit_files.rows("lengths", wavelength=wavelength) if length_m is not None else []:
        floor_db = parse_decimal(row["value"]) * length_m / 1000.0
        if to_steps(loss_db, 2) < to_steps(floor_db, 2):
            reason = "bad reference or wrong fibre: " + short_text(length_m, 5) + " m of glass alone loses at least "
            reason += text(floor_db, 2) + " dB at " + wavelength + " nm"
            return {"code": "implausible_low", "reason": reason, "row": row, "least_db": floor_db}
    return None


def optical_distance(round_trip_time_ns: float, group_index: float) -> dict:
    """Distance along the fibre from the time light takes there and back.

    distance = c * time / (2 * group index)

    Inputs:
        round_trip_time (ns, 0 to 1000000000): time there and back
        group_index (ratio, 1.4 to 1.6): group index of the fibre, from its data sheet
    Result:
        distance (m): distance along the fibre
    Errors: none but out of range.
    Holds: exactly, for the group index that is true of the fibre; 0.001 of index is 0.68 m a kilometre.
    Source:
        Definition with c = 299 792 458 m/s | SI | speed of light | 2+
    Example: round_trip_time=10us group_index=1.4677 gives 1021.3 m
    """
    distance_m = LIGHT_M_PER_NS * round_trip_time_ns / (2.0 * group_index)
    line = (
        "distance = 0.299792458 m/ns x "
        + short_text(round_trip_time_ns, 7)
        + " ns / (2 x "
        + short_text(group_index, 6)
        + ") = "
        + text(distance_m, 2)
        + " m"
    )
    return {"results": {"distance": distance_m}, "working": [line], "notes": []}


def two_way_event(forward_db: float, backward_db: float) -> dict:
    """True loss of one event from its two one-way losses, and the step that unlike fibres fake.

    loss = (forward + backward) / 2; step = (forward - backward) / 2

    Inputs:
        forward (dB, -20 to 60): loss of the event seen from the near end, negative where it looks like a gain
        backward (dB, -20 to 60): loss of the same event seen from the far end
    Result:
        loss (dB): loss of the event
        step (dB): the part that comes from unlike backscatter
    Errors: none but out of range.
    Holds: for the same wavelength and pulse both ways.
    Source:
        IEC 61280-4-2 | | two-way average of an event | 2+
    Example: forward=0.2 backward=0.1 gives loss 0.15 dB
    """
    loss_db, step_db = (forward_db + backward_db) / 2.0, (forward_db - backward_db) / 2.0
    pair = short_text(forward_db) + ", " + short_text(backward_db)
    working = [
        "loss = mean of " + pair + " = " + short_text(loss_db) + " dB",
        "step = half the difference of " + pair + " = " + short_text(step_db) + " dB",
    ]
    return {"results": {"loss": loss_db, "step": step_db}, "working": working, "notes": []}


def return_loss_total(reflectances_db: list, losses_before_db: list) -> dict:
    """Return loss of a link from the reflectances of its events and the one-way loss before each.

    return loss = -10 * log10(sum of 10^((reflectance - 2 * loss before) / 10))

    Inputs:
        reflectances (list of dB, -100 to 0): reflectance of each event, negative
        losses_before (list of dB, 0 to 60): one-way loss from the near end to each event
    Result:
        return_loss (dB): return loss of the link
    Errors: lists of unequal length.
    Holds: without the fibre's own backscatter, which limits long single-mode links to about 31 to 34 dB.
    Source:
        Sum of powers | | definition of reflectance | 2+
    Example: reflectances=-55,-40 losses_before=0,3 gives 45.49 dB
    """
    if len(reflectances_db) != len(losses_before_db):
        raise Refused(
            "shape",
            "losses_before",
            len(losses_before_db),
            "as many losses as reflectances, " + str(len(reflectances_db)),
            "Give one loss an event.",
        )
    total, working = 0.0, []
    for reflectance, before in zip(reflectances_db, losses_before_db):
        total += 10.0 ** ((reflectance - 2.0 * before) / 10.0)
        working.append(
            short_text(reflectance)
            + " dB behind "
            + short_text(before)
            + " dB comes back as "
            + short_text(reflectance - 2.0 * before)
            + " dB"
        )
    return_loss_db = -10.0 * math.log10(total)
    working.append("return loss = " + text(return_loss_db, 2) + " dB")
    return {
        "results": {"return_loss": return_loss_db},
        "working": working,
        "notes": ["The fibre's own backscatter is not in it."],
    }


def fibre_excess(
    near_mark: float, far_mark: float, mark_unit: str, optical_length_m: float, near_tail_m: float = 0.0, far_tail_m: float = 0.0
) -> dict:
    """How much longer the fibre is than the sheath: fibre = sheath * (1 + excess).

    excess = (optical length - tails) / sheath length - 1

    Inputs:
        near_mark (ratio, 0 to 10000000): sheath mark at the near end
        far_mark (ratio, 0 to 10000000): sheath mark at the far end
        mark_unit (word: m ft): what the sheath marks count
        optical_length (m, above 0 to 200000): length by the instrument, launch cord taken off
        near_tail (m, 0 to 1000, 0): bare fibre inside the near panel
        far_tail (m, 0 to 1000, 0): bare fibre inside the far panel
    Result:
        excess (ratio): fibre over sheath, 0.01 is one percent
        sheath_length (m): length by the marks
    Errors: two equal marks; tails longer than the fibre.
    Holds: with the true group index set; outside -0.5 to +6 percent a mark, the index or slack is wrong.
    Source:
        Common practice | | calibration of sheath against optical length | practice
    Example: near_mark=1247 far_mark=1688 mark_unit=m optical_length=452.4 near_tail=3 far_tail=3 gives 0.012245
    """
    sheath_m = abs(far_mark - near_mark) * (FEET_M if mark_unit == "ft" else 1.0)
    inside_m = optical_length_m - near_tail_m - far_tail_m
    if sheath_m == 0:
        raise Refused("range", "far_mark", short_text(far_mark, 8), "a mark unlike the near one", "Read both marks again.")
    if inside_m <= 0:
        raise Refused("range", "near_tail", short_text(near_tail_m), "tails shorter than the optical length", "Check the tails.")
    excess = inside_m / sheath_m - 1.0
    working = [
        "sheath = |"
        + short_text(far_mark, 8)
        + " - "
        + short_text(near_mark, 8)
        + "| "
        + mark_unit
        + " = "
        + text(sheath_m, 2)
        + " m",
        "excess = " + text(inside_m, 2) + " / " + text(sheath_m, 2) + " - 1 = " + text(excess * 100.0, 2) + " percent",
    ]
    return {"results": {"excess": excess, "sheath_length": sheath_m}, "working": working, "notes": excess_notes(excess)}


def excess_notes(excess: float) -> list:
    """What an excess out of -0.5 to +6 percent may mean, as notes."""
    low, high = limit_files.row("lengths", "excess:low"), limit_files.row("lengths", "excess:high")
    if to_steps(float(low["value"]), 2) <= to_steps(excess * 100.0, 2) <= to_steps(float(high["value"]), 2):
        return []
    return [
        "Outside "
        + low["value"]
        + " to +"
        + high["value"]
        + " percent: a wrong mark, a wrong group index, or slack that is not recorded."
    ]
