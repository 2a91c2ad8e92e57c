"""Core's factor table against pint, which is the authority for units."""

from __future__ import annotations

from pathlib import Path

import pytest

from app import units as by_pint
from app.core import units, units_table
from app.core.errors import Refused


def test_the_factor_table_is_the_one_that_pint_writes() -> None:
    assert by_pint.module_text() == Path(units_table.__file__).read_text(encoding="utf-8")


PAIRS = [(group, unit, other) for group, names in by_pint.GROUPS.items() for unit in names for other in names]


@pytest.mark.parametrize(("group", "unit", "other"), PAIRS)
def test_each_conversion_equals_pint(group: str, unit: str, other: str) -> None:
    names = by_pint.GROUPS[group]
    wanted = by_pint.registry().Quantity(12.5, names[unit]).to(names[other]).magnitude
    assert units.convert(12.5, unit, other) == pytest.approx(wanted, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("milliwatt", [0.001, 0.5, 1.0, 2.5])
def test_optical_power_turns_into_dbm_as_pint_does(milliwatt: float) -> None:
    wanted = by_pint.registry().Quantity(milliwatt, "milliwatt").to("decibelmilliwatt").magnitude
    assert units.convert(milliwatt, "mW", "dBm") == pytest.approx(wanted, abs=1e-12)
    assert units.convert(wanted, "dBm", "mW") == pytest.approx(milliwatt, rel=1e-12)


def test_no_light_has_no_level() -> None:
    with pytest.raises(Refused, match="range"):
        units.convert(0.0, "mW", "dBm")


@pytest.mark.parametrize(("unit", "to"), [("m", "ohm"), ("dB", "dBm"), ("furlong", "m"), ("m", "")])
def test_a_unit_that_measures_something_else_is_refused(unit: str, to: str) -> None:
    with pytest.raises(Refused) as refused:
        units.convert(1.0, unit, to, "length")
    assert refused.value.code == "unit"


def test_feet_are_exact() -> None:
    # 1 ft = 0.3048 m exactly (international yard and pound agreement, 1959).
    assert units.typed({"value": "410", "unit": "ft"}, "m") == pytest.approx(124.968, abs=1e-12)


@pytest.mark.parametrize("value", [None, "12", {"value": "12"}, {"unit": "m"}, [1, "m"]])
def test_a_value_without_its_unit_is_refused(value: object) -> None:
    with pytest.raises(Refused) as refused:
        units.typed(value, "m", "length")
    assert refused.value.code == "shape"
