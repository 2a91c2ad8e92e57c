"""Checks of route and instruments through the door. Limits are those cited in the limit files."""

from __future__ import annotations

from typing import Any

import pytest

from tests.made_fibre import Link
from tests.making import value


@pytest.mark.parametrize(("setup", "last", "verdict"), [
    ("permanent_link", "1090", "pass"), ("permanent_link", "1090.1", "fail"), ("channel", "1100", "pass"), ("channel", "1100.1", "fail"),
])  # fmt: skip
def test_copper_length_by_marks_at_90_and_100_m(setup: str, last: str, verdict: str) -> None:
    # ANSI/TIA-568.2-D (two or more public places).
    check = Link("copper", setup=setup).marks("1000", last).checks()["cable_length"]
    assert check["verdict"] == verdict


def test_marks_that_count_down_in_feet_are_the_same_cable() -> None:
    check = Link("copper", setup="permanent_link", mark_unit="ft").marks("14392", "14100").checks()["cable_length"]
    assert check["measured"]["text"] == "89.0"  # 292 ft x 0.3048 = 89.00 m


def test_copper_length_waits_until_it_is_said_what_is_tested() -> None:
    assert Link("copper").marks("1000", "1050").checks()["cable_length"]["verdict"] == "not_measured"


def test_one_mark_is_no_length() -> None:
    check = Link("copper", setup="channel").marks("1000").checks()["cable_length"]
    assert "sheath marks at two stations" in check["sentence"]


@pytest.mark.parametrize(("last", "verdict"), [("300", "pass"), ("300.1", "fail")])
def test_fibre_length_against_the_reach_of_its_application(last: str, verdict: str) -> None:
    # 10GBASE-SR on OM3, 300 m: IEEE 802.3 clause 52 (two or more public places).
    assert Link(fibre="OM3", application="10GBASE-SR").marks("0", last).checks()["cable_length"]["verdict"] == verdict


def test_an_application_not_made_for_the_fibre_fails_on_length_too() -> None:
    check = Link(fibre="OS2", application="10GBASE-SR").marks("0", "50").checks()["cable_length"]
    assert (check["verdict"], check["measured"]["text"]) == ("fail", "10GBASE-SR has no reach on OS2")


@pytest.mark.parametrize(
    ("shown", "verdict"), [("424.0", "pass"), ("424.5", "fail"), ("398.0", "pass"), ("397.5", "fail"), ("400", "pass")]
)
def test_fibre_against_sheath_warns_outside_minus_half_to_plus_six_percent(shown: str, verdict: str) -> None:
    # Common practice; 400 m of sheath.
    link = Link().marks("1000", "1400")
    link.story.reading(link.id, "instrument_length", shown, "m", strand="1")
    check = link.checks()["length_agreement:strand=1"]
    assert (check["verdict"], check["required"]) == (verdict, False)


@pytest.mark.parametrize(("last", "shown", "verdict"), [
    ("1050", "55.0", "pass"), ("1050", "55.1", "fail"), ("1050", "45.0", "pass"), ("1010", "12.0", "pass"), ("1010", "12.1", "fail"),
])  # fmt: skip
def test_copper_instrument_length_may_differ_by_two_metres_or_ten_percent(last: str, shown: str, verdict: str) -> None:
    link = Link("copper").marks("1000", last)
    link.story.reading(link.id, "instrument_length", shown, "m", pair="1-2")
    assert link.checks()["length_agreement:pair=1-2"]["verdict"] == verdict


def test_an_instrument_length_in_feet_is_compared_in_metres() -> None:
    link = Link().marks("1000", "1400")
    link.story.reading(link.id, "instrument_length", "1312.336", "ft", strand="1")
    assert link.checks()["length_agreement:strand=1"]["measured"]["text"] == "0.0"


def test_marks_that_run_backwards_are_named() -> None:
    check = Link().marks("1000", "1100", "1050", "1200").checks()["marks_one_way"]
    assert check["verdict"] == "fail"
    assert "1050" in check["measured"]["text"]


@pytest.mark.parametrize("marks", [("1000", "1100", "1200"), ("1200", "1100", "1000")])
def test_marks_may_run_either_way(marks: tuple[str, ...]) -> None:
    assert Link().marks(*marks).checks()["marks_one_way"]["verdict"] == "pass"


def test_a_loop_has_its_marks_in_and_out() -> None:
    link = Link()
    link.station("1000")
    link.station("1040", kind="slack_loop", mark_out="1030")
    link.station("1100")
    assert link.checks()["marks_one_way"]["verdict"] == "fail"


# Multiples of the outside diameter: fibre 10 at rest, 20 under load (ICEA S-87-640); 4-pair copper 4 at rest (TIA-568.0-D), 8 under load (practice).
@pytest.mark.parametrize(("medium", "state", "radius_mm", "verdict"), [
    ("fibre", "rest", "72", "pass"), ("fibre", "rest", "71.9", "fail"), ("fibre", "load", "144", "pass"), ("fibre", "load", "143.9", "fail"),
    ("copper", "rest", "28.8", "pass"), ("copper", "rest", "28.7", "fail"), ("copper", "load", "57.6", "pass"), ("copper", "load", "57.5", "fail"),
    ("extended", "rest", "28.8", "pass"),
])  # fmt: skip
def test_bends_are_judged_by_medium_and_state(medium: str, state: str, radius_mm: str, verdict: str) -> None:
    link = Link(medium, outside_diameter=value("7.2", "mm"))
    station = link.station("1000", kind="bend", bend_radius=value(radius_mm, "mm"), bend_state=state)
    assert link.checks()[f"bend_radius:station={station}"]["verdict"] == verdict


def test_a_bend_in_inches_is_judged_in_millimetres() -> None:
    link = Link(outside_diameter=value("7.2", "mm"))
    station = link.station(kind="bend", bend_radius=value("3", "in"))
    assert link.checks()[f"bend_radius:station={station}"]["measured"]["text"] == "76.2"


def test_a_bend_waits_for_the_cables_diameter() -> None:
    link = Link()
    station = link.station(kind="bend", bend_radius=value("70", "mm"))
    check = link.checks()[f"bend_radius:station={station}"]
    assert (check["verdict"], "outside diameter" in check["sentence"]) == ("not_measured", True)


def depth_check(depth: tuple[str, str], **fields: Any) -> dict[str, Any]:
    link = Link(laying="direct", **fields)
    station = link.station(depth=value(*depth))
    return link.checks()[f"burial_depth:station={station}"]


@pytest.mark.parametrize(
    ("depth", "verdict"),
    [(("600", "mm"), "pass"), (("599", "mm"), "fail"), (("0.6", "m"), "pass"), (("24", "in"), "pass"), (("23", "in"), "fail")],
)
def test_depth_against_the_chosen_rule(depth: tuple[str, str], verdict: str) -> None:
    assert depth_check(depth, burial_rule="direct-600")["verdict"] == verdict


def test_a_projects_own_depth_goes_first_with_its_source_as_typed() -> None:
    check = depth_check(
        ("700", "mm"), burial_rule="direct-600", project_depth=value("0.75", "m"), project_depth_source="Drawing 7"
    )
    assert (check["verdict"], check["limit"]["text"], check["source"]["document"], check["source"]["seen"]) == (
        "fail",
        "750",
        "Drawing 7",
        "typed",
    )


def test_depth_waits_for_a_rule() -> None:
    assert "choose the rule" in depth_check(("700", "mm"))["sentence"]


def test_a_buried_link_without_any_depth_waits_for_one() -> None:
    assert Link(laying="duct", burial_rule="nec-830-duct").marks("0", "9").checks()["burial_depth"]["verdict"] == "not_measured"


def test_an_aerial_link_asks_for_no_depth() -> None:
    assert Link(laying="aerial").marks("0", "9").of_rule("burial_depth") == []


@pytest.mark.parametrize(("instrument", "verdict", "words"), [
    ({"calibrated": "2025-03-14"}, "pass", "0 days left"),  # 12 months later is the day itself
    ({"calibrated": "2025-03-13"}, "fail", "1 day overdue"),
    ({"calibrated": "2024-02-29"}, "fail", "due 2025-02-28"),
    ({"calibrated": "2020-01-01", "due": "2026-03-14"}, "pass", "0 days left"),
    ({"due": "2026-03-13"}, "fail", "1 day overdue"),
    ({"calibrated": "2026-03-15"}, "fail", "only after it was used"),
    ({}, "not_measured", "no calibration date"),
])  # fmt: skip
def test_an_instrument_is_in_calibration_on_the_day_of_the_reading(instrument: dict[str, str], verdict: str, words: str) -> None:
    # Read on 2026-03-14; 12 months where no due date is typed: common practice.
    link = Link()
    link.loss("0.5", instrument={"name": "Light meter", "serial": "7"} | instrument)
    check = link.checks()["calibration:instrument=Light meter:serial=7"]
    assert check["verdict"] == verdict
    assert words in check["sentence"]


def test_the_reading_furthest_out_of_calibration_decides_for_its_instrument() -> None:
    link = Link()
    meter = {"name": "Light meter", "serial": "7", "calibrated": "2025-03-14"}
    link.loss("0.5", instrument=meter)
    link.loss("0.5", "1550", instrument=meter, at="2026-03-20T09:00:00.000+01:00")
    check = link.checks()["calibration:instrument=Light meter:serial=7"]
    assert (check["verdict"], "6 days overdue" in check["sentence"], len(check["readings"])) == ("fail", True, 2)


def test_a_voided_reading_does_not_hold_its_instrument_against_the_link() -> None:
    link = Link()
    reading = link.loss("0.5", instrument={"name": "Old meter", "calibrated": "2019-01-01"})
    link.story.add("void", {"link": link.id, "reading": reading, "reason": "Meter out of calibration"})
    assert link.of_rule("calibration") == []


@pytest.mark.parametrize(("instrument", "seen"), [({"calibrated": "2026-01-10"}, "practice"), ({"due": "2026-12-01"}, "typed")])
def test_a_typed_due_date_is_the_source_and_twelve_months_are_custom(instrument: dict[str, str], seen: str) -> None:
    link = Link()
    link.loss("0.5", instrument={"name": "Light meter", "serial": "7"} | instrument)
    check = link.checks()["calibration:instrument=Light meter:serial=7"]
    assert check["source"]["seen"] == seen
    assert ("Due date of the instrument's calibration" in check["sentence"]) is (seen == "typed")


def test_a_reading_without_an_instrument_is_mentioned() -> None:
    link = Link()
    link.loss("0.5", instrument=None)
    row = link.of_rule("calibration")[0]
    assert (row["verdict"], row["required"]) == ("not_measured", False)


# ---- a route that is not whole

ENTRY, NO_ENTRY = "building_entry", "handhole"


@pytest.mark.parametrize(("kinds", "words"), [
    ([], "no station is recorded"),
    (["other"], "no building entry is recorded"),
    ([ENTRY], "the route recorded so far ends at P1"),
    ([ENTRY, NO_ENTRY], "the route recorded so far ends at P2"),
    ([ENTRY, NO_ENTRY, "other", "bond"], "the route recorded so far ends at P2"),
    ([NO_ENTRY, ENTRY], "the route recorded so far begins at P1"),
    (["other", "bond", NO_ENTRY, ENTRY], "the route recorded so far begins at P3"),
])  # fmt: skip
def test_a_route_that_lacks_an_entry_is_not_measured_and_says_how_far_it_goes(kinds: list[str], words: str) -> None:
    link = Link()
    for number, kind in enumerate(kinds, 1):
        link.station(kind=kind, name=f"P{number}")
    check = link.checks()["route_ends"]
    assert (check["verdict"], check["required"], check["group"]) == ("not_measured", True, "route")
    assert check["sentence"] == f"Not measured: {words}."


@pytest.mark.parametrize("kinds", [
    [ENTRY, ENTRY], ["other", ENTRY, NO_ENTRY, ENTRY, "other"], ["bond", ENTRY, ENTRY, "bond", "other"],
])  # fmt: skip
@pytest.mark.parametrize("medium", ["fibre", "copper", "extended"])
def test_a_route_from_entry_to_entry_passes_whatever_lies_beyond_in_the_buildings(medium: str, kinds: list[str]) -> None:
    link = Link(medium)
    for kind in kinds:
        link.station(kind=kind)
    assert link.checks()["route_ends"]["verdict"] == "pass"


def test_the_order_along_the_route_decides_where_it_ends_not_the_order_of_typing() -> None:
    link = Link()
    for order, kind in (("3", ENTRY), ("1", ENTRY), ("2", NO_ENTRY)):
        link.story.thing("station", link=link.id, type=kind, order=order)
    assert link.checks()["route_ends"]["verdict"] == "pass"


def grown_notes(link: Link, check: str) -> list[str]:
    return [note for note in link.checks()[check]["notes"] if "may still grow" in note]


NOTE = ["The route recorded so far ends at Row 9, so the length may still grow."]


def test_what_leans_on_the_length_says_so_until_the_cable_has_arrived() -> None:
    link = Link(application="1000BASE-LX")
    link.station("1000", ENTRY)
    link.station("1400", "bend", name="Row 9")
    link.loss("0.60")
    link.story.reading(link.id, "instrument_length", "405", "m", strand="1")
    names = ["cable_length", "application", "length_agreement:strand=1"]
    names += [f"fibre_loss:strand=1:wavelength={nm}:direction=near_to_far" for nm in ("1310", "1550")]
    assert [grown_notes(link, name) for name in names] == [NOTE] * 5
    link.station("1500", ENTRY)
    assert [grown_notes(link, name) for name in names] == [[]] * 5


def test_reach_material_and_voltage_of_copper_say_it_too() -> None:
    power = {"source_voltage": value("48", "V"), "load_power": value("12", "W"), "load_voltage_min": value("37", "V")}
    link = Link("extended", gauge="24", reach=value("300", "m"), reach_source="Leaflet", **power)
    link.station("1000", ENTRY)
    link.station("1200", "bend", name="Row 9")
    assert [grown_notes(link, name) for name in ("reach", "far_voltage_calculated")] == [NOTE] * 2
    link.story.reading(link.id, "loop_resistance", "33", "ohm", pair="1-2")
    assert grown_notes(link, "material:pair=1-2") == NOTE


def test_a_length_by_the_instrument_does_not_hang_on_the_stations() -> None:
    link = Link()
    link.station(None, ENTRY)
    link.story.reading(link.id, "instrument_length", "400", "m", strand="1")
    link.loss("0.60")
    assert grown_notes(link, "fibre_loss:strand=1:wavelength=1310:direction=near_to_far") == []
