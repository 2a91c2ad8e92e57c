"""Tension in bends against numerical integration of the balance of forces along the arc (scipy)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.core import pull

tensions = st.floats(0.0, 3000.0)
weights = st.floats(0.1, 50.0)
radii = st.floats(0.1, 15.0)
frictions = st.floats(0.05, 0.9)
angles = st.floats(1.0, 90.0)


def integrated(change, before_n: float, angle_rad: float) -> float:
    """T at the end of an arc, given dT per radian as a function of (place on the arc, T)."""
    found = solve_ivp(lambda place, held: [change(place, held[0])], (0.0, angle_rad), [before_n], rtol=1e-10, atol=1e-10)
    return float(found.y[0, -1])


@settings(max_examples=40)
@given(tensions, weights, radii, frictions, st.floats(1.0, 180.0))
def test_a_level_bend_presses_with_tension_and_weight_together(
    before: float, weight: float, radius: float, friction: float, angle: float
) -> None:
    wanted = integrated(lambda _, held: friction * math.hypot(held, weight * radius), before, math.radians(angle))
    given = pull.bend_tension(before, weight, radius, friction, math.radians(angle), "exact")
    assert given == pytest.approx(wanted, rel=1e-6, abs=1e-6)


def slope_at(shape: str, place: float, whole: float) -> float:
    """Slope of the cable, up is plus, at a place on the arc of a bend between level and a slope of `whole`."""
    return {"crest_up": whole - place, "crest_down": -place, "dip_up": place, "dip_down": place - whole}[shape]


@settings(max_examples=60)
@given(st.sampled_from(sorted(pull.SHAPES)), tensions, weights, radii, frictions, angles)
def test_a_bend_up_or_down_balances_tension_weight_and_friction(
    shape: str, before: float, weight: float, radius: float, friction: float, angle: float
) -> None:
    """On a crest the wall below carries tension and weight together. In a dip the cable rides on the wall above where tension outweighs it."""
    whole = math.radians(angle)

    def change(place: float, held: float) -> float:
        slope = slope_at(shape, place, whole)
        across = held / radius + (1 if shape.startswith("crest") else -1) * weight * math.cos(slope)
        return radius * (weight * math.sin(slope) + friction * across)

    def lying(place: float, held: float) -> float:
        slope = slope_at(shape, place, whole)
        return radius * weight * (math.sin(slope) + friction * math.cos(slope))

    wanted = integrated(change, before, whole)
    rides = shape.startswith("crest") or (before if shape == "dip_up" else wanted) > weight * radius
    if not rides:
        wanted = max(wanted, integrated(lying, before, whole))
    given = pull.upright_bend_tension(before, weight, radius, friction, whole, shape)
    assert given == pytest.approx(wanted, rel=1e-6, abs=1e-5)


@settings(max_examples=60)
@given(st.sampled_from(["dip_up", "dip_down"]), tensions, weights, radii, frictions, angles)
def test_where_the_form_for_the_upper_wall_is_used_the_cable_rides_there_all_along(
    shape: str, before: float, weight: float, radius: float, friction: float, angle: float
) -> None:
    whole = math.radians(angle)

    def change(spot: float, held: float) -> float:
        slope = slope_at(shape, spot, whole)
        return radius * (weight * math.sin(slope) + friction * (held / radius - weight * math.cos(slope)))

    level = before if shape == "dip_up" else integrated(change, before, whole)
    if level <= weight * radius:
        return
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        held = integrated(change, before, share * whole) if share else before
        assert held >= weight * radius * math.cos(slope_at(shape, share * whole, whole)) - 1e-4


@settings(max_examples=30)
@given(tensions, weights, st.floats(1.0, 200.0), frictions, st.floats(-60.0, 60.0))
def test_a_straight_on_a_slope_is_the_same_metre_by_metre(
    before: float, weight: float, length: float, friction: float, slope: float
) -> None:
    per_m = weight * (math.sin(math.radians(slope)) + friction * math.cos(math.radians(slope)))
    found = solve_ivp(lambda _, held: [per_m], (0.0, length), [before], rtol=1e-10, atol=1e-10)
    assert pull.straight_tension(before, weight, length, friction, math.radians(slope)) == pytest.approx(
        float(found.y[0, -1]), abs=1e-4
    )
