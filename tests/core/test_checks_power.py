"""Rules for power and traffic on a link.

Check figures: IEEE 802.3 class 4 on its worst channel (two or more public places): 50 V, 25.5 W, two loops of 25 ohm -> 42.5 V, 0.6 A, 30 W.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.judged import checks, near_and_far_marks, verdict
from tests.making import Story, value

LOAD = {"load_power": value("25.5", "W"), "load_voltage_min": value("42.5", "V"), "load_source": "Camera data sheet, page 3"}
SUPPLY = {"source_voltage": value("50", "V"), "power_pairs": "2"}


def fed(medium: str = "copper", loop: str | None = "25", **fields: Any) -> tuple[Story, str]:
    story = Story()
    held = {"category": "6", "setup": "channel"} | LOAD | SUPPLY if medium == "copper" else LOAD | SUPPLY
    link = story.link(medium, **(held | fields))
    for pair in ("1-2", "3-6") if loop else ():
        story.reading(link, "loop_resistance", str(loop), "ohm", pair=pair, temperature=value("20", "degC"))
    return story, link


def test_a_copper_link_without_power_has_no_power_rows() -> None:
    story = Story()
    link = story.link("copper", category="6", setup="channel")
    assert [name for name, check in checks(story, link).items() if check["group"] == "power"] == []


def test_the_worst_channel_of_class_four_just_passes_in_every_row() -> None:
    found = checks(*fed())
    rows = ("far_voltage_calculated", "supply_power", "pair_set_current")
    assert {name: (found[name]["measured"]["text"], found[name]["verdict"]) for name in rows} == {
        "far_voltage_calculated": ("42.5", "pass"), "supply_power": ("30.0", "pass"), "pair_set_current": ("0.600", "pass"),
    }  # fmt: skip


def test_a_little_more_resistance_fails_in_every_row() -> None:
    found = checks(*fed(loop="26"))
    assert {found[name]["verdict"] for name in ("far_voltage_calculated", "supply_power", "pair_set_current")} == {"fail"}
    assert "outside the IEEE 802.3 channel of 12.5" in " ".join(found["far_voltage_calculated"]["notes"])


def test_a_load_that_nothing_can_feed_fails_and_says_how_much_could_be_drawn() -> None:
    found = checks(*fed(loop="60"))["far_voltage_calculated"]  # 50^2 / (4 * 30) = 20.8 W
    assert found["verdict"] == "fail"
    assert found["measured"]["text"] == "no voltage feeds 25.5 W through 30 \u03a9"
    assert found["notes"][0] == "At most 20.8 W can be drawn here."


def test_four_pairs_halve_the_resistance() -> None:
    assert (
        checks(*fed(power_pairs="4"))["far_voltage_calculated"]["measured"]["text"] == "46.6"
    )  # (50 + sqrt(2500 - 4*6.25*25.5)) / 2


def test_a_hot_cable_is_reckoned_with() -> None:
    found = checks(*fed(cable_temperature=value("60", "degC")))["far_voltage_calculated"]
    # IEC 60028: 12.5 ohm at 20 degC is 14.465 ohm at 60 degC; (50 + sqrt(2500 - 4 * 14.465 * 25.5)) / 2 = 41.0 V
    assert (found["measured"]["text"], found["verdict"]) == ("41.0", "fail")


def test_a_measured_source_voltage_comes_before_the_typed_one() -> None:
    story, link = fed()
    story.reading(link, "source_voltage", "54", "V")
    found = checks(story, link)
    assert found["far_voltage_calculated"]["measured"]["text"] == "47.3"  # (54 + sqrt(54^2 - 4 * 12.5 * 25.5)) / 2 = 47.255
    beside = found["least_source"]  # what the least source of class 4, 50 V, would bring: for information
    assert (beside["measured"]["text"], beside["verdict"], beside["required"]) == ("42.5", "pass", False)
    assert beside["title"] == "Voltage at the far end, from the least source of class 4"


def test_without_loops_the_gauge_and_the_sheath_marks_stand_in() -> None:
    story, link = fed(
        "extended",
        loop=None,
        gauge="24",
        load_power=value("12.95", "W"),
        load_voltage_min=value("37", "V"),
        source_voltage=value("48", "V"),
    )
    near_and_far_marks(story, link, "0", "300")
    found = checks(story, link)["far_voltage_calculated"]
    assert (found["measured"]["text"], found["verdict"]) == ("39.8", "pass")  # hand calculation: 25.27 ohm, 39.77 V
    assert any("from gauge and length" in note for note in found["notes"])


@pytest.mark.parametrize(("volts", "wanted"), [("42.5", "pass"), ("42.4", "fail")])
def test_the_measured_far_voltage_against_the_lowest_that_the_load_accepts(volts: str, wanted: str) -> None:
    story, link = fed()
    story.reading(link, "far_voltage", volts, "V")
    found = checks(story, link)["far_voltage"]
    assert found["verdict"] == wanted
    assert "Camera data sheet, page 3 (typed in for this link)" in found["sentence"]


def test_a_far_voltage_under_a_light_load_is_pointed_out() -> None:
    story, link = fed()
    story.reading(link, "far_voltage", "47", "V")
    story.reading(link, "far_power", "5", "W")
    assert "Only 5 W was drawn" in checks(story, link)["far_voltage"]["notes"][0]


def test_what_is_lacking_for_power_is_named() -> None:
    story = Story()
    found = checks(story, story.link("extended"))
    assert found["far_voltage"]["form"] == {"quantity": "far_voltage"}
    assert found["far_voltage_calculated"]["sentence"].startswith(
        "Not measured: needs the voltage at the source, the power of the load, "
        "pair loop resistances (or conductor gauge and cable length) and the lowest voltage"
    )


def test_a_supply_typed_with_its_power_is_judged_by_it_and_an_unknown_one_is_not() -> None:
    assert "supply_power" not in checks(*fed("extended"))
    assert verdict(*fed("extended", source_power=value("29.9", "W")), "supply_power") == "fail"


def test_the_loops_of_two_pairs_in_any_order_give_the_same_voltage() -> None:
    rows = []
    for ohms in (("20", "30"), ("30", "20")):
        story, link = fed(loop=None)
        for pair, ohm in zip(("1-2", "3-6"), ohms, strict=True):
            story.reading(link, "loop_resistance", ohm, "ohm", pair=pair)
        rows.append(checks(story, link)["far_voltage_calculated"]["measured"]["text"])
    assert rows == ["42.5", "42.5"]


# ---- traffic


@pytest.mark.parametrize(
    ("rate", "unit", "wanted"), [("1", "Gbit/s", "pass"), ("1000", "Mbit/s", "pass"), ("100", "Mbit/s", "fail")]
)
def test_the_agreed_rate_against_the_rate_asked(rate: str, unit: str, wanted: str) -> None:
    story, link = fed(rate=value("1", "Gbit/s"))
    story.reading(link, "negotiated_rate", rate, unit)
    assert verdict(story, link, "negotiated_rate") == wanted


def test_a_gigabit_link_that_came_up_at_a_tenth_points_to_its_pairs() -> None:
    story, link = fed(rate=value("1", "Gbit/s"))
    story.reading(link, "negotiated_rate", "100", "Mbit/s")
    assert any("4-5 and 7-8" in note for note in checks(story, link)["negotiated_rate"]["notes"])


def test_extended_reach_needs_rate_and_frame_loss() -> None:
    story = Story()
    found = checks(story, story.link("extended"))
    assert {found[name]["verdict"] for name in ("negotiated_rate", "frame_loss")} == {"not_measured"}
    assert found["frame_loss"]["form"] == {"quantity": "frame_loss"}


@pytest.mark.parametrize(
    ("number", "unit", "wanted"), [("0", "percent", "pass"), ("0.0000001", "percent", "fail"), ("1", "ppm", "fail")]
)
def test_any_lost_frame_fails(number: str, unit: str, wanted: str) -> None:
    story, link = fed("extended")
    story.reading(link, "frame_loss", number, unit, direction="near_to_far", duration=value("10", "min"))
    assert verdict(story, link, "frame_loss:direction=near_to_far") == wanted


@pytest.mark.parametrize(
    ("duration", "noted"), [(None, "not recorded"), (value("59", "s"), "less than 60 s"), (value("1", "min"), "")]
)
def test_a_test_of_frame_loss_is_worth_its_time(duration: dict[str, str] | None, noted: str) -> None:
    story, link = fed("extended")
    story.reading(link, "frame_loss", "0", "percent", **({"duration": duration} if duration else {}))
    notes = checks(story, link)["frame_loss"]["notes"]
    assert (noted in notes[0]) if noted else notes == []
