"""Tension of a cable along a route: pieces of straight and bend, one after the other."""

import math

from .calculator_inputs import split_unit
from .errors import Refused
from .numbers import is_blank, parse_decimal, short_text, text, trimmed
from .units import convert

_FORM = "straight LENGTH [SLOPE], or bend ANGLE RADIUS, such as straight 100ft; bend 45deg 10ft"


def pieces_of(route: str) -> list:
    """Route text -> [["straight", length m, slope rad] or ["bend", angle rad, radius m]...]. Errors: Refused("shape", "route")."""
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
    if shape == "bend" and len(words) == 3:
        angle_deg = _within(_measure(words[1], "deg", typed), 0.0, 360.0, typed)
        return ["bend", math.radians(angle_deg), _above_zero(_measure(words[2], "m", typed), typed)]
    raise Refused("shape", "route", typed, _FORM, "Lengths in m or ft, angles in deg.")


def _words(typed: str) -> list:
    """Words of a piece, a unit that stands alone joined to its number: 'straight 100 ft' -> ['straight', '100ft']."""
    words = []
    for word in typed.split(" "):
        if len(words) > 1 and word and split_unit(word)[0] == "" and split_unit(words[-1])[1] == "":
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
    """The same route from its other end: order turned, slopes turned."""
    return [[piece[0], piece[1], -piece[2]] if piece[0] == "straight" else piece for piece in reversed(pieces)]


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


def pull(pieces: list, weight_n_m: float, friction: float, back_tension_n: float, form: str) -> dict:
    """Tension after each piece -> {"tension_n" highest, "sidewall_n_m" highest, "after_n" list, "working", "notes"}."""
    tension, highest, sidewall = back_tension_n, back_tension_n, 0.0
    after, working, notes = [], [], []
    for piece in pieces:
        if piece[0] == "straight":
            tension = straight_tension(tension, weight_n_m, piece[1], friction, piece[2])
            line = "straight " + short_text(piece[1]) + " m: " + text(tension, 1) + " N"
        else:
            tension = bend_tension(tension, weight_n_m, piece[2], friction, piece[1], form)
            sidewall = max(sidewall, tension / piece[2])
            line = (
                "bend "
                + short_text(math.degrees(piece[1]))
                + " deg, radius "
                + short_text(piece[2])
                + " m: "
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
