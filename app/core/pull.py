"""Tension of a cable along a route: pieces of straight and bend, one after the other."""

import math

from .calculator_inputs import split_unit
from .constants import GRAVITY
from .errors import Refused
from .numbers import is_blank, parse_decimal, short_text, text, trimmed
from .ranges import above_zero
from .units import convert

SHAPES = {"crest_up": "crest_down", "crest_down": "crest_up", "dip_up": "dip_down", "dip_down": "dip_up"}  # pulled the other way
_FORM = "straight LENGTH [SLOPE], or bend ANGLE RADIUS [SHAPE], such as straight 100ft; bend 45deg 10ft; bend 30deg 2m dip_up"


def pieces_of(route: str) -> list:
    """Route text -> [["straight", length m, slope rad] or ["bend", angle rad, radius m, shape or ""]...]. Errors: Refused("shape", "route").

    Shapes of a bend up or down: crest_up from a rise to level, crest_down from level to a fall, dip_up from level to a rise, dip_down from a
    fall to level; without one the bend lies level.
    """
    pieces = [_piece(trimmed(typed)) for typed in route.split(";") if not is_blank(typed)]
    if not pieces:
        raise Refused("shape", "route", route, _FORM, "Give at least one piece.")
    return pieces


def _piece(typed: str) -> list:
    words = _words(typed)
    shape = words[0].lower()
    if shape == "straight" and len(words) in (2, 3):
        slope_deg = _measure(words[2], "deg", typed) if len(words) == 3 else 0.0
        return [
            "straight",
            _above_zero(_measure(words[1], "m", typed), typed),
            math.radians(_within(slope_deg, -90.0, 90.0, typed)),
        ]
    upright = "_".join(words[3:]).lower()  # crest_up and crest up
    if shape == "bend" and len(words) >= 3 and (not upright or upright in SHAPES):
        angle_deg = _within(_measure(words[1], "deg", typed), 0.0, 90.0 if upright else 360.0, typed)
        return ["bend", math.radians(angle_deg), _above_zero(_measure(words[2], "m", typed), typed), upright]
    raise Refused("shape", "route", typed, _FORM, "Lengths in m or ft, angles in deg.")


def _words(typed: str) -> list:
    """Words of a piece, a unit that stands alone joined to its number: 'straight 100 ft' -> ['straight', '100ft']."""
    words = []
    for word in typed.split(" "):
        unit = word and word.lower().split("_")[0] not in ("crest", "dip") and split_unit(word)[0] == ""
        if len(words) > 1 and unit and split_unit(words[-1])[1] == "":
            words[-1] += word
        elif word:
            words.append(word)
    return words


def _measure(word: str, unit: str, typed: str) -> float:
    digits, given = split_unit(word)
    if digits == "":
        raise Refused("shape", "route", typed, _FORM, "Begin lengths and angles with a number.")
    try:
        return convert(parse_decimal(digits, "route"), given or unit, unit, "route")
    except Refused:
        raise Refused("unit", "route", typed, _FORM, "Lengths in m or ft, angles in deg.")


def _above_zero(size: float, typed: str) -> float:
    if size <= 0:
        raise Refused("range", "route", typed, "lengths and radii above 0", "Check that piece.")
    return size


def _within(size: float, low: float, high: float, typed: str) -> float:
    if not low <= size <= high:
        raise Refused(
            "range", "route", typed, "an angle from " + short_text(low) + " to " + short_text(high) + " deg", "Check that piece."
        )
    return size


def reversed_pieces(pieces: list) -> list:
    """The same route from its other end: order turned, slopes and bends up or down turned."""
    return [_turned(piece) for piece in reversed(pieces)]


def _turned(piece: list) -> list:
    if piece[0] == "straight":
        return [piece[0], piece[1], -piece[2]]
    return [piece[0], piece[1], piece[2], SHAPES.get(piece[3], "")]


def straight_tension(before_n: float, weight_n_m: float, length_m: float, friction: float, slope_rad: float = 0.0) -> float:
    """T + w L (sin slope + mu cos slope), N; below zero the cable runs away by itself. Source: IEEE 525 annex J (seen in two public places)."""
    return before_n + weight_n_m * length_m * (math.sin(slope_rad) + friction * math.cos(slope_rad))


def bend_tension(before_n: float, weight_n_m: float, radius_m: float, friction: float, angle_rad: float, form: str) -> float:
    """Tension after a bend, N. Simple form: T e^(mu a). Exact form for a level bend: T cosh(mu a) + sinh(mu a) sqrt(T^2 + (w R)^2).

    Source: IEEE 1185 (seen in one public place).
    """
    grown = math.exp(friction * angle_rad)
    if form == "simple":
        return before_n * grown
    return before_n * (grown + 1.0 / grown) / 2.0 + (grown - 1.0 / grown) / 2.0 * math.sqrt(
        before_n * before_n + (weight_n_m * radius_m) * (weight_n_m * radius_m)
    )


def upright_bend_tension(
    before_n: float, weight_n_m: float, radius_m: float, friction: float, angle_rad: float, shape: str
) -> float:
    """Tension after a bend up or down between level and a slope, N, with the cable's weight, exact.

    q = w R / (1 + mu^2), E = e^(mu a). crest_up: T E + q (2 mu E sin a + (1 - mu^2)(1 - E cos a)); crest_down: T E + q (2 mu sin a -
    (1 - mu^2)(E - cos a)); dip_up: T E - q (...of crest_down); dip_down: T E - q (...of crest_up). A dip's form holds while the cable rides
    on the upper wall, T above w R at its level end; else the larger of it and of a cable that lies on the lower wall.
    Source: balance of forces along the bend (derived, held against numerical integration by the tests).
    """
    sine, cosine, grown = math.sin(angle_rad), math.cos(angle_rad), math.exp(friction * angle_rad)
    share = weight_n_m * radius_m / (1.0 + friction * friction)
    kept = 1.0 - friction * friction
    if shape in ("crest_up", "dip_down"):
        by_weight = share * (2.0 * friction * grown * sine + kept * (1.0 - grown * cosine))
    else:
        by_weight = share * (2.0 * friction * sine - kept * (grown - cosine))
    if shape in ("crest_up", "crest_down"):
        return before_n * grown + by_weight
    after_n = before_n * grown - by_weight
    level_n = before_n if shape == "dip_up" else after_n
    if level_n > weight_n_m * radius_m:
        return after_n
    rise = 1.0 - cosine if shape == "dip_up" else cosine - 1.0
    return max(after_n, before_n + weight_n_m * radius_m * (rise + friction * sine))


def conductors_limit_n(conductors: int, area_mm2: float) -> float:
    """Most tension on the copper itself, N: 70 N/mm2; one conductor in full, two or three as two, more at 60 percent of all.

    Source: IEEE 525 annex J (70 N/mm2 seen in two or more public places, the rest in one).
    """
    one_n = 70.0 * area_mm2
    if conductors > 3:
        return 0.6 * conductors * one_n
    return min(conductors, 2) * one_n


def longest_pull(tension_max_n: float, weight_kg_m: float, friction: float = 0.5) -> dict:
    """Longest straight level pull that stays within a tension.

    length = tension / (friction * weight)

    Inputs:
        tension_max (N, above 0 to 100000): most tension that the cable takes
        weight (kg/m, above 0 to 100): mass of the cable per length
        friction (ratio, above 0 to 2, 0.5): coefficient of friction, 0.5 dry, 0.35 lubricated
    Result:
        length (m): longest pull
    Errors: Refused outside the ranges.
    Holds: straight and level, no tension at the reel; every bend shortens it.
    Source: IEEE 525 | annex J | pulling tension | 2+
    Example: longest_pull(110.0, 0.04, 0.5) gives length 560.8 m
    """
    above_zero(tension_max_n, 100000, "tension_max", "N")
    above_zero(weight_kg_m, 100, "weight", "kg/m")
    above_zero(friction, 2, "friction")
    weight_n_m = weight_kg_m * GRAVITY
    length_m = tension_max_n / (friction * weight_n_m)
    numbers = short_text(tension_max_n) + " N / (" + short_text(friction) + " * " + short_text(weight_n_m) + " N/m)"
    return {"results": {"length": length_m}, "working": ["length = " + numbers + " = " + text(length_m, 1) + " m"], "notes": []}


def pull(pieces: list, weight_n_m: float, friction: float, back_tension_n: float, form: str) -> dict:
    """Tension after each piece -> {"tension_n" highest, "sidewall_n_m" highest, "after_n" list, "working", "notes"}."""
    tension, highest, sidewall = back_tension_n, back_tension_n, 0.0
    after, working, notes = [], [], []
    for piece in pieces:
        if piece[0] == "straight":
            tension = straight_tension(tension, weight_n_m, piece[1], friction, piece[2])
            line = "straight " + short_text(piece[1]) + " m: " + text(tension, 1) + " N"
        else:
            tension = _after_bend(tension, weight_n_m, piece, friction, form)
            sidewall = max(sidewall, tension / piece[2])
            line = (
                "bend "
                + short_text(math.degrees(piece[1]))
                + " deg, radius "
                + short_text(piece[2])
                + " m"
                + (", " + piece[3].replace("_", " ") if piece[3] else "")
                + ": "
                + text(tension, 1)
                + " N, sidewall "
                + text(tension / piece[2], 1)
                + " N/m"
            )
        if tension < 0:
            tension = 0.0
            line += ", carried on as 0"
            notes.append("Downhill the cable runs away by itself: brake the reel.")
        highest = max(highest, tension)
        after.append(tension)
        working.append(line)
    return {"tension_n": highest, "sidewall_n_m": sidewall, "after_n": after, "working": working, "notes": notes[:1]}


def _after_bend(before_n: float, weight_n_m: float, piece: list, friction: float, form: str) -> float:
    if piece[3] and form != "simple":
        return upright_bend_tension(before_n, weight_n_m, piece[2], friction, piece[1], piece[3])
    return bend_tension(before_n, weight_n_m, piece[2], friction, piece[1], form)
