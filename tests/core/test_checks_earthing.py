"""Rules for earths, bonds and surge protectors."""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.judged import checks, verdict
from tests.making import Story, value


def link_of(medium: str = "copper", **fields: Any) -> tuple[Story, str]:
    story = Story()
    return story, story.link(medium, **fields)


def bonded(reading: str | None, unit: str = "mohm", **fields: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """The two rows of a bond: against its conductor, and against 0.1 ohm."""
    story, link = link_of()
    held = {"size": "6mm2", "length": value("2.4", "m"), "joints": "2"} | fields
    bond = story.thing("bond", link=link, side="near", name="Cabinet to bar", **held)
    if reading:
        story.reading(link, "bond_resistance", reading, unit, of=bond)
    found = checks(story, link)
    return found[f"bond_conductor:of={bond}"], found[f"bond_total:of={bond}"]


# IEC 60228 (two or more public places): 6 mm2 at most 3.08 mohm/m, 2.4 m = 7.392 mohm; two joints of 1 mohm: 9.392; 1.2 times and 5: 16.27 mohm.
@pytest.mark.parametrize(("reading", "wanted"), [("9.4", "pass"), ("16.3", "pass"), ("16.4", "fail")])
def test_a_bond_against_its_own_conductor(reading: str, wanted: str) -> None:
    assert bonded(reading)[0]["verdict"] == wanted


# 6 AWG, 20 ft: 8.075 mohm (NEC chapter 9 table 8 brought to 20 degC); 1.2 times and 5: 14.69 mohm.
@pytest.mark.parametrize(("reading", "wanted"), [("14.7", "pass"), ("14.8", "fail")])
def test_a_bond_by_its_gauge_in_feet(reading: str, wanted: str) -> None:
    assert bonded(reading, size="6AWG", length=value("20", "ft"), joints="0")[0]["verdict"] == wanted


def test_a_bond_that_reads_too_low_is_pointed_out() -> None:
    assert bonded("6.6")[0]["notes"] == []  # 0.7 * 9.392 = 6.57
    assert "Suspiciously low" in bonded("6.5")[0]["notes"][0]


@pytest.mark.parametrize(
    ("reading", "unit", "wanted"), [("100", "mohm", "pass"), ("0.1", "ohm", "pass"), ("100.1", "mohm", "fail")]
)
def test_a_bond_against_a_tenth_of_an_ohm(reading: str, unit: str, wanted: str) -> None:
    assert bonded(reading, unit)[1]["verdict"] == wanted


def test_a_bond_without_size_or_reading_says_what_is_lacking() -> None:
    conductor, total = bonded(None, size=None, length=None)
    assert conductor["sentence"].startswith(
        "Not measured: needs the bond resistance, the conductor size and the conductor length."
    )
    assert total["form"]["quantity"] == "bond_resistance"


@pytest.mark.parametrize(("number", "wanted"), [("25", "pass"), ("25.1", "fail")])
def test_an_electrode_against_the_chosen_reference(number: str, wanted: str) -> None:
    story, link = link_of(electrode_reference="single-rod-25")
    story.reading(link, "electrode_resistance", number, "ohm", side="far", conditions="dry")
    found = checks(story, link)
    assert found["electrode:side=far"]["verdict"] == wanted
    assert "NFPA 70" in found["electrode:side=far"]["sentence"]
    assert (found["electrode:side=near"]["verdict"], found["electrode:side=near"]["required"]) == ("not_measured", True)


def test_an_electrode_without_a_reference_is_recorded_but_not_judged() -> None:
    story, link = link_of()
    story.reading(link, "electrode_resistance", "40", "ohm", side="near")
    found = checks(story, link)["electrode:side=near"]
    assert (found["verdict"], found["required"]) == ("not_measured", False)


def test_every_reference_on_offer_can_be_chosen() -> None:
    from app.core import limits

    checks(*link_of())  # configures core
    offered = [row[0] for row in limits.electrode_references()]
    assert {"single-rod-25", "general-5", "telecom-5", "lightning-10", "tt-200"} <= set(offered)
    for choice in offered:
        story, link = link_of(electrode_reference=choice)
        story.reading(link, "electrode_resistance", "1", "ohm", side="near")
        assert verdict(story, link, "electrode:side=near") == "pass"


@pytest.mark.parametrize(
    ("kind", "number", "unit", "wanted", "dangerous"),
    [
        ("ac", "1", "V", "pass", False),
        ("ac", "1010", "mV", "fail", False),
        ("ac", "39.9", "V", "fail", False),
        ("ac", "40", "V", "fail", True),
        ("dc", "-1", "V", "pass", False),
        ("dc", "-1.01", "V", "fail", False),
        ("dc", "-96", "V", "fail", True),
        ("dc", "95", "V", "fail", False),
    ],
)
def test_potential_between_the_earths(kind: str, number: str, unit: str, wanted: str, dangerous: bool) -> None:
    story, link = link_of()
    story.reading(link, f"earth_difference_{kind}", number, unit)
    found = checks(story, link)[f"earth_difference_{kind}"]
    assert found["verdict"] == wanted
    assert ("call an electrician" in found["sentence"]) is dangerous


def test_fibre_without_metal_asks_for_no_earth_reading_and_copper_does() -> None:
    fibre = checks(*link_of("fibre", cable_metal="none"))
    assert not {"earth_difference_ac", "protector:side=near", "electrode:side=near"} & set(fibre)
    assert fibre["cable_metal"]["verdict"] == "pass"
    copper = checks(*link_of("extended"))
    assert {
        copper[name]["required"]
        for name in ("earth_difference_ac", "earth_difference_dc", "protector:side=near", "protector:side=far")
    } == {True}


def test_metal_in_a_fibre_cable_is_bonded_at_both_ends_or_interrupted() -> None:
    assert verdict(*link_of("fibre", cable_metal="open"), "cable_metal") == "fail"
    assert verdict(*link_of("fibre", cable_metal="interrupted"), "cable_metal") == "pass"
    story, link = link_of("fibre", cable_metal="bonded")
    story.thing("bond", link=link, side="near", name="Armour to bar")
    assert "at the far end" in checks(story, link)["cable_metal"]["sentence"]
    story.thing("bond", link=link, side="far", name="Armour to bar")
    assert verdict(story, link, "cable_metal") == "pass"


def test_a_surge_protector_is_wanted_at_each_end_of_copper() -> None:
    story, link = link_of()
    story.thing("protector", link=link, side="near", name="SP-1", lead_length=value("0.3", "m"))
    found = checks(story, link)
    assert found["protector:side=near"]["verdict"] == "pass"
    assert found["protector:side=far"]["sentence"].startswith("Not measured: none is recorded at the far end.")


# IEC 60364-5-53 clause 534 (two or more public places): 0.5 m in all, never above 1 m.
# 5 kA 8/20 over 0.5 m adds 312.5 V, over 3 m 1875 V (hand calculation).
@pytest.mark.parametrize(
    ("length", "unit", "wanted", "noted", "volts"),
    [
        ("0.5", "m", "pass", False, "313"),
        ("51", "cm", "pass", True, None),
        ("1", "m", "pass", True, "625"),
        ("1.01", "m", "fail", True, None),
        ("3", "m", "fail", True, "1875"),
    ],
)
def test_the_earth_lead_of_a_protector(length: str, unit: str, wanted: str, noted: bool, volts: str | None) -> None:
    story, link = link_of()
    typed = value(str(int(length) * 10), "mm") if unit == "cm" else value(length, unit)
    protector = story.thing(
        "protector", link=link, side="near", name="SP-1", lead_length=typed, protection_level=value("600", "V")
    )
    found = checks(story, link)[f"protector_lead:of={protector}"]
    assert (found["verdict"], bool(found["notes"])) == (wanted, noted)
    if volts:
        assert f"= {volts} V along the lead" in found["working"][0]
        assert f"{600 + int(volts)} V" in found["working"][1] or length == "0.5"


def test_a_protector_without_its_lead_length_is_not_measured() -> None:
    story, link = link_of()
    protector = story.thing("protector", link=link, side="near", name="SP-1")
    assert "the length of its earth lead" in checks(story, link)[f"protector_lead:of={protector}"]["sentence"]


FED = {"source_voltage": value("50", "V"), "load_power": value("25.5", "W"), "power_pairs": "2"}


# IEEE 802.3 class 4 on its worst channel (two or more public places): 25.5 W at 42.5 V is 0.600 A in the pair set.
@pytest.mark.parametrize(("rated", "unit", "wanted"), [("0.6", "A", "pass"), ("599", "mA", "fail"), ("1", "A", "pass")])
def test_a_protector_carries_the_current_of_the_load(rated: str, unit: str, wanted: str) -> None:
    story, link = link_of(**FED)
    for pair in ("1-2", "3-6"):
        story.reading(link, "loop_resistance", "25", "ohm", pair=pair)
    protector = story.thing("protector", link=link, side="near", name="SP-1", rated_current=value(rated, unit))
    found = checks(story, link)[f"protector_current:of={protector}"]
    assert (found["measured"]["text"], found["verdict"], found["required"]) == ("0.600", wanted, True)


def test_four_pairs_share_the_current_through_a_protector() -> None:
    story, link = link_of(**(FED | {"power_pairs": "4"}))
    story.reading(link, "loop_resistance", "25", "ohm", pair="1-2")
    protector = story.thing("protector", link=link, side="near", name="SP-1", rated_current=value("0.6", "A"))
    # V = (50 + sqrt(2500 - 4 x 6.25 x 25.5)) / 2 = 46.58 V; 25.5 W / 46.58 V / 2 = 0.274 A
    assert checks(story, link)[f"protector_current:of={protector}"]["measured"]["text"] == "0.274"


def test_a_rated_current_waits_for_what_the_load_draws() -> None:
    story, link = link_of("extended")
    protector = story.thing("protector", link=link, side="near", name="SP-1", rated_current=value("1", "A"))
    found = checks(story, link)[f"protector_current:of={protector}"]
    assert (found["verdict"], found["required"]) == ("not_measured", True)
    assert "needs the voltage at the source, the power of the load and pair loop resistances" in found["sentence"]


def test_a_rated_current_is_asked_for_by_nothing_where_no_power_is_fed_or_none_is_recorded() -> None:
    story, link = link_of()
    story.thing("protector", link=link, side="near", name="SP-1", rated_current=value("1", "A"))
    assert not [name for name in checks(story, link) if name.startswith("protector_current")]
    story, link = link_of("extended")
    story.thing("protector", link=link, side="near", name="SP-1")
    assert not [name for name in checks(story, link) if name.startswith("protector_current")]


@pytest.mark.parametrize(
    ("screened", "sides", "noted"),
    [("yes", ("near", "far"), True), ("yes", ("near",), False), ("no", ("near", "far"), False)],
)
def test_a_screen_bonded_at_both_ends_asks_for_the_potential_before_it_is_joined(
    screened: str, sides: tuple[str, ...], noted: bool
) -> None:
    # 1 V AC and DC before both ends of a screen are joined: common practice.
    story, link = link_of(screened=screened)
    for side in sides:
        story.thing("bond", link=link, side=side, name="Screen to bar")
    for kind in ("ac", "dc"):
        found = checks(story, link)[f"earth_difference_{kind}"]
        assert (found["required"], found["verdict"], found["limit"]["text"]) == (True, "not_measured", "1")
        assert any("before joining the screens, at most 1 V" in note for note in found["notes"]) is noted
    story.reading(link, "earth_difference_ac", "1.01", "V")
    assert verdict(story, link, "earth_difference_ac") == "fail"
