"""Typed text of a calculator's input -> what its formula takes, held against unit, range and words of its description."""

from .errors import Refused
from .numbers import parse_decimal, trimmed
from .units import convert, group_of
from .units_words import WORDS as PRINTED
from .units_words import unit_word

# Other ways to write a unit. What is printed with a number counts as its unit again, but for those that begin with a sign of division.
SPELLED = {PRINTED[unit]: unit for unit in PRINTED if PRINTED[unit] and PRINTED[unit][0] != "/"}
SPELLED.update({"\u2126": "ohm", "\u03bcm": "um", "\u03bcs": "us", "\u03bcW": "uW", "feet": "ft", "foot": "ft", "inch": "in"})


def allowed(entry: dict) -> str:
    """What an input takes, in words: from its words, or its unit and range."""
    kind = entry["type"]
    if kind == "word":
        return "one of " + ", ".join(entry["words"])
    if kind == "text":
        return entry["meaning"].rstrip(".")
    words = {"count": "a whole number", "list": "numbers with commas between"}.get(kind, "a number")
    if entry["unit"]:
        words += " in " + entry["unit"] + " (or what turns into it)"
    return words + _range_words(entry)


def range_text(entry: dict) -> str:
    """The range for a person, with the unit in print: 'from 0 to 90 m', 'above 0, not above 100 \u03a9'; empty without bounds."""
    words = trimmed(_range_words(entry)).replace(" and ", ", ")
    words = words[2:] if words[:2] == ", " else words
    return trimmed(words + " " + unit_word(entry["unit"])) if words else ""


def _range_words(entry: dict) -> str:
    low, above, high = entry.get("low"), entry.get("above"), entry.get("high")
    parts = []
    if low is not None and high is not None:
        return " from " + low + " to " + high
    if low is not None:
        parts.append(low + " or more")
    if above is not None:
        parts.append("above " + above)
    if high is not None:
        parts.append("not above " + high)
    return (", " + " and ".join(parts)) if parts else ""


def value_of(entry: dict, typed: object) -> object:
    """One input -> what the formula takes: float in the contract's unit, whole number, word, true or false, list of floats, text.

    typed: text, or a number (list: numbers) that was already brought to the contract's unit.
    """
    kind = entry["type"]
    if kind == "word":
        return _word(entry, typed)
    if kind == "text":
        return trimmed(typed)
    if kind == "list":
        pieces = pieces_of(entry, typed) if isinstance(typed, str) else typed
        return [_number(entry, piece) for piece in pieces]
    number = _number(entry, typed)
    if kind != "count":
        return number
    if number != int(number):
        raise Refused("number", entry["name"], typed, allowed(entry), "Give a whole number.")
    return int(number)


def _word(entry: dict, typed: str) -> object:
    given = trimmed(typed)
    for word in entry["words"]:
        if given == word or given.lower() == word.lower():
            return (word == "true") if sorted(entry["words"]) == ["false", "true"] else word
    raise Refused("word", entry["name"], typed, allowed(entry), "Give one of these words.")


def pieces_of(entry: dict, typed: str) -> list:
    """A list has commas (or semicolons) between; with semicolons the comma is a decimal sign."""
    separator = ";" if ";" in typed else ","
    pieces = [trimmed(piece) for piece in typed.split(separator)]
    if "" in pieces:
        raise Refused("number", entry["name"], typed, allowed(entry), "Take out the empty place.")
    return pieces


def split_unit(typed: str) -> tuple:
    """'410ft', '410 feet', '0,42' -> (number text, unit or '')."""
    typed = trimmed(typed)
    end = 0
    while end < len(typed) and typed[end] in "0123456789.,+-\u2212\u2013 \u00a0\u202f\u2009":
        end += 1
    unit = trimmed(typed[end:])
    return trimmed(typed[:end]), SPELLED.get(unit, unit)


def knows_units(entry: dict, typed: str) -> bool:
    """Does core convert every unit in this text itself."""
    pieces = pieces_of(entry, typed) if entry["type"] == "list" else [typed]
    for piece in pieces:
        unit = split_unit(piece)[1]
        if unit and group_of(unit) is None:
            return False
    return True


def _number(entry: dict, typed: object) -> float:
    number = _typed_number(entry, typed) if isinstance(typed, str) else float(typed)
    _check_range(entry, number, typed)
    return number


def _typed_number(entry: dict, typed: str) -> float:
    digits, unit = split_unit(typed)
    if digits == "":
        raise Refused("number", entry["name"], typed, allowed(entry), "Begin with a number, such as 12.5.")
    number = parse_decimal(digits, entry["name"])
    return _converted(entry, number, unit, typed) if unit and unit != entry["unit"] else number


def _converted(entry: dict, number: float, unit: str, typed: str) -> float:
    if not entry["unit"] or group_of(unit) is None:
        raise Refused("unit", entry["name"], typed, allowed(entry), "Leave the unit off, or give one that fits.")
    try:
        return convert(number, unit, entry["unit"], entry["name"])
    except Refused as refusal:
        if refusal.code == "range":
            raise
        raise Refused("unit", entry["name"], typed, allowed(entry), "Give a unit that fits.")


def _check_range(entry: dict, number: float, typed: object) -> None:
    low, above, high = entry.get("low"), entry.get("above"), entry.get("high")
    slack = 1e-9 * max(1.0, abs(number))  # a converted unit may miss an inclusive bound by the last bit
    out = (low is not None and number < float(low) - slack) or (high is not None and number > float(high) + slack)
    if out or (above is not None and number <= float(above)):
        raise Refused("range", entry["name"], typed, allowed(entry), "Check the number and its unit.")
