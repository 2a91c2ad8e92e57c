"""Raw counts of a transceiver and what its powers say."""

from __future__ import annotations

import pytest

from app.core import diagnostics


@pytest.mark.parametrize(
    ("high", "low", "degrees"), [(0x19, 0x00, 25.0), (0xFF, 0xFF, -1 / 256), (0xE7, 0x00, -25.0), (0, 0, 0.0)]
)
def test_a_temperature_below_zero_is_a_signed_count(high: int, low: int, degrees: float) -> None:
    # SFF-8472 temperature format: signed count of 1/256 degC, most significant byte first (seen in two or more public places)
    assert diagnostics.temperature_degc(high, low) == degrees


def test_a_link_that_seems_to_gain_more_than_both_modules_may_be_off_is_said_to_be_none() -> None:
    assert len(diagnostics.diagnostics_loss(-8.0, -2.0)["notes"]) == 1
    assert len(diagnostics.diagnostics_loss(-8.1, -2.0)["notes"]) == 2


def test_an_endless_extinction_ratio_halves_the_amplitude() -> None:
    assert diagnostics.average_power(0.0)["results"]["average"] == pytest.approx(-3.0103, abs=1e-4)
    assert diagnostics.average_power(0.0, 40.0)["results"]["average"] == pytest.approx(-3.0103, abs=1e-3)
