"""Published and hand-computed values for outside plant, each beside its source and how sure we are of it."""

from __future__ import annotations

import json
import math

import pytest
from geographiclib.geodesic import Geodesic

from app.core import copper, duct, fibre, geometry, limits, locate, plant, pull, units
from app.core.constants import GRAVITY
from app.core.decision import decision
from tests.phone.test_modules import run
from tests.published import published

LBF_N = 4.4482216152605
# Duct maker's construction handbook, pull-calculation chapter (public copy; seen in one place): 0.144 lb/ft, friction 0.5, radius 10 ft,
# each step rounded to a whole pound with bend factors 1.48 and 2.19 as printed there.
HANDBOOK = [("straight", 100), ("bend", 45), ("straight", 80), ("bend", 90), ("straight", 75), ("bend", 45), ("straight", 70)]


def _whole_pounds(route: str) -> list[int]:
    pounds, after = 0, []
    for shape, size in HANDBOOK[::-1] if route == "reverse" else HANDBOOK:
        exact = pull.straight_tension(pounds, 0.144, size, 0.5) if shape == "straight" else pounds * {45: 1.48, 90: 2.19}[size]
        pounds = math.floor(exact + 0.5)
        after.append(pounds)
    return after


def _pounds_after(route: str) -> list[float]:
    typed = "; ".join(f"straight {size}ft" if shape == "straight" else f"bend {size}deg 10ft" for shape, size in HANDBOOK)
    pieces = pull.pieces_of(typed)
    pieces = pull.reversed_pieces(pieces) if route == "reverse" else pieces
    weight_n_m = units.convert(0.144, "lb/ft", "kg/m") * GRAVITY
    return [tension / LBF_N for tension in pull.pull(pieces, weight_n_m, 0.5, 0.0, "simple")["after_n"]]


def _sidewalls(tensions_lbf: list[float], radius_ft: float) -> list[float]:
    """Each bend alone, pulled with exactly the tension that the handbook has behind it: no friction, so that it stays."""
    found = []
    for tension in tensions_lbf:
        bend = plant.pull_tension(f"bend 45deg {radius_ft}ft", 1.0, 1e-12, tension * LBF_N, "simple")
        found.append(units.convert(bend["results"]["sidewall"], "N/m", "lbf/ft"))
    return found


def _two_straights_and_a_bend() -> dict[str, float]:
    pieces = pull.pieces_of("straight 50ft; straight 50ft; bend 90deg 2ft")
    found = pull.pull(pieces, units.convert(3.3, "lb/ft", "kg/m") * GRAVITY, 0.35, 0.0, "simple")
    after = [tension / LBF_N for tension in found["after_n"]]
    sidewall = units.convert(found["sidewall_n_m"], "N/m", "lbf/ft")
    return {"after_1": after[0], "after_2": after[1], "T_out": after[2], "SWP": sidewall}


def _bend_factors(angle_deg: float, frictions: list[float]) -> list[float]:
    return [pull.bend_tension(1.0, 0.0, 1.0, friction, math.radians(angle_deg), "simple") for friction in frictions]


def _incline(before_n: float, friction: float, mass_kg_m: float, length_m: float, slope_deg: float) -> float:
    return pull.straight_tension(before_n, mass_kg_m * GRAVITY, length_m, friction, math.radians(slope_deg))


def _inclines(slopes_deg: list[float], **given: float) -> list[float]:
    return [_incline(slope_deg=slope, **given) for slope in slopes_deg]


def _fill(bore_mm: float, cable_mm: float, count: int = 1) -> float:
    return float(plant.duct_fill(bore_mm, [cable_mm] * count)["results"]["fill"])


def _bore_areas(inches: list[float]) -> list[float]:
    """Area of a bore from how full a cable of one square inch makes it: pi/4 d^2 = 1 in2."""
    cable = math.sqrt(4 / math.pi)
    return [100.0 / _fill(inch, cable) for inch in inches]


def _bore_shares(inches: list[float], percent: list[float]) -> list[list[float]]:
    return [[share / 100.0 * area for share in percent] for area in _bore_areas(inches)]


def _most_cables(bore_mm: float, cable_mm: float) -> int:
    def fits(count: int) -> bool:
        found = plant.duct_fill(bore_mm, [cable_mm] * count)["results"]
        return bool(found["fill"] <= found["allowed"])

    return max(count for count in range(3, 40) if fits(count))


def _widest_cables(bore_mm: float, counts: list[int]) -> list[float]:
    """The diameter at which a duct is exactly as full as allowed: fill grows with its square."""
    allowed = [plant.duct_fill(bore_mm, [1.0] * count)["results"]["allowed"] for count in counts]
    return [math.sqrt(share / _fill(bore_mm, 1.0, count)) for share, count in zip(allowed, counts, strict=True)]


def _ratio_method(mark_a: float, mark_b: float, optical_b: float, optical_fault: float) -> dict[str, float]:
    excess = fibre.fibre_excess(mark_a, mark_b, "m", optical_b)["results"]["excess"]
    found = locate.optical_to_mark(optical_fault, mark_a, "m", "down", excess)["results"]
    return {"ratio": 1.0 / (1.0 + excess), "mark": found["mark"]}


def _axis_of_radius(share: float) -> float:
    """Radius of a fix that holds this share, over what the budget takes of it along one axis."""
    assert share == 0.95
    return 1.0 / float(plant.locate_budget(1.0, 0.0, 0.0, 1.468, 0.0, 0.0, 0.0, 1.0)["results"]["standard_uncertainty"])


def _binary_guarded(measured: float, limit: float, uncertainty: float) -> str:
    return "pass" if decision(measured, limit, uncertainty)["results"]["verdict"] == "pass" else "fail"


def _risk_at_guard(shares: list[float]) -> list[float]:
    """Chance that the true value is over the limit when a result lies where this program's decision just passes; U = 2 u, normal."""
    risks = []
    for share in shares:
        guard = next(step / 10000 for step in range(20001) if _binary_guarded(2.0 - step / 10000, 2.0, share) == "pass")
        risks.append(0.5 * math.erfc(guard * 2 / math.sqrt(2)))
    return risks


def _plane_distance(from_place: list[float], to_place: list[float]) -> float:
    return math.hypot(*geometry.to_plane(*to_place, *from_place))


def _metres_per_degree(latitudes: list[float]) -> dict[str, list[float]]:
    radii = [geometry.radii(latitude) for latitude in latitudes]
    across = [math.radians(1) * radius[1] * math.cos(math.radians(lat)) for radius, lat in zip(radii, latitudes, strict=True)]
    return {"lat_deg": [math.radians(1) * radius[0] for radius in radii], "lon_deg": across}


def _plane_error(latitude: float, azimuth: float, distance_m: float) -> float:
    there = Geodesic.WGS84.Direct(latitude, 10.0, azimuth, distance_m)
    return abs(_plane_distance([latitude, 10.0], [there["lat2"], there["lon2"]]) - distance_m)


def _weighted_fixes(offsets: list[float], r95: list[float]) -> dict[str, object]:
    """The phone's own module, with the offsets as so many hundred-thousandths of a degree north of 50."""
    fixes = [
        {"latitude": 50 + offset / 1e5, "longitude": 4, "accuracy": radius} for offset, radius in zip(offsets, r95, strict=True)
    ]
    found = run("position.js", f"m.average({json.dumps(fixes)})")
    return {"mean": (float(found["lat"]) - 50) * 1e5, "accuracy": found["accuracy"]}


FUNCTIONS: published.Functions = {
    "whole_pounds": _whole_pounds,
    "pounds_after": _pounds_after,
    "sidewalls": _sidewalls,
    "two_straights_and_a_bend": _two_straights_and_a_bend,
    "bend_factors": _bend_factors,
    "incline": _incline,
    "inclines": _inclines,
    "conductors_limit": pull.conductors_limit_n,
    "converted": lambda numbers, unit, to: [units.convert(number, unit, to) for number in numbers],
    "bore_areas": _bore_areas,
    "bore_shares": _bore_shares,
    "bore_area": lambda bore, unit: 100.0 / _fill(bore, math.sqrt(4 / math.pi)),
    "most_cables": _most_cables,
    "widest_cables": _widest_cables,
    "jam_ratio": duct.jam_ratio,
    "helix_percent": lambda radius_mm, lay_mm: [100 * locate.helix_excess(*pair) for pair in zip(radius_mm, lay_mm, strict=True)],
    "ratio_method": _ratio_method,
    "axis_of_radius": _axis_of_radius,
    "binary_guarded": _binary_guarded,
    "risk_at_guard": _risk_at_guard,
    "plane_distance": _plane_distance,
    "weighted_fixes": _weighted_fixes,
    "metres_per_degree": _metres_per_degree,
    "at_temperature": lambda ohm, temperature: ohm * copper.copper_growth(temperature),
    "row": lambda file, id, key="value": float(limits.row(file, id)[key]),
}


@pytest.mark.parametrize("row", [row for row in published.held("plant") if row.values[0]["call"] != "worst_plane_error"])
def test_reproduces_the_published_value(row: published.Row) -> None:
    published.assert_reproduced(row, FUNCTIONS)


def test_the_plane_of_the_middle_latitude_errs_no_more_than_the_published_bounds() -> None:
    row = next(row for row in published.rows("plant") if row.get("call") == "worst_plane_error")
    for distance_m, bound in zip(row["inputs"]["distances_m"], row["expected"], strict=True):
        grid = [_plane_error(lat, azimuth, distance_m) for lat in range(-60, 61, 10) for azimuth in range(0, 360, 15)]
        assert max(grid) <= bound * 1.01, row["source"]


def test_every_row_names_its_source_and_confidence() -> None:
    assert published.faulty("plant") == []
