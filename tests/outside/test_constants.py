"""Constants of core against scipy's (CODATA and the units' own definitions)."""

from __future__ import annotations

import pytest
from scipy import constants

from app.core import units
from app.core.constants import FEET_M, GRAVITY, LIGHT_M_PER_NS


def test_light_travels_as_fast_as_the_metre_is_defined_by() -> None:
    assert constants.speed_of_light == LIGHT_M_PER_NS * 1e9


def test_weight_is_by_standard_gravity() -> None:
    assert constants.g == GRAVITY


def test_a_foot_of_sheath_marks_is_the_international_foot() -> None:
    assert constants.foot == pytest.approx(FEET_M, rel=1e-15)


@pytest.mark.parametrize(
    ("unit", "base", "held"),
    [
        ("in", "m", constants.inch),
        ("ft", "m", constants.foot),
        ("yd", "m", constants.yard),
        ("lbf", "N", constants.pound_force),
        ("lbf/ft", "N/m", constants.pound_force / constants.foot),
        ("lb/ft", "kg/m", constants.pound / constants.foot),
        ("in2", "mm2", (constants.inch * 1000) ** 2),
        ("deg", "rad", constants.degree),
        ("min", "s", constants.minute),
        ("h", "s", constants.hour),
    ],
)
def test_units_are_what_they_are_defined_as(unit: str, base: str, held: float) -> None:
    assert units.convert(1.0, unit, base) == pytest.approx(held, rel=1e-14)


@pytest.mark.parametrize("fahrenheit", [-40.0, 0.0, 32.0, 98.6, 140.0])
def test_temperatures_turn_as_in_scipy(fahrenheit: float) -> None:
    assert units.convert(fahrenheit, "degF", "degC") == pytest.approx(
        constants.convert_temperature(fahrenheit, "Fahrenheit", "Celsius"), abs=1e-10
    )
