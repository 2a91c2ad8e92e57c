"""Checks of fibre links through the door, as the phone asks for them. Limits worked by hand from the values cited in the limit files."""

from __future__ import annotations

from typing import Any

import pytest

from tests.made_fibre import Link, transceiver
from tests.making import value

NEAR_1310 = "fibre_loss:strand=1:wavelength=1310:direction=near_to_far"
NEAR_1550 = "fibre_loss:strand=1:wavelength=1550:direction=near_to_far"


def link_of_400_m(**fields: Any) -> Link:
    return Link(**fields).marks("1000", "1400")


# OS2, 400 m, two matings, one-cord by ISO/IEC 14763-3:2024: 0.4 x 0.4 + 2 x 0.70 = 1.56 dB (matings seen in one public place).
@pytest.mark.parametrize(
    ("measured", "verdict", "margin"),
    [("1.10", "pass", "0.46"), ("1.56", "pass", "0.00"), ("1.57", "fail", "-0.01"), ("1,10", "pass", "0.46")],
)
def test_loss_inside_on_and_beyond_its_allowance(measured: str, verdict: str, margin: str) -> None:
    link = link_of_400_m()
    link.loss(measured)
    check = link.checks()[NEAR_1310]
    assert (check["verdict"], check["limit"]["text"], check["margin"]["text"]) == (verdict, "1.56", margin)
    assert (check["source"]["document"], check["source"]["edition"], check["source"]["seen"]) == ("ISO/IEC 14763-3", "2024", "1")
    assert "cable: 0.4 dB/km x 0.4 km = 0.16 dB" in check["working"]


@pytest.mark.parametrize(("limit_set", "limit"), [
    ("iso-14763-3-2024", "1.56"), ("iso-14763-3-2014", "1.66"), ("iso-14763-3-2006", "1.16"), ("iso-11801-1-2017", "1.66"),
    ("tia-568.3-d", "1.20"), ("tia-568.3-e", "1.16"),
])  # fmt: skip
def test_the_chosen_edition_decides_the_limit(limit_set: str, limit: str) -> None:
    # 0.4 km x 0.4 (TIA -D 0.5) dB/km and two end matings of 0.70, 0.75, 0.50, 0.75, 0.50, 0.50 dB.
    link = link_of_400_m(limit_set=limit_set)
    link.loss("0.9")
    assert link.checks()[NEAR_1310]["limit"]["text"] == limit


@pytest.mark.parametrize(("method", "limit"), [("one_cord", "1.56"), ("two_cord", "0.86"), ("three_cord", "0.16")])
def test_the_reference_method_decides_which_matings_are_in_the_limit(method: str, limit: str) -> None:
    link = link_of_400_m()
    link.loss("0.15", method=method)
    assert link.checks()[NEAR_1310]["limit"]["text"] == limit


def test_marks_in_feet_give_the_same_limit_as_metres() -> None:
    link = Link(mark_unit="ft").marks("1000", "2312.336")  # 1312.336 ft = 400.0 m
    link.loss("1.10")
    assert link.checks()[NEAR_1310]["limit"]["text"] == "1.56"


def test_without_marks_the_length_by_the_instrument_is_used() -> None:
    link = Link()
    link.story.reading(link.id, "instrument_length", "400", "m", strand="1")
    link.loss("1.10")
    assert link.checks()[NEAR_1310]["limit"]["text"] == "1.56"


def test_without_any_length_a_loss_waits_and_says_for_what() -> None:
    link = Link()
    link.loss("1.10")
    check = link.checks()[NEAR_1310]
    assert check["verdict"] == "not_measured"
    assert "the length, from sheath marks or an instrument" in check["sentence"]


def test_a_projects_own_limit_goes_before_the_standard_with_its_source_as_typed() -> None:
    link = link_of_400_m(project_loss_limit=value("0.80", "dB"), project_limit_source="Specification 12, page 4")
    link.loss("0.81")
    check = link.checks()[NEAR_1310]
    assert (check["verdict"], check["limit"]["text"]) == ("fail", "0.80")
    assert (check["source"]["document"], check["source"]["seen"]) == ("Specification 12, page 4", "typed")


def test_each_strand_waits_for_both_wavelengths_with_the_form_to_measure_it() -> None:
    checks = link_of_400_m(strands="2").checks()
    waiting = [check for check in checks.values() if check["rule"] == "fibre_loss"]
    assert len(waiting) == 4
    form = checks["fibre_loss:strand=2:wavelength=1550:direction=near_to_far"]["form"]
    assert form == {
        "quantity": "optical_loss",
        "strand": "2",
        "wavelength": "1550",
        "direction": "near_to_far",
        "method": "one_cord",
    }


def test_multimode_waits_for_850_and_1300() -> None:
    ids = [check["id"] for check in Link(fibre="OM3").marks("0", "100").of_rule("fibre_loss")]
    assert ids == [f"fibre_loss:strand=1:wavelength={wavelength}:direction=near_to_far" for wavelength in ("850", "1300")]


def test_one_direction_is_enough_and_the_other_is_judged_when_taken() -> None:
    link = link_of_400_m()
    link.loss("0.9", direction="far_to_near")
    rows = [check for check in link.of_rule("fibre_loss") if "1310" in check["id"]]
    assert [check["id"][-11:] for check in rows] == ["far_to_near"]
    link.loss("1.9", direction="near_to_far")
    verdicts = {check["id"]: check["verdict"] for check in link.of_rule("fibre_loss")}
    assert verdicts[NEAR_1310] == "fail"


def test_the_newest_reading_counts_unless_it_is_voided() -> None:
    link = link_of_400_m()
    link.loss("0.9", at="2026-03-14T10:00:00.000+01:00")
    newer = link.loss("1.9", at="2026-03-14T11:00:00.000+01:00")
    assert link.checks()[NEAR_1310]["verdict"] == "fail"
    link.story.add("void", {"link": link.id, "reading": newer, "reason": "Cord was not seated"})
    assert link.checks()[NEAR_1310]["measured"]["text"] == "0.90"


@pytest.mark.parametrize(("measured", "method", "bad"), [
    ("-0.12", "one_cord", True), ("0", "one_cord", True), ("0.12", "one_cord", False), ("-0.05", "three_cord", True), ("-0.11", "three_cord", True),
])  # fmt: skip
def test_a_loss_that_cannot_be_is_a_bad_reference(measured: str, method: str, bad: bool) -> None:
    # 400 m of glass alone: 0.29 dB/km x 0.4 km = 0.116 dB at 1310 nm (common practice); a passive link has no gain (physics).
    link = link_of_400_m()
    link.loss(measured, method=method)
    check = link.checks()[NEAR_1310]
    assert ("bad reference" in check["sentence"]) is bad
    assert (check["verdict"] == "fail") is bad


def test_guarded_acceptance_uses_the_stated_uncertainty() -> None:
    link = link_of_400_m(decision_rule="guarded")
    link.loss("1.40", uncertainty=value("0.20", "dB"))
    check = link.checks()[NEAR_1310]
    assert (check["verdict"], check["uncertainty"]["text"]) == ("pass_within_uncertainty", "0.20")


@pytest.mark.parametrize(
    ("at_1550", "verdict", "words"),
    [("1.10", "pass", ""), ("1.11", "fail", "Suspected"), ("1.40", "fail", "Suspected"), ("1.41", "fail", "Near certain")],
)
def test_more_loss_at_1550_than_at_1310_is_the_sign_of_a_bend(at_1550: str, verdict: str, words: str) -> None:
    # Thresholds 0.2 and 0.5 dB: common practice.
    link = link_of_400_m()
    link.loss("0.90")
    link.loss(at_1550, "1550")
    check = link.checks()["bend_sign:strand=1:direction=near_to_far"]
    assert check["verdict"] == verdict
    assert not words or check["notes"][0].startswith(words)


def test_losses_of_two_directions_are_not_mixed_for_the_sign_of_a_bend() -> None:
    link = link_of_400_m()
    link.loss("0.90")
    link.loss("1.50", "1550", direction="far_to_near")
    assert link.of_rule("bend_sign") == []


def test_850_well_below_1300_means_the_wavelengths_were_swapped() -> None:
    # Beyond the uncertainty of the difference, sqrt(0.2^2 + 0.2^2) = 0.28 dB with the usual 0.20 dB each (common practice).
    link = Link(fibre="OM3").marks("0", "100")
    link.loss("0.40", "850")
    link.loss("0.68", "1300")
    assert link.of_rule("wavelength_order")[0]["verdict"] == "pass"
    link.loss("0.69", "1300", at="2026-03-14T12:00:00.000+01:00")
    assert link.of_rule("wavelength_order")[0]["verdict"] == "fail"


@pytest.mark.parametrize(("back", "verdict"), [("0.80", "pass"), ("0.81", "fail")])
def test_two_directions_that_differ_are_flagged_but_do_not_block(back: str, verdict: str) -> None:
    link = link_of_400_m()
    link.loss("0.60")
    link.loss(back, direction="far_to_near")
    check = link.checks()["two_directions:strand=1:wavelength=1310"]
    assert (check["verdict"], check["required"]) == (verdict, False)


def test_a_reading_cannot_be_older_than_its_reference() -> None:
    link = link_of_400_m()
    link.loss("0.60", at="2026-03-14T10:30:00.000+01:00", reference_at="2026-03-14T09:31:00.000+00:00")
    assert link.checks()["reference_times"]["verdict"] == "fail"  # 09:31 UTC is 10:31 at +01:00


def test_a_reference_before_its_reading_passes() -> None:
    link = link_of_400_m()
    link.loss("0.60", at="2026-03-14T10:30:00.000+01:00", reference_at="2026-03-14T09:30:00.000+00:00")
    assert link.checks()["reference_times"]["verdict"] == "pass"


def lit_link(near: dict[str, Any], far: dict[str, Any]) -> Link:
    link = link_of_400_m()
    link.loss("0.60")
    link.loss("0.90", strand="2")
    return link.end("near", **near).end("far", **far)


def test_the_budget_uses_the_highest_loss_below_and_the_lowest_above() -> None:
    checks = lit_link(transceiver(), transceiver()).checks()
    low, high = checks["light_low:direction=near_to_far"], checks["light_high:direction=near_to_far"]
    assert (low["measured"]["text"], low["margin"]["text"], low["margin"]["unit"]) == (
        "-9.90",
        "10.10",
        "dB",
    )  # -9 - 0.90; over -20
    assert (high["measured"]["text"], high["margin"]["text"]) == ("-3.60", "0.60")  # -3 - 0.60; under -3


def test_an_overloaded_receiver_fails_and_names_the_attenuator() -> None:
    # +4 dBm sent over 0.60 dB arrives as +3.40 dBm at a receiver that takes -1 dBm: 4.40 dB too much, the next usual pad is 5 dB.
    strong = transceiver(transmit_max="4", receive_max="-1")
    check = lit_link(strong, strong).checks()["light_high:direction=far_to_near"]
    assert (check["verdict"], check["margin"]["text"]) == ("fail", "-4.40")
    assert "at least 4.40 dB" in check["notes"][0] and "5 dB" in check["notes"][0]


def test_the_budget_names_the_strand_wavelength_and_direction_of_the_loss_it_used() -> None:
    link = lit_link(transceiver(), transceiver())
    link.loss("0.40", "1550")
    link.loss("0.95", direction="far_to_near", strand="2")
    checks = link.checks()
    low, high = checks["light_low:direction=near_to_far"], checks["light_high:direction=near_to_far"]
    assert low["working"][0] == (
        "least received = -9.00 dBm - 0.95 dB (highest loss: strand 2, 1310 nm, far to near) = -9.95 dBm"
    )
    assert high["working"][0] == "most received = -3.00 dBm - 0.60 dB (lowest loss: strand 1, 1310 nm, near to far) = -3.60 dBm"


def test_the_budget_tells_end_matings_that_it_added_to_the_loss() -> None:
    # Three-cord: both end matings of 0.75 dB come on top: 0.10 + 1.50.
    link = link_of_400_m(project_loss_limit=value("9", "dB"))
    link.loss("0.20", method="three_cord")
    link.end("near", **transceiver()).end("far", **transceiver())
    line = link.checks()["light_low:direction=near_to_far"]["working"][0]
    assert "1.70 dB (highest loss: strand 1, 1310 nm, near to far, with 1.50 dB for the end matings)" in line


def received(number: str, unit: str = "dBm", **marks: Any) -> dict[str, dict[str, Any]]:
    """Rows of light received at the far end, by their bound, over a link of 0.60 to 0.90 dB."""
    link = lit_link(transceiver(), transceiver())
    link.story.reading(link.id, "receive_power", number, unit, side="far", **marks)
    return {check["id"].split("bound=")[-1]: check for check in link.of_rule("light_received") if "side=far" in check["id"]}


# The receiver takes -20 to -3 dBm; 10 uW is -20 dBm by definition.
@pytest.mark.parametrize(("number", "unit", "least", "most"), [
    ("-20", "dBm", "pass", "pass"), ("-20.01", "dBm", "fail", "pass"), ("-3", "dBm", "pass", "pass"), ("-2.99", "dBm", "pass", "fail"),
    ("10", "uW", "pass", "pass"),
])  # fmt: skip
def test_light_received_lies_within_what_the_receiver_takes(number: str, unit: str, least: str, most: str) -> None:
    rows = received(number, unit, strand="1", wavelength="1310")
    assert (rows["least"]["verdict"], rows["most"]["verdict"]) == (least, most)
    assert rows["least"]["id"] == "light_received:side=far:strand=1:wavelength=1310:bound=least"
    assert {row["required"] for row in rows.values()} == {True}


# Sent -9 to -3 dBm over 0.60 to 0.90 dB: -9.90 to -3.60 dBm should arrive.
@pytest.mark.parametrize(("number", "ending"), [("-9.9", "dBm."), ("-9.91", "the transceiver there."), ("-3.59", "the reading.")])
def test_light_received_is_held_against_what_sender_and_loss_let_expect(number: str, ending: str) -> None:
    notes = received(number)["least"]["notes"]
    assert notes[0].startswith("Expected by the other end's figures and the measured loss: -9.90 to -3.60 dBm.")
    assert notes[0].endswith(ending)


def test_a_transceivers_own_display_is_called_what_it_is() -> None:
    # SFF-8472: within 3 dB (two or more public places).
    assert "within 3 dB only" in received("-8")["most"]["notes"][-1]


def test_light_received_is_not_asked_for_and_waits_for_the_receivers_figures() -> None:
    link = link_of_400_m()
    row = link.checks()["light_received:side=near"]
    assert (row["verdict"], row["required"], row["form"]) == (
        "not_measured",
        False,
        {"quantity": "receive_power", "side": "near"},
    )
    link.story.reading(link.id, "receive_power", "-8", "dBm", side="near")
    check = link.checks()["light_received:side=near:bound=least"]
    assert (check["verdict"], check["required"]) == ("not_measured", True)
    assert check["sentence"] == "Not measured: needs least receive power at the near end."


def test_penalties_are_taken_off_at_the_receiver() -> None:
    far = transceiver() | {"penalties": value("4.0", "dB")}
    check = lit_link(transceiver(), far).checks()["light_low:direction=near_to_far"]
    assert check["measured"]["text"] == "-13.90"  # -9 - 0.90 - 4.0


def test_microwatts_are_taken_as_the_light_they_are() -> None:
    near = transceiver() | {"transmit_min": value("100", "uW")}  # -10 dBm by definition
    check = lit_link(near, transceiver()).checks()["light_low:direction=near_to_far"]
    assert check["measured"]["text"] == "-10.90"


def test_a_budget_without_figures_waits_and_names_the_end() -> None:
    check = link_of_400_m().checks()["light_low:direction=far_to_near"]
    assert check["verdict"] == "not_measured"
    assert "least transmit power at the far end and least receive power at the near end" in check["sentence"]


@pytest.mark.parametrize(("near", "far", "verdict"), [
    (("1310", "1490"), ("1490", "1310"), "pass"), (("1310", "1490"), ("1310", "1490"), "fail"), (("1310", "1550"), ("1490", "1310"), "fail"),
])  # fmt: skip
def test_over_one_fibre_the_transceivers_must_be_each_others_counterpart(
    near: tuple[str, str], far: tuple[str, str], verdict: str
) -> None:
    link = lit_link(transceiver(*near) | {"fibres_used": "one"}, transceiver(*far) | {"fibres_used": "one"})
    assert link.checks()["wavelengths_meet"]["verdict"] == verdict


def test_one_end_over_one_fibre_and_the_other_over_two_fails() -> None:
    link = lit_link(transceiver("1310", "1490") | {"fibres_used": "one"}, transceiver("1490", "1310"))
    assert link.checks()["wavelengths_meet"]["verdict"] == "fail"


@pytest.mark.parametrize(
    ("near", "far", "verdict"),
    [("UPC", "UPC", "pass"), ("PC", "UPC", "pass"), ("APC", "APC", "pass"), ("APC", "UPC", "fail"), ("PC", "APC", "fail")],
)
def test_angled_and_flat_ends_are_refused(near: str, far: str, verdict: str) -> None:
    link = link_of_400_m().end("near", polish=near).end("far", polish=far)
    assert link.checks()["polish"]["verdict"] == verdict


CLEAN = {
    "A": {"scratches_small": "0", "scratches_large": "0", "defects_small": "0"},
    "B": {"scratches_large": "0", "defects_medium": "5", "defects_large": "0"},
    "D": {"defects_large": "0"},
}


@pytest.mark.parametrize(("polish", "zone", "name", "count", "verdict"), [
    ("UPC", "B", "defects_medium", "5", "pass"), ("UPC", "B", "defects_medium", "6", "fail"), ("UPC", "A", "scratches_small", "1", "fail"),
    ("APC", "A", "scratches_small", "4", "pass"), ("APC", "A", "scratches_small", "5", "fail"), ("UPC", "D", "defects_large", "1", "fail"),
])  # fmt: skip
def test_end_faces_are_judged_zone_by_zone(polish: str, zone: str, name: str, count: str, verdict: str) -> None:
    # IEC 61300-3-35 edition 2, single-mode tables (one public place).
    link = link_of_400_m().end("near", polish=polish)
    counts = {key: dict(held) for key, held in CLEAN.items()}
    counts[zone][name] = count
    link.story.reading(link.id, "end_face", side="near", strand="1", counts=counts)
    check = link.checks()["end_face:side=near:strand=1"]
    assert check["verdict"] == verdict


def test_a_zone_that_was_not_counted_leaves_the_end_face_open() -> None:
    link = link_of_400_m().end("near", polish="UPC")
    link.story.reading(link.id, "end_face", side="near", strand="1", counts={"A": {"scratches_small": "0", "defects_small": "0"}})
    check = link.checks()["end_face:side=near:strand=1"]
    assert check["verdict"] == "not_measured"
    assert "zone D, defects over 10 µm" in check["sentence"]


def test_an_end_where_no_face_was_inspected_waits_and_the_other_strands_of_an_end_do_not() -> None:
    link = link_of_400_m(strands="4").end("near", polish="UPC")
    assert link.checks()["end_face:side=near"]["required"]
    link.story.reading(link.id, "end_face", side="near", strand="1", counts=CLEAN)
    rows = {check["id"]: (check["verdict"], check["required"]) for check in link.of_rule("end_face")}
    assert rows == {"end_face:side=near:strand=1": ("pass", True), "end_face:side=far": ("not_measured", True)}


@pytest.mark.parametrize(("answer", "verdict"), [("right", "pass"), ("wrong", "fail")])
def test_polarity_is_judged_by_what_was_seen(answer: str, verdict: str) -> None:
    link = link_of_400_m(strands="2")
    link.story.reading(link.id, "polarity", strand="1", answer=answer)
    assert link.checks()["polarity:strand=1"]["verdict"] == verdict


def test_a_single_strand_has_no_polarity() -> None:
    assert link_of_400_m(strands="1").of_rule("polarity") == []


def test_applications_follow_length_loss_and_what_was_measured() -> None:
    link = Link(fibre="OM3").marks("0", "320")
    link.loss("1.20", "850")
    found = {name: row["verdict"] for name, row in link.applications().items()}
    # IEEE 802.3: 1000BASE-SX 550 m, 10GBASE-SR 300 m on OM3 (two or more public places).
    assert (found["1000BASE-SX"], found["10GBASE-SR"], found["1000BASE-LX"], found["10GBASE-LR"]) == (
        "supported",
        "no",
        "not_proven",
        "no",
    )


@pytest.mark.parametrize(
    ("application", "verdict"), [("1000BASE-LX", "pass"), ("1000BASE-SX", "fail"), ("10GBASE-ER", "not_measured")]
)
def test_what_the_link_must_carry_is_checked(application: str, verdict: str) -> None:
    link = link_of_400_m(application=application)
    link.loss("0.60")
    check = link.checks()["application"]
    assert check["verdict"] == verdict
    if verdict == "not_measured":
        assert check["form"]["wavelength"] == "1550"


def test_a_three_cord_loss_gets_both_end_matings_before_it_is_held_against_an_application() -> None:
    # 1000BASE-LX on OS2 takes 4.57 dB (from memory): 3.07 + 2 x 0.75 = 4.57 passes, 3.08 does not.
    for number, verdict in (("3.07", "pass"), ("3.08", "fail")):
        link = link_of_400_m(application="1000BASE-LX", project_loss_limit=value("9", "dB"))
        link.loss(number, method="three_cord")
        assert link.checks()["application"]["verdict"] == verdict


def test_an_empty_fibre_link_only_waits() -> None:
    checks = Link(fibre=None, strands=None, connections=None, splices=None).checks()
    assert {check["verdict"] for check in checks.values() if check["group"] == "fibre"} == {"not_measured"}
