"""Places on the ground, held against geographiclib (an independent geodesic library)."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from app import engine
from app.core import geodesic, geometry
from app.core.errors import Refused

LATITUDES = st.floats(-60, 60)
WGS84 = Geodesic.WGS84


@settings(deadline=None)
@given(LATITUDES, st.floats(-180, 180), st.floats(0, 360), st.floats(1, 5000))
def test_the_local_plane_keeps_distances_of_a_route_to_the_millimetre(
    lat: float, lon: float, bearing: float, distance_m: float
) -> None:
    far = WGS84.Direct(lat, lon, bearing, distance_m)
    east_m, north_m = geometry.to_plane(far["lat2"], far["lon2"], lat, lon)
    assert math.sqrt(east_m**2 + north_m**2) == pytest.approx(distance_m, abs=0.001)


@settings(deadline=None)
@given(LATITUDES, st.floats(-180, 180), st.floats(-3000, 3000), st.floats(-3000, 3000))
def test_out_to_the_plane_and_back_is_the_same_place(lat: float, lon: float, east_m: float, north_m: float) -> None:
    back = geometry.from_plane(east_m, north_m, lat, lon)
    assert geometry.to_plane(back[0], back[1], lat, lon) == (pytest.approx(east_m, abs=1e-4), pytest.approx(north_m, abs=1e-4))


@settings(deadline=None)
@given(st.floats(-89, 89), st.floats(-180, 180), st.floats(0, 359.9), st.floats(0.5, 15_000_000))
def test_distances_agree_with_the_independent_library(lat: float, lon: float, bearing: float, distance_m: float) -> None:
    far = WGS84.Direct(lat, lon, bearing, distance_m)
    found = geodesic.inverse((lat, lon), (far["lat2"], far["lon2"]))
    reference = WGS84.Inverse(lat, lon, far["lat2"], far["lon2"])
    assert found[0] == pytest.approx(reference["s12"], abs=2e-4)


@pytest.mark.parametrize(
    ("first", "second", "bearing"),
    [((0, 0), (0.01, 0), 0.0), ((0, 0), (0, 0.01), 90.0), ((0, 0), (-0.01, 0), 180.0), ((0, 0), (0, -0.01), 270.0)],
)
def test_bearings_run_clockwise_from_north(first: tuple[float, float], second: tuple[float, float], bearing: float) -> None:
    assert geodesic.inverse(first, second)[1] == pytest.approx(bearing)
    east_m, north_m = geometry.to_plane(second[0], second[1], first[0], first[1])
    assert geometry.plane_bearing(east_m, north_m) == pytest.approx(bearing)


def test_one_and_the_same_place_is_no_distance() -> None:
    assert geodesic.inverse((51.2, 4.1), (51.2, 4.1)) == (0.0, 0.0)


def test_places_nearly_opposite_are_refused_in_words() -> None:
    with pytest.raises(Refused) as refused:
        geodesic.inverse((0.0, 0.0), (0.5, 179.7))
    assert "opposite" in refused.value.allowed


def test_the_date_line_is_no_wall() -> None:
    east_m, _ = geometry.to_plane(0.0, -179.999, 0.0, 179.999)
    assert east_m == pytest.approx(222.639, abs=0.001)  # 0.002 degrees x 111 319.491 m


@pytest.mark.parametrize("typed", ["51.5", "51.5,4,1", "north,4", "91,0", "0,361"])
def test_a_place_out_of_form_is_refused(typed: str) -> None:
    with pytest.raises(Refused):
        geometry.place(typed, "from")


def test_two_ties_meet_on_the_side_that_was_named() -> None:
    # A 3-4-5 triangle twice: corners 8 m apart, both ties 5 m.
    assert geometry.from_ties((0.0, 0.0), 5.0, (8.0, 0.0), 5.0, "left") == (pytest.approx(4.0), pytest.approx(3.0))
    assert geometry.from_ties((0.0, 0.0), 5.0, (8.0, 0.0), 5.0, "right") == (pytest.approx(4.0), pytest.approx(-3.0))


def test_ties_too_short_to_meet_are_refused() -> None:
    with pytest.raises(Refused) as refused:
        geometry.from_ties((0.0, 0.0), 3.0, (8.0, 0.0), 4.0, "left")
    assert refused.value.field == "ties"


def test_the_calculator_answers_ties_that_do_not_meet_with_valid_false() -> None:
    found = engine.call("calc", name="tie_position", inputs={"corners": "0:0, 8:0", "ties": "3,4", "side": "left"})
    assert found["results"]["valid"]["value"] is False
    assert found["results"]["x"]["value"] is None
    assert "miss each other by 1.00 m" in found["notes"][0]


def test_a_tape_that_sags_a_little_still_gives_a_place_with_its_residual() -> None:
    found = engine.call("calc", name="tie_position", inputs={"corners": "0:0, 8:0", "ties": "3.98,3.99", "side": "left"})[
        "results"
    ]
    assert found["valid"]["value"] is True
    assert found["x"]["value"] == pytest.approx(3.995, abs=0.001)
    assert 0 < found["residual"]["value"] < 0.03


def test_a_third_tie_shows_a_misread_tape() -> None:
    good = engine.call("calc", name="tie_position", inputs={"corners": "0:0, 8:0, 4:10", "ties": "5,5,7", "side": "left"})[
        "results"
    ]
    bad = engine.call("calc", name="tie_position", inputs={"corners": "0:0, 8:0, 4:10", "ties": "5,5,8", "side": "left"})[
        "results"
    ]
    assert (good["x"]["value"], good["y"]["value"]) == (pytest.approx(4.0), pytest.approx(3.0))
    assert good["residual"]["value"] == pytest.approx(0.0, abs=1e-9)
    assert bad["residual"]["value"] > 0.3


@settings(deadline=None)
@given(st.floats(-20, 20), st.floats(0.5, 20))
def test_a_place_taped_from_two_corners_is_found_again(x: float, y: float) -> None:
    ties = [math.dist((0, 0), (x, y)), math.dist((8, 0), (x, y))]
    found = geometry.from_ties((0.0, 0.0), ties[0], (8.0, 0.0), ties[1], "left")
    assert found == (pytest.approx(x, abs=1e-5), pytest.approx(y, abs=1e-4))


def test_a_station_without_a_place_is_put_between_its_neighbours_by_chainage() -> None:
    placed = geometry.spread([(0.0, 0.0), None, (10.0, 20.0), None], [0.0, 25.0, 100.0, 120.0])
    assert placed[1] == (pytest.approx(2.5), pytest.approx(5.0))
    assert placed[3] is None
