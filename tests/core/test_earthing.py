"""Earths and bonds: inside, on and beyond the methods' ranges."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import earthing, slope
from app.core.errors import Refused


def calc(name: str, **inputs: str) -> dict[str, object]:
    return {key: held["value"] for key, held in engine.call("calc", name=name, inputs=inputs)["results"].items()}


def refusal(name: str, **inputs: str) -> str:
    with pytest.raises(Refused) as caught:
        calc(name, **inputs)
    return caught.value.sentence()


@pytest.mark.parametrize("size", ["6", "6AWG", "6 awg", " 6 "])
def test_a_conductor_size_is_taken_as_it_is_written(size: str) -> None:
    assert calc("bond_resistance", size=size, length="20ft") == {
        "resistance": pytest.approx(0.491 * 20 / 1000 * 0.82235 * 1000, rel=1e-4)
    }


def test_every_size_offered_for_a_bond_has_a_resistance() -> None:
    from app.core.kinds import BOND_SIZES

    for size, _ in BOND_SIZES:
        assert calc("bond_resistance", size=size, length="1m")["resistance"] > 0


@pytest.mark.parametrize("size", ["7", "0", "17mm2", "mm2", "six"])
def test_an_unknown_conductor_size_is_refused_with_what_there_is(size: str) -> None:
    assert "1.5mm2 to 120mm2" in refusal("bond_resistance", size=size, length="1")


@given(st.floats(0.1, 100), st.floats(-40, 89))
def test_a_warmer_or_longer_bond_has_more_resistance(length: float, temperature: float) -> None:
    def held(metres: float, degrees: float) -> float:
        return float(earthing.bond_resistance("16mm2", metres, degrees)["results"]["resistance"])

    assert held(length, temperature) < held(length, temperature + 1)
    assert held(length, temperature) < held(length * 1.01, temperature)


def test_the_slope_method_ends_at_its_bounds_without_an_error() -> None:
    # mu = (r60 - r40) / (r40 - r20), with r40 - r20 = 1: usable from 0.40 to 1.59
    for rise, valid in (("11.40", True), ("11.39", False), ("12.59", True), ("12.60", False)):
        assert calc("earth_slope", r20="10", r40="11", r60=rise, current_distance="30")["valid"] is valid


@pytest.mark.parametrize(("r40", "r60"), [("10", "11"), ("9", "11"), ("11", "10.5")])
def test_readings_that_do_not_rise_are_no_curve(r40: str, r60: str) -> None:
    assert calc("earth_slope", r20="10", r40=r40, r60=r60, current_distance="30") == {"valid": False}


@given(st.floats(0.41, 1.58))
def test_the_potential_stake_moves_in_as_the_slope_grows(mu: float) -> None:
    assert slope.potential_ratio(slope.offset_of(mu + 0.01)) < slope.potential_ratio(slope.offset_of(mu))
    assert slope.mu_of(slope.offset_of(mu)) == pytest.approx(mu, abs=1e-9)


@given(st.floats(0.5, 50), st.floats(0.1, 500))
def test_shallow_stakes_give_two_pi_a_r(spacing: float, reading: float) -> None:
    held = earthing.soil_resistivity(spacing, reading)["results"]["resistivity"]
    assert held == pytest.approx(2 * math.pi * spacing * reading)


def test_deep_stakes_are_said_to_be_deep() -> None:
    assert (
        engine.call("calc", name="soil_resistivity", inputs={"spacing": "2", "resistance": "10", "stake_depth": "0.1"})["notes"]
        == []
    )
    assert (
        engine.call("calc", name="soil_resistivity", inputs={"spacing": "2", "resistance": "10", "stake_depth": "0.11"})["notes"]
        != []
    )


def test_a_number_of_rods_that_the_table_lacks_is_refused_not_interpolated() -> None:
    assert "1, 2, 3, 4, 8, 12, 16, 20 or 24" in refusal(
        "rod_resistance", resistivity="100", length="2.4", diameter="16", rods="5"
    )


def test_a_rod_as_thick_as_a_pipe_is_refused() -> None:
    assert "diameter" in refusal("rod_resistance", resistivity="100", length="1", diameter="150")


@given(st.lists(st.floats(0.5, 500), min_size=2, max_size=8))
def test_the_order_of_the_other_electrodes_does_not_matter(resistances: list[float]) -> None:
    backwards = [resistances[0], *reversed(resistances[1:])]
    assert earthing.clamp_loop(resistances)["results"]["reading"] == pytest.approx(
        earthing.clamp_loop(backwards)["results"]["reading"]
    )


def test_one_electrode_alone_has_no_loop() -> None:
    assert "two or more electrodes" in refusal("clamp_loop", resistances="10")
    assert engine.call("calc", name="clamp_loop", inputs={"resistances": "10, 15"})["notes"] == [
        "With two electrodes the clamp shows their sum."
    ]


@given(st.floats(0.1, 990), st.floats(0.01, 10))
def test_a_longer_backbone_never_gets_a_thinner_conductor(length: float, more: float) -> None:
    order = ["6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", *[f"{size} kcmil" for size in (250, 300, 350, 500, 600, 750)]]
    sizes = [order.index(earthing.backbone_bond_size(metres)["results"]["size"]) for metres in (length, length + more)]
    assert sizes[0] <= sizes[1]


def test_the_lead_voltage_grows_with_the_lead_and_refuses_no_rise_time() -> None:
    assert calc("lead_voltage", current="8kA", rise_time="8us", length="50cm")["voltage"] == pytest.approx(500.0)
    assert "rise_time" in refusal("lead_voltage", current="8000", rise_time="0", length="1")
