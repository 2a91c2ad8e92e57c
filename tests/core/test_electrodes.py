"""Rods at a spacing of one's own, and like electrodes under a clamp."""

from __future__ import annotations

import pytest

from app.core import earthing, electrodes
from app.core.errors import Refused


def test_two_rods_one_length_apart_agree_with_the_printed_factor() -> None:
    # IEEE 142 table: two rods one length apart 1.16 / 2 of one; the formula gives 1.168 for 3 m and 16 mm.
    one = electrodes.one_rod_ohm(100.0, 3.0, 16.0)
    assert electrodes.two_rods_ohm(100.0, 3.0, 16.0, 3.0) / one * 2 == pytest.approx(1.16, abs=0.01)


def test_rods_far_apart_are_resistances_in_parallel() -> None:
    found = electrodes.rods_in_line(100.0, 2.4, 16.0, 4, 1000.0)["results"]
    assert found["all_rods"] == pytest.approx(found["one_rod"] / 4, rel=2e-3)


@pytest.mark.parametrize("rods", range(2, 11))
def test_the_factors_are_those_of_equal_point_sources_in_a_line(rods: int) -> None:
    """Equal currents, mutual resistance as 1 / distance: lambda = 2/n * sum (n - k)/k. Rods share a potential, which is a little less."""
    bound = 2 / rods * sum((rods - apart) / apart for apart in range(1, rods))
    assert bound * 0.985 <= electrodes.LINE_FACTOR[rods] <= bound + 1e-9


@pytest.mark.parametrize(
    ("rods", "spacing", "field"), [(1, 5.0, "rods"), (11, 5.0, "rods"), (3, 2.39, "spacing"), (3, 1001.0, "spacing")]
)
def test_what_the_rods_formula_does_not_take_is_named(rods: int, spacing: float, field: str) -> None:
    with pytest.raises(Refused) as caught:
        electrodes.rods_in_line(100.0, 2.4, 16.0, rods, spacing)
    assert caught.value.field == field


@pytest.mark.parametrize("count", [2, 3, 6, 40])
def test_the_clamp_on_like_electrodes_is_undone(count: int) -> None:
    reading = earthing.clamp_loop([10.0] * count)["results"]["reading"]
    assert electrodes.clamp_of_like(reading, count)["results"]["one"] == pytest.approx(10.0)


def test_a_loop_of_metal_is_suspected_below_one_ohm() -> None:
    assert electrodes.clamp_of_like(0.99, 3)["notes"] and not electrodes.clamp_of_like(1.0, 3)["notes"]
