"""References of light source and meter, and the strands of a cable. Each limit with where it was seen."""

from __future__ import annotations

import pytest

from app import engine
from app.core.errors import Refused
from tests.made_fibre import Link
from tests.making import value


def link_of_400_m(**fields: str) -> Link:
    return Link(**fields).marks("1000", "1400")


# Reference cord to reference cord: 0.10 dB multimode, 0.20 dB single-mode (two places or more); 0.25 dB by the 2014 edition with its
# corrigendum (one place).
@pytest.mark.parametrize(
    ("fibre", "wavelength", "limit_set", "loss", "verdict", "limit"),
    [
        ("OM3", "850", "iso-14763-3-2024", "0.10", "pass", "0.10"),
        ("OM3", "850", "iso-14763-3-2024", "0.11", "fail", "0.10"),
        ("OS2", "1310", "iso-14763-3-2024", "0.20", "pass", "0.20"),
        ("OS2", "1310", "tia-568.3-e", "0.21", "fail", "0.20"),
        ("OS2", "1310", "iso-14763-3-2014", "0.25", "pass", "0.25"),
        ("OS2", "1310", "iso-14763-3-2014", "0.26", "fail", "0.25"),
        ("OS2", "1310", "iso-14763-3-2024", "-0.01", "fail", "0.00"),
    ],
)
def test_reference_cords_mated_to_each_other_lose_little_and_never_gain(
    fibre: str, wavelength: str, limit_set: str, loss: str, verdict: str, limit: str
) -> None:
    link = link_of_400_m(fibre=fibre, limit_set=limit_set)
    link.story.reading(link.id, "reference_cord_loss", loss, "dB", wavelength=wavelength)
    check = link.checks()[f"reference_cord:wavelength={wavelength}"]
    assert (check["verdict"], check["limit"]["text"]) == (verdict, limit)


def test_a_check_of_the_cords_is_asked_for_but_not_required_once_a_loss_was_measured() -> None:
    link = link_of_400_m()
    assert link.of_rule("reference_cord") == []
    link.loss("0.6")
    [check] = link.of_rule("reference_cord")
    assert (check["verdict"], check["required"], check["form"]["quantity"]) == ("not_measured", False, "reference_cord_loss")


# A source within 0.1 dB of its reference: common practice. -20.00 dBm is 10 uW by definition.
@pytest.mark.parametrize(
    ("again", "unit", "verdict"),
    [("-20.10", "dBm", "pass"), ("-20.11", "dBm", "fail"), ("-19.89", "dBm", "fail"), ("10", "uW", "pass")],
)
def test_a_source_that_moved_since_its_reference_is_found_at_the_end(again: str, unit: str, verdict: str) -> None:
    link = link_of_400_m()
    link.loss("0.6", reference_value=value("-20.00", "dBm"))
    link.loss("0.6", "1550", reference_value=value("-22.00", "dBm"))
    link.story.reading(link.id, "reference_again", again, unit, wavelength="1310", at="2026-03-14T12:00:00.000+01:00")
    assert link.checks()["reference_drift:wavelength=1310"]["verdict"] == verdict


def test_a_reference_measured_again_waits_for_what_it_was_before() -> None:
    link = link_of_400_m()
    link.loss("0.6")
    link.story.reading(link.id, "reference_again", "-20.00", "dBm", wavelength="1310")
    check = link.checks()["reference_drift:wavelength=1310"]
    assert (check["verdict"], check["required"]) == ("not_measured", True)
    assert "needs the reference value" in check["sentence"]


@pytest.mark.parametrize(("set_at", "verdict"), [("06:30", "pass"), ("06:23", "fail")])
def test_a_reference_of_many_hours_ago_is_flagged(set_at: str, verdict: str) -> None:
    # 10:30 less 06:30 is 4.0 h; 06:23 makes it 4.1 h. Every few hours: common practice.
    link = link_of_400_m()
    link.loss("0.6", at="2026-03-14T10:30:00.000+01:00", reference_at=f"2026-03-14T{set_at}:00.000+01:00")
    check = link.checks()["reference_age"]
    assert (check["verdict"], check["required"]) == (verdict, False)


@pytest.mark.parametrize(("launch", "at_1300", "verdict"), [
    ("encircled_flux", "0.68", "pass"), ("encircled_flux", "0.69", "fail"), ("open", "0.97", "pass"), ("open", "0.98", "fail"),
])  # fmt: skip
def test_a_launch_that_was_not_controlled_makes_losses_less_certain(launch: str, at_1300: str, verdict: str) -> None:
    # 0.20 dB with encircled flux, 0.40 dB without: sqrt(2) times that between two losses, 0.28 and 0.57 dB (common practice).
    link = link_of_400_m(fibre="OM3")
    link.loss("0.40", "850", launch=launch)
    link.loss(at_1300, "1300", launch=launch)
    assert link.of_rule("wavelength_order")[0]["verdict"] == verdict


def test_a_launch_is_one_of_a_list_and_stands_in_the_record() -> None:
    link = link_of_400_m(fibre="OM3")
    link.loss("0.80", "850", launch="open")
    with engine.opened(link.story.book, link.story.texts) as core:
        assert "launch: neither" in str(core("record", link=link.id, made_at="2026-03-20T09:00:00.000+01:00")["sections"])
    [check] = [row for row in link.of_rule("fibre_loss") if row["measured"]]
    assert any("reads high" in note for note in check["notes"])
    link.loss("0.80", "850", launch="sideways")
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=link.story.texts[-1])
    assert refused.value.allowed == "one of encircled_flux, mandrel, open"


def test_the_next_strand_is_asked_for_by_the_method_in_use() -> None:
    link = link_of_400_m(strands="2")
    link.loss("0.2", method="three_cord")
    waiting = link.checks()["fibre_loss:strand=2:wavelength=1550:direction=near_to_far"]
    # 0.4 km of glass at 0.4 dB/km: by three cords no mating is left in the result.
    assert (waiting["form"]["method"], waiting["limit"]["text"]) == ("three_cord", "0.16")


def test_a_link_that_asks_for_both_directions_waits_for_the_other() -> None:
    link = link_of_400_m(loss_directions="both")
    link.loss("0.6", direction="far_to_near")
    rows = {check["id"].split("=")[-1]: check["verdict"] for check in link.of_rule("fibre_loss") if "1310" in check["id"]}
    assert rows == {"far_to_near": "pass", "near_to_far": "not_measured"}


def test_every_strand_used_and_spare_is_counted() -> None:
    link = link_of_400_m(strands="4", strands_used="1-2")
    for strand in ("1", "2", "3"):
        link.loss("0.6", strand=strand)
        link.loss("0.6", "1550", strand=strand)
    link.loss("0.6", strand="4")
    check = link.checks()["strands_measured"]
    assert (check["verdict"], check["required"]) == ("not_measured", False)
    assert "3 of 4 strands measured, 2 in use, 2 spare; still missing: 4." in check["sentence"]
    link.loss("0.6", "1550", strand="4")
    assert link.checks()["strands_measured"]["measured"]["text"] == "4 of 4 strands measured, 2 in use, 2 spare"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1 to 2", "written as '1 to 2'"),
        ("4-1", "wanted such as"),
        ("1-2, 9", "not in the cable: 9"),
        ("\u00b2", "wanted such as"),
        ("0", "wanted such as"),
    ],
)
def test_strands_in_use_that_make_no_sense_are_said(typed: str, said: str) -> None:
    check = link_of_400_m(strands="4", strands_used=typed).checks()["strands_measured"]
    assert (check["verdict"], check["required"]) == ("not_measured", True)
    assert said in check["sentence"]


@pytest.mark.parametrize("typed", ["1-2, 5", "1 2 5", "1 and 2; 5", "5,1\u20132"])
def test_strands_in_use_are_read_as_people_write_them(typed: str) -> None:
    assert "3 in use, 5 spare" in link_of_400_m(strands="8", strands_used=typed).checks()["strands_measured"]["sentence"]


def test_a_cable_with_more_strands_than_have_rows_is_not_ready_before_all_are_measured() -> None:
    check = link_of_400_m(strands="432").checks()["strands_measured"]
    assert (check["verdict"], check["required"]) == ("not_measured", True)
    assert "still missing: 1-432" in check["sentence"]


def test_the_number_of_strands_is_asked_for() -> None:
    assert link_of_400_m(strands=None).checks()["strands_measured"]["required"]
