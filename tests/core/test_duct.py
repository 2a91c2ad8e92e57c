"""Three like cables in a duct."""

from __future__ import annotations

import math

import pytest

from app import engine
from app.core import duct
from app.core.errors import Refused


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


@pytest.mark.parametrize(("bore", "jams"), [(79.9, False), (80.1, True), (91.4, True), (91.5, False)])
def test_the_band_in_which_cables_wedge_is_said(bore: float, jams: bool) -> None:
    # 1.05 * D / 30 mm: 2.8 at 80.0 mm, 3.2 at 91.43 mm
    assert any("wedge" in note for note in duct.three_cables(bore, 30.0)["notes"]) is jams


def test_three_cables_touching_each_other_and_the_bore_have_no_room_left() -> None:
    # Circle around three circles: D = d (1 + 2 / sqrt 3), plane geometry; 1.366 is (1 + sqrt 3) / 2 to three decimals.
    bore = 30.0 * (1 + 2 / math.sqrt(3)) + 1e-9
    assert duct.clearance_mm(bore, 30.0) == pytest.approx(0.0, abs=0.02)


def test_three_cables_that_do_not_fit_are_refused_with_the_bore_they_need() -> None:
    with pytest.raises(Refused) as caught:
        duct.three_cables(60.0, 30.0)
    assert "64.64 mm" in caught.value.sentence()


def test_a_triangle_presses_half_of_what_its_weight_and_tension_give_and_a_wide_cradle_a_third() -> None:
    # Far wider duct than cable: k goes to 0, both corrections to 1: triangle T / (2 R), cradle T / (3 R).
    assert duct.sidewall_three_n_m(600.0, 2.0, 1.0, "triangle") == pytest.approx(150.0)
    assert duct.sidewall_three_n_m(600.0, 2.0, 1.0, "cradle") == pytest.approx(100.0)


def test_the_weight_correction_is_the_geometry_of_the_lie() -> None:
    # D = 3 d: k = 1/2. Triangle 1/sqrt(3/4) = 1.1547, cradle 1 + (4/3)/4 = 1.3333 (hand computation).
    assert duct.weight_correction(90.0, 30.0, "triangle") == pytest.approx(1.154701, abs=1e-6)
    assert duct.weight_correction(90.0, 30.0, "cradle") == pytest.approx(1.333333, abs=1e-6)


def test_the_lie_changes_at_the_bound() -> None:
    assert duct.three_cables(68.0, 30.0)["results"]["lie"] == "triangle"  # 1.05 * 68 / 30 = 2.38
    assert duct.three_cables(69.0, 30.0)["results"]["lie"] == "cradle"  # 2.415
