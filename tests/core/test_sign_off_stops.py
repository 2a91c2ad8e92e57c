"""What has to be acknowledged one by one before anyone signs: each stop inside and outside its condition.

1 V between the earths is common practice; 50 V AC and 120 V DC are the extra-low voltage limits of IEC 60364-4-41, from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from tests.making import Story

METALLIC = ["copper", "extended"]


def stops(story: Story, link: str) -> dict[str, dict[str, Any]]:
    with engine.opened(story.book, story.texts) as core:
        return {stop["id"]: stop for stop in core("sign_off", link=link)["stops"]}


def made(medium: str, **fields: Any) -> tuple[Story, str]:
    story = Story()
    return story, story.link(medium, **fields)


def quiet(medium: str, **fields: Any) -> tuple[Story, str]:
    """A link with everything at rest: nothing of others near, both potentials read, protectors and bonds at both ends."""
    story, link = made(medium, services_located="nothing_near", **fields)
    for kind in ("ac", "dc"):
        story.reading(link, f"earth_difference_{kind}", "0.1", "V")
    for side in ("near", "far"):
        story.thing("bond", link=link, side=side, name="Panel to bar")
        if medium in METALLIC:
            story.thing("protector", link=link, side=side, name="SP-1")
    return story, link


@pytest.mark.parametrize("medium", [*METALLIC, "fibre"])
def test_a_link_at_rest_has_the_storm_to_acknowledge_and_nothing_else(medium):
    story, link = quiet(medium, **({"cable_metal": "bonded"} if medium == "fibre" else {"screened": "yes"}))
    assert list(stops(story, link)) == ["storm"]


@pytest.mark.parametrize("medium", [*METALLIC, "fibre"])
def test_the_words_of_every_stop_defer_to_local_code_and_licensed_practice(medium):
    story, link = made(medium, screened="yes") if medium in METALLIC else made(medium, cable_metal="open")
    found = stops(story, link)
    assert {"storm", "services", "difference", "metal"} <= set(found)
    for stop in found.values():
        assert stop["words"].endswith("Local code and licensed practice govern.")
        assert stop["why"].endswith(".")


# ---- services of others (29 CFR 1926.651(b): located before ground is broken)


@pytest.mark.parametrize(
    ("laying", "located", "stopped"),
    [
        ("duct", None, True),
        ("direct", None, True),
        (None, None, True),
        ("aerial", None, False),
        ("surface", None, False),
        ("duct", "no", True),
        ("direct", "yes", False),
        ("duct", "nothing_near", False),
        (None, "yes", False),
        ("aerial", "no", False),
    ],
)
def test_services_stop_where_the_cable_is_buried_or_its_laying_unknown_and_they_are_not_located(laying, located, stopped):
    fields = {name: held for name, held in (("laying", laying), ("services_located", located)) if held}
    story, link = made("fibre", **fields)
    assert ("services" in stops(story, link)) is stopped


def test_services_say_what_the_book_says_of_them():
    story, link = made("fibre")
    assert stops(story, link)["services"]["why"] == (
        "The book does not say that other services on the route were located. It does not say how the cable is laid either."
    )
    story, link = made("fibre", laying="duct", services_located="no")
    assert stops(story, link)["services"]["why"] == "The book says that other services on the route were not located."


# ---- potential between the earths


@pytest.mark.parametrize("kind", ["ac", "dc"])
@pytest.mark.parametrize(
    ("number", "unit", "stopped"),
    [("0.9", "V", False), ("1.0", "V", False), ("1000", "mV", False), ("1.001", "V", True), ("1.1", "V", True)],
)
def test_a_difference_stops_above_1_volt_and_not_at_it(kind, number, unit, stopped):
    story, link = quiet("copper")
    story.reading(link, f"earth_difference_{kind}", number, unit, at="2026-03-15T09:00:00.000+01:00")
    assert ("difference" in stops(story, link)) is stopped


@pytest.mark.parametrize(("number", "stopped"), [("-0.9", False), ("-1.0", False), ("-1.1", True)])
def test_a_direct_voltage_is_taken_by_its_size(number, stopped):
    story, link = quiet("copper")
    story.reading(link, "earth_difference_dc", number, "V", at="2026-03-15T09:00:00.000+01:00")
    assert ("difference" in stops(story, link)) is stopped


def test_a_difference_is_named_with_its_kind_and_day():
    story, link = quiet("extended")
    story.reading(link, "earth_difference_ac", "3.2", "V", at="2026-03-16T09:00:00.000+01:00")
    assert stops(story, link)["difference"]["why"] == "3.2 V AC was read between the two earths on 2026-03-16."


def test_a_difference_goes_when_the_newest_reading_is_low_or_the_high_one_is_voided():
    story, link = quiet("copper")
    high = story.reading(link, "earth_difference_ac", "3.2", "V", at="2026-03-16T09:00:00.000+01:00")
    assert "difference" in stops(story, link)
    story.add("void", {"link": link, "reading": high, "reason": "Lead on the wrong bar"})
    assert "difference" not in stops(story, link)
    story.reading(link, "earth_difference_ac", "3.4", "V", at="2026-03-17T09:00:00.000+01:00")
    story.reading(link, "earth_difference_ac", "0.4", "V", at="2026-03-18T09:00:00.000+01:00")
    assert "difference" not in stops(story, link)


@pytest.mark.parametrize(
    ("kind", "number", "dangerous"), [("ac", "39", False), ("ac", "50", True), ("dc", "50", False), ("dc", "120", True)]
)
def test_a_dangerous_difference_says_so(kind, number, dangerous):
    story, link = quiet("copper")
    story.reading(link, f"earth_difference_{kind}", number, "V", at="2026-03-16T09:00:00.000+01:00")
    assert ("Dangerous" in stops(story, link)["difference"]["why"]) is dangerous


@pytest.mark.parametrize(
    ("medium", "fields", "stopped"),
    [
        ("copper", {}, True),
        ("extended", {}, True),
        ("fibre", {"cable_metal": "bonded"}, True),
        ("fibre", {"cable_metal": "open"}, True),
        ("fibre", {"cable_metal": "interrupted"}, False),
        ("fibre", {"cable_metal": "none"}, False),
    ],
)
def test_a_difference_that_nobody_read_stops_where_metal_joins_the_buildings(medium, fields, stopped):
    story, link = made(medium, **fields)
    assert ("difference" in stops(story, link)) is stopped
    story.reading(link, "earth_difference_ac", "0.1", "V")
    if stopped:
        assert stops(story, link)["difference"]["why"] == (
            "No reading of DC between the two earths, and metal joins the buildings."
        )


def test_a_high_difference_stops_on_fibre_without_metal_too():
    story, link = made("fibre", cable_metal="none")
    story.reading(link, "earth_difference_dc", "1.1", "V")
    assert "difference" in stops(story, link)


# ---- protectors (NEC 805.90(A), from memory: a circuit between buildings, at each end)


@pytest.mark.parametrize(
    ("sides", "why"),
    [
        ((), "No protector is recorded at the near end and the far end."),
        (("near",), "No protector is recorded at the far end."),
        (("far", "far"), "No protector is recorded at the near end."),
        (("near", "far"), None),
    ],
)
@pytest.mark.parametrize("medium", METALLIC)
def test_an_end_of_copper_without_a_protector_stops(medium, sides, why):
    story, link = made(medium)
    for side in sides:
        story.thing("protector", link=link, side=side, name="SP-1")
    assert stops(story, link).get("protector", {}).get("why") == why


def test_a_protector_that_was_taken_away_counts_no_more():
    story, link = made("copper")
    added = story.thing("protector", link=link, side="near", name="SP-1")
    story.thing("protector", link=link, side="far", name="SP-2")
    story.thing("protector", added, link=link, withdrawn="Burnt in the storm of 3 March")
    assert stops(story, link)["protector"]["why"] == "No protector is recorded at the near end."


def test_copper_counts_as_outdoor_even_on_a_surface_or_with_both_ends_in_one_building():
    story = Story()
    near, _ = story.site_with_buildings()
    link = story.thing("link", name="Up the wall", medium="copper", near_building=near, far_building=near, laying="surface")
    assert "protector" in stops(story, link)


def test_fibre_has_no_protector_to_acknowledge():
    for metal in ("none", "bonded", "interrupted", "open"):
        story, link = made("fibre", cable_metal=metal)
        assert "protector" not in stops(story, link)


# ---- metal of the cable (NEC 770.93: bonded or interrupted where it enters)


@pytest.mark.parametrize(("metal", "stopped"), [(None, True), ("open", True), ("none", False), ("interrupted", False)])
def test_metal_of_a_fibre_cable_stops_where_it_is_open_or_unknown(metal, stopped):
    story, link = made("fibre", **({"cable_metal": metal} if metal else {}))
    assert ("metal" in stops(story, link)) is stopped


def test_metal_that_is_to_be_bonded_stops_until_a_bond_is_recorded_at_both_ends():
    story, link = made("fibre", cable_metal="bonded")
    story.thing("bond", link=link, side="near", name="Gland to bar")
    assert stops(story, link)["metal"]["why"] == "Its metal is to be bonded, and no bond is recorded at the far end."
    story.thing("bond", link=link, side="far", name="Gland to bar")
    assert "metal" not in stops(story, link)


@pytest.mark.parametrize(("screened", "stopped"), [("yes", True), ("no", False), (None, False)])
def test_the_screen_of_copper_stops_where_no_bond_is_recorded(screened, stopped):
    story, link = made("copper", **({"screened": screened} if screened else {}))
    assert ("metal" in stops(story, link)) is stopped
    for side in ("near", "far"):
        story.thing("bond", link=link, side=side, name="Panel to bar")
    assert "metal" not in stops(story, link)


def test_accepting_a_check_does_not_take_its_stop_away():
    story, link = made("fibre", cable_metal="open")
    story.add("deviation", {"link": link, "check": "cable_metal", "reason": "Bonded next week", "name": "C. Client"})
    assert "metal" in stops(story, link)
