"""Tables for a spreadsheet: RFC 4180, nothing that runs, no number changed."""

from __future__ import annotations

import csv
import io

import pytest

from app.core import handover_text
from tests.handover.asking import file_of, package, rows_of
from tests.made_hostile import HOSTILE, hostile_link
from tests.made_links import FibreLink
from tests.making import Story, value

# What spreadsheets take for the start of a formula (OWASP, CSV injection): the ASCII signs and their full-width forms.
FORMULA_SIGNS = tuple("=+-@\uff1d\uff0b\uff0d\uff20")


def read(text: str, separator: str = ",") -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=separator))


def test_cells_come_back_from_a_reader_of_rfc_4180_as_they_went_in() -> None:
    row = ["plain", "with, comma", 'with "quotes"', "two\nlines", "", "Ω µ é", 7, None]
    text = handover_text.csv(["a", "b", "c", "d", "e", "f", "g", "h"], [row])
    assert read(text)[1] == ["plain", "with, comma", 'with "quotes"', "two\nlines", "", "Ω µ é", "7", ""]
    assert text.count("\r\n") == 2
    assert text.endswith("\r\n")


@pytest.mark.parametrize("number", ["-0.07", "+3", "-12", "0.42", "-0,42", "007"])
def test_numbers_stay_as_they_are(number: str) -> None:
    assert read(handover_text.csv(["a"], [[number]]))[1] == [number]


@pytest.mark.parametrize("text", ["=1+1", "+1+1", "-1+1", "@now", "\uff1d1", " =1", '"=1"', "\t=1", "--1", "-", "=", "-1-2"])
def test_a_text_that_begins_as_a_formula_does_is_defused(text: str) -> None:
    cell = read(handover_text.csv(["a"], [[text]]))[1][0]
    assert cell.replace("'", "", 1) == text
    assert not cell.lstrip(' \t"').startswith(FORMULA_SIGNS)


@pytest.mark.parametrize("words", HOSTILE)
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_no_cell_of_any_table_begins_a_formula_however_the_file_is_cut(words: str, separator: str) -> None:
    """A spreadsheet set to another separator, as it is in much of Europe, cuts the same file into other cells."""
    story, link = hostile_link(words)
    answer = package(story, link)
    for name in ("stations.csv", "readings.csv", "checks.csv"):
        for row in read(file_of(answer, name), separator):
            for cell in row:
                begins = cell.lstrip(' \t"').startswith(FORMULA_SIGNS)
                assert not begins or handover_text.is_number(cell), (name, cell)


@pytest.mark.parametrize("words", HOSTILE)
def test_control_characters_and_turned_writing_leave_a_mark(words: str) -> None:
    story, link = hostile_link(words)
    whole = "".join(text for _, text in package(story, link)["files"])
    assert not any(ord(sign) < 32 and sign not in "\t\r\n" for sign in whole)
    assert "\u202e" not in whole
    assert "\ufffe" not in whole
    assert ("\ufffd" in whole) == any(sign in words for sign in "\u202e\u0001\ufffe")


def test_the_schedule_of_stations_holds_what_was_written_down() -> None:
    made = FibreLink()
    rows = rows_of(package(made.story, made.link), "stations.csv")
    assert [row["number"] for row in rows] == [str(number) for number in range(1, 9)]
    handhole = rows[1]
    assert (handhole["type"], handhole["name"], handhole["mark"], handhole["mark_out"]) == ("handhole", "H1", "1034", "1040")
    assert (handhole["depth"], handhole["depth_unit"], handhole["depth_method"]) == ("620", "mm", "tape from the surface")
    # From the first station's mark 1012 to the handhole's 1034 the cable runs 22 m.
    assert (handhole["chainage_m"], handhole["chainage_from"]) == ("22.0", "marks")
    assert handhole["ties"] == "21.40 m from South-east corner; 19.85 m from North-east corner"
    assert handhole["notes"] == "Lid is heavy, lift with two (A. Installer)"
    marker = rows[3]
    assert (marker["latitude"], marker["longitude"], marker["position_source"]) == ("", "", "")
    assert (rows[2]["latitude"], rows[2]["longitude"], rows[2]["accuracy_m"]) == ("51.2002000", "4.1007500", "4")


def test_every_reading_is_a_row_with_its_unit_marks_instrument_and_whether_it_counts() -> None:
    made = FibreLink()
    rows = rows_of(package(made.story, made.link), "readings.csv")
    bad = next(row for row in rows if row["value"] == "4.81")
    assert (bad["unit"], bad["strand"], bad["wavelength"], bad["direction"]) == ("dB", "2", "1310", "near_to_far")
    assert (bad["instrument"], bad["instrument_serial"], bad["instrument_calibrated"]) == (
        "Light source and meter",
        "LS-0815",
        "2025-11-02",
    )
    assert (bad["reference_value"], bad["reference_value_unit"], bad["method"]) == ("-10.02", "dBm", "one_cord")
    assert (bad["voided"], bad["voided_because"]) == ("yes", "Connector was dirty, cleaned and measured again")
    assert len(rows) == sum('"kind":"reading"' in text for text in made.story.texts)


def test_a_decimal_comma_is_kept_as_typed_beside_the_number() -> None:
    story = Story()
    link = story.link("copper")
    story.reading(link, "loop_resistance", "9,40", "ohm", pair="1-2", newer_mark={"a": "1"})
    row = rows_of(package(story, link), "readings.csv")[0]
    assert (row["value"], row["value_as_typed"], row["unit"]) == ("9.40", "9,40", "ohm")
    assert row["further"] == '{"newer_mark":{"a":"1"}}'


def test_the_points_of_a_sweep_are_a_table_of_their_own() -> None:
    story = Story()
    link = story.link("copper", category="6A")
    table = {"units": ["MHz", "dB"], "rows": [["1", "2,1"], ["4", "4.0"], ["10", "6.3"]]}
    story.add("reading", {"link": link, "quantity": "sweep", "parameter": "insertion_loss", "pair": "1-2", "table": table})
    answer = package(story, link)
    rows = rows_of(answer, "readings-sweep.csv")
    assert [(row["row"], row["frequency"], row["frequency_unit"], row["value"], row["value_unit"]) for row in rows] == [
        ("1", "1", "MHz", "2.1", "dB"),
        ("2", "4", "MHz", "4.0", "dB"),
        ("3", "10", "MHz", "6.3", "dB"),
    ]
    assert "readings-sweep.csv" in file_of(answer, "VERIFY.txt")


def test_a_check_is_a_row_with_limit_margin_source_and_how_it_was_seen() -> None:
    made = FibreLink()
    about = {"link": made.link, "check": "reference_cord", "reason": "Cords are new", "name": "C. Client"}
    made.story.add("deviation", about)
    rows = {row["id"]: row for row in rows_of(package(made.story, made.link), "checks.csv")}
    loss = rows["fibre_loss:strand=1:wavelength=1310:direction=near_to_far"]
    assert (loss["measured"], loss["unit"], loss["uncertainty"], loss["sense"]) == ("0.62", "dB", "0.20", "max")
    # By hand: the margin of a largest value is limit less measured.
    assert float(loss["margin"]) == pytest.approx(float(loss["limit"]) - 0.62)
    assert loss["seen"] in ("2+", "1", "memory", "practice")
    assert loss["source"].startswith("ISO/IEC 14763-3")
    assert (rows["reference_cord"]["deviation"], rows["reference_cord"]["deviation_by"]) == ("Cords are new", "C. Client")


def test_a_field_that_two_phones_set_apart_is_named() -> None:
    made = FibreLink()
    station = made.stations[3]
    for depth in ("500", "700"):
        made.story.add("station", {"subject": station, "link": made.link, "depth": value(depth, "mm")})
    assert rows_of(package(made.story, made.link), "stations.csv")[3]["not_settled"] == "depth"
