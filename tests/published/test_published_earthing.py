"""Published and hand-computed values for earths, bonds and surges, each beside its source and how sure we are of it (earthing.json)."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app import engine
from app.core import conductors, copper, earthing, slope

ROWS = json.loads((Path(__file__).parent / "earthing.json").read_text(encoding="utf-8"))


def _depth_factor(spacing: float, depth: float) -> float:
    deep = earthing.soil_resistivity(spacing, 1.0, depth)["results"]["resistivity"]
    return float(deep / earthing.soil_resistivity(spacing, 1.0)["results"]["resistivity"])


def _all_rods(one_ohm: float, rods: int) -> float:
    """A soil in which one rod of 3 m and 16 mm has exactly this resistance."""
    rod = earthing.rod_resistance(1.0, 3.0, 16.0)["results"]["one_rod"]
    return float(earthing.rod_resistance(one_ohm / rod, 3.0, 16.0, rods)["results"]["all_rods"])


FUNCTIONS: dict[str, Callable[..., Any]] = {
    "slope_ratio": lambda mu: slope.potential_ratio(slope.offset_of(mu)),
    "offset_ratio": slope.potential_ratio,
    "offset_mu": slope.mu_of,
    "depth_factor": _depth_factor,
    "rod_factor": lambda rods: earthing.ROD_FACTOR[rods],
    "all_rods": _all_rods,
    "growth_times": lambda mohm, temperature: mohm * copper.copper_growth(temperature),
    "table_factor": lambda temperature: conductors.ohm_per_m("6", temperature) / conductors.ohm_per_m("6", 75.0),
}


def answer(row: dict[str, Any]) -> Any:
    if row["call"].startswith("calc:"):
        return engine.call("calc", name=row["call"][5:], inputs=row["inputs"])["results"][row["result"]]["value"]
    return FUNCTIONS[row["call"]](**row["inputs"])


KEPT = [row for row in ROWS if row["call"] != "not_rod"]


@pytest.mark.parametrize("row", KEPT, ids=[f"{row['what'][:40]} {row['inputs']} ({row['confidence']})" for row in KEPT])
def test_reproduces_the_published_value(row: dict[str, Any]) -> None:
    given = answer(row)
    if isinstance(row["expected"], str):
        assert given == row["expected"], row["source"]
    else:
        assert given == pytest.approx(row["expected"], abs=row["tolerance"] + 1e-9), row["source"]


def test_the_rod_formula_does_not_put_the_diameter_in_the_radius_place() -> None:
    wrong = next(row for row in ROWS if row["call"] == "not_rod")
    given = engine.call("calc", name="rod_resistance", inputs=wrong["inputs"])["results"]["one_rod"]["value"]
    assert given == pytest.approx(39.9, abs=0.1)  # BS 7430 and Dwight (1936) agree on this
    assert abs(given - wrong["expected"]) > 4


def test_the_fall_of_potential_model_agrees_with_two_point_sources() -> None:
    """Hemisphere of 0.5 m in soil of 62.832 ohm*m: 20 ohm by rho / (2 pi r); stakes at 20, 40 and 60 % of 20 m (potential superposition)."""
    rho, radius, distance = 62.831853, 0.5, 20.0

    def reading(share: float) -> float:
        here = share * distance
        return rho / (2 * math.pi) * (1 / radius - 1 / distance - 1 / here + 1 / (distance - here))

    given = earthing.earth_slope(reading(0.2), reading(0.4), reading(0.6), distance)["results"]
    assert given["resistance"] == pytest.approx(rho / (2 * math.pi * radius), rel=1e-6)
