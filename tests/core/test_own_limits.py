"""Limits typed for a link: taken only with their source, deciding every rule they are of, never hiding the published one."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core.errors import Refused
from app.core.own_limits import OWN_LIMITS
from tests.core.judged import checks, near_and_far_marks
from tests.making import Story, entry, new_id, value

COPPER = {"category": "6", "setup": "permanent_link", "limit_set": "iso-11801-1-2017-copper"}
MADE_AT = "2026-03-15T08:00:00.000+01:00"


def copper() -> tuple[Story, str]:
    story = Story()
    return story, story.link("copper", **COPPER)


def own(story: Story, link: str, what: str, number: str, unit: str, **more: Any) -> str:
    fields = {"what": what, "value": value(number, unit), "source": "Specification K-7, page 3", **more}
    return story.thing("limit", f"{link}:limit:{what}", link=link, **fields)


def loop(story: Story, link: str, ohms: str, **marks: Any) -> None:
    story.reading(link, "loop_resistance", ohms, "ohm", pair="1-2", **marks)


LOOP = "loop_resistance:pair=1-2"


def test_a_weaker_own_limit_passes_what_the_published_one_fails_and_says_both() -> None:
    story, link = copper()
    loop(story, link, "22.4")
    assert checks(story, link)[LOOP]["verdict"] == "fail"  # ISO/IEC 11801-1: 21 ohm for a permanent link, from memory
    own(story, link, "loop_resistance", "24", "ohm")
    check = checks(story, link)[LOOP]
    assert check["verdict"] == "pass"
    assert check["limit"] == {"text": "24.00", "unit": "Ω", "sense": "max"}
    assert check["source"]["seen"] == "typed"
    assert check["source"]["text"] == "Specification K-7, page 3 (typed in for this link)"
    assert check["published"]["text"] == "21" and check["published"]["how"] == "weaker than"
    assert "Weaker than the published 21 Ω." in check["sentence"]
    assert "Weaker than ISO/IEC 11801-1:2017, clause 7, permanent link (from memory, check your edition): 21 Ω." in check["notes"]
    assert "By that limit: fails." in check["notes"]


@pytest.mark.parametrize(
    ("limit", "words", "verdict"),
    [("21", "The same as", "pass"), ("20.99", "Stricter than", "pass"), ("20.5", "Stricter than", "fail")],
)
def test_a_stricter_or_equal_own_limit_says_so(limit: str, words: str, verdict: str) -> None:
    story, link = copper()
    loop(story, link, "20.9")
    own(story, link, "loop_resistance", limit, "ohm")
    check = checks(story, link)[LOOP]
    assert check["verdict"] == verdict
    assert words + " the published 21 Ω." in check["sentence"]


def test_an_own_limit_in_another_unit_judges_alike() -> None:
    story, link = copper()
    loop(story, link, "22.4")
    own(story, link, "loop_resistance", "22400", "mohm")
    assert checks(story, link)[LOOP]["margin"] == {"text": "0.00", "unit": "Ω"}


def test_an_own_limit_finer_than_the_published_one_is_judged_in_its_own_steps() -> None:
    story, link = copper()
    story.reading(link, "delay_skew", "43.6", "ns")
    own(story, link, "skew", "43.5", "ns")
    check = checks(story, link)["skew"]
    # In the whole nanoseconds of the published limit it would be 44 against 44.
    assert (check["verdict"], check["margin"]["text"]) == ("fail", "-0.1")


def test_what_waits_shows_the_own_limit_and_the_published_one() -> None:
    story, link = copper()
    own(story, link, "loop_resistance", "18", "ohm")
    check = checks(story, link)[LOOP]
    assert check["verdict"] == "not_measured" and check["limit"]["text"] == "18"
    assert (
        "Limit 18 Ω from Specification K-7, page 3 (typed in for this link). Stricter than the published 21 Ω."
        in check["sentence"]
    )


def test_an_own_limit_judges_where_nothing_published_does() -> None:
    story, link = copper()
    story.reading(link, "electrode_resistance", "18", "ohm", side="near")
    assert checks(story, link)["electrode:side=near"]["verdict"] == "not_measured"  # nothing is chosen on the link
    own(story, link, "electrode_resistance", "15", "ohm")
    check = checks(story, link)["electrode:side=near"]
    assert (check["verdict"], check["margin"]["text"], check["published"]) == ("fail", "-3.0", None)


@pytest.mark.parametrize(
    ("medium", "last", "verdict"), [("fibre", "400", "pass"), ("fibre", "400.1", "fail"), ("copper", "400.1", "fail")]
)
def test_an_own_length_decides_before_it_is_said_what_the_link_must_carry(medium: str, last: str, verdict: str) -> None:
    story = Story()
    link = story.link(medium)
    own(story, link, "length", "400", "m")
    waiting = checks(story, link)["cable_length"]
    assert (waiting["verdict"], waiting["limit"]["text"]) == ("not_measured", "400")
    near_and_far_marks(story, link, "0", last)
    assert checks(story, link)["cable_length"]["verdict"] == verdict


def test_an_own_limit_alone_is_judged_in_the_steps_of_its_rule() -> None:
    story, link = copper()
    story.reading(link, "electrode_resistance", "15.4", "ohm", side="near")
    own(story, link, "electrode_resistance", "15", "ohm")
    assert checks(story, link)["electrode:side=near"]["verdict"] == "fail"  # in whole ohms it would be 15 against 15


def test_a_loop_of_extended_reach_and_a_bend_are_judged_by_their_own_limit_alone() -> None:
    story = Story()
    link = story.link("extended")
    loop(story, link, "43.6")
    own(story, link, "loop_resistance", "45", "ohm")
    own(story, link, "bend_radius", "60", "mm")
    station = story.thing("station", link=link, type="bend", order="1", bend_radius=value("50", "mm"))
    found = checks(story, link)
    assert found[LOOP]["verdict"] == "pass"
    bend = found[f"bend_radius:station={station}"]
    assert (bend["verdict"], bend["margin"]["text"]) == ("fail", "-10.0")


def test_the_least_voltage_is_an_own_limit_too() -> None:
    story, link = copper()
    story.reading(link, "far_voltage", "44.2", "V")
    own(story, link, "far_voltage", "45", "V")
    check = checks(story, link)["far_voltage"]
    assert (check["verdict"], check["limit"]["sense"], check["margin"]["text"]) == ("fail", "min", "-0.8")


@pytest.mark.parametrize(
    ("limit", "lost", "verdict"), [("0.01", "0.005", "pass"), ("0.01", "0.02", "fail"), ("100", "0.005", "pass")]
)
def test_frames_may_be_lost_up_to_an_own_limit(limit: str, lost: str, verdict: str) -> None:
    story = Story()
    link = story.link("extended")
    story.reading(link, "frame_loss", lost, "percent", direction="near_to_far")
    name = "frame_loss:direction=near_to_far"
    assert checks(story, link)[name]["verdict"] == "fail"  # without one none may be lost
    own(story, link, "frame_loss", limit, "ppm" if limit == "100" else "percent")  # 100 ppm = 0.01 %
    check = checks(story, link)[name]
    assert (check["verdict"], check["source"]["seen"], check["published"]["text"]) == (verdict, "typed", "0")


def test_frames_that_wait_show_their_own_limit() -> None:
    story = Story()
    link = story.link("extended")
    own(story, link, "frame_loss", "0.01", "percent")
    check = checks(story, link)["frame_loss"]
    assert (check["verdict"], check["limit"]["text"], check["form"]) == ("not_measured", "0.01", {"quantity": "frame_loss"})


@pytest.mark.parametrize(
    ("loop", "least", "verdict"),
    # 50 V, 25.5 W over a pair set of half a loop: 12.5 ohm leave (50 + sqrt(50^2 - 4 * 12.5 * 25.5)) / 2 = 42.5 V; 30 ohm feed 20.8 W at most
    [("25", "42", "pass"), ("25", "43", "fail"), ("60", "42", "fail")],
)
def test_an_own_least_voltage_decides_the_calculated_one_where_no_load_says_its_lowest(
    loop: str, least: str, verdict: str
) -> None:
    story = Story()
    link = story.link("extended", source_voltage=value("50", "V"), load_power=value("25.5", "W"), power_pairs="2")
    for pair in ("1-2", "3-6"):
        story.reading(link, "loop_resistance", loop, "ohm", pair=pair)
    own(story, link, "far_voltage", least, "V")
    check = checks(story, link)["far_voltage_calculated"]
    assert (check["verdict"], check["source"]["seen"]) == (verdict, "typed")


def test_guarded_acceptance_holds_for_own_limits() -> None:
    story = Story()
    link = story.link("copper", decision_rule="guarded", **COPPER)
    loop(story, link, "23.9", uncertainty=value("0.3", "ohm"))
    own(story, link, "loop_resistance", "24", "ohm")
    check = checks(story, link)[LOOP]
    assert check["verdict"] == "pass_within_uncertainty"
    assert "By that limit: fails." in check["notes"]  # 23.9 is 2.9 above 21, more than the 0.3 stated


def test_a_limit_that_is_taken_off_decides_nothing_and_can_come_back() -> None:
    story, link = copper()
    loop(story, link, "22.4")
    subject = own(story, link, "loop_resistance", "24", "ohm")
    story.thing("limit", subject, link=link, what="loop_resistance", withdrawn="The client withdrew it")
    assert checks(story, link)[LOOP]["verdict"] == "fail"
    with engine.opened(story.book, story.texts) as core:
        view = core("link", link=link)
        assert view["limits"] == [] and [held["subject"] for held in view["limits_taken_off"]] == [subject]
    story.thing("limit", subject, link=link, what="loop_resistance", withdrawn=None)
    assert checks(story, link)[LOOP]["verdict"] == "pass"


def test_two_phones_that_type_one_each_have_to_choose() -> None:
    story, link = copper()
    loop(story, link, "22.4")
    subject = f"{link}:limit:loop_resistance"
    for number, by in (("24", "Ann"), ("22", "Ben")):
        body = {"subject": subject, "link": link, "what": "loop_resistance", "value": value(number, "ohm"), "source": "Letter"}
        story.add("limit", body, by=by)
    found = checks(story, link)
    waiting = found[f"unsettled:subject={subject}:field=value"]
    assert waiting["verdict"] == "not_measured" and waiting["required"]
    assert waiting["title"] == "Two values stand: limit of pair loop resistance"
    assert "24 Ω" in waiting["sentence"] and "22 Ω" in waiting["sentence"]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"source": None}, "source", "a limit without source is not taken"),
        ({"value": None}, "value", "Type the limit"),
        ({"what": "colour"}, "what", "loop_resistance"),
        ({"subject": "elsewhere"}, "subject", "to match"),
        ({"value": value("24", "V")}, "value", "ohm"),
        ({"value": value("-3", "ohm")}, "value", "from zero up"),
        ({"source": "  "}, "source", "at least one letter"),
    ],
)
def test_a_limit_that_is_not_whole_is_refused(change: dict[str, Any], field: str, words: str) -> None:
    link = new_id()
    body = {"link": link, "what": "loop_resistance", "subject": f"{link}:limit:loop_resistance"}
    body |= {"value": value("24", "ohm"), "source": "Specification K-7", **change}
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=entry("limit", body))
    assert refused.value.field == field
    assert words in refused.value.sentence()


def test_every_own_limit_names_units_of_one_kind() -> None:
    from app.core.units import group_of

    for about in OWN_LIMITS:
        assert len({group_of(unit) for unit in about["units"]}) == 1, about["what"]


def test_the_rules_of_another_link_are_not_touched() -> None:
    story, link = copper()
    near, far = story.site_with_buildings()
    other = story.thing("link", name="Other", medium="copper", near_building=near, far_building=far, **COPPER)
    loop(story, link, "22.4")
    loop(story, other, "22.4")
    own(story, link, "loop_resistance", "24", "ohm")
    assert checks(story, link)[LOOP]["verdict"] == "pass"
    assert checks(story, other)[LOOP]["verdict"] == "fail"


def test_the_projects_own_depth_shows_the_rule_it_stands_in_for() -> None:
    story = Story()
    link = story.link(
        "fibre", burial_rule="direct-600", project_depth=value("450", "mm"), project_depth_source="Drawing 7", laying="direct"
    )
    station = story.thing("station", link=link, type="marker", order="1", depth=value("500", "mm"))
    check = checks(story, link)[f"burial_depth:station={station}"]
    assert check["verdict"] == "pass" and "Weaker than the published 600 mm." in check["sentence"]
    assert "By that limit: fails." in check["notes"]


def test_the_record_lists_them_beside_the_published_ones_and_a_seal_covers_them() -> None:
    story, link = copper()
    near_and_far_marks(story, link, "0", "80")
    loop(story, link, "22.4")
    own(story, link, "loop_resistance", "24", "ohm", note="Agreed on site")
    with engine.opened(story.book, story.texts) as core:
        model = core("record", link=link, made_at=MADE_AT)
        covered = [row[0] for row in core("cover", link=link)["entries"]]
    (table,) = next(held for held in model["sections"] if held["id"] == "own-limits")["blocks"]
    assert table["rows"][0] == [
        "Pair loop resistance",
        "≤ 24 Ω",
        "Specification K-7, page 3\nAgreed on site",
        "≤ 21 Ω, ISO/IEC 11801-1:2017, clause 7, permanent link (from memory, check your edition)",
        "weaker",
    ]
    limit_entries = [text for text in story.texts if '"kind":"limit"' in text]
    assert len(limit_entries) == 1 and any(f'"id":"{held}"' in limit_entries[0] for held in covered)


def test_the_projects_own_loss_shows_the_allowance_it_stands_in_for() -> None:
    story = Story()
    fields = {"fibre": "OS2", "connections": "2", "splices": "0", "limit_set": "iso-14763-3-2024"}
    link = story.link("fibre", **fields, project_loss_limit=value("1.20", "dB"), project_limit_source="Drawing 7")
    near_and_far_marks(story, link, "0", "400")
    marks = {"strand": "1", "wavelength": "1310", "direction": "near_to_far", "method": "one_cord"}
    story.reading(link, "optical_loss", "1.30", "dB", **marks)
    check = checks(story, link)["fibre_loss:strand=1:wavelength=1310:direction=near_to_far"]
    # 0.4 km x 0.4 dB/km + 2 x 0.70 dB = 1.56 dB (ISO/IEC 14763-3:2024 with the fibre of ISO/IEC 11801-1:2017)
    assert check["verdict"] == "fail" and "Stricter than the published 1.56 dB." in check["sentence"]
    assert "By that limit: passes." in check["notes"]


@pytest.mark.parametrize(
    ("medium", "newtons", "verdict"),
    # 110 N for 4-pair cable (ANSI/TIA-568.0-D), 2670 N for outdoor fibre (ICEA S-87-640): two or more public places
    [("copper", "110", "pass"), ("copper", "111", "fail"), ("fibre", "2670", "pass"), ("fibre", "2671", "fail")],
)
def test_pulling_tension_is_judged_by_the_default_of_the_cables_kind(medium: str, newtons: str, verdict: str) -> None:
    story = Story()
    link = story.link(medium)
    story.reading(link, "pull_tension", newtons, "N")
    assert checks(story, link)["pull_tension"]["verdict"] == verdict


def test_a_data_sheets_tension_in_pounds_decides_before_the_default() -> None:
    story = Story()
    link = story.link("fibre")
    story.reading(link, "pull_tension", "1400", "N")
    own(story, link, "pull_tension", "300", "lbf")
    check = checks(story, link)["pull_tension"]
    # 300 lbf = 1334.47 N
    assert (check["verdict"], check["published"]["text"], check["published"]["set"]) == ("fail", "2670", "pull")
    assert "Stricter than the published 2670 N." in check["sentence"]


def test_nothing_is_asked_where_no_tension_was_read() -> None:
    story = Story()
    link = story.link("fibre")
    assert "pull_tension" not in checks(story, link)
