"""More of what costs never gives less: each formula held at drawn values, one larger than the other."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import (
    conductors,
    copper,
    earthing,
    electrodes,
    fibre,
    joints,
    lightning,
    limits,
    locate,
    optics,
    plant,
    power,
    pull,
    traffic,
)
from app.core.limits import sets

lengths = st.floats(0.1, 2000.0)
more = st.floats(0.01, 1000.0)
FIBRES = [("OM3", 850.0), ("OM1", 1300.0), ("OS2", 1310.0), ("OS1a", 1550.0)]
METHODS = ["one_cord", "two_cord", "three_cord"]


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


def of(answer: dict[str, Any], key: str) -> float:
    return float(answer["results"][key])


@given(st.sampled_from(FIBRES), st.sampled_from(METHODS), st.integers(2, 8), st.integers(0, 8), lengths, more)
def test_a_longer_link_is_allowed_more_loss_in_every_set(
    glass: tuple[str, float], method: str, connections: int, splices: int, length: float, extra: float
) -> None:
    for set_id, _ in sets("fibre"):
        if not limits.rows(set_id, kind="attenuation", fibre=glass[0]):
            continue
        allowed = [
            of(fibre.fibre_allowance(*glass, metres, connections, splices, method, set_id), "allowance")
            for metres in (length, length + extra)
        ]
        assert allowed[0] < allowed[1]


@given(st.sampled_from(FIBRES), st.sampled_from(METHODS), st.integers(0, 8), st.integers(0, 8), lengths)
def test_one_mating_or_splice_more_is_allowed_no_less(
    glass: tuple[str, float], method: str, connections: int, splices: int, length: float
) -> None:
    def allowed(matings: int, joints_: int) -> float:
        return of(fibre.fibre_allowance(*glass, length, matings, joints_, method), "allowance")

    assert allowed(connections, splices) <= allowed(connections + 1, splices)
    assert allowed(connections, splices) < allowed(connections, splices + 1)


@given(st.sampled_from(FIBRES), st.integers(2, 8), lengths)
def test_the_more_cords_in_the_reference_the_less_is_allowed(glass: tuple[str, float], connections: int, length: float) -> None:
    one, two, three = (of(fibre.fibre_allowance(*glass, length, connections, 0, method), "allowance") for method in METHODS)
    assert one >= two >= three


@given(lengths, more, st.floats(-40, 80), st.floats(0.1, 10))
def test_a_longer_or_warmer_conductor_has_more_resistance(length: float, extra: float, temperature: float, warmer: float) -> None:
    def loop(metres: float, degrees: float) -> float:
        return of(copper.conductor_resistance(24, metres, degrees), "pair_loop")

    assert loop(length, temperature) < loop(length + extra, temperature)
    assert loop(length, temperature) < loop(length, temperature + warmer)


@given(st.sampled_from(["16mm2", "6", "250"]), st.floats(-40, 80), st.floats(0.1, 10))
def test_a_warmer_bond_has_more_resistance_by_either_table(size: str, temperature: float, warmer: float) -> None:
    assert conductors.ohm_per_m(size, temperature) < conductors.ohm_per_m(size, temperature + warmer)


@given(st.floats(44, 57), st.floats(1, 60), st.floats(0.1, 40), st.floats(0.01, 10))
def test_more_cable_brings_less_voltage_and_asks_more_of_the_source(source: float, load: float, ohm: float, extra: float) -> None:
    near, far = (power.load_voltage(source, load, resistance) for resistance in (ohm, ohm + extra))
    assert far is None or (near is not None and far < near)
    if far is not None:
        assert power.source_power(source, load, ohm) < power.source_power(source, load, ohm + extra)


@given(st.floats(44, 57), st.floats(4, 30), st.floats(0.1, 20), st.floats(-40, 80), st.floats(0.1, 10))
def test_a_warmer_cable_a_hungrier_load_or_a_pair_less_reaches_less_far(
    source: float, load: float, extra: float, temperature: float, warmer: float
) -> None:
    def reach(watts: float, degrees: float, pairs: str = "2") -> float:
        found = power.power_reach(source, watts, 37.0, 60.0, pairs, 24, degrees)["results"]
        return float(found["length_max"]) if found["feasible"] else 0.0

    assert reach(load, temperature + warmer) < reach(load, temperature)
    assert reach(load + extra, temperature) < reach(load, temperature)
    assert reach(load, temperature, "4") == pytest.approx(2 * reach(load, temperature))


@given(lengths, more, st.floats(0.01, 2), st.floats(0.1, 1), st.floats(0, 500), st.sampled_from(["exact", "simple"]))
def test_a_longer_rougher_or_heavier_pull_takes_more(
    length: float, extra: float, weight: float, friction: float, back: float, form: str
) -> None:
    def tension(metres: float, rough: float = friction, heavy: float = weight, reel: float = back) -> float:
        return of(plant.pull_tension(f"straight {metres:.6f}m; bend 90deg 1m", heavy, rough, reel, form), "tension")

    assert tension(length) < tension(length + extra)
    assert tension(length) < tension(length, rough=friction + 0.1)
    assert tension(length) < tension(length, heavy=weight * 1.1)
    assert tension(length) < tension(length, reel=back + 10)


@given(
    st.sampled_from(sorted(pull.SHAPES)),
    st.floats(0, 2000),
    st.floats(0.1, 500),
    st.floats(0.1, 30),
    st.floats(0.1, 0.9),
    st.floats(1, 90),
)
def test_more_tension_into_a_bend_is_more_out_of_it(
    shape: str, above: float, extra: float, weight: float, friction: float, angle: float
) -> None:
    """In a dip where the cable rides on the upper wall all along: from three times its weight on the radius. Between lying and riding the
    safe side of two forms is taken, with a step."""
    before = above + (3 * weight if shape.startswith("dip") else 0.0)
    low, high = (
        pull.upright_bend_tension(tension, weight, 1.0, friction, math.radians(angle), shape)
        for tension in (before, before + extra)
    )
    assert low < high


@given(st.floats(0, 18000), st.floats(0.01, 1000), st.floats(0.41, 0.99))
def test_a_later_echo_is_further_away(delay: float, extra: float, nvp: float) -> None:
    assert of(copper.electrical_length(delay, nvp), "length") < of(copper.electrical_length(delay + extra, nvp), "length")
    assert of(copper.electrical_length(delay + 1, nvp), "length") < of(copper.electrical_length(delay + 1, nvp + 0.01), "length")
    assert of(fibre.optical_distance(delay, 1.468), "distance") < of(fibre.optical_distance(delay + extra, 1.468), "distance")


@given(st.floats(1, 900), st.floats(1, 100), st.floats(0.1, 50), st.floats(0.01, 10))
def test_a_longer_line_or_a_stormier_place_gets_more_surges(length: float, extra: float, density: float, stormier: float) -> None:
    def surges(metres: float, flashes: float, **given: str) -> float:
        return of(lightning.lightning_exposure(metres, flashes, "buried", "suburban", **given), "surges")

    assert surges(length, density) < surges(length + extra, density)
    assert surges(length, density) < surges(length, density + stormier)
    assert (
        surges(length, density, protectors="both_ends") < surges(length, density) == surges(length, density, protectors="one_end")
    )
    assert surges(length, density, medium="fibre_dielectric") == 0.0


@given(st.floats(1, 500), st.floats(0.5, 5), st.floats(10, 30), st.floats(0.1, 5))
def test_a_longer_rod_or_better_soil_is_a_better_earth(soil: float, length: float, diameter: float, extra: float) -> None:
    assert electrodes.one_rod_ohm(soil, length + extra, diameter) < electrodes.one_rod_ohm(soil, length, diameter)
    assert electrodes.one_rod_ohm(soil * 1.1, length, diameter) > electrodes.one_rod_ohm(soil, length, diameter)


@given(st.integers(2, 9), st.floats(3.0, 50.0))
def test_one_rod_more_or_more_room_between_is_a_better_earth(rods: int, spacing: float) -> None:
    def joined(count: int, metres: float) -> float:
        return of(electrodes.rods_in_line(100.0, 3.0, 16.0, count, metres), "all_rods")

    assert joined(rods + 1, spacing) < joined(rods, spacing)
    assert joined(rods, spacing * 1.2) < joined(rods, spacing)


@given(st.sampled_from([1, 2, 3, 4, 8, 12, 16, 20]))
def test_more_rods_one_length_apart_are_a_better_earth(rods: int) -> None:
    counts = sorted(earthing.ROD_FACTOR)
    after = counts[counts.index(rods) + 1]
    assert of(earthing.rod_resistance(100.0, 3.0, 16.0, after), "all_rods") < of(
        earthing.rod_resistance(100.0, 3.0, 16.0, rods), "all_rods"
    )


@given(lengths, more, st.lists(st.floats(0, 100), max_size=4), st.floats(0, 30), st.floats(0, 500))
def test_a_longer_route_never_orders_less_and_never_less_than_it_needs(
    route: float, extra: float, rises: list[float], allowance: float, stock: float
) -> None:
    stock = 0.0 if stock < 1 else stock
    short, long = (plant.order_length(metres, rises, [], 3.0, allowance, stock)["results"] for metres in (route, route + extra))
    assert short["order"] <= long["order"]
    assert short["needed"] <= short["order"] + 1e-6 and short["order"] < short["needed"] + max(stock, 1e-9)


@given(st.floats(0, 60), st.floats(0.01, 20))
def test_a_lossier_link_leaves_less_margin_and_needs_less_attenuator(loss: float, extra: float) -> None:
    low, high = (optics.transceiver_budget(-4.7, 4.0, -15.8, -1.0, held)["results"] for held in (loss, loss + extra))
    assert high["margin_low"] < low["margin_low"] and high["margin_high"] > low["margin_high"]
    assert high["attenuator"] <= low["attenuator"]


@given(st.integers(64, 15999))
def test_a_larger_frame_comes_less_often_and_carries_more(frame: int) -> None:
    rates = [traffic.frames_per_second(1000.0, size) for size in (frame, frame + 1)]
    assert rates[0] >= rates[1]
    assert of(traffic.tcp_goodput(1000.0, 1500), "goodput") < of(traffic.tcp_goodput(1000.0, 9000), "goodput") < 1000.0


@given(st.floats(0, 5000), st.floats(0.1, 500), st.floats(0, 0.05), st.floats(0.001, 0.05))
def test_a_place_further_along_the_glass_lies_further_along_the_sheath_and_excess_shortens_it(
    shown: float, extra: float, excess: float, slack: float
) -> None:
    def mark(metres: float, over: float) -> float:
        return of(locate.optical_to_mark(metres, 0.0, "m", "up", over), "mark")

    assert mark(shown, excess) < mark(shown + extra, excess)
    assert mark(shown + extra, excess + slack) < mark(shown + extra, excess)


@given(st.floats(1, 50000), st.floats(1, 5000), st.floats(0.15, 3))
def test_more_fibre_sends_more_back(length: float, extra: float, loss: float) -> None:
    assert joints.backscatter_return_db(-80.0, loss, length, 1.468) <= joints.backscatter_return_db(
        -80.0, loss, length + extra, 1.468
    )
