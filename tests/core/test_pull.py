"""Bends up and down, longest pulls and what the conductors take. Values are held against integration in tests/outside."""

from __future__ import annotations

import math

import pytest

from app.core import plant, pull
from app.core.errors import Refused


def test_a_route_names_the_shape_of_a_bend_that_goes_up_or_down() -> None:
    pieces = pull.pieces_of(
        "bend 30deg 2 m dip_up; bend 45 deg 3ft CREST_DOWN; bend 90deg 1m; bend 9deg 2 crest up; bend 9 2 dip down"
    )
    assert [piece[3] for piece in pieces] == ["dip_up", "crest_down", "", "crest_up", "dip_down"]
    assert [piece[2] for piece in pieces] == pytest.approx([2.0, 0.9144, 1.0, 2.0, 2.0])


def test_a_cable_that_sags_to_the_lower_wall_of_a_dip_never_comes_out_lighter_than_it_lies() -> None:
    # No tension before: the form for the upper wall would give less than nothing; the cable lies below and drags, w R (1 - cos + mu sin).
    lying = 4.0 * 2.0 * (1 - math.cos(math.radians(45)) + 0.35 * math.sin(math.radians(45)))
    assert pull.upright_bend_tension(0.0, 4.0, 2.0, 0.35, math.radians(45), "dip_up") == pytest.approx(lying)


def test_the_simple_form_leaves_the_weight_out_of_a_bend_up_too() -> None:
    answers = [
        plant.pull_tension("bend 45deg 2m" + shape, 0.4, 0.35, 100.0, "simple")["results"]["tension"]
        for shape in ("", " crest_up")
    ]
    assert answers[0] == answers[1] == pytest.approx(100 * math.exp(0.35 * math.pi / 4))


@pytest.mark.parametrize(("conductors", "newtons"), [(1, 14.0), (2, 28.0), (3, 28.0), (4, 33.6)])
def test_more_than_three_conductors_share_the_pull_badly(conductors: int, newtons: float) -> None:
    # 70 N/mm2 on 0.2 mm2: one 14 N, two or three as two, four at 60 percent of 56 N (IEEE 525 annex J).
    assert pull.conductors_limit_n(conductors, 0.2) == pytest.approx(newtons)


def test_the_longest_pull_ends_exactly_at_the_limit() -> None:
    length = pull.longest_pull(110.0, 0.04, 0.35)["results"]["length"]
    assert plant.pull_tension(f"straight {length:.6f}m", 0.04, 0.35)["results"]["tension"] == pytest.approx(110.0, abs=1e-4)


@pytest.mark.parametrize(("limit", "weight", "field"), [(0.0, 0.04, "tension_max"), (110.0, 0.0, "weight")])
def test_a_pull_without_tension_or_weight_is_refused(limit: float, weight: float, field: str) -> None:
    with pytest.raises(Refused) as caught:
        pull.longest_pull(limit, weight)
    assert caught.value.field == field
