"""Expected surges a year for a link as built: worked case of IEC 62305-2 edition 2 composed for one link (arithmetic redone by hand)."""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.judged import checks
from tests.making import Story, value

# 80 m of aerial cable in open country, 4 flashes a year and km2; 12 x 10 x 6 m among its like, 30 x 15 x 8 m alone:
# 0.674 a year, 0.0337 with protectors.
NEAR = {"width": value("12", "m"), "depth": value("10", "m"), "height": value("6", "m"), "setting": "same_around"}
FAR = {"width": value("30", "m"), "depth": value("15", "m"), "height": value("8", "m"), "setting": "isolated"}
SITE = {"flash_density": "4", "surroundings": "rural"}


def exposed(
    medium: str = "copper", ends: tuple[str, ...] = (), site: dict[str, Any] | None = SITE, **fields: Any
) -> dict[str, Any] | None:
    story = Story()
    story.thing("site", name="Yard", **(site or {}))
    near, far = story.thing("building", name="Office", **NEAR), story.thing("building", name="Shed", **FAR)
    held = {"laying": "aerial", "name": "Office to shed", "near_building": near, "far_building": far, "medium": medium} | fields
    link = story.thing("link", **held)
    for order, mark in (("1", "0"), ("2", "80")):
        story.thing("station", link=link, type="building_entry", order=order, mark=mark)
    for side in ends:
        story.thing("protector", link=link, side=side, name=f"SP {side}")
    return checks(story, link).get("storm_exposure")


def test_copper_without_protectors_and_what_else_it_could_be() -> None:
    found = exposed()
    assert found and (found["measured"]["text"], found["verdict"], found["required"]) == (
        "about 0.7 a year, about one a year",
        "fail",
        False,
    )
    assert "edition 2 method, order of magnitude" in found["title"]
    beside = found["working"][found["working"].index("for comparison:") + 1 :]
    assert beside[:5] == [
        "Copper, no surge protector: 0.7 a year, about one a year",
        "Copper, a surge protector at one end: 0.7 a year, about one a year",
        "Copper, surge protectors at both ends: 0.03 a year, one in about 30 years",
        "Fibre with metal in the cable: none into a port",
        "Fibre without metal: none into a port",
    ]
    assert "about 0.03 a year, with surge protectors at both ends" in found["sentence"]


@pytest.mark.parametrize(
    ("ends", "words", "wanted"),
    [(("near",), "0.7 a year", "fail"), (("far", "far"), "0.7 a year", "fail"), (("near", "far"), "0.03 a year", "pass")],
)
def test_only_protectors_at_both_ends_count(ends: tuple[str, ...], words: str, wanted: str) -> None:
    found = exposed(ends=ends)
    assert found and words in found["measured"]["text"] and found["verdict"] == wanted


@pytest.mark.parametrize(
    ("metal", "note"), [("none", "No metal from building to building"), ("bonded", "bond or interrupt it at entry")]
)
def test_fibre_brings_no_surge_into_a_port(metal: str, note: str) -> None:
    found = exposed("fibre", cable_metal=metal)
    assert found and (found["measured"]["text"], found["verdict"]) == ("none into a port", "pass")
    assert any(note in each for each in found["notes"])


def test_a_buried_cable_in_a_suburb_draws_a_quarter() -> None:
    found = exposed(laying="duct", site=SITE | {"surroundings": "suburban"})
    assert found and "line = 4 * 40 * 80 * 0.25 * 1e-6 = 0.0032" in found["working"]


def test_what_is_not_known_is_said_and_the_worst_is_taken() -> None:
    found = exposed(site={"flash_density": "4"})
    assert found and any("taken as open country" in note for note in found["notes"])
    assert any("1.5 kV, from memory" in note for note in found["notes"])
    assert found["source"]["seen"] == "memory"


def test_a_port_that_withstands_more_takes_fewer_surges() -> None:
    # 2.5 kV: 0.2 of the nearby flashes instead of 0.5: 0.0343 + 1.28 * 0.2 = 0.290 a year
    found = exposed(port_withstand=value("2.5", "kV"))
    assert found and "0.3 a year" in found["measured"]["text"]


def test_without_a_flash_density_copper_waits_and_fibre_says_nothing() -> None:
    found = exposed(site=None)
    assert found and (found["verdict"], found["required"]) == ("not_measured", False)
    assert "the flashes to ground a year, on the site" in found["sentence"]
    assert exposed("fibre", site=None, cable_metal="none") is None


def test_a_link_that_is_not_laid_yet_waits() -> None:
    found = exposed(laying=None)
    assert found and "how the cable is laid" in found["sentence"]
