"""Events of an OTDR through the door: pairing of directions, places, limits by edition, reflections, sections. Values worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core.errors import Refused
from tests.made_fibre import Link
from tests.making import value

CORDS = {"launch_cord": value("150", "m"), "tail_cord": value("150", "m")}
END_TO_END = [["0", "connector", "0.30"], ["410.3", "splice", "0.20"], ["815.0", "connector", "0.25"]]
BACK_AGAIN = [["0", "connector", "0.35"], ["404.7", "splice", "0.10"], ["815.2", "connector", "0.25"]]


def link_of_800_m(**fields: Any) -> Link:
    """Three stations at sheath marks 1000, 1400 and 1800 m; the events make the fibre 815.1 m, 1.9 percent longer than the sheath."""
    link = Link(**({"splices": "1"} | fields))
    link.station("1000", "building_entry")
    link.station("1400", "closure", name="Closure C1")
    link.station("1800", "building_entry")
    return link


def typed(link: Link, rows: list[list[str]], way: str = "near_to_far", unit: str = "m", **more: Any) -> str:
    table = {"units": [unit, "", "dB", "dB", ""], "rows": [row + [""] * (5 - len(row)) for row in rows]}
    marks = {"strand": "1", "wavelength": "1310", "direction": way} | more
    return link.story.reading(link.id, "fibre_events", table=table, **marks)


def both_ways(there: list[list[str]], back: list[list[str]], **fields: Any) -> Link:
    link = link_of_800_m(**fields)
    typed(link, there, **CORDS)
    typed(link, back, "far_to_near", **CORDS)
    return link


def one(link: Link, rule: str) -> dict[str, Any]:
    [check] = link.of_rule(rule)
    return check


def with_splice(there: str, back: str, kind: str = "splice", **fields: Any) -> Link:
    forward = [END_TO_END[0], ["410.3", kind, there], END_TO_END[2]]
    return both_ways(forward, [BACK_AGAIN[0], ["404.7", kind, back], BACK_AGAIN[2]], **fields)


def test_a_splice_is_judged_on_the_average_of_both_directions_at_its_station() -> None:
    check = one(both_ways(END_TO_END, BACK_AGAIN), "splice_loss")
    # 410.3 m from the near end; 815.1 - 404.7 x 815.1 / 815.2 = 410.45 m by the far one: 410.4 m.
    assert check["title"] == "Splice at 410.4 m, station 2 (Closure C1), strand 1, 1310 nm"
    assert (check["verdict"], check["measured"]["text"], check["limit"]["text"], check["required"]) == (
        "pass",
        "0.15",
        "0.30",
        True,
    )
    assert "step = half the difference of 0.2, 0.1 = 0.05 dB" in check["working"]


# A joint of fibres with mode fields of 9.2 and 8.6 um truly loses 0.020 dB and shows a step of 0.293 dB (one-way -0.273 and +0.313).
def test_a_gain_from_one_end_is_kept_as_typed_and_only_the_average_counts() -> None:
    check = one(with_splice("-0.273", "0.313"), "splice_loss")
    assert (check["verdict"], check["measured"]["text"]) == ("pass", "0.02")
    assert "step = half the difference of -0.273, 0.313 = -0.293 dB" in check["working"]
    assert check["notes"][0].startswith("Looks like a gain from one end")


@pytest.mark.parametrize(("back", "verdict"), [("0.30", "pass"), ("0.31", "fail")])
def test_a_splice_on_and_beyond_its_limit(back: str, verdict: str) -> None:
    # 0.30 dB (two places or more); (0.30 + 0.31) / 2 = 0.305, half away from zero in hundredths 0.31.
    check = one(with_splice("0.30", back), "splice_loss")
    assert check["verdict"] == verdict
    assert any("0.10 dB that many projects" in note for note in check["notes"])


def test_one_direction_alone_is_shown_and_never_judged() -> None:
    # A published trace shows -0.336 dB at 1310 nm for one splice from one end.
    link = link_of_800_m()
    typed(link, [END_TO_END[0], ["410.3", "splice", "-0.336"], END_TO_END[2]], **CORDS)
    check = one(link, "splice_loss")
    assert (check["verdict"], check["required"], check["measured"]) == ("not_measured", False, {"text": "-0.34", "unit": "dB"})
    assert "one direction only, indicative: -0.34 dB" in check["sentence"]
    assert check["form"]["direction"] == "far_to_near"
    typed(link, [["410.3", "splice", "9.99"]])
    assert one(link, "splice_loss")["verdict"] == "not_measured"


def test_an_event_that_the_other_end_does_not_show_says_so() -> None:
    check = one(both_ways(END_TO_END, [BACK_AGAIN[0], BACK_AGAIN[2]]), "splice_loss")
    assert check["verdict"] == "not_measured"
    assert "not seen far to near" in check["sentence"]


def test_without_the_end_of_the_link_two_directions_are_not_paired_by_a_guess() -> None:
    link = link_of_800_m()
    typed(link, END_TO_END)
    typed(link, BACK_AGAIN, "far_to_near")
    rows = link.of_rule("splice_loss")
    assert [row["verdict"] for row in rows] == ["not_measured", "not_measured"]
    assert "the end of the link is not among the events" in rows[0]["sentence"]
    assert "404.7 m from the far end" in rows[0]["title"] + rows[1]["title"]
    link.story.reading(link.id, "instrument_length", "815.1", "m", strand="1")
    assert one(link, "splice_loss")["measured"]["text"] == "0.15"


@pytest.mark.parametrize(
    ("limit_set", "fibre", "wavelength", "end"),
    [
        ("iso-14763-3-2024", "OS2", "1310", "0.70"),
        ("iso-14763-3-2024", "OM3", "850", "0.45"),
        ("iso-14763-3-2014", "OS2", "1310", "0.75"),
        ("iso-14763-3-2006", "OM3", "850", "0.30"),
        ("tia-568.3-e", "OS2", "1310", "0.50"),
    ],
)
def test_first_and_last_connector_by_edition_and_the_ones_between_at_standard_grade(
    limit_set: str, fibre: str, wavelength: str, end: str
) -> None:
    # First and last mating by edition, one or more public places; between them 0.75 dB (two places or more).
    link = link_of_800_m(limit_set=limit_set, fibre=fibre)
    middle = [["410.3", "connector", "0.20"]]
    typed(link, [END_TO_END[0], *middle, END_TO_END[2]], wavelength=wavelength, **CORDS)
    typed(link, [BACK_AGAIN[0], ["404.7", "connector", "0.20"], BACK_AGAIN[2]], "far_to_near", wavelength=wavelength, **CORDS)
    assert [check["limit"]["text"] for check in link.of_rule("connector_loss")] == [end, "0.75", end]


@pytest.mark.parametrize(
    ("fibre", "wavelength", "cord", "short"),
    [("OS2", "1310", "150", False), ("OS2", "1310", "149", True), ("OM3", "850", "75", False)],
)
def test_a_short_launch_cord_is_said(fibre: str, wavelength: str, cord: str, short: bool) -> None:
    # 75 to 150 m on multimode, 150 to 500 m on single-mode: common practice.
    link = link_of_800_m(fibre=fibre)
    for way in ("near_to_far", "far_to_near"):
        cords = {"launch_cord": value(cord, "m"), "tail_cord": value(cord, "m")}
        typed(link, [["0", "connector", "0.3"], ["815", "connector", "0.3"]], way, wavelength=wavelength, **cords)
    assert any("is short" in note for note in link.of_rule("connector_loss")[0]["notes"]) is short


def test_without_a_cord_the_first_connector_is_judged_at_standard_grade_and_says_why() -> None:
    link = link_of_800_m()
    typed(link, [*END_TO_END[:2], ["815.0", "end"]])
    check = link.of_rule("connector_loss")[0]
    assert check["limit"]["text"] == "0.75"
    assert "No launch or tail cord is stated" in check["notes"][0]


@pytest.mark.parametrize(("loss", "verdict"), [("0.10", "pass"), ("0.11", "fail")])
def test_a_loss_where_nothing_is_recorded_is_flagged_over_a_tenth_of_a_decibel(loss: str, verdict: str) -> None:
    link = both_ways([["0", "connector", "0.3"], ["250", "loss_point", loss], ["815", "connector", "0.3"]],
                     [["0", "connector", "0.3"], ["565", "loss_point", loss], ["815", "connector", "0.3"]])  # fmt: skip
    check = one(link, "loss_point")
    assert (check["verdict"], check["source"]["seen"]) == (verdict, "practice")
    assert (
        check["title"] == "Loss point at 250.0 m, strand 1, 1310 nm"
    )  # 245 m along the sheath, no station within 5 m and 0.2 percent
    assert ("tight bend" in " ".join(check["notes"])) is (verdict == "fail")


def test_feet_and_kilometres_are_the_same_places_as_metres() -> None:
    # 410 ft = 124.968 m exactly (international foot).
    feet, metres = Link(), Link()
    typed(feet, [["410", "splice", "0.1"], ["2000", "end"]], unit="ft")
    typed(metres, [["124.968", "splice", "0.1"], ["609.6", "end"]])
    assert one(feet, "splice_loss")["id"] == one(metres, "splice_loss")["id"]
    kilometres = Link()
    typed(kilometres, [["0.124968", "splice", "0.1"], ["0.6096", "end"]], unit="km")
    assert one(kilometres, "splice_loss")["id"] == one(metres, "splice_loss")["id"]


def test_events_further_apart_than_both_directions_can_be_are_two_events() -> None:
    # 815.1 m: 1 percent is 8.2 m. 410.3 m against 815.1 - 420 = 395.1 m is 15 m apart.
    link = both_ways(END_TO_END, [BACK_AGAIN[0], ["420", "splice", "0.1"], BACK_AGAIN[2]])
    assert {check["verdict"] for check in link.of_rule("splice_loss")} == {"not_measured"}
    assert len(link.of_rule("splice_loss")) == 2


def test_a_long_pulse_cannot_tell_events_within_it_apart() -> None:
    # 1 us of pulse is c * 1 us / (2 * 1.468) = 102 m of fibre.
    link = link_of_800_m()
    pulse = {"pulse_width": value("1", "us")}
    typed(link, END_TO_END, **CORDS, **pulse)
    typed(link, [BACK_AGAIN[0], ["420", "splice", "0.1"], BACK_AGAIN[2]], "far_to_near", **CORDS, **pulse)
    assert one(link, "splice_loss")["measured"]["text"] == "0.15"


def test_another_group_index_set_on_the_instrument_is_brought_to_the_cables_own() -> None:
    # 0.0005 / 1.4677 = 0.0341 percent: 0.34 m a kilometre (published). 1000.0 m shown with 1.4682 set are 1000.34 m with 1.4677.
    link = Link(group_index="1.4677")
    typed(link, [["1000.0", "splice", "0.1"], ["2000", "end"]], set_index=value("1.4682", "1"))
    check = one(link, "splice_loss")
    assert check["title"].startswith("Splice at 1000.3 m")
    assert "distances x 1.4682 / 1.4677: group index set, and the cable's own" in check["working"]


@pytest.mark.parametrize("index", ["1.7", "0", "1.29"])
def test_a_group_index_that_no_glass_has_is_refused(index: str) -> None:
    link = Link()
    typed(link, [["10", "splice"]], set_index=value(index, "1"))
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=link.story.texts[-1])
    assert (refused.value.field, refused.value.allowed) == ("set_index", "a group index from 1.3 to 1.6")


@pytest.mark.parametrize(("end", "verdict"), [("848", "pass"), ("850", "fail")])
def test_length_by_events_is_held_against_the_sheath(end: str, verdict: str) -> None:
    # 848 / 800 is 6.0 percent over, 850 / 800 is 6.25: fibre up to 6 percent longer than its sheath is common practice.
    link = link_of_800_m()
    typed(link, [["410.3", "splice", "0.1"], [end, "end"]])
    check = one(link, "event_length")
    assert (check["verdict"], check["required"]) == (verdict, False)


def test_directions_that_end_at_different_events_are_flagged() -> None:
    # 815.0 against 840 m: 25 m apart, 1 percent of their mean is 8.3 m.
    link = both_ways(END_TO_END, [*BACK_AGAIN[:2], ["840", "connector", "0.25"]])
    assert one(link, "event_closure")["verdict"] == "fail"


@pytest.mark.parametrize(("connections", "verdict"), [("2", "pass"), ("1", "fail"), ("3", "pass")])
def test_more_connectors_than_recorded_are_flagged(connections: str, verdict: str) -> None:
    check = one(both_ways(END_TO_END, BACK_AGAIN, connections=connections), "event_counts")
    assert (check["verdict"], check["required"]) == (verdict, False)
    assert check["measured"]["text"] == f"2 connectors and 1 splice seen, {connections} and 1 recorded"


def test_directions_that_cannot_be_paired_are_not_counted_twice() -> None:
    link = link_of_800_m(connections="2")
    typed(link, END_TO_END)
    typed(link, BACK_AGAIN[:2], "far_to_near")
    check = one(link, "event_counts")
    assert (check["verdict"], check["measured"]["text"]) == ("pass", "2 connectors and 1 splice seen, 2 and 1 recorded")


@pytest.mark.parametrize(("metered", "verdict"), [("0.77", "pass"), ("0.75", "fail")])
def test_events_cannot_lose_more_than_the_whole_link(metered: str, verdict: str) -> None:
    # Averages 0.275 + 0.15 + 0.30 = 0.725 dB, and 815.1 m of glass at 0.29 dB/km at least 0.236: 0.961 dB; 0.20 dB are allowed over.
    link = both_ways(END_TO_END, BACK_AGAIN)
    link.loss(metered)
    assert one(link, "events_against_loss")["verdict"] == verdict


@pytest.mark.parametrize(
    ("limit_set", "fibre", "polish", "limit", "seen"),
    [
        ("iso-14763-3-2024", "OS2", "UPC", "35.0", "memory"),
        ("iso-14763-3-2024", "OS2", "APC", "60.0", "memory"),
        ("iso-14763-3-2024", "OM3", None, "20.0", "1"),
        ("iso-14763-3-2006", "OS2", "UPC", "26.0", "1"),
        ("tia-568.3-d", "OS2", "PC", "26.0", "1"),
        ("tia-568.3-d", "OM3", None, "20.0", "1"),
        ("tia-568.3-e", "OM3", None, "25.0", "memory"),
        ("tia-568.3-e", "OS2", "APC", "55.0", "memory"),
    ],
)
def test_what_a_connector_may_send_back_by_edition_fibre_and_polish(
    limit_set: str, fibre: str, polish: str | None, limit: str, seen: str
) -> None:
    link = link_of_800_m(limit_set=limit_set, fibre=fibre)
    if polish:
        link.end("near", polish=polish).end("far", polish=polish)
    typed(link, [["0", "connector", "0.3", "-" + limit], ["815", "end"]], wavelength="850" if fibre == "OM3" else "1310")
    check = one(link, "reflectance")
    assert (check["verdict"], check["limit"]["text"], check["source"]["seen"], check["limit"]["sense"]) == (
        "pass",
        limit,
        seen,
        "min",
    )


def test_glass_against_air_is_recognised() -> None:
    # A flat open end of glass of index 1.468 sends back 20 lg(0.468 / 2.468) = -14.4 dB.
    link = link_of_800_m().end("near", polish="UPC").end("far", polish="APC")
    typed(link, [["0", "connector", "0.9", "-14.4"], ["815", "end"]])
    check = one(link, "reflectance")
    assert check["verdict"] == "fail"
    assert "an angled end mated to a flat one" in check["notes"][-1]


def test_a_clipped_peak_proves_no_pass_but_a_fail() -> None:
    for shown, verdict in (("-50", "not_measured"), ("-30", "fail")):
        link = link_of_800_m().end("near", polish="UPC").end("far", polish="UPC")
        typed(link, [["0", "connector", "0.3", shown, "yes"], ["815", "end"]])
        assert one(link, "reflectance")["verdict"] == verdict


def test_single_mode_without_a_polish_is_not_judged_by_a_guess() -> None:
    link = link_of_800_m()
    typed(link, [["0", "connector", "0.3", "-40"], ["815", "end"]])
    check = one(link, "reflectance")
    assert (check["verdict"], check["required"]) == ("not_measured", False)
    assert "the polish at the near end" in check["sentence"]


def returning(number: str, **fields: Any) -> Link:
    link = link_of_800_m(**fields)
    link.story.reading(link.id, "link_return_loss", number, "dB", strand="1", wavelength="1310", direction="near_to_far")
    return link


@pytest.mark.parametrize(
    ("application", "limit", "seen"),
    [("1000BASE-LX", "12.0", "2+"), ("10GBASE-LR", "12.0", "memory"), ("10GBASE-ER", "21.0", "1")],
)
def test_return_loss_of_the_link_by_what_it_must_carry(application: str, limit: str, seen: str) -> None:
    for number, verdict in ((limit, "pass"), (str(float(limit) - 0.1), "fail")):
        check = one(returning(number, application=application), "link_return_loss")
        assert (check["verdict"], check["limit"]["text"], check["source"]["seen"]) == (verdict, limit, seen)


def test_return_loss_without_a_figure_to_hold_it_against_is_kept_and_shown() -> None:
    for fields, said in (
        ({}, "choose what the link must carry"),
        ({"application": "100BASE-LX10"}, "no figure is known here for 100BASE-LX10"),
    ):
        check = one(returning("33.4", **fields), "link_return_loss")
        assert (check["verdict"], check["required"], check["measured"]["text"]) == ("not_measured", False, "33.4")
        assert said in check["sentence"]


def test_reflectances_add_up_to_a_return_loss_beside_the_measured_one() -> None:
    # 10^-5.5 + 10^((-40 - 6) / 10) = 2.828e-5: 45.49 dB. Losses before the second event: 3 dB.
    link = returning("45.0", application="10GBASE-LR")
    typed(link, [["0", "connector", "3", "-55"], ["410", "connector", "0.2", "-40"], ["815", "end"]])
    assert "add up to 45.5 dB" in one(link, "link_return_loss")["notes"][0]
    assert link.of_rule("return_loss_events") == []


def test_without_a_measured_one_the_sum_of_reflectances_is_shown_for_information() -> None:
    link = link_of_800_m(application="10GBASE-LR")
    typed(link, [["0", "connector", "3", "-55"], ["410", "connector", "0.2", "-40"], ["815", "end"]])
    check = one(link, "return_loss_events")
    assert (check["measured"]["text"], check["verdict"], check["required"]) == ("45.5", "pass", False)


def sections(link: Link, rows: list[list[str]], way: str = "near_to_far") -> None:
    table = {"units": ["m", "m", "dB/km"], "rows": rows}
    link.story.reading(link.id, "section_attenuation", strand="1", wavelength="1310", direction=way, table=table)


# OS2 0.4 dB/km at 1310 nm by ISO/IEC 11801-1:2017 (two places or more); 0.5 by TIA-568.3-D (memory).
@pytest.mark.parametrize(("limit_set", "slope", "verdict"), [
    ("iso-14763-3-2024", "0.40", "pass"), ("iso-14763-3-2024", "0.41", "fail"), ("tia-568.3-d", "0.41", "pass"),
])  # fmt: skip
def test_attenuation_of_a_section_against_its_cable(limit_set: str, slope: str, verdict: str) -> None:
    link = link_of_800_m(limit_set=limit_set)
    sections(link, [["0", "410", slope]])
    check = one(link, "section_attenuation")
    assert (check["verdict"], check["required"]) == (verdict, False)


def test_a_section_seen_from_both_ends_is_averaged_and_counts() -> None:
    link = both_ways(END_TO_END, BACK_AGAIN)
    sections(link, [["0", "410", "0.43"]])
    sections(link, [["405", "815", "0.37"]], "far_to_near")
    check = one(link, "section_attenuation")
    assert (check["measured"]["text"], check["verdict"], check["required"]) == ("0.40", "pass", True)


def test_the_slope_of_a_short_section_is_noise() -> None:
    link = link_of_800_m()
    sections(link, [["0", "199", "0.9"]])
    assert "where the slope is noise" in one(link, "section_attenuation")["sentence"]


MARKS = {"strand": "1", "wavelength": "1310", "direction": "far_to_near"}
DRAFTS: dict[str, dict[str, Any]] = {
    "fibre_events": MARKS
    | {
        "table": {"units": ["m", "", "dB", "dB", ""], "rows": [["404.7", "splice", "0.9", "-40", ""], ["815", "end", "", "", ""]]}
    },
    "section_attenuation": MARKS | {"table": {"units": ["m", "m", "dB/km"], "rows": [["405", "815", "0.44"]]}},
    "link_return_loss": MARKS | {"value": value("30", "dB")},
    "reference_cord_loss": {"wavelength": "1310", "value": value("0.3", "dB")},
    "reference_again": {"wavelength": "1310", "value": value("-20.4", "dBm")},
    "optical_loss": MARKS | {"method": "one_cord", "value": value("0.5", "dB"), "reference_at": "2026-03-14T10:00:00.000+01:00"},
}


@pytest.mark.parametrize("quantity", sorted(DRAFTS))
def test_what_is_typed_is_judged_exactly_as_once_it_is_saved(quantity: str) -> None:
    link = link_of_800_m(strands="2", application="10GBASE-LR").end("near", polish="UPC").end("far", polish="UPC")
    for strand in ("1", "2"):
        typed(link, END_TO_END, strand=strand, **CORDS)
        link.loss("0.7", strand=strand, reference_value=value("-20", "dBm"), reference_at="2026-03-14T10:00:00.000+01:00")
    sections(link, [["0", "410", "0.40"]])
    body, at = DRAFTS[quantity] | {"link": link.id, "quantity": quantity}, "2026-03-14T12:00:00.000+01:00"
    saved_id = link.story.add("reading", body, at=at)
    kept = link.story.texts.pop()
    with engine.opened(link.story.book, link.story.texts) as core:
        tried = core("checks", link=link.id, draft=body, at=at)["checks"]
        core("add", entries=[kept])
        saved = [check for check in core("checks", link=link.id)["checks"] if saved_id in check["readings"]]
    for check in tried + saved:
        check.pop("readings")
    assert tried == saved
    assert [check for check in tried if check["group"] == "fibre"]
