"""Several loads at the far end, what may be drawn there, how long the run could be, and power that is always on.

Check figures: IEEE 802.3 classes on their worst channels (two or more public places); the rest by hand, as said beside each.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core import power_bounds
from tests.core.judged import checks, near_and_far_marks
from tests.making import Story, value

CAMERA = {"name": "Yard camera", "power": value("12.95", "W"), "voltage_min": value("37", "V"), "source": "Camera label"}
RADIO = {"name": "Mast radio", "power": value("8", "W"), "voltage_min": value("44", "V"), "source": "Radio sheet 2"}
SWITCH = {"name": "Yard switch", "power": value("4.55", "W"), "voltage_min": value("36", "V")}


def fed(
    loads: list[dict[str, Any]], volts: str = "50", loop: str | None = "25", medium: str = "copper", **fields: Any
) -> tuple[Story, str]:
    """A link fed over two pairs; a loop of 25 ohm a pair is a pair set of 12.5 ohm."""
    story = Story()
    held = {"source_voltage": value(volts, "V"), "power_pairs": "2", "cable_temperature": value("20", "degC")} | fields
    link = story.link(medium, **held)
    for pair in ("1-2", "3-6") if loop else ():
        story.reading(link, "loop_resistance", str(loop), "ohm", pair=pair)
    for load in loads:
        story.thing("load", link=link, **load)
    return story, link


def of_load(found: dict[str, dict[str, Any]]) -> dict[str, str]:
    return {check["title"]: check["verdict"] for check in found.values() if check["rule"] == "load_fed"}


def test_loads_add_up_and_the_strictest_one_sets_the_voltage() -> None:
    found = checks(*fed([CAMERA, RADIO, SWITCH]))
    calculated = found["far_voltage_calculated"]
    # 12.95 + 8 + 4.55 = 25.5 W: class 4 on its worst channel, 42.5 V; the radio asks for 44 V
    assert (calculated["measured"]["text"], calculated["limit"]["text"], calculated["verdict"]) == ("42.5", "44.0", "fail")
    assert calculated["source"]["document"] == "Radio sheet 2"
    assert "loads: Yard camera 12.95 W + Mast radio 8 W + Yard switch 4.55 W = 25.5 W" in calculated["working"]
    assert of_load(found) == {"Fed: Yard camera": "pass", "Fed: Mast radio": "fail", "Fed: Yard switch": "pass"}
    assert found["supply_power"]["measured"]["text"] == "30.0" and found["pair_set_current"]["measured"]["text"] == "0.600"


def test_the_load_typed_on_the_link_counts_beside_the_others() -> None:
    own = {"load_power": value("12.55", "W"), "load_voltage_min": value("42.5", "V"), "load_source": "Old camera, page 3"}
    found = checks(*fed([CAMERA], **own))
    assert (found["far_voltage_calculated"]["measured"]["text"], found["far_voltage_calculated"]["verdict"]) == ("42.5", "pass")
    assert found["far_voltage_calculated"]["source"]["document"] == "Old camera, page 3"
    assert of_load(found) == {"Fed: Load typed on the link": "pass", "Fed: Yard camera": "pass"}


def test_the_order_of_the_loads_does_not_matter() -> None:
    one, other = (checks(*fed(loads))["far_voltage_calculated"] for loads in ([CAMERA, RADIO], [RADIO, CAMERA]))
    assert [one[name] for name in ("measured", "limit", "verdict")] == [other[name] for name in ("measured", "limit", "verdict")]


def test_a_load_alone_makes_a_link_one_that_carries_power() -> None:
    story = Story()
    link = story.link("copper")
    assert not [check for check in checks(story, link).values() if check["group"] == "power"]
    story.thing("load", link=link, **CAMERA)
    assert "needs the voltage at the source" in checks(story, link)["far_voltage_calculated"]["sentence"]


def test_a_load_without_its_figures_is_asked_for_by_name() -> None:
    found = checks(*fed([CAMERA, {"name": "Gate radio"}]))
    sentence = found["far_voltage_calculated"]["sentence"]
    assert "the power of Gate radio" in sentence and "the lowest voltage that Gate radio accepts" in sentence
    assert of_load(found)["Fed: Gate radio"] == "not_measured"


def test_a_load_taken_off_counts_no_more() -> None:
    story, link = fed([CAMERA])
    radio = story.thing("load", link=link, **RADIO)
    assert len(of_load(checks(story, link))) == 2
    story.thing("load", radio, withdrawn="Never fitted")
    assert of_load(checks(story, link)) == {"Fed: Yard camera": "pass"}


def test_loads_beyond_what_the_cable_can_carry_are_none_of_them_fed() -> None:
    found = checks(*fed([CAMERA, RADIO, SWITCH], loop="60"))  # 50^2 / (4 * 30) = 20.8 W
    assert set(of_load(found).values()) == {"fail"}
    assert "needs pair loop resistances and cable length (or conductor gauge)" in found["power_reach"]["sentence"]
    most = found["most_drawn"]
    assert (most["measured"]["text"], most["verdict"], most["required"]) == ("25.5", "fail", False)


# 50 V, 12.5 ohm, 30 W: class 4's own figures (two or more public places) give 25.5 W. Other bounds by hand, as said.
@pytest.mark.parametrize(
    ("fields", "least", "most", "bound"),
    [
        ({"source_power": value("30", "W")}, "37", "25.5", "the most that the source may give"),  # 0.6 A
        ({"source_power": value("100", "W")}, "44", "21.1", "the lowest voltage"),  # (50 - 44) 44 / 12.5 = 21.12
        ({"source_power": value("100", "W")}, "37", "25.5", "the most current through the pairs"),  # 0.6 A in two pairs
        ({"source_power": value("100", "W"), "feeding": "passive"}, "20", "50.0", "beyond it no voltage"),  # 50^2 / (4 * 12.5)
    ],
)
def test_the_most_that_may_be_drawn_and_what_bounds_it(fields: dict[str, Any], least: str, most: str, bound: str) -> None:
    found = checks(*fed([CAMERA | {"voltage_min": value(least, "V")}], **fields))["most_drawn"]
    assert (found["limit"]["text"], found["required"]) == (most, False)
    assert bound in found["notes"][0]


def test_what_may_be_drawn_is_said_before_any_load_is_known() -> None:
    found = checks(*fed([], load_voltage_min=value("42.5", "V")))["most_drawn"]
    assert (found["verdict"], found["limit"]["text"]) == ("not_measured", "25.5")
    assert "needs the power of the load" in found["sentence"]


def test_the_longest_run_over_gauge_at_forty_degrees() -> None:
    # 50 V, 12.95 W, source 15.4 W: (50 I - 12.95) / I^2 with I = 0.308 A is 25.83 ohm; 24 AWG at 40 degC has 0.0908 ohm/m: 284 m (hand calculation)
    load = CAMERA | {"voltage_min": value("37", "V")}
    more = {"gauge": "24", "cable_temperature": value("40", "degC"), "source_power": value("15.4", "W")}
    story, link = fed([load], loop=None, medium="extended", **more)
    near_and_far_marks(story, link, "0", "300")
    found = checks(story, link)["power_reach"]
    assert (found["measured"]["text"], found["limit"]["text"], found["verdict"], found["required"]) == (
        "300",
        "284",
        "fail",
        False,
    )
    assert "the most that the source may give" in found["notes"][0]


def test_a_read_loop_counts_before_the_gauge_for_the_longest_run() -> None:
    # Class 4 by its source ends at 12.5 ohm; 80 m with 10 ohm a pair set have 0.125 ohm/m, so 100 m.
    load = {"name": "Camera", "power": value("25.5", "W"), "voltage_min": value("42.5", "V")}
    story, link = fed([load], loop="20", gauge="24", source_power=value("30", "W"))
    near_and_far_marks(story, link, "0", "80")
    found = checks(story, link)["power_reach"]
    assert (found["measured"]["text"], found["limit"]["text"], found["verdict"]) == ("80", "100", "pass")


def test_the_longest_run_is_known_before_a_cable_is_laid() -> None:
    # 50 V, 12.95 W, source 15.4 W at 40 degC over 24 AWG: 284 m, as above; four pairs reach twice as far
    more = {"gauge": "24", "cable_temperature": value("40", "degC"), "source_power": value("15.4", "W")}
    for sets, run in (("2", "284"), ("4", "569")):
        found = checks(*fed([CAMERA], loop=None, medium="extended", power_pairs=sets, **more))["power_reach"]
        assert (found["verdict"], found["limit"]["text"]) == ("not_measured", run)
        assert "needs the length of the cable" in found["sentence"]


def test_feet_and_metres_give_the_same_run() -> None:
    limits = []
    for unit, last in (("m", "80"), ("ft", "262.467192")):
        story, link = fed([CAMERA], loop="20", mark_unit=unit, source_power=value("30", "W"))
        near_and_far_marks(story, link, "0", last)
        limits.append(checks(story, link)["power_reach"]["limit"]["text"])
    assert limits[0] == limits[1]


# IEEE 802.3 clause 145 (two or more public places): class 8 gives 71.3 W of 90 W from 52 V over 6.25 ohm; 0.960 A in each of two pair sets.
def test_four_pairs_and_class_eight() -> None:
    load = {"name": "Lamp", "power": value("71.28", "W"), "voltage_min": value("41.1", "V")}
    found = checks(*fed([load], volts="52", power_pairs="4"))
    assert (found["far_voltage_calculated"]["measured"]["text"], found["supply_power"]["measured"]["text"]) == ("41.2", "90.0")
    assert found["most_drawn"]["limit"]["text"] == "71.3"
    assert found["least_source"]["measured"]["text"] == "41.2"


def test_power_that_is_always_on_is_outside_the_standard_and_says_so() -> None:
    found = checks(*fed([CAMERA], volts="24", loop="10", feeding="passive"))
    assert not {"pair_set_current", "least_source", "supply_power"} & set(found)  # no class bounds it
    notes = " ".join(found["far_voltage_calculated"]["notes"])
    assert "Always on and not detected: outside IEEE 802.3" in notes


@given(st.floats(20, 57), st.floats(0.5, 60), st.floats(0.5, 50), st.floats(5, 100))
def test_what_a_bound_allows_is_what_the_other_way_round_allows(
    source_v: float, ohm: float, least_v: float, most_w: float
) -> None:
    name, most = power_bounds.governing(power_bounds.draw_bounds(source_v, ohm, min(least_v, source_v * 0.95), most_w, None))
    back = power_bounds.governing(power_bounds.reach_bounds(source_v, most, min(least_v, source_v * 0.95), most_w, None))
    assert back[1] == pytest.approx(ohm, rel=1e-6), name
