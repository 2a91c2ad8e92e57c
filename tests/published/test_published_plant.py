"""Published and hand-computed values for outside plant, each beside its source and how sure we are of it (plant.json).

Confidence: 2+ two or more public places, 1 one, computed or exact a calculation outside this program.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from app import engine
from app.core import geometry, pull

ROWS = json.loads((Path(__file__).parent / "plant.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['what'][:50]} {row['result']} ({row['confidence']})" for row in ROWS])
def test_reproduces_the_published_value(row: dict[str, Any]) -> None:
    given = engine.call("calc", name=row["calculator"], inputs=row["inputs"])["results"][row["result"]]["value"]
    if isinstance(row["expected"], str):
        assert given == row["expected"], row["source"]
    else:
        assert given == pytest.approx(row["expected"], abs=row["tolerance"] + 1e-9), row["source"]


# Duct maker's construction handbook, pull-calculation chapter (public copy; seen in one place): 0.144 lb/ft, friction 0.5, radius 10 ft,
# each step rounded to a whole pound with bend factors 1.48 and 2.19 as printed there.
HANDBOOK = [("straight", 100), ("bend", 45), ("straight", 80), ("bend", 90), ("straight", 75), ("bend", 45), ("straight", 70)]


def in_whole_pounds(route: list[tuple[str, int]]) -> list[int]:
    pounds, after = 0, []
    for shape, size in route:
        exact = pull.straight_tension(pounds, 0.144, size, 0.5) if shape == "straight" else pounds * {45: 1.48, 90: 2.19}[size]
        pounds = math.floor(exact + 0.5)
        after.append(pounds)
    return after


def test_the_handbook_route_pulled_one_way_in_its_own_rounding() -> None:
    assert in_whole_pounds(HANDBOOK) == [7, 10, 16, 35, 40, 59, 64]


def test_the_handbook_route_pulled_the_other_way_in_its_own_rounding() -> None:
    assert in_whole_pounds(HANDBOOK[::-1]) == [5, 7, 12, 26, 32, 47, 54]


@pytest.mark.parametrize(
    ("angle_deg", "factors"),
    [
        (15, [1.20, 1.17, 1.14, 1.11, 1.08, 1.04]),
        (45, [1.73, 1.60, 1.48, 1.37, 1.27, 1.13]),
        (60, [2.08, 1.87, 1.68, 1.52, 1.37, 1.17]),
        (75, [2.50, 2.19, 1.92, 1.69, 1.48, 1.22]),
        (90, [3.00, 2.57, 2.19, 1.87, 1.60, 1.27]),
    ],
)
def test_bend_factors_of_the_handbook_table(angle_deg: float, factors: list[float]) -> None:
    # The same handbook's printed table (one public place); it cuts 1.688 to 1.68.
    for friction, factor in zip([0.7, 0.6, 0.5, 0.4, 0.3, 0.15], factors, strict=True):
        given = pull.bend_tension(1.0, 0.0, 1.0, friction, math.radians(angle_deg), "simple")
        assert given == pytest.approx(factor, abs=0.01)


@pytest.mark.parametrize(
    ("lat_deg", "lat_m", "lon_m"),
    [(0, 110574.276, 111319.491), (30, 110852.442, 96486.280), (45, 111131.777, 78846.835), (60, 111412.287, 55800.002)],
)
def test_metres_per_degree_on_wgs84(lat_deg: float, lat_m: float, lon_m: float) -> None:
    # From M and N of WGS84; computed outside this program.
    along_m, across_m = geometry.radii(lat_deg)
    assert math.radians(1) * along_m == pytest.approx(lat_m, abs=0.001)
    assert math.radians(1) * across_m * math.cos(math.radians(lat_deg)) == pytest.approx(lon_m, abs=0.001)
