"""Lightning exposure of a link, against worked figures of IEC 62305-2 edition 2."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core import lightning
from app.core.errors import Refused


def calc(**inputs: str) -> dict[str, Any]:
    return {key: held["value"] for key, held in engine.call("calc", name="lightning_exposure", inputs=inputs)["results"].items()}


# Country house of the standard's annex (from memory, arithmetic done by hand): 15 x 20 x 6 m, Ng 4: 2.58e3 m2, 1.03e-2 a year.
def test_the_country_house_of_the_annex() -> None:
    area = lightning.collection_area_m2(15.0, 20.0, 6.0)
    assert area == pytest.approx(2578, abs=1)
    assert lightning.flashes_per_year(area, 4.0, 1.0) == pytest.approx(0.0103, abs=1e-4)


# Same annex: telecom line, aerial, 1000 m: 0.16 and 16 a year; a public worked report (one place): Ng 15, buried: 0.30 and 30.
@pytest.mark.parametrize(
    ("density", "routing", "direct", "nearby"),
    [("4", "aerial", 0.16, 16.0), ("15", "buried", 0.30, 30.0), ("4", "buried", 0.08, 8.0)],
)
def test_lines_of_a_thousand_metres(density: str, routing: str, direct: float, nearby: float) -> None:
    found = calc(length="1000", flash_density=density, routing=routing, surroundings="rural")
    assert (found["direct"], found["nearby"]) == (pytest.approx(direct), pytest.approx(nearby))


LINK = {
    "length": "80", "flash_density": "4", "routing": "aerial", "surroundings": "rural", "near_building": "12x10x6", "far_building": "30 x 15 x 8 m",
    "near_setting": "same_around", "far_setting": "isolated",
}  # fmt: skip


# Hand composition of the standard's terms: 0.0128 + 0.00386 + 0.01768 direct, 1.28 nearby of which half harms: 0.674 a year.
def test_a_copper_link_with_a_building_at_each_end() -> None:
    found = calc(**LINK)
    assert found["direct"] == pytest.approx(0.0128 + 0.0038598 + 0.017678, abs=1e-5)
    assert found["surges"] == pytest.approx(0.6743, abs=0.002)
    assert found["years_between"] == pytest.approx(1.48, abs=0.01)


def test_only_protectors_at_both_ends_count() -> None:
    assert calc(**LINK, protectors="both_ends")["surges"] == pytest.approx(0.0337, abs=0.0001)
    assert calc(**LINK, protectors="one_end")["surges"] == calc(**LINK)["surges"]


def test_fibre_without_metal_brings_no_surge() -> None:
    found = calc(**LINK, medium="fibre_dielectric")
    assert (found["surges"], found["years_between"]) == (0.0, None)


# Annex B table, telecom (from memory): 1, 1.5, 2.5, 4, 6 kV -> 1, 0.5, 0.2, 0.08, 0.04; between rows the weaker one.
@pytest.mark.parametrize(("withstand", "share"), [(1.0, 1.0), (1.5, 0.5), (2.0, 0.5), (2.5, 0.2), (4.0, 0.08), (6.0, 0.04)])
def test_harm_of_nearby_flashes_by_withstand(withstand: float, share: float) -> None:
    assert lightning.nearby_harm(withstand) == share


def test_a_line_counts_for_a_thousand_metres_at_most() -> None:
    short, long = (calc(**(LINK | {"length": length})) for length in ("1000", "3000"))
    assert short == long


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"near_building": "12x10"}, "near_building: '12x10' was given; allowed is length x width x height"),
        ({"near_building": "12x10xhigh"}, "near_building"),
        ({"length": "0"}, "length: '0'"),
        ({"routing": "flying"}, "one of aerial, buried"),
        ({"withstand": "0.5"}, "from 1 to 6"),
    ],
)
def test_what_it_does_not_take_is_named(change: dict[str, str], words: str) -> None:
    with pytest.raises(Refused) as caught:
        calc(**(LINK | change))
    assert words in caught.value.sentence()
