"""Refusing what a formula does not take: one wording for every range and every list of words."""

from .errors import Refused
from .numbers import short_text, trimmed


def between(number: float, low: float, high: float, field: str, unit: str = "", remedy: str = "") -> float:
    """The number itself when it lies between low and high, both included; else Refused("range")."""
    if number != number or number < low or number > high:
        given = "not a number" if number != number else _plain(number) + " " + unit
        allowed = short_text(low) + " to " + short_text(high) + " " + unit
        raise Refused("range", field, trimmed(given), trimmed(allowed), remedy)
    return number


def above_zero(number: float, high: float, field: str, unit: str = "", remedy: str = "") -> float:
    """The number itself when it is above zero and at most high; else Refused("range")."""
    if number != number or number <= 0 or number > high:
        given = "not a number" if number != number else _plain(number) + " " + unit
        allowed = "above 0, up to " + short_text(high) + " " + unit
        raise Refused("range", field, trimmed(given), trimmed(allowed), remedy)
    return number


def one_of(word: object, words: list, field: str, remedy: str = "") -> str:
    """The word as text when it is one of the words; else Refused("word")."""
    text = _plain(word) if isinstance(word, (int, float)) else str(word)
    if text not in words:
        raise Refused("word", field, text, ", ".join(words), remedy)
    return text


def _plain(number: float) -> str:
    """Text of any number, also of one too large to be printed step by step."""
    return short_text(number, 6) if -1e15 < number < 1e15 else str(number)
