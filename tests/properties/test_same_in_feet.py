"""410 ft and 124.968 m are one length: the same digits from every calculator, the same verdicts from every check."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app import engine
from app.core import calculators, units
from app.core.calculator_inputs import split_unit
from tests.core.judged import checks
from tests.making import Story, value

FOOT, INCH = Decimal("0.3048"), Decimal("0.0254")
# The other unit that a length is typed in, and how many of the contract's unit one of it is: exact by definition (1959 agreement).
OTHER = {"m": ("ft", FOOT), "mm": ("in", INCH * 1000)}


def described() -> dict[str, dict[str, Any]]:
    return {about["name"]: about for about in engine.call("calculators")}


def measured_in(entry: dict[str, Any]) -> bool:
    return entry["unit"] in OTHER and entry["type"] in ("number", "list")


WITH_LENGTHS = [
    name
    for name, about in described().items()
    if any(measured_in(entry) and entry["name"] in about["example_inputs"] for entry in about["inputs"])
]


def in_both(entry: dict[str, Any], typed: str) -> tuple[str, str]:
    """Numbers of the example taken as counts of the foreign unit: in that unit, and written out in the contract's."""
    other, factor = OTHER[entry["unit"]]
    numbers = [Decimal(split_unit(piece)[0]) for piece in typed.split(",")]
    return ", ".join(f"{number}{other}" for number in numbers), ", ".join(
        f"{number * factor}{entry['unit']}" for number in numbers
    )


def typed_twice(name: str) -> tuple[dict[str, str], dict[str, str]]:
    """A calculator's example with all its lengths a foot (or inch) count, and the same lengths in metres (or millimetres)."""
    about = described()[name]
    entries = {entry["name"]: entry for entry in about["inputs"]}
    foreign, home = dict(about["example_inputs"]), dict(about["example_inputs"])
    for key, typed in about["example_inputs"].items():
        if measured_in(entries[key]):
            high = entries[key].get("high")
            number = typed if "," in typed or not high or Decimal(typed) < Decimal(high) else str(Decimal(typed) / 2)
            if entries[key]["unit"] == "mm":  # an inch is long: keep the example's size
                number = ", ".join(str(round(Decimal(piece) / Decimal("25.4"), 3)) for piece in number.split(","))
            foreign[key], home[key] = in_both(entries[key], number)
    return foreign, home


def shown(name: str, inputs: dict[str, str]) -> dict[str, Any]:
    return {key: (held["text"], held["value"]) for key, held in engine.call("calc", name=name, inputs=inputs)["results"].items()}


def assert_same(first: dict[str, Any], second: dict[str, Any]) -> None:
    assert sorted(first) == sorted(second)
    for key, (text, number) in first.items():
        assert text == second[key][0], key
        if isinstance(number, float):
            assert number == pytest.approx(second[key][1], rel=1e-11, abs=1e-12)
        else:
            assert number == second[key][1]


def test_there_are_calculators_of_lengths() -> None:
    assert {"conductor_resistance", "fibre_allowance", "lead_voltage", "duct_fill", "order_length"} <= set(WITH_LENGTHS)
    assert set(WITH_LENGTHS) <= set(calculators.NAMES)


@pytest.mark.parametrize("name", WITH_LENGTHS)
def test_a_calculator_shows_the_same_digits_for_the_same_lengths(name: str) -> None:
    foreign, home = typed_twice(name)
    assert foreign != home
    assert_same(shown(name, foreign), shown(name, home))


@pytest.mark.usefixtures("unrecorded")
@pytest.mark.parametrize("name", ["conductor_resistance", "fibre_allowance", "power_reach", "lead_voltage", "lightning_exposure"])
def test_any_length_in_feet_is_the_same_as_in_metres(name: str) -> None:
    about = described()[name]
    lengths = [entry for entry in about["inputs"] if measured_in(entry)]

    @settings(max_examples=40)
    @given(st.integers(1, 300_000))
    def drawn(thousandths: int) -> None:
        feet = Decimal(thousandths) / 1000
        foreign, home = dict(about["example_inputs"]), dict(about["example_inputs"])
        for entry in lengths:
            foreign[entry["name"]], home[entry["name"]] = f"{feet}ft", f"{feet * FOOT}m"
        assert_same(shown(name, foreign), shown(name, home))

    drawn()


ROUTES = [
    ("straight 100ft; bend 45deg 10ft", "straight 30.48m; bend 45deg 3.048m"),
    ("straight 410 ft 5deg; bend 90deg 24in crest_up", "straight 124.968 m 5 deg; bend 90deg 609.6mm crest_up"),
]


@pytest.mark.parametrize(("foreign", "home"), ROUTES)
def test_a_pulling_route_in_feet_is_the_same_as_in_metres(foreign: str, home: str) -> None:
    assert_same(*(shown("pull_tension", {"route": route, "weight": "0.1"}) for route in (foreign, home)))


@pytest.mark.parametrize(("near", "far"), [("0", "410"), ("1000", "1410"), ("14392", "11867")])
def test_marks_in_feet_are_the_same_sheath_as_in_metres(near: str, far: str) -> None:
    first, second = (
        shown("sheath_length", {"start_mark": start, "end_mark": end, "mark_unit": unit})
        for start, end, unit in ((near, far, "ft"), (str(Decimal(near) * FOOT), str(Decimal(far) * FOOT), "m"))
    )
    assert_same(first, second)


def in_unit(metres: str, foreign: bool) -> dict[str, str]:
    """A length of a foot count: in feet, or written out in metres."""
    return value(metres, "ft") if foreign else value(str(Decimal(metres) * FOOT), "m")


def in_small(inches: str, foreign: bool) -> dict[str, str]:
    return value(inches, "in") if foreign else value(str(Decimal(inches) * INCH * 1000), "mm")


def copper_link(feet: str, foreign: bool) -> tuple[Story, str]:
    """A link whose every length is typed in feet and inches, or in metres and millimetres; its marks too."""
    story = Story()
    link = story.link(
        "copper",
        category="6A",
        setup="channel",
        gauge="23",
        mark_unit="ft" if foreign else "m",
        outside_diameter=in_small("0.3", foreign),
    )
    marks = [Decimal(1000), Decimal(1000) + Decimal(feet)]
    for order, mark in enumerate(marks if foreign else [mark * FOOT for mark in marks]):
        story.thing("station", link=link, type="building_entry", order=str(order), mark=str(mark))
    story.thing("station", link=link, type="bend", order="3", bend_radius=in_small("1.25", foreign), bend_state="rest")
    story.thing("station", link=link, type="handhole", order="4", depth=in_small("24", foreign))
    story.reading(link, "instrument_length", in_unit(feet, foreign)["value"], in_unit(feet, foreign)["unit"], pair="1-2")
    for pair, ohm in (("1-2", "12.1"), ("3-6", "12.4"), ("4-5", "12.2"), ("7-8", "12.9")):
        story.reading(
            link, "loop_resistance", ohm, "ohm", pair=pair, temperature=value("68", "degF") if foreign else value("20", "degC")
        )
        story.reading(link, "delay", "410", "ns", pair=pair)
    return story, link


def fibre_link(feet: str, foreign: bool) -> tuple[Story, str]:
    story = Story()
    held = {"fibre": "OM3", "strands": "1", "connections": "2", "splices": "0", "limit_set": "iso-11801-1-2017"}
    link = story.link("fibre", mark_unit="ft" if foreign else "m", outside_diameter=in_small("0.4", foreign), **held)
    marks = [Decimal(500), Decimal(500) + Decimal(feet)]
    for order, mark in enumerate(marks if foreign else [mark * FOOT for mark in marks]):
        story.thing("station", link=link, type="building_entry", order=str(order), mark=str(mark))
    marked = {"strand": "1", "method": "one_cord"}
    for wavelength, loss in (("850", "1.93"), ("1300", "1.61")):
        story.reading(link, "optical_loss", loss, "dB", wavelength=wavelength, direction="near_to_far", **marked)
    story.reading(link, "instrument_length", in_unit(feet, foreign)["value"], in_unit(feet, foreign)["unit"], strand="1")
    return story, link


MADE = {"copper": copper_link, "fibre": fibre_link}
JUDGED = ("verdict", "measured", "limit", "margin", "uncertainty", "bar")


def verdicts(medium: str, feet: str, foreign: bool) -> dict[str, Any]:
    found = checks(*MADE[medium](feet, foreign))
    # The two links have stations of their own, one of a kind each.
    return {name.split(":station=")[0]: {key: row[key] for key in JUDGED} for name, row in found.items()}


@pytest.mark.parametrize("medium", sorted(MADE))
@pytest.mark.parametrize("feet", ["410", "328.084", "295.3", "361", "1"])
def test_a_link_recorded_in_feet_gets_the_verdicts_and_digits_of_one_in_metres(medium: str, feet: str) -> None:
    foreign, home = verdicts(medium, feet, True), verdicts(medium, feet, False)
    assert foreign == home
    assert any(row["verdict"] != "not_measured" for row in home.values())


@pytest.mark.usefixtures("unrecorded")
@pytest.mark.parametrize("medium", sorted(MADE))
def test_any_link_recorded_in_feet_gets_the_verdicts_of_one_in_metres(medium: str) -> None:
    @settings(max_examples=15)
    @given(st.integers(100, 500_000))
    def drawn(thousandths: int) -> None:
        feet = str(Decimal(thousandths) / 1000)
        assert verdicts(medium, feet, True) == verdicts(medium, feet, False)

    drawn()


@given(st.decimals(0, 100_000, places=3))
def test_feet_and_metres_meet_in_one_number(feet: Decimal) -> None:
    assert units.convert(float(feet), "ft", "m") == pytest.approx(float(feet * FOOT), rel=1e-15)
