"""What an application itself asks of a copper link."""

from __future__ import annotations

import pytest

from app import engine
from app.core import link_segment
from app.core.errors import Refused


@pytest.fixture(autouse=True)
def configured() -> None:
    engine.call("describe")


@pytest.mark.parametrize(
    ("application", "quantity", "frequency", "field"),
    [
        ("10BASE-T1L", "next", 4.0, "quantity"),
        ("10GBASE-T", "next", 4.0, "application"),
        ("1000BASE-T", "insertion_loss", None, "frequency"),
        ("1000BASE-T", "insertion_loss", 0.9, "frequency"),
        ("1000BASE-T", "insertion_loss", 100.1, "frequency"),
        ("10BASE-T1L", "return_loss", 20.1, "frequency"),
    ],
)
def test_what_it_does_not_hold_is_named(application: str, quantity: str, frequency: float | None, field: str) -> None:
    with pytest.raises(Refused) as caught:
        link_segment.link_segment_limit(application, quantity, frequency)
    assert caught.value.field == field


def test_bands_meet_where_they_join() -> None:
    for application, at in (("1000BASE-T", 20.0), ("10BASE-T1L", 0.5)):
        below, above = (
            link_segment.link_segment_limit(application, "return_loss", frequency)["results"]["limit"]
            for frequency in (at, at * 1.000001)
        )
        assert below == pytest.approx(above, abs=1e-4)


def test_delay_needs_no_frequency_and_is_in_nanoseconds() -> None:
    found = link_segment.link_segment_limit("1000BASE-T", "delay")
    assert (found["results"]["limit"], found["units"]["limit"]) == (570.0, "ns")
