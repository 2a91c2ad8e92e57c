"""The picture of loss along a strand: what it says, by what shape, and that it stands whatever was typed."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import Any

from app import engine
from tests.core.test_checks_fibre_events import BACK_AGAIN, CORDS, END_TO_END, both_ways, link_of_800_m, sections, typed
from tests.made_fibre import Link

SVG = "{http://www.w3.org/2000/svg}"


def drawn(link: Link, strand: str = "1", wavelength: str = "1310") -> ET.Element:
    with engine.opened(link.story.book, link.story.texts) as core:
        return ET.fromstring(core("picture", link=link.id, which="loss", strand=strand, wavelength=wavelength)["svg"])


def words(picture: ET.Element) -> list[str]:
    return [text.text or "" for text in picture.iter(f"{SVG}text") if text.get("aria-hidden") is None]


def said_below(picture: ET.Element) -> str:
    """What stands under the curve, its lines joined."""
    return " ".join(words(picture)).split("loss point ")[-1]


def shapes(picture: ET.Element) -> dict[str, list[Any]]:
    """Shapes above the legend: connectors as squares, splices as discs, each with its fill."""
    return {
        "connector": [r.get("fill") for r in picture.iter(f"{SVG}rect") if r.get("width") == "2.6"][:-1],
        "splice": [c.get("fill") for c in picture.iter(f"{SVG}circle")][:-1],
    }


def test_each_event_stands_with_its_station_and_its_average() -> None:
    link = both_ways(END_TO_END, BACK_AGAIN)
    said = words(drawn(link))
    assert [text for text in said if "dB" in text][1:4] == [
        "near end: 0.28 dB",
        "station 2 (Closure C1): 0.15 dB",
        "far end: 0.30 dB",
    ]
    assert shapes(drawn(link)) == {"connector": ["#14181b", "#14181b"], "splice": ["#14181b"]}


def test_events_seen_from_one_end_are_hollow_and_say_so() -> None:
    link = link_of_800_m()
    typed(link, END_TO_END, **CORDS)
    picture = drawn(link)
    assert set(shapes(picture)["connector"] + shapes(picture)["splice"]) == {"#ffffff"}
    assert "station 2 (Closure C1): 0.20 dB, one way" in words(picture)


def test_the_glass_between_is_drawn_by_what_is_known_of_it() -> None:
    link = both_ways(END_TO_END, BACK_AGAIN)
    assert "glass drawn without loss" in said_below(drawn(link))
    # 1.05 dB by meter less 0.275 + 0.15 + 0.30 of events, over 815.1 m: 0.325 / 0.8151 = 0.40 dB/km.
    link.loss("1.05")
    assert "what the loss by meter leaves, 0.40 dB/km" in said_below(drawn(link))
    sections(link, [["0", "400", "0.30"], ["400", "800", "0.36"]])
    assert "as its sections were typed, 0.33 dB/km" in said_below(drawn(link))


def test_how_far_the_trace_falls_at_the_end_is_no_loss_of_the_link() -> None:
    # 0.50 dB by meter less 0.10 dB of the splice, over 815 m: 0.40 / 0.815 = 0.49 dB/km, whatever the fall into noise.
    link = link_of_800_m()
    typed(link, [["400", "splice", "0.10"], ["815", "end", "15"]])
    link.loss("0.50")
    assert "what the loss by meter leaves, 0.49 dB/km" in said_below(drawn(link))


def test_a_gain_from_one_end_rises_above_the_start() -> None:
    link = link_of_800_m()
    typed(link, [["400", "splice", "-0.336"], ["815", "end"]])
    assert any(text.startswith("-0.3") for text in words(drawn(link)))


def test_where_nothing_can_be_drawn_it_says_so() -> None:
    link = link_of_800_m()
    assert words(drawn(link)) == ["No events of this strand were typed that could be drawn."]
    typed(link, [["0", "connector", "0.3"]], "far_to_near")
    assert words(drawn(link)) == ["No events of this strand were typed that could be drawn."]


def test_two_hundred_events_and_a_hostile_name_still_make_a_picture() -> None:
    link = Link()
    link.station("1000", name="<script>\u202e")
    link.station("9000")
    typed(link, [[str(40 * number), "splice", "0.1"] for number in range(1, 200)] + [["8100", "end"]])
    picture = drawn(link)
    assert len(shapes(picture)["splice"]) == 199
    assert "<script" not in ET.tostring(picture, encoding="unicode").replace("&lt;script", "")
