"""Readings that contradict each other. Bounds are common practice, no source, but where a test names one."""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.judged import checks, near_and_far_marks
from tests.making import Story, value

PAIRS = ("1-2", "3-6", "4-5", "7-8")


def copper(**fields: Any) -> tuple[Story, str]:
    story = Story()
    return story, story.link("copper", **({"category": "6", "setup": "channel", "gauge": "24"} | fields))


@pytest.mark.parametrize(
    ("delay", "wanted", "factor"),
    [
        # 90 m / (0.299792458 m/ns * t): t = 435 ns gives 0.6901, the published length example of a pair of factor 0.69 turned round
        ("435", "pass", "0.690"),
        ("353.18", "pass", "0.850"),
        ("340", "fail", "0.883"),
        ("545.8", "pass", "0.550"),
        ("570", "fail", "0.527"),
    ],
)
def test_delay_and_length_make_a_velocity_that_a_cable_can_have(delay: str, wanted: str, factor: str) -> None:
    story, link = copper()
    near_and_far_marks(story, link, "100", "190")
    story.reading(link, "propagation_delay", delay, "ns", pair="4-5")
    row = checks(story, link)["velocity:pair=4-5"]
    assert (row["verdict"], row["required"]) == (wanted, False)
    assert any(line.endswith("= " + factor) for line in row["working"])
    assert ("slack that is not recorded" in " ".join(row["notes"])) == (wanted == "fail")


def test_a_velocity_set_wrong_on_the_instrument_is_named() -> None:
    story, link = copper(velocity="0.72")
    near_and_far_marks(story, link, "100", "190")
    story.reading(link, "propagation_delay", "435", "ns", pair="4-5")
    notes = " ".join(checks(story, link)["velocity:pair=4-5"]["notes"])
    assert "0.72" in notes and "1.043" in notes  # 0.72 / 0.6901


def test_without_marks_or_delay_there_is_no_velocity_row() -> None:
    story, link = copper()
    story.reading(link, "propagation_delay", "435", "ns", pair="4-5")
    assert [name for name in checks(story, link) if name.startswith("velocity")] == []


@pytest.mark.parametrize(("skew", "wanted"), [("12", "pass"), ("22.0", "pass"), ("22.2", "fail"), ("1", "fail")])
def test_skew_shown_against_the_spread_of_the_delays(skew: str, wanted: str) -> None:
    story, link = copper()
    for pair, delay in zip(PAIRS, ("430", "434", "438", "442"), strict=True):  # they spread by 12 ns
        story.reading(link, "propagation_delay", delay, "ns", pair=pair)
    story.reading(link, "delay_skew", skew, "ns")
    assert checks(story, link)["skew_agreement"]["verdict"] == wanted


def fed(source: str, far: str, drawn: str | None = None) -> dict[str, dict[str, Any]]:
    story, link = copper(load_power=value("25.5", "W"), load_voltage_min=value("42.5", "V"), power_pairs="2")
    for pair in ("1-2", "3-6"):
        story.reading(link, "loop_resistance", "20", "ohm", pair=pair, temperature=value("20", "degC"))
    story.reading(link, "source_voltage", source, "V")
    story.reading(link, "far_voltage", far, "V")
    if drawn:
        story.reading(link, "far_power", drawn, "W")
    return checks(story, link)


def test_a_cable_gives_no_voltage() -> None:
    row = fed("48.0", "48.5")["voltage_order"]
    assert row["verdict"] == "fail" and "More arrives than is sent" in row["notes"][0]


@pytest.mark.parametrize(
    ("far", "drawn", "wanted", "contact"),
    [
        # two loops of 20 ohm make a pair set of 10 ohm (IEEE 802.3): 24 W at 48 V is 0.5 A and 5 V
        ("48.0", "24", "pass", False),
        ("48.0", "48", "fail", False),
        ("45.0", "9", "fail", True),
    ],
)
def test_drop_on_the_cable_against_what_was_drawn(far: str, drawn: str, wanted: str, contact: bool) -> None:
    row = fed("53.0", far, drawn)["voltage_drop"]
    assert row["verdict"] == wanted
    assert ("poor contact" in " ".join(row["notes"])) == contact


def test_without_the_power_drawn_only_the_order_of_the_voltages_is_looked_at() -> None:
    assert [name for name in fed("53.0", "48.0") if name.startswith("voltage")] == []


def test_a_drop_is_held_against_what_was_drawn_also_where_no_load_is_recorded() -> None:
    story, link = copper(power_pairs="2")
    for pair in ("1-2", "3-6"):
        story.reading(link, "loop_resistance", "20", "ohm", pair=pair)
    for quantity, number, unit in (("source_voltage", "53", "V"), ("far_voltage", "45", "V"), ("far_power", "9", "W")):
        story.reading(link, quantity, number, unit)
    # 9 W at 45 V are 0.2 A: 2 V over 10 ohm, and 8 V were lost
    assert checks(story, link)["voltage_drop"]["measured"]["text"] == "6.0"
