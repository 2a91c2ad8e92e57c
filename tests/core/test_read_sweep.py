"""Swept results from pasted text and chosen files: what is understood, and what is refused with its line."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core.errors import Refused
from tests.making import Story, entry


def read(text: Any, **more: Any) -> dict[str, Any]:
    found = engine.call("read_sweep", text=text, **more)
    assert isinstance(found, dict)
    return found


def marks(trace: dict[str, Any]) -> dict[str, str]:
    return {name: trace["body"][name] for name in ("parameter", "pair", "pair2", "side") if name in trace["body"]}


def rows(trace: dict[str, Any]) -> list[list[str]]:
    return list(trace["body"]["table"]["rows"])


# ---- one column a trace


@pytest.mark.parametrize(
    "text",
    [
        "frequency MHz; 1-2; 3-6\n1; 2,0; 2,1\n100; 20,5; 20,7\n",
        "frequency MHz\t1-2\t3-6\r\n1\t2,0\t2,1\r\n100\t20,5\t20,7\r\n",
        "Frequency (MHz);pair 1-2 [dB];Pair 3-6\n\n1;2,0;2,1;\n100;20,5;20,7;\n",
        '\ufeff"frequency MHz";"1-2";"3-6"\n"1";"2,0";"2,1"\n"100";"20,5";"20,7"',
        'MHz,1-2,3-6\r1,"2,0","2,1"\r100,"20,5","20,7"',
    ],
)
def test_columns_of_pairs_become_traces_with_the_numbers_as_typed(text: str) -> None:
    found = read(text, parameter="insertion_loss")
    assert [marks(trace) for trace in found["traces"]] == [
        {"parameter": "insertion_loss", "pair": "1-2"},
        {"parameter": "insertion_loss", "pair": "3-6"},
    ]
    assert rows(found["traces"][1]) == [["1", "2,1"], ["100", "20,7"]]
    assert found["traces"][0]["title"] == "Insertion loss, pair 1-2"
    assert (found["traces"][0]["lacks"], found["traces"][0]["points"], found["notes"]) == ([], 2, [])


def test_a_heading_may_say_all_of_a_trace() -> None:
    text = "frequency MHz; NEXT 1-2/3-6 near dB; ACR-F 3-6 > 1-2 far; PS NEXT 4-5 near end; return loss 7-8 far; IL 1-2\n10; 60; 50; 55; 25; 3"
    assert [marks(trace) for trace in read(text)["traces"]] == [
        {"parameter": "next", "pair": "1-2", "pair2": "3-6", "side": "near"},
        {"parameter": "acrf", "pair": "3-6", "pair2": "1-2", "side": "far"},
        {"parameter": "psnext", "pair": "4-5", "side": "near"},
        {"parameter": "return_loss", "pair": "7-8", "side": "far"},
        {"parameter": "insertion_loss", "pair": "1-2"},
    ]


def test_what_a_trace_does_not_say_of_itself_is_named() -> None:
    trace = read("frequency MHz; 1-2/3-6\n10; 60")["traces"][0]
    assert trace["lacks"] == ["parameter"]
    trace = read("frequency MHz; 1-2/3-6\n10; 60", parameter="next")["traces"][0]
    assert (trace["lacks"], trace["check"]) == (["side"], None)
    assert read("frequency MHz; 1-2/3-6\n10; 60", parameter="next", side="far")["traces"][0]["lacks"] == []


def test_two_columns_without_a_heading_are_the_trace_that_was_chosen() -> None:
    found = read("1\t65\n100\t45,5\n", parameter="next", pair="1-2", pair2="3-6", side="near")
    assert marks(found["traces"][0]) == {"parameter": "next", "pair": "1-2", "pair2": "3-6", "side": "near"}
    assert found["notes"] == ["No heading line: taken as frequency in MHz and one value."]


def test_units_of_frequency_are_kept_and_one_that_is_not_said_is_told() -> None:
    assert read("frequency kHz; 1-2\n1000; 2", parameter="insertion_loss")["traces"][0]["body"]["table"]["units"] == ["kHz", "dB"]
    assert read("frequency; 1-2\n1; 2")["notes"] == ["The heading names no unit of frequency: taken as MHz."]


def test_values_below_zero_are_levels_and_are_turned() -> None:
    found = read("frequency MHz; 1-2; 3-6\n1; -2,0; -1\n2; -3,0; 1", parameter="insertion_loss")
    assert rows(found["traces"][0]) == [["1", "2,0"], ["2", "3,0"]]
    assert rows(found["traces"][1]) == [["1", "-1"], ["2", "1"]]
    assert found["notes"] == ["All values of 1-2 are below zero: taken as levels, and kept as losses above zero."]


def test_exponents_become_plain_numbers() -> None:
    assert rows(read("frequency Hz,1-2\n1.0E+06,2.5e0")["traces"][0]) == [["1000000", "2.5"]]


def test_an_empty_cell_leaves_its_point_out() -> None:
    assert rows(read("frequency MHz;1-2;3-6\n1;2;\n2;;3")["traces"][1]) == [["2", "3"]]


# ---- one row a point


def test_rows_that_name_their_pair_become_traces_in_the_order_they_come() -> None:
    text = "frequency MHz, value, pair, pair2, end\n1, 65.0, 4-5, 7-8, far\n2, 64.0, 4-5, 7-8, far\n1, 66.0, 1-2, 3-6, near\n"
    found = read(text, parameter="next")
    assert [marks(trace) for trace in found["traces"]] == [
        {"parameter": "next", "pair": "4-5", "pair2": "7-8", "side": "far"},
        {"parameter": "next", "pair": "1-2", "pair2": "3-6", "side": "near"},
    ]
    assert rows(found["traces"][0]) == [["1", "65.0"], ["2", "64.0"]]


def test_rows_may_name_parameter_and_combination_in_one() -> None:
    text = "frequency MHz\tvalue dB\tpair\tparameter\tend\n1\t65\t1-2/3-6\tNEXT\tnear\n1\t25\t1-2\treturn loss\tnear\n"
    assert [marks(trace) for trace in read(text)["traces"]] == [
        {"parameter": "next", "pair": "1-2", "pair2": "3-6", "side": "near"},
        {"parameter": "return_loss", "pair": "1-2", "side": "near"},
    ]


# ---- how they would stand


def copper() -> tuple[Story, str]:
    story = Story()
    return story, story.link("copper", category="6", setup="channel")


def test_each_trace_shows_its_margin_before_it_is_kept_judged_together_with_the_others() -> None:
    # NEXT of class E: 53.2 dB at 16 MHz, 39.9 dB at 100 MHz; at 16 MHz insertion loss of 3.9 dB makes it informative.
    story, link = copper()
    text = "frequency MHz; NEXT 1-2/3-6 near; IL 1-2; IL 3-6; NEXT 4-5/7-8 near\n16; 50; 3,9; 3,8; 50\n100; 41; 12; 12; 41"
    with engine.opened(story.book, story.texts) as core:
        found = core("read_sweep", text=text, link=link)["traces"]
    assert [trace["check"]["verdict"] for trace in found] == ["pass", "pass", "pass", "fail"]
    assert found[0]["check"]["margin"] == {"text": "1.1", "unit": "dB"}
    assert "at 16 MHz. Limit 53.2 dB" in found[3]["check"]["sentence"]
    for trace in found:
        engine.call("check_entry", text=entry("reading", trace["body"]))


def test_reading_a_text_keeps_nothing() -> None:
    story, link = copper()
    with engine.opened(story.book, story.texts) as core:
        core("read_sweep", text="frequency MHz; 1-2\n100; 30", link=link, parameter="insertion_loss")
        assert core("link", link=link)["readings"] == []


# ---- S-parameter files


TWO_PORTS = (
    "! made by hand\n# MHz S DB R 100\n! f S11 S21 S12 S22\n1 -30 0 -2.0 0 -2.5 0 -28 0\n100 -20 0 -21.5 10 -21.5 10 -18 0\n"
)


def test_a_two_port_file_gives_loss_and_both_return_losses_and_says_that_it_does_not_certify() -> None:
    found = read(TWO_PORTS, name="pair.s2p", pair="3-6")
    assert found["form"] == "s_parameters"
    assert [(marks(trace), rows(trace)) for trace in found["traces"]] == [
        ({"parameter": "insertion_loss", "pair": "3-6"}, [["1", "2.000"], ["100", "21.500"]]),
        ({"parameter": "return_loss", "pair": "3-6", "side": "near"}, [["1", "30.000"], ["100", "20.000"]]),
        ({"parameter": "return_loss", "pair": "3-6", "side": "far"}, [["1", "28.000"], ["100", "18.000"]]),
    ]
    assert {trace["body"]["origin"] for trace in found["traces"]} == {"s_parameters"}
    assert found["notes"] == ["From an S-parameter file: informative, not a certification."]


def test_the_pair_of_a_file_has_to_be_chosen_and_another_reference_is_told() -> None:
    found = read(TWO_PORTS.replace("R 100", "R 50"))
    assert [trace["lacks"] for trace in found["traces"]] == [["pair"]] * 3
    assert found["notes"][1].startswith("The file's reference is 50 ohm; a pair of 100 ohm asks for 100 ohm")


FOUR_PORTS = "# MHz S RI R 50\n100 0 0 0 0 .8 0 -.1 0\n0 0 0 0 -.1 0 .8 0\n.8 0 -.1 0 0 0 0 0\n-.1 0 .8 0 0 0 0 0\n"


def test_a_four_port_file_asks_how_it_was_connected() -> None:
    with pytest.raises(Refused, match="missing") as refused:
        read(FOUR_PORTS, name="pair.s4p")
    assert (refused.value.field, "1 and 2 near, 3 and 4 far" in refused.value.allowed) == ("ports", True)
    # Sdd21 = (0.8 + 0.1 + 0.1 + 0.8) / 2 = 0.9 -> 0.915 dB
    assert rows(read(FOUR_PORTS, name="pair.s4p", ports="12_34")["traces"][0]) == [["100", "0.915"]]


def test_noise_figures_behind_two_port_data_are_left_out() -> None:
    assert read(TWO_PORTS + "1 2 0.5 60 0.2\n100 2 0.5 60 0.2\n", name="x.s2p")["traces"][0]["points"] == 2


@pytest.mark.parametrize(
    ("text", "name", "field", "said"),
    [
        ("# MHz Y RI R 50\n1 0 0 0 0 0 0 0 0", "", "option line, line 1", "unit (Hz kHz MHz GHz), S, form"),
        ("# MHz S XY\n1 0 0 0 0 0 0 0 0", "", "option line, line 1", "MA DB RI"),
        ("# MHz S RI R 0\n1 0 0 0 0 0 0 0 0", "", "option line, line 1", "above 0"),
        ("[Version] 2.0\n# MHz S RI\n", "", "line 1", "version 1.1"),
        ("# MHz S RI\n1 0 0 0 0 0 0 0", "", "line 2", "nine numbers"),
        ("# MHz S RI\n1 0 0 0 0 0 0 0 0\n2 0 0 0 0 0 0 0", "x.s2p", "line 3", "9 numbers a point"),
        ("# MHz S RI\n1 0 0 0 0 0 0 0 0\n0 0 0 0 0 0 0 0", "x.s4p", "line 3", "33 numbers a point"),
        ("# MHz S RI\n2 0 0 0 0 0 0 0 0\n1 0 0 0 0 0 0 0 0", "x.s2p", "line 3", "above that of the point before"),
        ("# MHz S RI\n1 0 0 0 nan 0 0 0 0", "x.s2p", "line 2", "a number such as"),
        ("# MHz S RI\n1 0 0 0 1e999 0 0 0 0", "x.s2p", "line 2", "a number such as"),
        ("# MHz S RI\n1 0 0", "x.s1p", "file", ".s2p or .s4p"),
        ("1 0 0 0 0 0 0 0 0\n", "x.s2p", "option line", "# MHz S DB R 50"),
        ("# MHz S RI\n", "x.s2p", "line 2", "9 numbers a point"),
        ("# MHz S RI\n" + "\n".join(f"{n} 0 0 .5 0 .5 0 0 0" for n in range(1, 2003)), "x.s2p", "file", "1 to 2000 points"),
    ],
)
def test_a_touchstone_file_that_cannot_be_read_names_its_line(text: str, name: str, field: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        read(text, name=name)
    assert refused.value.field == field
    assert said in refused.value.allowed


# ---- what cannot be read


@pytest.mark.parametrize(
    ("text", "field", "said"),
    [
        ("", "text", "a table or a Touchstone file"),
        (" \n\t\n", "text", "a table or a Touchstone file"),
        (None, "text", "as text"),
        (["1", "2"], "text", "as text"),
        ("frequency MHz\n1\n2", "line 1", "parted by tabs, semicolons or commas"),
        ("frequency MHz; 1-2", "text", "a line of numbers below the heading"),
        ("distance m; 1-2\n1; 2", "line 1, column 1", "the frequency with its unit"),
        ("frequency MHz; 1-3\n1; 2", "line 1, column 2", "a pair (1-2, 3-6, 4-5, 7-8)"),
        ("frequency MHz; noise 1-2\n1; 2", "line 1, column 2", "a pair (1-2, 3-6, 4-5, 7-8)"),
        ("frequency MHz; 1-2;; 3-6\n1; 2; 3; 4", "line 1, column 3", "a pair"),
        ("frequency MHz; 1-2\n1; two", "line 2", "one number such as 0.42"),
        ("frequency MHz; 1-2\n1; <script>alert(1)</script>", "line 2", "one number"),
        ("frequency MHz; 1-2\n1; 2\n1; 3", "line 3", "above that of the line before"),
        ("frequency MHz; 1-2\n1; 2; 3", "line 2", "2 cells, as in the heading"),
        ("frequency MHz,1-2\n1,5,20,5", "line 2", "2 cells, as in the heading"),
        ("frequency MHz, value, colour\n1, 2, red", "line 1, column 3", "value, pair, pair2, end or parameter"),
        ("frequency MHz, value, value\n1, 2, 3", "line 1, column 2", "each once"),
        ("frequency MHz, value, pair\n1, , 1-2", "line 2", "one number"),
        ("frequency MHz, value, pair\n1, 2, 9-9", "line 1, column 2", "a pair (1-2, 3-6, 4-5, 7-8)"),
        ("frequency MHz; 1-2\n1; 2\x003", "line 2", "text in UTF-8"),
        (b"frequency MHz; 1-2\n1; 20".decode("utf-16-le"), "line 1", "parted by tabs"),
        (b"frequency MHz;\xe4 1-2".decode(errors="replace"), "line 1", "text in UTF-8"),
        ("frequency MHz; 1-2\n1; 201", "pair 1-2: value in row 1", "from -40 to 200 dB"),
        ("frequency MHz; " + "; ".join(["1-2"] * 81) + "\n1", "line 1", "up to 80 traces"),
        ("frequency MHz; 1-2\n" + "\n".join(f"{n}; 2" for n in range(1, 2002)), "1-2", "up to 2000 points a trace"),
        ("x" * 4_000_001, "text", "up to four million characters"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place_and_what_is_expected(text: Any, field: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        read(text)
    assert said in refused.value.allowed
    assert refused.value.field.endswith(field)


def test_a_column_of_two_pairs_cannot_be_a_parameter_of_one() -> None:
    with pytest.raises(Refused) as refused:
        read("frequency MHz; 1-2/3-6\n1; 2", parameter="return_loss")
    assert refused.value.allowed.startswith("one pair a trace of this")


def test_decimal_commas_between_commas_are_told_how_to_part_cells() -> None:
    with pytest.raises(Refused) as refused:
        read("frequency MHz,1-2\n1,5,20,5")
    assert refused.value.remedy == "With decimal commas, part the cells by semicolons or tabs."


def test_markup_in_a_heading_goes_no_further() -> None:
    with pytest.raises(Refused) as refused:
        read("frequency MHz; <img src=x onerror=alert(1)>\n1; 2")
    assert refused.value.field == "line 1, column 2"


def test_five_thousand_lines_are_read() -> None:
    pairs = ["1-2,3-6", "1-2,4-5", "4-5,7-8"]
    lines = [f"{1 + place * 0.1:.1f},{50 + place % 7}.3,{pair}" for pair in pairs for place in range(1667)]
    found = read("frequency MHz,value,pair,pair2\n" + "\n".join(lines), parameter="next", side="near")
    assert [trace["points"] for trace in found["traces"]] == [1667] * 3
