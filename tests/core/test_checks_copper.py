"""Rules for copper pairs: each verdict on and beyond its limit, what is missing, and what a person is told.

Limits by ISO/IEC 11801-1 (default) and ANSI/TIA-568.2-D, from memory unless a test says otherwise.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.judged import checks, near_and_far_marks, verdict
from tests.making import Story, value

PAIRS = ("1-2", "3-6", "4-5", "7-8")


def copper(**fields: Any) -> tuple[Story, str]:
    story = Story()
    held = {"category": "6", "setup": "channel", "gauge": "24"} | fields
    return story, story.link("copper", **held)


def loops(story: Story, link: str, *ohms: str) -> None:
    for pair, ohm in zip(PAIRS, ohms, strict=False):
        story.reading(link, "loop_resistance", ohm, "ohm", pair=pair, temperature=value("20", "degC"))


def test_an_untouched_link_lists_all_that_is_still_to_be_measured_with_the_form_for_each() -> None:
    found = checks(*copper())
    waiting = {
        "wire_map", "instrument_length", "delay", "skew", "material", "insertion_loss", "next:side=near", "next:side=far",
        "return_loss:side=near", "return_loss:side=far", *[f"loop_resistance:pair={pair}" for pair in PAIRS],
    }  # fmt: skip
    assert waiting <= set(found)
    assert {found[name]["verdict"] for name in waiting} == {"not_measured"}
    assert found["loop_resistance:pair=4-5"]["form"] == {"quantity": "loop_resistance", "pair": "4-5"}
    assert found["next:side=far"]["form"] == {"quantity": "next", "pair": "1-2", "pair2": "3-6", "side": "far"}
    assert all(found[name]["form"] for name in waiting)


def test_without_a_category_one_row_says_so() -> None:
    found = checks(*copper(category=None))
    assert found["category"]["sentence"] == "Not measured: set the category of the link."
    assert "delay" not in found


@pytest.mark.parametrize(
    ("map", "split", "wanted", "words"),
    [
        ("12345678", "no", "pass", "all eight pins right"),
        ("12345678", "yes", "fail", "split pair"),
        ("36145278", "no", "fail", "crossed pairs 1-2 and 3-6"),
        ("1234-678", "not_tested", "fail", "open pin 5"),
    ],
)
def test_wire_map(map: str, split: str, wanted: str, words: str) -> None:
    story, link = copper()
    story.reading(link, "wire_map", map=map, split=split)
    found = checks(story, link)["wire_map"]
    assert (found["verdict"], found["measured"]["text"]) == (wanted, words)


def test_an_untested_split_pair_is_pointed_out() -> None:
    story, link = copper()
    story.reading(link, "wire_map", map="12345678", split="not_tested")
    assert "does not see a split pair" in checks(story, link)["wire_map"]["notes"][0]


# ANSI/TIA-1152-A, one public place: fail only above the length and a tenth: 99.0 m permanent link, 110.0 m channel.
@pytest.mark.parametrize(
    ("setup", "length", "wanted", "marks_note"),
    [
        ("channel", "100.0", "pass", False),
        ("channel", "100.1", "pass", True),
        ("channel", "110.0", "pass", True),
        ("channel", "110.1", "fail", True),
        ("permanent_link", "90.0", "pass", False),
        ("permanent_link", "99.0", "pass", True),
        ("permanent_link", "99.1", "fail", True),
    ],
)
def test_length_by_the_instrument(setup: str, length: str, wanted: str, marks_note: bool) -> None:
    story, link = copper(setup=setup)
    story.reading(link, "instrument_length", length, "m", pair="1-2")
    found = checks(story, link)["instrument_length"]
    assert found["verdict"] == wanted
    assert any("check the sheath marks" in note for note in found["notes"]) is marks_note


def test_the_shortest_pair_is_judged_whatever_the_order_of_the_pairs() -> None:
    for order in (PAIRS, PAIRS[::-1]):
        story, link = copper()
        lengths = {"1-2": "112", "3-6": "109.9", "4-5": "113", "7-8": "111"}
        for pair in order:
            story.reading(link, "instrument_length", lengths[pair], "m", pair=pair)
        found = checks(story, link)["instrument_length"]
        assert (found["measured"]["text"], found["verdict"], len(found["readings"])) == ("109.9", "pass", 4)


def test_feet_and_metres_are_judged_alike() -> None:
    rows = []
    for number, unit in (("410", "ft"), ("124.968", "m")):
        story, link = copper()
        story.reading(link, "instrument_length", number, unit, pair="1-2")
        found = checks(story, link)["instrument_length"]
        rows.append((found["verdict"], found["measured"], found["margin"]))
    assert rows[0] == rows[1]
    assert rows[0][0] == "fail"


# At 10 MHz 555 ns channel, 498 ns permanent link (from memory); skew 50 ns channel (two or more public places).
@pytest.mark.parametrize(
    ("setup", "delay", "wanted"),
    [
        ("channel", "555", "pass"),
        ("channel", "556", "fail"),
        ("permanent_link", "498", "pass"),
        ("permanent_link", "499", "fail"),
    ],
)
def test_propagation_delay(setup: str, delay: str, wanted: str) -> None:
    story, link = copper(setup=setup)
    story.reading(link, "propagation_delay", delay, "ns", pair="3-6")
    assert verdict(story, link, "delay:pair=3-6") == wanted


def test_skew_is_read_or_worked_out_from_all_four_delays() -> None:
    story, link = copper()
    for pair, delay in zip(PAIRS[:3], ("400", "420", "451"), strict=True):
        story.reading(link, "propagation_delay", delay, "ns", pair=pair)
    assert verdict(story, link, "skew") == "not_measured"
    story.reading(link, "propagation_delay", "410", "ns", pair="7-8")
    found = checks(story, link)["skew"]
    assert (found["measured"]["text"], found["verdict"]) == ("51", "fail")
    story.reading(link, "delay_skew", "50", "ns")
    assert verdict(story, link, "skew") == "pass"


@pytest.mark.parametrize(
    ("setup", "ohm", "wanted"),
    [
        ("channel", "25", "pass"),
        ("channel", "25.01", "fail"),
        ("permanent_link", "21", "pass"),
        ("permanent_link", "21.01", "fail"),
    ],
)
def test_pair_loop_resistance(setup: str, ohm: str, wanted: str) -> None:
    story, link = copper(setup=setup)
    loops(story, link, ohm)
    assert verdict(story, link, "loop_resistance:pair=1-2") == wanted


def test_a_limit_from_memory_says_so_in_its_sentence() -> None:
    story, link = copper()
    loops(story, link, "17")
    assert "from memory, check your edition" in checks(story, link)["loop_resistance:pair=1-2"]["sentence"]


def test_the_newest_reading_counts_until_it_is_voided() -> None:
    story, link = copper()
    story.reading(link, "loop_resistance", "30", "ohm", pair="1-2", at="2026-03-14T10:00:00.000+01:00")
    newer = story.reading(link, "loop_resistance", "17", "ohm", pair="1-2", at="2026-03-14T11:00:00.000+01:00")
    found = checks(story, link)["loop_resistance:pair=1-2"]
    assert found["verdict"] == "pass"
    assert "1 older" in found["notes"][0]
    story.add("void", {"link": link, "reading": newer, "reason": "Wrong pair"})
    assert verdict(story, link, "loop_resistance:pair=1-2") == "fail"


# Within a pair: the greater of 3 % of the loop and 200 mohm (channel): 9.0 + 9.4 ohm -> 552 mohm (from memory, floors doubtful).
@pytest.mark.parametrize(("unbalance", "wanted"), [("400", "pass"), ("552", "pass"), ("553", "fail")])
def test_unbalance_within_a_pair_is_a_share_of_its_loop(unbalance: str, wanted: str) -> None:
    story, link = copper()
    loops(story, link, "18.4")
    story.reading(link, "unbalance_within", unbalance, "mohm", pair="1-2")
    assert verdict(story, link, "unbalance_within:pair=1-2") == wanted


@pytest.mark.parametrize(
    ("setup", "unbalance", "wanted"),
    [("channel", "0.200", "pass"), ("channel", "0.201", "fail"), ("permanent_link", "0.151", "fail")],
)
def test_on_a_short_link_the_floor_governs_unbalance_within_a_pair(setup: str, unbalance: str, wanted: str) -> None:
    story, link = copper(setup=setup)
    loops(story, link, "1.0")
    story.reading(link, "unbalance_within", unbalance, "ohm", pair="1-2")
    assert verdict(story, link, "unbalance_within:pair=1-2") == wanted


# Between pairs: in parallel 4.5 and 4.9 ohm differ by 400 mohm, limit 7 % of 9.4 ohm = 658 mohm; 4.5 and 5.2 ohm: 700 against 679 mohm.
@pytest.mark.parametrize(
    ("loop", "measured", "limit", "wanted"), [("19.6", "400", "658", "pass"), ("20.8", "700", "679", "fail")]
)
def test_unbalance_between_pairs_is_worked_out_from_the_loops(loop: str, measured: str, limit: str, wanted: str) -> None:
    story, link = copper()
    loops(story, link, "18", loop)
    found = checks(story, link)["unbalance_between"]
    assert (found["measured"]["text"], found["limit"]["text"], found["verdict"]) == (measured, limit, wanted)


def test_the_worst_of_the_six_combinations_does_not_hang_on_the_order_of_the_pairs() -> None:
    ohms = ["18.0", "18.6", "19.9", "18.2"]
    rows = []
    for shift in range(4):
        story, link = copper()
        loops(story, link, *(ohms[shift:] + ohms[:shift]))
        rows.append(checks(story, link)["unbalance_between"]["measured"])
    assert rows == [{"text": "475", "unit": "m\u03a9"}] * 4  # (19.9 - 18.0) / 4


def test_a_direct_reading_between_pairs_comes_before_the_worked_out_one() -> None:
    story, link = copper()
    loops(story, link, "18", "18", "18", "18")
    story.reading(link, "unbalance_between", "700", "mohm", pair="1-2", pair2="3-6")
    found = checks(story, link)
    assert "unbalance_between" not in found
    assert found["unbalance_between:pair=1-2:pair2=3-6"]["verdict"] == "fail"


def test_unbalance_is_required_only_where_power_is_fed() -> None:
    assert checks(*copper())["unbalance_within:pair=1-2"]["required"] is False
    assert checks(*copper(load_power=value("12", "W")))["unbalance_within:pair=1-2"]["required"] is True


# Copper-clad aluminium has 1.59 times the resistance of copper (ASTM B566, from memory): 24 AWG, 60 m: 16.1 ohm passes the loop, not the material.
def test_copper_clad_aluminium_is_found_although_its_loop_passes() -> None:
    story, link = copper()
    near_and_far_marks(story, link, "1000", "1060")
    loops(story, link, "16.1")
    found = checks(story, link)
    assert found["loop_resistance:pair=1-2"]["verdict"] == "pass"
    material = found["material:pair=1-2"]
    assert (material["measured"]["text"], material["verdict"]) == ("1.59", "fail")
    assert any("Fails as material" in note for note in material["notes"])


def test_the_sheath_marks_come_before_the_instruments_length_for_the_material() -> None:
    story, link = copper()
    story.reading(link, "instrument_length", "95", "m", pair="1-2")
    loops(story, link, "16.1")
    assert "length by the instrument" in checks(story, link)["material:pair=1-2"]["working"][0]
    near_and_far_marks(story, link, "1000", "1060")
    assert "sheath" in checks(story, link)["material:pair=1-2"]["working"][0]


def test_the_material_names_what_is_lacking() -> None:
    story, link = copper(gauge=None)
    assert checks(story, link)["material"]["sentence"] == (
        "Not measured: needs a pair loop resistance, the cable length (two sheath marks, or an instrument's) and the conductor gauge."
    )


# Class E channel at 100 MHz: insertion loss 21.7 dB, NEXT 39.9 dB; category 6 channel return loss at 100 MHz 12.0 dB (one public place).
@pytest.mark.parametrize(
    ("quantity", "number", "wanted"),
    [
        ("insertion_loss", "21.7", "pass"),
        ("insertion_loss", "21.8", "fail"),
        ("next", "39.9", "pass"),
        ("next", "39.8", "fail"),
        ("return_loss", "12.0", "pass"),
        ("return_loss", "11.9", "fail"),
    ],
)
def test_a_worst_margin_is_judged_at_its_own_frequency(quantity: str, number: str, wanted: str) -> None:
    story, link = copper()
    marks = (
        {"pair": "1-2"}
        | ({"pair2": "3-6"} if quantity == "next" else {})
        | ({} if quantity == "insertion_loss" else {"side": "near"})
    )
    story.reading(link, quantity, number, "dB", frequency=value("100000", "kHz"), **marks)
    name = ":".join([quantity, *[f"{mark}={held}" for mark, held in marks.items()], "frequency=100"])
    assert verdict(story, link, name) == wanted


def test_the_edition_chosen_on_the_link_decides() -> None:
    # NEXT at 500 MHz, channel: 26.1 dB by TIA category 6A, 27.9 dB by class EA (from memory)
    for limit_set, wanted in (("tia-568.2-d", "pass"), ("iso-11801-1-2017-copper", "fail")):
        story, link = copper(category="6A", limit_set=limit_set)
        story.reading(link, "next", "26.5", "dB", pair="1-2", pair2="3-6", side="near", frequency=value("500", "MHz"))
        assert verdict(story, link, "next:pair=1-2:pair2=3-6:side=near:frequency=500") == wanted


def test_a_reading_at_another_frequency_does_not_hide_a_failing_one() -> None:
    story, link = copper()
    story.reading(link, "next", "30", "dB", pair="1-2", pair2="3-6", side="near", frequency=value("100", "MHz"))
    story.reading(link, "next", "60", "dB", pair="1-2", pair2="3-6", side="near", frequency=value("16", "MHz"))
    assert verdict(story, link, "next:pair=1-2:pair2=3-6:side=near:frequency=100") == "fail"


@pytest.mark.parametrize("frequency", [None, value("251", "MHz")])
def test_a_reading_without_a_usable_frequency_waits_and_says_why(frequency: dict[str, str] | None) -> None:
    story, link = copper()
    marks = {"frequency": frequency} if frequency else {}
    story.reading(link, "insertion_loss", "20", "dB", pair="1-2", **marks)
    found = next(check for name, check in checks(story, link).items() if name.startswith("insertion_loss"))
    assert found["verdict"] == "not_measured"
    assert "frequency" in found["sentence"]


@pytest.mark.parametrize(("shown", "noted"), [("1.1", False), ("1.2", False), ("1.3", True), ("-0.2", True)])
def test_a_margin_on_the_instrument_that_is_not_ours_is_pointed_out(shown: str, noted: bool) -> None:
    story, link = copper()
    marks = {"pair": "1-2", "pair2": "3-6", "side": "near", "frequency": value("100", "MHz"), "shown_margin": value(shown, "dB")}
    story.reading(link, "next", "41.0", "dB", **marks)  # ours: 41.0 - 39.9 = 1.1 dB
    found = checks(story, link)["next:pair=1-2:pair2=3-6:side=near:frequency=100"]
    assert any("The instrument shows a margin" in note for note in found["notes"]) is noted


# Where insertion loss is below 3.0 dB return loss is for information, below 4.0 dB NEXT is (one public place).
@pytest.mark.parametrize(
    ("quantity", "loss", "at", "wanted"),
    [
        ("return_loss", "2.9", "100", "pass"),
        ("return_loss", "3.0", "100", "fail"),
        ("return_loss", "2.9", "99", "fail"),
        ("next", "3.9", "100", "pass"),
        ("next", "4.0", "100", "fail"),
    ],
)
def test_on_a_short_link_low_insertion_loss_makes_a_reading_informative(quantity: str, loss: str, at: str, wanted: str) -> None:
    story, link = copper()
    marks = {"pair": "1-2", "side": "near"} | ({"pair2": "3-6"} if quantity == "next" else {})
    story.reading(link, quantity, "5", "dB", frequency=value("100", "MHz"), **marks)
    story.reading(link, "insertion_loss", loss, "dB", pair="1-2", frequency=value(at, "MHz"))
    found = next(check for name, check in checks(story, link).items() if name.startswith(quantity + ":pair"))
    assert found["verdict"] == wanted


PAIRS_BY_TWO = [("1-2", "3-6"), ("1-2", "4-5"), ("1-2", "7-8"), ("3-6", "4-5"), ("3-6", "7-8"), ("4-5", "7-8")]


def counted_notes(story: Story, link: str, quantity: str) -> list[str]:
    found = checks(story, link).values()
    return [note for check in found if check["rule"] == quantity for note in check["notes"] if "typed" in note]


def test_next_tells_once_an_end_how_many_of_the_six_combinations_were_typed() -> None:
    story, link = copper()
    for number, (pair, pair2) in enumerate(PAIRS_BY_TWO):
        for side in ("near", "far") if number < 2 else ("near",):
            story.reading(link, "next", "60", "dB", pair=pair, pair2=pair2, side=side, frequency=value("100", "MHz"))
    assert counted_notes(story, link, "next") == [
        "2 of 6 pair combinations typed at the far end: make sure that the worst is among them."
    ]


def test_a_combination_typed_the_other_way_round_is_the_same_one() -> None:
    story, link = copper()
    for pair, pair2 in (("1-2", "3-6"), ("3-6", "1-2")):
        story.reading(link, "next", "60", "dB", pair=pair, pair2=pair2, side="near", frequency=value("100", "MHz"))
    assert counted_notes(story, link, "next")[0].startswith("1 of 6")


def test_return_loss_counts_four_pairs_an_end() -> None:
    story, link = copper()
    for pair in PAIRS:
        for side in ("near", "far") if pair != "4-5" else ("near",):
            story.reading(link, "return_loss", "20", "dB", pair=pair, side=side, frequency=value("100", "MHz"))
    assert counted_notes(story, link, "return_loss") == [
        "3 of 4 pairs typed at the far end: make sure that the worst is among them."
    ]


def test_guarded_acceptance_tells_a_margin_inside_the_uncertainty() -> None:
    story, link = copper(decision_rule="guarded")
    for pair, number in (("1-2", "24.9"), ("3-6", "25.1"), ("4-5", "24.0"), ("7-8", "26.0")):
        story.reading(link, "loop_resistance", number, "ohm", pair=pair, uncertainty=value("0.3", "ohm"))
    found = checks(story, link)
    assert [found[f"loop_resistance:pair={pair}"]["verdict"] for pair in PAIRS] == [
        "pass_within_uncertainty", "fail_within_uncertainty", "pass", "fail",
    ]  # fmt: skip


# ---- extended reach


def extended(**fields: Any) -> tuple[Story, str]:
    story = Story()
    return story, story.link("extended", **({"gauge": "24"} | fields))


STATED = {"reach": value("300", "m"), "reach_source": "Data sheet, revision 4, page 2"}


@pytest.mark.parametrize(("last", "wanted"), [("1300", "pass"), ("1300.1", "fail")])
def test_cable_length_against_the_makers_reach(last: str, wanted: str) -> None:
    story, link = extended(**STATED)
    near_and_far_marks(story, link, "1000", last)
    found = checks(story, link)["reach"]
    assert found["verdict"] == wanted
    assert "Data sheet, revision 4, page 2 (typed in for this link)" in found["sentence"]


def test_a_reach_without_its_source_is_not_measured() -> None:
    story, link = extended(reach=value("300", "m"))
    near_and_far_marks(story, link, "1000", "1100")
    assert checks(story, link)["reach"]["sentence"] == "Not measured: needs the place where the maker states it."


def test_loops_of_extended_reach_are_judged_by_the_maker_only() -> None:
    story, link = extended()
    loops(story, link, "50")
    found = checks(story, link)["loop_resistance"]
    assert (found["verdict"], found["required"]) == ("not_measured", False)
    story, link = extended(loop_limit=value("60", "ohm"), **STATED)
    loops(story, link, "60", "60.01")
    assert [verdict(story, link, f"loop_resistance:pair={pair}") for pair in ("1-2", "3-6")] == ["pass", "fail"]


def test_extended_reach_is_not_judged_by_the_hundred_metre_limits() -> None:
    found = checks(*extended())
    assert not {"instrument_length", "delay", "skew", "insertion_loss", "next:side=near"} & set(found)
    assert "wire_map" in found


# Greater of 3 % of a loop of 43.5 ohm = 1305 mohm and 200 mohm; between 43.5 and 43.7 ohm: 7 % of 21.8 ohm = 1526 mohm.
@pytest.mark.parametrize(("within", "between", "wanted"), [("1305", "1526", "pass"), ("1306", "1527", "fail")])
def test_unbalance_of_extended_reach_is_judged_as_on_copper_and_says_that_the_maker_governs(
    within: str, between: str, wanted: str
) -> None:
    story, link = extended()
    loops(story, link, "43.5", "43.7")
    story.reading(link, "unbalance_within", within, "mohm", pair="1-2")
    story.reading(link, "unbalance_between", between, "mohm", pair="1-2", pair2="3-6")
    found = checks(story, link)
    for name in ("unbalance_within:pair=1-2", "unbalance_between:pair=1-2:pair2=3-6"):
        assert (found[name]["verdict"], found[name]["required"]) == (wanted, True)
        assert any("where the maker states a figure, that one governs" in note for note in found[name]["notes"])


def test_unbalance_of_extended_reach_is_asked_for_on_every_pair() -> None:
    found = checks(*extended())
    assert {found[f"unbalance_within:pair={pair}"]["required"] for pair in PAIRS} == {True}
    assert found["unbalance_between"]["required"]
