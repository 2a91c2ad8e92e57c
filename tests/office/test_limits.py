"""The office reads the limit sets in the very words of core."""

from __future__ import annotations

import pytest

from app import engine
from tests.conftest import Phone
from tests.making import BOOK, Story, value
from tests.office.test_pages import words


def test_the_list_shows_every_set_and_how_much_is_from_memory(phone: Phone) -> None:
    seen = words(phone.client.get("/office/limits").text)
    for head in engine.call("limits"):
        assert head["title"] in seen and head["media_words"] in seen


@pytest.mark.parametrize("set_id", ["iso-11801-1-2017-copper", "burial", "bonding"])
def test_a_set_shows_each_row_as_core_words_it(phone: Phone, set_id: str) -> None:
    seen = words(phone.client.get(f"/office/limits/{set_id}").text)
    for group in engine.call("limits", id=set_id)["groups"]:
        for row in group["rows"]:
            for part in ("what", "value", "formula", "clause", "seen_words", "note"):
                assert " ".join(row[part].split()) in seen, row["id"]


def test_a_set_that_is_not_there_is_a_page_that_says_so(phone: Phone) -> None:
    answer = phone.client.get("/office/limits/iso-1")
    assert answer.status_code == 404 and "nothing at this address" in answer.text


def test_a_check_leads_to_its_limit_set_and_shows_the_published_limit_beside_an_own_one(phone: Phone) -> None:
    story = Story()
    link = story.link("copper", category="6", setup="channel", limit_set="iso-11801-1-2017-copper")
    story.reading(link, "loop_resistance", "26", "ohm", pair="1-2")
    phone.sync(story.texts)
    page = phone.client.get(f"/office/links/{BOOK}/{link}").text
    assert 'href="/office/limits/iso-11801-1-2017-copper"' in page
    assert "from memory, check your edition" in page and "simple acceptance" in page
    story.thing(
        "limit",
        f"{link}:limit:loop_resistance",
        link=link,
        what="loop_resistance",
        value=value("30", "ohm"),
        source="Letter of May",
    )
    phone.sync(story.texts)
    seen = words(phone.client.get(f"/office/links/{BOOK}/{link}").text)
    assert "Letter of May (typed in for this link)" in seen
    assert "Weaker than ISO/IEC 11801-1:2017, clause 6, channel (from memory, check your edition): 25 Ω" in seen
