"""Published and hand-computed values for earths, bonds and surges, each beside its source and how sure we are of it."""

from __future__ import annotations

import math

import pytest

from app import engine
from app.core import conductors, copper, earthing, electrodes, lightning, slope, units
from tests.published import published


def _depth_factor(spacing: float, depth: float) -> float:
    deep = earthing.soil_resistivity(spacing, 1.0, depth)["results"]["resistivity"]
    return float(deep / earthing.soil_resistivity(spacing, 1.0)["results"]["resistivity"])


def _all_rods(one_ohm: float, rods: int) -> float:
    """A soil in which one rod of 3 m and 16 mm has exactly this resistance."""
    rod = earthing.rod_resistance(1.0, 3.0, 16.0)["results"]["one_rod"]
    return float(earthing.rod_resistance(one_ohm / rod, 3.0, 16.0, rods)["results"]["all_rods"])


RHO, RADIUS, DISTANCE = 62.831853, 0.5, 20.0  # 20 ohm by rho / (2 pi r)


def _superposed(share: float) -> float:
    """Reading over a hemisphere with the potential stake at a share of the current stake's distance: two point sources, by hand."""
    here = share * DISTANCE
    return RHO / (2 * math.pi) * (1 / RADIUS - 1 / DISTANCE - 1 / here + 1 / (DISTANCE - here))


def _hemisphere_reading(share: float) -> float:
    """The slope method's own curve through three readings of the hemisphere, read at another stake."""
    three = [_superposed(place) for place in (0.2, 0.4, 0.6)]
    found = earthing.earth_slope(*three, DISTANCE)["results"]
    offset = slope.offset_of(found["mu"])
    scale = (three[1] - three[0]) / (slope._shape(0.4, offset) - slope._shape(0.2, offset))
    return float(found["resistance"] - scale * (1 / (1 + offset) + 1 / (share + offset) - 1 / (1 - share)))


def _ohm_cm(spacing_m: float, reading_ohm: float) -> float:
    return units.convert(earthing.soil_resistivity(spacing_m, reading_ohm)["results"]["resistivity"], "ohm*m", "ohm*cm")


def _joined(one_ohm: float, rods: int, factor: float, alpha: float) -> float:
    spacing_m = 5.0
    return electrodes.joined_ohm(one_ohm, rods, factor, alpha * 2 * math.pi * one_ohm * spacing_m, spacing_m)


def _backbone_kcmil(length_ft: float) -> float:
    line = earthing.backbone_bond_size(length_ft * 0.3048)["working"][0]
    return float(line.split(" = ")[1].split(" ")[0])


def _metric_factor(temperature: float) -> float:
    """What brings a reading of a metric conductor to 20 degC."""
    return conductors.ohm_per_m("16mm2") / conductors.ohm_per_m("16mm2", temperature)


FUNCTIONS: published.Functions = {
    "slope_ratio": lambda mu: slope.potential_ratio(slope.offset_of(mu)),
    "offset_ratio": slope.potential_ratio,
    "offset_mu": slope.mu_of,
    "depth_factor": _depth_factor,
    "rod_factor": lambda rods: earthing.ROD_FACTOR[rods],
    "line_factor": lambda rods: electrodes.LINE_FACTOR[rods],
    "all_rods": _all_rods,
    "growth_times": lambda mohm, temperature: mohm * copper.copper_growth(temperature),
    "table_factor": lambda temperature: conductors.ohm_per_m("6", temperature) / conductors.ohm_per_m("6", 75.0),
    "hemisphere_reading": _hemisphere_reading,
    "ohm_cm": _ohm_cm,
    "joined": _joined,
    "backbone_kcmil": _backbone_kcmil,
    "metric_factor": _metric_factor,
    "collection_area": lightning.collection_area_m2,
    "flashes": lightning.flashes_per_year,
    "line_area": lambda length_m: lightning.LINE_M2_PER_M * length_m,
    "nearby_harm": lightning.nearby_harm,
    "two_rods_factor": lambda spacing_m: 2 * electrodes.two_rods_ohm(1.0, 3.0, 16.0, spacing_m) / electrodes.one_rod_ohm(1.0, 3.0, 16.0),
    "ohm_per_kft_at_75": lambda size: conductors.ohm_per_m(size, 75.0) * 304.8,
    "mohm_per_m": lambda size: conductors.ohm_per_m(size) * 1000.0,
    "factor": lambda table, word: getattr(lightning, table)[word],
}  # fmt: skip


@pytest.mark.parametrize("row", [row for row in published.held("earthing") if row.values[0]["call"] != "not_rod"])
def test_reproduces_the_published_value(row: published.Row) -> None:
    published.assert_reproduced(row, FUNCTIONS)


def test_the_rod_formula_does_not_put_the_diameter_in_the_radius_place() -> None:
    wrong = next(row for row in published.rows("earthing") if row.get("call") == "not_rod")
    given = engine.call("calc", name="rod_resistance", inputs=wrong["inputs"])["results"]["one_rod"]["value"]
    assert given == pytest.approx(39.9, abs=0.1)  # BS 7430 and Dwight (1936) agree on this
    assert abs(given - wrong["expected"]) > 4


def test_the_fall_of_potential_model_agrees_with_two_point_sources() -> None:
    """Hemisphere of 0.5 m in soil of 62.832 ohm*m: 20 ohm by rho / (2 pi r); stakes at 20, 40 and 60 % of 20 m (potential superposition)."""
    given = earthing.earth_slope(_superposed(0.2), _superposed(0.4), _superposed(0.6), DISTANCE)["results"]
    assert given["resistance"] == pytest.approx(RHO / (2 * math.pi * RADIUS), rel=1e-6)


def test_every_row_names_its_source_and_confidence() -> None:
    assert published.faulty("earthing") == []
