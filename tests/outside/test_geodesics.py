"""Places on the ground against geographiclib (Karney), at points drawn by hypothesis."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import assume, given
from hypothesis import strategies as st

from app.core import geometry
from app.core.errors import Refused
from app.core.geodesic import inverse

EARTH = Geodesic.WGS84
latitudes = st.floats(-89.0, 89.0)
longitudes = st.floats(-180.0, 180.0)
bearings = st.floats(0.0, 360.0)


def turned(degrees: float) -> float:
    return degrees % 360.0


def apart(first: float, second: float) -> float:
    return abs((first - second + 180.0) % 360.0 - 180.0)


@given(latitudes, longitudes, bearings, st.floats(0.01, 5000.0))
def test_distance_and_bearing_of_a_site_are_the_geodesic_ones(lat: float, lon: float, bearing: float, metres: float) -> None:
    there = EARTH.Direct(lat, lon, bearing, metres)
    distance_m, bearing_deg = inverse((lat, lon), (there["lat2"], there["lon2"]))
    wanted = EARTH.Inverse(lat, lon, there["lat2"], there["lon2"])
    assert distance_m == pytest.approx(wanted["s12"], abs=1e-4)
    # A tenth of a millimetre across the way is what the bearing may be off, and more where the way is short.
    assert apart(bearing_deg, turned(wanted["azi1"])) <= math.degrees(1e-4 / metres) + 1e-7


@given(latitudes, longitudes, latitudes, longitudes)
def test_distances_round_the_globe_are_the_geodesic_ones(lat: float, lon: float, other_lat: float, other_lon: float) -> None:
    wanted = EARTH.Inverse(lat, lon, other_lat, other_lon)
    assume(wanted["a12"] < 179.0)  # nearly opposite places are refused, below
    distance_m, _ = inverse((lat, lon), (other_lat, other_lon))
    assert distance_m == pytest.approx(wanted["s12"], abs=1e-3)


@given(latitudes, longitudes)
def test_opposite_places_are_refused_or_right_and_never_wrong(lat: float, lon: float) -> None:
    try:
        distance_m, _ = inverse((lat, lon), (-lat, lon + 180.0))
    except Refused as refused:
        assert refused.field == "to"
    else:
        assert distance_m == pytest.approx(EARTH.Inverse(lat, lon, -lat, lon + 180.0)["s12"], abs=1e-2)


@given(st.floats(-60.0, 60.0), longitudes, bearings, st.floats(0.0, 5000.0))
def test_the_drawing_plane_keeps_distances_to_a_millimetre(lat: float, lon: float, bearing: float, metres: float) -> None:
    there = EARTH.Direct(lat, lon, bearing, metres)
    east_m, north_m = geometry.to_plane(there["lat2"], there["lon2"], lat, lon)
    assert math.hypot(east_m, north_m) == pytest.approx(metres, abs=1e-3)
    back = geometry.from_plane(east_m, north_m, lat, lon)
    assert EARTH.Inverse(*back, there["lat2"], there["lon2"])["s12"] < 1e-3


@given(st.floats(-85.0, 85.0))
def test_radii_of_curvature_are_those_of_a_short_geodesic(lat: float) -> None:
    along_m, across_m = geometry.radii(lat)
    step = 1e-4
    north = EARTH.Inverse(lat - step / 2, 0.0, lat + step / 2, 0.0)["s12"]
    east = EARTH.Inverse(lat, -step / 2, lat, step / 2)["s12"]
    assert along_m == pytest.approx(north / math.radians(step), rel=1e-7)
    assert across_m * math.cos(math.radians(lat)) == pytest.approx(east / math.radians(step), rel=1e-6)


@pytest.mark.parametrize("typed", ["90.0001,0", "-90.0001,0", "0,360.0001", "0,-361", "91;0"])
def test_a_place_off_the_globe_is_refused(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        geometry.ground_distance(typed, "0,0")
    assert refused.value.field == "from"
