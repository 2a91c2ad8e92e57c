"""Closed forms against general solvers (scipy): roots, least squares, integrals."""

from __future__ import annotations

import cmath
import math

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq, fsolve, least_squares

from app import engine
from app.core import copper_limits, crosstalk, earthing, electrodes, fibre, joints, lightning, limits, locate, plant, power, slope
from app.core.ties import place_by_ties


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


def curve(share: float, truth: float, scale: float, offset: float) -> float:
    """Fall of potential of an electrode whose electrical centre lies `offset` behind, in shares of the current stake's distance."""
    return truth - scale * (1 / (1 + offset) + 1 / (share + offset) - 1 / (1 - share))


@settings(max_examples=60)
@given(st.floats(0.5, 500.0), st.floats(0.001, 0.1), st.floats(-0.12, 0.5))
def test_the_slope_method_solves_the_model_for_its_three_unknowns(truth: float, relative: float, offset: float) -> None:
    scale = truth * relative
    readings = [curve(share, truth, scale, offset) for share in (0.2, 0.4, 0.6)]
    found = earthing.earth_slope(*readings, 50.0)["results"] if readings[0] >= 0 else {"valid": False}
    if not found["valid"]:
        return
    solved, _, good, _ = fsolve(
        lambda unknown: [curve(share, *unknown) - reading for share, reading in zip((0.2, 0.4, 0.6), readings, strict=True)],
        [truth * 1.01, scale * 1.01, offset + 0.001],
        full_output=True,
        xtol=1e-12,
    )
    if good == 1:
        assert found["resistance"] == pytest.approx(solved[0], rel=1e-5)
    assert found["resistance"] == pytest.approx(truth, rel=1e-6)
    at = found["potential_ratio"]
    assert curve(at, truth, scale, offset) == pytest.approx(truth, rel=1e-6)  # read off the curve there


@given(st.floats(0.40, 1.59))
def test_the_offset_of_a_slope_is_the_root_of_the_model(mu: float) -> None:
    assert slope.offset_of(mu) == pytest.approx(brentq(lambda x: slope.mu_of(x) - mu, -0.199999, 1.0, xtol=1e-13), abs=1e-9)


@given(st.floats(20.0, 60.0), st.floats(0.5, 90.0), st.floats(0.01, 60.0))
def test_the_load_takes_the_upper_root_of_its_quadratic(source: float, load: float, ohm: float) -> None:
    def missing(voltage: float) -> float:
        return (source - voltage) / ohm * voltage - load  # what arrives less what is drawn

    given_v = power.load_voltage(source, load, ohm)
    if missing(source / 2) < 0:  # even the most that can arrive is too little
        assert given_v is None or missing(source / 2) > -1e-9
    else:
        assert given_v == pytest.approx(brentq(missing, source / 2, source), abs=1e-6)


@settings(max_examples=60)
@given(st.floats(44.0, 57.0), st.floats(4.0, 71.0), st.floats(0.55, 0.95), st.floats(1.02, 1.9))
def test_the_reach_is_where_the_first_bound_is_met(source: float, load: float, lowest_share: float, spare: float) -> None:
    lowest, most = source * lowest_share, load * spare

    def feeds(ohm: float) -> bool:
        voltage = power.load_voltage(source, load, ohm)
        return voltage is not None and voltage >= lowest and source * load / voltage <= most

    reach = power.reach_resistance(source, load, lowest, most)
    assert feeds(reach * 0.9999)
    assert not feeds(reach * 1.0001)


@given(st.floats(1.0, 250.0))
def test_crosstalk_of_cable_and_connections_adds_as_voltages(frequency: float) -> None:
    """Category 6 channel: 44.3 - 15 lg(f/100) and two connections of 54 - 20 lg(f/100), added as amplitudes in phase (from memory)."""
    decades = math.log10(frequency / 100)
    amplitudes = [10 ** (-(44.3 - 15 * decades) / 20)] + 2 * [10 ** (-(54 - 20 * decades) / 20)]
    in_phase = abs(sum(cmath.rect(size, 0.3) for size in amplitudes))
    row = limits.row("tia-568.2-d", "next:6:channel")
    assert copper_limits.limit_at(row, frequency) == pytest.approx(min(65.0, -20 * math.log10(in_phase)), abs=1e-9)


@given(st.lists(st.floats(10.0, 90.0), min_size=1, max_size=8))
def test_a_power_sum_adds_powers(losses: list[float]) -> None:
    assert crosstalk.power_sum_db(losses) == pytest.approx(
        -10 * numpy.log10(numpy.sum(10.0 ** (-numpy.array(losses) / 10))), abs=1e-9
    )


@settings(max_examples=40)
@given(st.floats(-83.0, -65.0), st.floats(0.15, 3.5), st.floats(10.0, 40000.0), st.floats(1.44, 1.50))
def test_what_a_fibre_sends_back_is_the_integral_of_its_scatter(
    backscatter: float, loss: float, length: float, index: float
) -> None:
    """A pulse of 1 ns fills c / (2 n) * 1 ns of fibre at a time and returns `backscatter` from it: so much a metre, attenuated twice."""
    per_m = 10 ** (backscatter / 10) / (0.299792458 / (2 * index))
    returned, _ = quad(lambda metres: per_m * 10 ** (-2 * loss * metres / 1000 / 10), 0.0, length, epsrel=1e-10)
    given = joints.backscatter_return_db(backscatter, loss, length, index)
    assert given == pytest.approx(10 * math.log10(returned), abs=1e-6)


@given(st.floats(0.5, 10.0), st.floats(30.0, 500.0))
def test_a_helix_is_as_long_as_its_curve(radius: float, lay: float) -> None:
    turn, _ = quad(lambda angle: math.sqrt(radius**2 + (lay / (2 * math.pi)) ** 2), 0.0, 2 * math.pi)
    assert locate.helix_excess(radius, lay) == pytest.approx(turn / lay - 1, abs=1e-9)


@given(st.floats(3.0, 80.0), st.floats(3.0, 80.0), st.floats(2.0, 30.0))
def test_a_building_draws_lightning_from_three_times_its_height_around(length: float, width: float, height: float) -> None:
    """Ground within 3 H of the walls: the rectangle, a strip along each wall, and a quarter circle at each corner, by integration."""
    reach = 3 * height
    corner, _ = quad(lambda out: math.sqrt(max(0.0, reach**2 - out**2)), 0.0, reach)
    wanted = length * width + 2 * reach * (length + width) + 4 * corner
    assert lightning.collection_area_m2(length, width, height) == pytest.approx(wanted, rel=1e-6)


@settings(max_examples=60)
@given(
    st.floats(2.0, 30.0),
    st.floats(-20.0, 40.0),
    st.floats(1.0, 40.0),
    st.floats(-0.03, 0.03),
    st.floats(-0.03, 0.03),
    st.floats(-0.03, 0.03),
)
def test_taped_ties_meet_where_least_squares_put_them(
    base: float, x: float, y: float, first: float, second: float, third: float
) -> None:
    corners = [(0.0, 0.0), (base, 0.0), (base, -6.0)]
    ties = [math.dist((x, y), corner) + error for corner, error in zip(corners, (first, second, third), strict=True)]
    found = place_by_ties(corners, ties, "left")
    if not found["valid"]:
        return

    def misses(place: list[float]) -> list[float]:
        return [math.dist(place, corner) - tie for corner, tie in zip(corners, ties, strict=True)]

    best = least_squares(misses, [x, y], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert found["residual"] == pytest.approx(math.sqrt(sum(miss**2 for miss in best.fun) / 3), abs=1e-4)


@settings(max_examples=30)
@given(st.floats(10.0, 5000.0), st.floats(1.46, 1.49), st.floats(0.0, 0.05))
def test_the_uncertainty_of_a_place_is_propagated_through_its_own_formula(distance: float, index: float, excess: float) -> None:
    """ISO/IEC Guide 98-3: sensitivities by differences of place = (D + offset) * n_set / n / (1 + e) * scale, n_set = n."""
    widths = {"offset": 1.0 / math.sqrt(3), "index": 0.001 / math.sqrt(3), "excess": 0.0029, "scale": 0.01 / math.sqrt(3)}

    def place(offset: float = 0.0, index_off: float = 0.0, excess_off: float = 0.0, scale: float = 0.0) -> float:
        return (distance + offset) * index / (index + index_off) / (1 + excess + excess_off) * (1 + scale)

    step = 1e-6
    slopes = [
        (place(**{name: step}) - place(**{name: -step})) / (2 * step) for name in ("offset", "index_off", "excess_off", "scale")
    ]
    wanted = math.sqrt(sum((slope_ * width) ** 2 for slope_, width in zip(slopes, widths.values(), strict=True)))
    found = plant.locate_budget(distance, 1.0, 0.001, index, excess, 0.0029, 0.01, 0.0)["results"]["standard_uncertainty"]
    # Offset and index are taken along the fibre there: up to the excess more than along the sheath, on the safe side.
    assert wanted * (1 - 1e-6) <= found <= wanted * (1 + excess) * (1 + 1e-6)


def test_the_earth_of_a_clamp_loop_is_what_node_equations_give() -> None:
    """Six electrodes in a ring of bonds without resistance: inject 1 V in the clamped lead, solve for the node, read U / I."""
    electrodes_ohm = [7.0, 11.0, 13.0, 5.0, 40.0, 23.0]
    conductances = 1 / numpy.array(electrodes_ohm)
    node = conductances[0] * 1.0 / conductances.sum()  # Kirchhoff at the common bond
    current = (1.0 - node) * conductances[0]
    assert earthing.clamp_loop(electrodes_ohm)["results"]["reading"] == pytest.approx(1.0 / current)


@given(st.floats(0.5, 6.0), st.floats(8.0, 30.0))
def test_a_driven_rod_is_close_to_a_line_of_current_in_half_space(length: float, diameter: float) -> None:
    """Mean potential of a line source with its image, by integration (Howe's method): rho/(2 pi L) (ln(4 L/a) - 1), a the radius."""
    radius = diameter / 2000.0

    def potential(depth: float) -> float:  # of 1 A spread over -L..L, closed form of the integral over the line
        return (math.asinh((length - depth) / radius) + math.asinh((length + depth) / radius)) / (4 * math.pi * length)

    mean, _ = quad(lambda depth: potential(depth) / length, 0.0, length, limit=200)
    assert electrodes.one_rod_ohm(1.0, length, diameter) == pytest.approx(mean, rel=5e-3)


@given(st.lists(st.tuples(st.floats(-60.0, -14.0), st.floats(0.0, 20.0)), min_size=1, max_size=10))
def test_return_loss_of_a_link_adds_powers(events: list[tuple[float, float]]) -> None:
    reflectances, before = (numpy.array(column) for column in zip(*events, strict=True))
    wanted = -10 * numpy.log10(numpy.sum(10 ** ((reflectances - 2 * before) / 10)))
    found = fibre.return_loss_total(list(reflectances), list(before))["results"]["return_loss"]
    assert found == pytest.approx(float(wanted), abs=1e-9)
