"""Typed quantities: core's factor table and pint give the same number, for any number and every unit that core knows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import quantities_typed
from app import units as by_pint
from app.core import calculator_inputs, units

UNITS = [(group, unit, next(iter(names))) for group, names in by_pint.GROUPS.items() for unit in names]


@pytest.mark.parametrize(("group", "unit", "base"), UNITS)
@given(st.floats(-1e6, 1e6))
def test_any_number_in_any_unit_is_pints(group: str, unit: str, base: str, number: float) -> None:
    names = by_pint.GROUPS[group]
    wanted = by_pint.registry().Quantity(number, names[unit]).to(names[base]).magnitude
    assert units.convert(number, unit, base) == pytest.approx(wanted, rel=1e-12, abs=1e-9)
    assert units.convert(units.convert(number, unit, base), base, unit) == pytest.approx(number, rel=1e-12, abs=1e-9)


LENGTH = {"name": "length", "type": "number", "unit": "m", "meaning": "a length"}


@given(
    st.decimals(0, 99999, places=3, allow_nan=False),
    st.sampled_from(["ft", "in", "yd", "km", "cm", "mm", "m"]),
    st.sampled_from(["", " "]),
)
def test_what_is_typed_reaches_core_the_same_by_either_way(number: object, unit: str, blank: str) -> None:
    typed = f"{number}{blank}{unit}"
    assert calculator_inputs.value_of(LENGTH, typed) == pytest.approx(
        quantities_typed.in_unit(typed, "m", "length", "a length"), rel=1e-12
    )
