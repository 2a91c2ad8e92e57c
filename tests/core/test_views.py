"""Views: chainage along the route, what a seal covers, what came after it. Expected numbers are worked by hand in each test."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest

from app import engine, paths
from app.core.errors import Refused
from tests.making import BOOK, Story, entry, id_of, new_id, value


def link_view(story: Story, link: str) -> dict[str, Any]:
    with engine.opened(story.book, story.texts) as core:
        found: dict[str, Any] = core("link", link=link)
        return found


def route(*stations: dict[str, Any], mark_unit: str = "m") -> tuple[Story, str]:
    story = Story()
    link = story.link("fibre", mark_unit=mark_unit)
    for place, station in enumerate(stations):
        story.thing("station", link=link, **{"type": "handhole", "order": str(place), **station})
    return story, link


def chainages(story: Story, link: str) -> list[str | None]:
    return [station["chainage"] and station["chainage"]["text"] for station in link_view(story, link)["stations"]]


def test_marks_give_the_chainage_and_a_loop_does_not_move_it() -> None:
    # 1247 -> 1300: 53 m; loop 1400 to 1420: 100 m further on, its 20 m stay in the loop; 1420 -> 1688: 268 m.
    story, link = route(
        {"mark": "1247"}, {"mark": "1300"}, {"type": "slack_loop", "mark": "1400", "mark_out": "1420"}, {"mark": "1688"}
    )
    assert chainages(story, link) == ["0.0", "53.0", "153.0", "421.0"]


def test_marks_may_count_down_and_in_feet() -> None:
    # 14392 ft - 14292 ft = 100 ft = 30.48 m
    story, link = route({"mark": "14392"}, {"mark": "14292"}, mark_unit="ft")
    assert chainages(story, link) == ["0.0", "30.5"]


def test_a_taped_distance_counts_as_it_is_and_marks_carry_on_from_it() -> None:
    story, link = route({"mark": "10"}, {"mark": "40", "chainage": value("28", "m")}, {"mark": "60"})
    assert chainages(story, link) == ["0.0", "28.0", "48.0"]


def test_a_station_without_mark_or_tape_has_no_chainage_and_does_not_break_the_next() -> None:
    story, link = route({"mark": "10"}, {}, {"mark": "60"})
    assert chainages(story, link) == ["0.0", None, "50.0"]


def test_stations_follow_their_order_not_their_arrival() -> None:
    story, link = route({"mark": "30", "order": "2"}, {"mark": "10", "order": "1"}, {"mark": "20", "order": "1.5"})
    assert [station["mark"]["text"] for station in link_view(story, link)["stations"]] == ["10", "20", "30"]


def test_a_station_taken_off_the_route_is_gone_from_the_strip() -> None:
    story, link = route({"mark": "10"}, {"mark": "20"})
    station = json.loads(story.texts[-1])["body"]["subject"]
    story.thing("station", station, link=link, withdrawn="recorded twice")
    assert chainages(story, link) == ["0.0"]


def test_a_seal_covers_the_exact_bytes_of_the_entries_of_its_link() -> None:
    story, link = route({"mark": "10"})
    story.thing("building", name="Neighbour's, not of this link")
    with engine.opened(story.book, story.texts) as core:
        cover = core("cover", link=link)
    covered = [text for text in story.texts if "Neighbour" not in text]
    rows = sorted((id_of(text), hashlib.sha256(text.encode()).hexdigest()) for text in covered)
    assert [tuple(row) for row in cover["entries"]] == rows
    lines = "".join(f"{entry_id} {sha}\n" for entry_id, sha in rows)
    assert cover["limits"], "the depth rule and what else this link is judged by"
    for name, sha in cover["limits"]:
        assert sha == hashlib.sha256((engine.CORE / "limits" / f"{name}.json").read_bytes()).hexdigest()
        lines += f"limits {name} {sha}\n"
    assert cover["digest"] == hashlib.sha256(lines.encode()).hexdigest()


def seal(story: Story, link: str) -> None:
    with engine.opened(story.book, story.texts) as core:
        covers = core("cover", link=link)
    signature = {"name": "A. Installer", "role": "installer", "at": "2026-03-14T11:00:00Z", "strokes": [[[1, 2], [3, 4]]]}
    story.add("seal", {"link": link, "revision": 1, "covers": covers, "signatures": [signature]})


def test_what_comes_after_signing_is_shown_as_after() -> None:
    story, link = route({"mark": "10"})
    seal(story, link)
    assert link_view(story, link)["seals"][0]["after"] == []
    reading = story.reading(link, "instrument_length", "12", "m")
    held = link_view(story, link)["seals"][0]
    assert held["after"] == [reading]
    assert held["sound"] is True


def test_a_changed_byte_under_a_seal_is_found() -> None:
    story, link = route({"mark": "10"})
    seal(story, link)
    story.texts = [text.replace('"mark":"10"', '"mark":"11"') for text in story.texts]
    held = link_view(story, link)["seals"][0]
    assert len(held["differs"]) == 1
    assert held["sound"] is False


def test_two_phones_that_differ_show_a_conflict_with_both_values() -> None:
    story = Story()
    link = story.link("fibre")
    first = [id_of(text) for text in story.texts if json.loads(text)["body"]["subject"] == link]
    for fibre in ("OS2", "OM3"):
        story.add("link", {"subject": link, "fibre": fibre}, replaces=first)
    conflicts = link_view(story, link)["conflicts"]
    assert [conflict["field"] for conflict in conflicts] == ["fibre"]
    assert {held["value"] for held in conflicts[0]["values"]} == {"OS2", "OM3"}


def test_the_book_view_names_links_and_keeps_unknown_entries_in_sight() -> None:
    story = Story()
    link = story.link("copper")
    story.texts.append(entry("tide_table", {"x": 1}))
    with engine.opened(BOOK, story.texts) as core:
        book = core("book")
    assert [(one["id"], one["name"]) for one in book["links"]] == [(link, "Office to shed")]
    assert [one["kind"] for one in book["unknown"]] == ["tide_table"]


def test_a_link_that_is_not_there_is_refused_by_name() -> None:
    story = Story()
    with engine.opened(story.book, story.texts) as core, pytest.raises(Refused) as refused:
        core("link", link=new_id())
    assert refused.value.field == "link"


def test_a_draft_is_judged_as_if_saved_but_changes_nothing() -> None:
    story = Story()
    link = story.link("fibre", fibre="OS2", strands="1", connections="2", splices="0")
    story.reading(link, "instrument_length", "400", "m")
    draft = {"link": link, "quantity": "optical_loss", "value": value("0,9", "dB"), "strand": "1", "wavelength": "1310",
             "direction": "near_to_far", "method": "one_cord"}  # fmt: skip
    with engine.opened(story.book, story.texts) as core:
        before = core("checks", link=link)
        tried = core("checks", link=link, draft=draft)
        assert core("checks", link=link) == before
    assert any(check["id"].startswith("fibre_loss") and check["verdict"] == "pass" for check in tried["checks"])
    assert tried["warnings"] == []


def test_an_unusual_value_is_asked_back_and_an_impossible_one_refused() -> None:
    story = Story()
    link = story.link("fibre")
    draft = {
        "link": link,
        "quantity": "optical_loss",
        "strand": "1",
        "wavelength": "1310",
        "direction": "near_to_far",
        "method": "one_cord",
    }
    with engine.opened(story.book, story.texts) as core:
        assert "25 dB is unusual" in core("checks", link=link, draft={**draft, "value": value("25", "dB")})["warnings"][0]
        with pytest.raises(Refused, match="range"):
            core("checks", link=link, draft={**draft, "value": value("250", "dB")})


def test_the_draft_is_judged_exactly_as_the_same_reading_would_be_once_saved() -> None:
    """For every quantity read on the demo's links: the quick way (only rules that ask for it) against saving and judging all."""
    book = json.loads((paths.SEED_DATA / "vineyard" / "book.json").read_text(encoding="utf-8"))
    readings = [held for held in map(json.loads, book["entries"]) if held["kind"] == "reading"]
    bodies = {(held["body"]["link"], held["body"]["quantity"]): held["body"] for held in readings}
    assert len(bodies) > 30
    at = "2026-04-01T10:00:00.000+01:00"
    for link, quantity in sorted(bodies):
        text = entry("reading", bodies[link, quantity], book=book["book"], at=at)
        with engine.opened(book["book"], book["entries"]) as core:
            tried = core("checks", link=link, draft=bodies[link, quantity], at=at)["checks"]
            core("add", entries=[text])
            saved = core("checks", link=link)["checks"]
        wanted = [check for check in saved if id_of(text) in check.pop("readings")]
        for check in tried:
            assert check.pop("readings") == ["draft"]
        assert tried == wanted, quantity
