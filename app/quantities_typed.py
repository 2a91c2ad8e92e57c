"""Typed quantities on server and command line, by pint: '410ft', '0,42 dB', '40degC' -> a number in the unit asked for."""

from __future__ import annotations

from functools import cache
from typing import Any

import pint

from .core import calculator_inputs
from .core.errors import Refused
from .core.numbers import parse_decimal
from .units import GROUPS, registry

LEVELS = ("dB", "dBm")


@cache
def _pint_names() -> dict[str, str]:
    return {name: pint_name for units in GROUPS.values() for name, pint_name in units.items()}


def in_unit(text: str, unit: str, field: str, allowed: str) -> float:
    """Typed text -> number in `unit` (a name of core, or '' for a bare number). A text without a unit is in that unit already.

    Errors: Refused("number") without a number, Refused("unit") for a unit that pint does not know or that measures something else.
    """
    digits, given = calculator_inputs.split_unit(text)
    if digits == "":
        raise Refused("number", field, text, allowed, "Begin with a number, such as 12.5.")
    number = parse_decimal(digits, field)
    if given in ("", unit):
        return number
    if not unit:
        raise Refused("unit", field, text, allowed, "Leave the unit off, or give one that fits.")
    return _converted(number, given, unit, field, text, allowed)


def _converted(number: float, given: str, unit: str, field: str, text: str, allowed: str) -> float:
    names, refusal = _pint_names(), Refused("unit", field, text, allowed, "Give a unit that fits.")
    ureg = registry()
    try:
        source = ureg.parse_units(names.get(given, given))
        target = ureg.parse_units(names[unit])
        if unit in LEVELS or given in LEVELS:
            return _level(number, source, target, unit, given, refusal)
        return float(ureg.Quantity(number, source).to(target).magnitude)
    except (pint.PintError, AttributeError, ValueError, TypeError, AssertionError):
        raise refusal from None


def _level(number: float, source: Any, target: Any, unit: str, given: str, refusal: Refused) -> float:
    """Decibels have no other unit; dBm turns into watts and back, where no light has no level."""
    ureg = registry()
    if "dB" in (unit, given):
        raise refusal
    if unit == "dBm" and number <= 0:
        refusal.code, refusal.allowed, refusal.remedy = (
            "range",
            "a power above zero",
            "No light is written as no reading, not as zero.",
        )
        raise refusal
    return float(ureg.Quantity(number, source).to(target).magnitude)


def input_value(entry: dict[str, Any], text: str) -> str | float | list[float]:
    """One calculator input as typed -> what core's calculators take: numbers brought to the contract's unit by pint, words and texts as they are."""
    if entry["type"] in ("word", "text"):
        return text
    allowed = calculator_inputs.allowed(entry)
    if entry["type"] == "list":
        return [in_unit(piece, entry["unit"], entry["name"], allowed) for piece in calculator_inputs.pieces_of(entry, text)]
    return in_unit(text, entry["unit"], entry["name"], allowed)
