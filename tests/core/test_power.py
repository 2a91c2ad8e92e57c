"""Power over the pairs: the quadratic, its cliff, and the longest cable."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import power
from app.core.errors import Refused


def calc(name: str, **inputs: str) -> dict[str, object]:
    return {key: held["value"] for key, held in engine.call("calc", name=name, inputs=inputs)["results"].items()}


# IEEE 802.3 class 4 on its worst channel (seen in two or more public places): 50 V, 25.5 W, 12.5 ohm a pair set -> 42.5 V, 0.6 A, 30 W.
def test_the_class_four_channel_ends_at_its_own_figures() -> None:
    found = calc("power_at_far_end", source_voltage="50", load_power="25.5", pair_loop="25")
    assert found == {
        "feasible": True, "voltage": pytest.approx(42.5), "current": pytest.approx(0.6), "source_power": pytest.approx(30.0),
        "cable_loss": pytest.approx(4.5), "power_max": pytest.approx(50.0),
    }  # fmt: skip


# Algebra: the most that can be drawn is Vs^2 / (4 R), at half the source voltage.
def test_on_the_cliff_the_load_gets_half_the_voltage_and_beyond_it_nothing() -> None:
    on = calc("power_at_far_end", source_voltage="50", load_power="50", pair_loop="25")
    assert (on["feasible"], on["voltage"]) == (True, pytest.approx(25.0))
    assert calc("power_at_far_end", source_voltage="50", load_power="50.01", pair_loop="25") == {
        "feasible": False,
        "power_max": pytest.approx(50.0),
    }


def test_no_resistance_loses_nothing() -> None:
    found = calc("power_at_far_end", source_voltage="48", load_power="12", pair_loop="0")
    assert (found["voltage"], found["cable_loss"]) == (pytest.approx(48.0), pytest.approx(0.0))


@given(st.floats(20, 60), st.floats(0.5, 60), st.floats(0, 200))
def test_source_power_is_load_power_and_cable_loss(source_v: float, load_w: float, loop_ohm: float) -> None:
    found = power.power_at_far_end(source_v, load_w, loop_ohm)["results"]
    if found["feasible"]:
        assert found["source_power"] == pytest.approx(load_w + found["cable_loss"], rel=1e-9)
        assert source_v / 2 - 1e-9 <= found["voltage"] <= source_v + 1e-9


@given(st.floats(1, 300), st.floats(1.01, 2))
def test_a_longer_cable_never_raises_the_voltage(length: float, factor: float) -> None:
    near, far = (power.power_at_far_end(48.0, 5.0, awg=24, length_m=metres)["results"] for metres in (length, length * factor))
    assert far.get("voltage", 0.0) < near.get("voltage", 1e-9)


@given(st.floats(24, 57), st.floats(1, 60), st.floats(0.5, 0.95), st.floats(1.05, 3))
def test_the_longest_cable_just_feeds_the_load(source_v: float, load_w: float, share: float, reserve: float) -> None:
    least_v, most_w = source_v * share, load_w * reserve
    ohm = power.reach_resistance(source_v, load_w, least_v, most_w)
    voltage = power.load_voltage(source_v, load_w, ohm * (1 - 1e-9))
    assert voltage is not None
    assert voltage >= least_v - 1e-3
    assert source_v * load_w / voltage <= most_w + 1e-3


def test_four_pairs_reach_twice_as_far_as_two() -> None:
    inputs = {"source_voltage": "50", "load_power": "25.5", "load_voltage_min": "42.5", "source_power_max": "30", "awg": "24"}
    two, four = (calc("power_reach", **inputs, pairs=pairs)["length_max"] for pairs in ("2", "4"))
    assert four == pytest.approx(2 * two)


def test_a_source_that_is_too_low_is_an_answer_and_not_an_error() -> None:
    inputs = {
        "source_voltage": "40",
        "load_power": "25.5",
        "load_voltage_min": "42.5",
        "source_power_max": "30",
        "pairs": "2",
        "awg": "24",
    }
    assert calc("power_reach", **inputs) == {"feasible": False}


def test_beyond_the_standard_channel_it_is_said() -> None:
    inputs = {"source_voltage": "48", "load_power": "12.95", "awg": "24", "length": "300"}
    assert engine.call("calc", name="power_at_far_end", inputs=inputs)["notes"] == [
        "Calculated, outside the IEEE 802.3 channel of 12.5 ohm a pair set."
    ]


@pytest.mark.parametrize(
    ("inputs", "words"),
    [
        ({"source_voltage": "0", "load_power": "1", "pair_loop": "1"}, "source_voltage: '0' was given"),
        ({"source_voltage": "48", "load_power": "-1", "pair_loop": "1"}, "load_power: '-1' was given"),
        ({"source_voltage": "48", "load_power": "1", "pair_loop": "1", "pairs": "3"}, "one of 2, 4"),
        ({"source_voltage": "48", "load_power": "1", "awg": "24"}, "a loop resistance, or awg and length"),
    ],
)
def test_what_cannot_be_worked_out_is_refused_by_name(inputs: dict[str, str], words: str) -> None:
    with pytest.raises(Refused) as caught:
        calc("power_at_far_end", **inputs)
    assert words in caught.value.sentence()
