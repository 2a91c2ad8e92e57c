"""The fold: the same state from any order and any repetition; nothing overwritten unseen."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.ledger import Book
from app.core.textform import dumps
from tests.making import BOOK, Story, entry, id_of, new_id


def state(texts: list[str]) -> str:
    book = Book(BOOK)
    book.take(texts)
    return dumps(
        {"things": book.things, "events": [entry["id"] for group in sorted(book.events) for entry in book.events[group]]}
    )


def site(replaces: list[str] | None = None, at: str = "2026-03-14T10:00:00.000Z", **fields: Any) -> str:
    return entry("site", {"subject": BOOK, **fields}, replaces=replaces or [], at=at)


def field(texts: list[str], name: str) -> dict[str, Any] | None:
    book = Book(BOOK)
    book.take(texts)
    found: dict[str, Any] | None = book.things["site"][BOOK]["fields"].get(name)
    return found


def test_a_correction_that_saw_the_first_value_replaces_it() -> None:
    first = site(name="Yard")
    second = site([id_of(first)], name="Boatyard")
    held = field([first, second], "name")
    assert held and held["value"] == "Boatyard" and held["also"] == []


def test_an_update_leaves_other_fields_alone() -> None:
    first = site(name="Yard", client="Trust")
    second = site([id_of(first)], name="Boatyard")
    held = field([first, second], "client")
    assert held and held["value"] == "Trust"


def test_two_values_set_unseen_of_each_other_both_stand() -> None:
    first = site(name="Yard")
    left = site([id_of(first)], at="2026-03-14T11:00:00.000Z", place="North")
    right = site([id_of(first)], at="2026-03-14T12:00:00.000Z", place="South")
    held = field([first, left, right], "place")
    assert held and held["value"] == "South"
    assert [other["value"] for other in held["also"]] == ["North"]


def test_the_same_value_set_twice_is_no_conflict() -> None:
    first = site(name="Yard")
    held = field([first, site([id_of(first)], place="North"), site([id_of(first)], place="North")], "place")
    assert held and held["also"] == []


def test_an_entry_that_saw_both_settles_it() -> None:
    first = site(name="Yard")
    left, right = site([id_of(first)], place="North"), site([id_of(first)], place="South")
    settled = site([id_of(left), id_of(right)], place="North")
    held = field([first, left, right, settled], "place")
    assert held and held["value"] == "North" and held["also"] == []


def test_an_old_value_seen_through_another_line_of_history_does_not_come_back() -> None:
    first = site(name="Yard", place="North")
    left = site([id_of(first)], place="South")
    right = site([id_of(first)], client="Trust")  # still holds the old place on its line
    joined = site([id_of(left), id_of(right)], note="x")
    for texts in ([first, left, right], [first, left, right, joined]):
        held = field(texts, "place")
        assert held and held["value"] == "South" and held["also"] == []


def test_null_clears_a_field() -> None:
    first = site(name="Yard", place="North")
    assert field([first, site([id_of(first)], place=None)], "place") is None


def test_a_thing_whose_first_entry_has_not_arrived_is_shown_with_what_is_there() -> None:
    first = site(name="Yard")
    held = field([site([id_of(first)], place="North")], "place")
    assert held and held["value"] == "North"


def test_a_ring_of_replacements_does_no_harm() -> None:
    one, two = new_id(), new_id()
    ring = [
        entry("site", {"subject": BOOK, "name": "A"}, id=one, replaces=[two]),
        entry("site", {"subject": BOOK, "name": "B"}, id=two, replaces=[one]),
    ]
    assert state(ring) == state(ring[::-1])


def test_unknown_kinds_and_versions_are_kept_apart() -> None:
    book = Book(BOOK)
    book.take([site(name="Yard"), entry("tide_table", {"x": 1}), entry("site", {"subject": BOOK, "name": 5}, v=9)])
    assert sorted(entry["kind"] for entry in book.unknown) == ["site", "tide_table"]
    assert book.things["site"][BOOK]["fields"]["name"]["value"] == "Yard"


def _story() -> list[str]:
    story = Story()
    link = story.link("fibre", fibre="OS2", strands="2")
    for mark in ("100", "150", "180"):
        story.thing("station", link=link, type="handhole", mark=mark, order=mark)
    loss = story.reading(
        link, "optical_loss", "0.5", "dB", strand="1", wavelength="1310", direction="near_to_far", method="one_cord"
    )
    story.add("void", {"link": link, "reading": loss, "reason": "cord not clean"})
    first = next(text for text in story.texts if '"site"' in text)
    story.texts += [site([id_of(first)], place="North"), site([id_of(first)], place="South")]
    return story.texts


STORY = _story()


@settings(max_examples=60)
@given(st.randoms(use_true_random=False), st.integers(1, 3))
def test_any_order_and_any_repetition_give_the_same_state(chance: random.Random, times: int) -> None:
    shuffled = STORY * times
    chance.shuffle(shuffled)
    assert state(shuffled) == state(STORY)


@given(st.integers(0, len(STORY)))
def test_taking_in_two_parts_gives_the_same_state(cut: int) -> None:
    book = Book(BOOK)
    book.take(STORY[cut:])
    book.take(STORY[:cut])
    whole = Book(BOOK)
    whole.take(STORY)
    assert dumps(book.things) == dumps(whole.things)


def test_a_malformed_text_is_refused_before_any_is_added() -> None:
    book = Book(BOOK)
    try:
        book.take([site(name="Yard"), "{torn"])
    except Exception as refused:
        assert type(refused).__name__ == "Refused"
    assert book.entries == {}
