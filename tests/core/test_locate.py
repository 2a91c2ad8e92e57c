"""From a trace to a sheath mark."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core import locate
from app.core.errors import Refused


@given(st.floats(0, 5000), st.floats(0, 0.06), st.sampled_from(["m", "ft"]))
def test_marks_that_count_up_and_down_lie_as_far_from_the_near_one(shown: float, excess: float, unit: str) -> None:
    up, down = (locate.optical_to_mark(shown, 100000.0, unit, way, excess)["results"]["mark"] for way in ("up", "down"))
    assert up - 100000.0 == pytest.approx(100000.0 - down, abs=1e-6)
    assert (up - 100000.0) * (0.3048 if unit == "ft" else 1.0) * (1 + excess) == pytest.approx(shown, abs=1e-6)


def test_an_event_inside_the_launch_cord_is_refused() -> None:
    with pytest.raises(Refused, match="range") as caught:
        locate.optical_to_mark(100.0, 1000.0, "m", "up", 0.015, launch_m=150.0)
    assert caught.value.field == "shown"


def test_a_mark_below_zero_says_that_the_direction_is_wrong() -> None:
    with pytest.raises(Refused) as caught:
        locate.optical_to_mark(500.0, 100.0, "m", "down", 0.0)
    assert caught.value.field == "counts"


@pytest.mark.parametrize(("far", "agrees"), [(102.0, True), (102.1, False), (98.0, True), (97.9, False)])
def test_two_ends_agree_within_two_metres_on_a_short_cable(far: float, agrees: bool) -> None:
    assert locate.both_ends(98.0, far, 198.0)["results"]["agrees"] is agrees


def test_two_ends_agree_within_one_percent_on_a_long_cable() -> None:
    assert locate.both_ends(5000.0, 5100.0, 10000.0)["results"]["agrees"] is True
    assert locate.both_ends(5000.0, 5101.0, 10000.0)["results"]["agrees"] is False
