"""Typed values to base units and back, by the factor table that pint wrote.

Base units: m, ohm, V, A, W, s, MHz, Mbit/s, ratio 1, deg, N, kg/m, mm2, ohm*m, degC, dB, dBm. What core names `_mm`, `_ns`, `_nm`
is asked for by `convert`.
"""

import math

from .errors import Refused
from .numbers import parse_decimal
from .units_table import TABLE


def group_of(unit: str) -> str | None:
    """What a unit measures, or None for a unit that core does not know."""
    row = TABLE.get(unit)
    return row[0] if row else None


def convert(number: float, unit: str, to: str, field: str = "value") -> float:
    """A number in one unit -> the number in another of the same group; also optical power between dBm and mW, uW, W.

    Errors: Refused("unit") when the units measure different things or one is unknown.
    """
    if unit == to:
        return number
    source, target = TABLE.get(unit), TABLE.get(to)
    if source and target and source[0] == target[0]:
        return (number * source[1] + source[2] - target[2]) / target[1]
    if source and target and source[0] == "power" and to == "dBm":
        return _watt_to_dbm(number * source[1], field)
    if source and target and unit == "dBm" and target[0] == "power":
        return 10 ** (number / 10.0) / 1000.0 / target[1]
    raise Refused("unit", field, unit, "a unit that turns into " + to, "Choose the unit again.")


def _watt_to_dbm(watt: float, field: str) -> float:
    if watt <= 0:
        raise Refused("range", field, watt, "a power above zero", "No light is written as no reading, not as zero.")
    return 10.0 * math.log10(watt * 1000.0)


def typed(value: object, to: str, field: str = "value") -> float:
    """A typed value {"value", "unit"} -> float in the unit asked for."""
    if not isinstance(value, dict) or "value" not in value or "unit" not in value:
        raise Refused("shape", field, value, "a number with its unit", "Type the number and choose its unit.")
    return convert(parse_decimal(value["value"], field), value["unit"], to, field)
