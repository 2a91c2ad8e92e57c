"""Fibre in the commissioning record: every strand, events with both directions, modules as a trend. Sums by hand."""

from __future__ import annotations

from typing import Any

from app import engine
from tests.core.test_checks_fibre_events import BACK_AGAIN, END_TO_END, both_ways, link_of_800_m, typed
from tests.made_fibre import Link

MADE_AT = "2026-03-20T09:00:00.000+01:00"


def record(link: Link) -> dict[str, Any]:
    with engine.opened(link.story.book, link.story.texts) as core:
        return {section["id"]: section for section in core("record", link=link.id, made_at=MADE_AT)["sections"]}


def tables(section: dict[str, Any]) -> list[dict[str, Any]]:
    return [block for block in section["blocks"] if block["form"] == "table"]


def rows(table: dict[str, Any]) -> list[dict[str, str]]:
    return [dict(zip(table["head"], row, strict=True)) for row in table["rows"]]


def test_each_strand_stands_with_both_directions_average_difference_and_margin() -> None:
    link = link_of_800_m(strands="2", strands_used="1", splices="0")
    link.loss("0.60")
    link.loss("0.70", direction="far_to_near")
    first, _, spare, _ = rows(tables(record(link)["strands"])[0])
    # OS2, 800 m: 0.8 x 0.4 + 2 x 0.70 = 1.72 dB; the smaller margin is 1.72 - 0.70.
    assert first == {
        "Strand": "1",
        "Identifier": "B1-1A/B2-1A-1.1",
        "Use": "in use",
        "Wavelength": "1310 nm",
        "Near to far": "0.60 dB",
        "Far to near": "0.70 dB",
        "Average": "0.65 dB",
        "Difference": "0.10 dB",
        "Limit": "1.72 dB",
        "Smallest margin": "1.02 dB",
        "Verdict": "Passes",
    }
    assert (spare["Strand"], spare["Use"], spare["Near to far"], spare["Verdict"]) == ("2", "spare", "\u2013", "Not measured")


def test_events_stand_with_their_station_both_directions_and_a_picture() -> None:
    section = record(both_ways(END_TO_END, BACK_AGAIN))["events"]
    splice = rows(tables(section)[0])[1]
    assert splice["Where"] == "410.4 m, station 2 (Closure C1)"
    assert [splice[name] for name in ("Near to far", "Far to near", "Average", "Verdict")] == [
        "0.20 dB",
        "0.10 dB",
        "0.15 dB",
        "Passes",
    ]
    assert [block["form"] for block in section["blocks"]] == ["table", "text", "svg"]


def test_an_event_of_one_direction_is_indicative_in_the_record_too() -> None:
    link = link_of_800_m()
    typed(link, [["410.3", "splice", "-0.336"], ["815", "end", "", "-14.4"]])
    splice, end = rows(tables(record(link)["events"])[0])
    assert (splice["Near to far"], splice["Verdict"]) == ("-0.34 dB", "one direction, indicative")
    assert (end["What"], end["Verdict"], end["Reflectance"]) == ("End", "", "-14.4 dB")


def test_how_a_trace_was_taken_stands_beside_its_reading() -> None:
    section = record(both_ways(END_TO_END, BACK_AGAIN))["readings"]
    assert "launch cord 150 m; tail cord 150 m" in str(section)


def test_what_modules_say_stands_apart_and_is_called_a_trend() -> None:
    link = link_of_800_m()
    link.story.reading(link.id, "module_receive", "-7", "dBm", side="far", at="2026-03-14T10:30:00.000+01:00")
    link.story.reading(link.id, "module_receive", "-9.5", "dBm", side="far", at="2026-09-14T10:30:00.000+02:00")
    found = record(link)
    assert found["modules"]["title"] == "Module readings (trend, \u00b13 dB, not acceptance)"
    [row] = rows(tables(found["modules"])[0])
    assert (row["Change"], row["Calls for"], row["May be off by"]) == ("-2.50 dB", "service", "\u00b13 dB")
    assert "module" not in str(found["margins"]).lower()


def test_a_copper_link_has_none_of_it() -> None:
    found = record(Link("copper"))
    assert not {"strands", "events", "modules"} & set(found)
