"""Units by pint: parses what is typed on server and command line, and writes the factor table that core uses on the phone.

``python -m app.units`` rewrites ``app/core/units_table.py``; a test holds the two together.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pint

# Core's name -> pint's name, grouped by the base unit that core holds a float in (first of each group).
GROUPS: dict[str, dict[str, str]] = {
    "length": {
        "m": "meter",
        "km": "kilometer",
        "cm": "centimeter",
        "mm": "millimeter",
        "um": "micrometer",
        "nm": "nanometer",
        "ft": "foot",
        "in": "inch",
        "yd": "yard",
    },
    "resistance": {"ohm": "ohm", "mohm": "milliohm", "kohm": "kiloohm"},
    "voltage": {"V": "volt", "mV": "millivolt", "kV": "kilovolt"},
    "current": {"A": "ampere", "mA": "milliampere", "kA": "kiloampere"},
    "power": {"W": "watt", "mW": "milliwatt", "uW": "microwatt"},
    "time": {"s": "second", "ms": "millisecond", "us": "microsecond", "ns": "nanosecond", "min": "minute", "h": "hour"},
    "frequency": {"MHz": "megahertz", "kHz": "kilohertz", "GHz": "gigahertz", "Hz": "hertz"},
    "rate": {"Mbit/s": "megabit / second", "Gbit/s": "gigabit / second", "kbit/s": "kilobit / second", "bit/s": "bit / second"},
    "ratio": {"1": "dimensionless", "percent": "percent", "ppm": "ppm"},
    "angle": {"deg": "degree", "rad": "radian"},
    "force": {"N": "newton", "kN": "kilonewton", "lbf": "pound_force"},
    "linear_mass": {"kg/m": "kilogram / meter", "lb/ft": "pound / foot", "g/m": "gram / meter"},
    "area": {"mm2": "millimeter ** 2", "m2": "meter ** 2", "in2": "inch ** 2"},
    "resistivity": {"ohm*m": "ohm * meter", "ohm*cm": "ohm * centimeter"},
    "temperature": {"degC": "degree_Celsius", "degF": "degree_Fahrenheit", "K": "kelvin"},
    "level": {"dB": "decibel"},
    "optical_level": {"dBm": "decibelmilliwatt"},
    "ground_flash_density": {"1/km2/yr": "1 / kilometer ** 2 / year"},
    "tension_per_length": {"N/m": "newton / meter", "lbf/ft": "pound_force / foot"},
}


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The one pint registry of this program."""
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def factor_rows() -> list[tuple[str, str, str, str]]:
    """(unit, group, factor, offset) with base = value * factor + offset, as decimal text that parses to the same float."""
    ureg = registry()
    rows = []
    for group, units in GROUPS.items():
        base = next(iter(units.values()))
        for name, pint_name in units.items():
            if group in ("level", "optical_level"):
                rows.append((name, group, "1.0", "0.0"))
                continue
            at_zero = ureg.Quantity(0.0, pint_name).to(base).magnitude
            at_one = ureg.Quantity(1.0, pint_name).to(base).magnitude
            factor = 5 / 9 if name == "degF" else (at_one - at_zero)
            offset = {"degF": -160 / 9, "K": -273.15}.get(name, 0.0)
            rows.append((name, group, repr(float(f"{factor:.15g}")), repr(float(f"{offset:.15g}"))))
    return rows


def module_text() -> str:
    """Source of ``app/core/units_table.py``."""
    lines = [
        '"""Units that core knows. Made from pint by ``python -m app.units``: do not edit by hand."""',
        "",
        "# unit: (what it measures, factor, offset) with base = value * factor + offset",
        "TABLE = {",
    ]
    lines += [f'    "{name}": ("{group}", {factor}, {offset}),' for name, group, factor, offset in factor_rows()]
    return "\n".join([*lines, "}", ""])


def main() -> None:
    (Path(__file__).parent / "core" / "units_table.py").write_text(module_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
