"""Joints, ends and what a fibre sends back."""

from __future__ import annotations

import pytest

from app.core import joints


def test_a_joint_shows_a_gain_one_way_and_as_much_more_loss_the_other() -> None:
    found = joints.unlike_fibres(9.2, 8.6)
    assert found["results"]["shown_forward"] < 0 < found["results"]["shown_backward"]
    mean = (found["results"]["shown_forward"] + found["results"]["shown_backward"]) / 2
    assert mean == pytest.approx(found["results"]["loss"])
    assert "average of both directions" in found["notes"][0]


def test_like_fibres_lose_nothing_and_show_nothing() -> None:
    assert joints.unlike_fibres(9.2, 9.2)["results"] == {"loss": 0.0, "step": 0.0, "shown_forward": 0.0, "shown_backward": 0.0}


def test_light_from_a_narrower_core_into_a_wider_one_loses_nothing() -> None:
    assert joints.mixed_cores(50.0, 0.2, 62.5, 0.275)["results"]["loss"] == 0.0


# Long single-mode fibre returns about -31 to -34 dB in all (from memory); -79 dB and 0.35 dB/km at 1310, -82 dB and 0.2 dB/km at 1550 nm.
@pytest.mark.parametrize(("backscatter", "attenuation"), [(-79.0, 0.35), (-82.0, 0.20)])
def test_a_long_fibre_returns_what_is_known_of_single_mode(backscatter: float, attenuation: float) -> None:
    assert 31.0 <= joints.fibre_return(40000.0, attenuation, backscatter)["results"]["backscatter_only"] <= 34.0


def test_an_open_end_nearby_drowns_the_backscatter_and_one_far_away_is_lost_in_it() -> None:
    near = joints.fibre_return(100.0, 0.35, -79.0, 1.468, True)["results"]
    assert near["return_loss"] == pytest.approx(14.44 + 0.07, abs=0.02)
    far = joints.fibre_return(80000.0, 0.35, -79.0, 1.468, True)["results"]
    assert far["return_loss"] == pytest.approx(far["backscatter_only"], abs=0.01)
