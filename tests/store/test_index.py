"""The list of links and its search."""

from __future__ import annotations

import pytest
from sqlite_utils import Database

from app import engine
from app.store import entries, index
from app.store.database import writing
from app.sync.checking import check
from tests.making import Story


def keep(db: Database, story: Story) -> None:
    with writing(db):
        for text in story.texts:
            entries.add(db, check(text), None, "phone-1")
        index.rebuild(db, story.book)


def book_of(number: int) -> str:
    return f"01990000-0000-7000-9000-{number:012x}"


def site(number: int, site: str, client: str, place: str, *links: str) -> Story:
    story = Story(book_of(number))
    story.thing("site", name=site, client=client, place=place)
    near, far = story.thing("building", name="A"), story.thing("building", name="B")
    for link in links:
        story.thing("link", name=link, medium="fibre", near_building=near, far_building=far)
    return story


@pytest.fixture
def filled(db: Database) -> Database:
    keep(db, site(1, "Mühlenhof", "Tidewater Boats", "Westquay", "Office to slip shed", "Gate to crane"))
    keep(db, site(2, "Press house", "Harbour Trust", "Eastbank", "Cellar run"))
    keep(db, site(3, "Empty yard", "Harbour Trust", "Westquay"))
    return db


@pytest.mark.parametrize(
    ("words", "links"),
    [
        ("tidewater", ["Gate to crane", "Office to slip shed"]),
        ("eastbank", ["Cellar run"]),
        ("muhlen", ["Gate to crane", "Office to slip shed"]),
        ("slip off", ["Office to slip shed"]),
        ("westquay trust", [""]),
        ("", ["", "Cellar run", "Gate to crane", "Office to slip shed"]),
        ("nowhere", []),
        ('" OR * NEAR(', []),
        ("--", []),
    ],
)
def test_search_finds_by_client_place_site_and_link(filled: Database, words: str, links: list[str]) -> None:
    total, rows = index.find(filled, words, 0, 50)
    assert total == len(links)
    assert sorted(row.name for row in rows) == links


def test_a_changed_name_is_found_and_the_old_one_no_longer(db: Database) -> None:
    story = site(1, "Yard", "Old client", "Westquay", "Run")
    keep(db, story)
    story.thing("site", story.book, client="New client")
    keep(db, story)
    assert index.find(db, "old", 0, 50)[0] == 0
    assert index.find(db, "new", 0, 50)[1][0].client == "New client"


def test_pages_hold_every_link_once(db: Database) -> None:
    keep(db, site(1, "Yard", "Client", "Place", *[f"Run {number:02}" for number in range(23)]))
    seen = [row.name for first in range(0, 23, 10) for row in index.find(db, "", first, 10)[1]]
    assert seen == [f"Run {number:02}" for number in range(23)]


def test_a_row_shows_the_counts_that_core_gives(filled: Database) -> None:
    row = index.find(filled, "cellar", 0, 1)[1][0]
    with engine.opened(row.book, entries.texts_of(filled, row.book)) as core:
        summary = core("checks", link=row.link)["summary"]
    assert (row.passes, row.fails, row.not_measured, row.state) == (
        summary["pass"],
        summary["fail"],
        summary["not_measured"],
        summary["state"],
    )
    assert row.state == "empty"


def test_a_fault_in_judging_costs_neither_entry_nor_old_row(filled: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken:
        def __init__(self, *_: object) -> None:
            raise engine.CoreFault("broken")

    monkeypatch.setattr(engine, "opened", Broken)
    story = site(1, "Other", "Other", "Other")
    keep(filled, story)
    assert index.find(filled, "tidewater", 0, 50)[0] == 2
    assert all(text in entries.texts_of(filled, story.book) for text in story.texts)


def test_the_index_is_made_anew_only_when_core_has_changed(filled: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    assert index.refresh(filled) is True
    assert index.refresh(filled) is False
    filled.execute("DELETE FROM links")
    monkeypatch.setattr(engine, "bundle", lambda: b"a newer core")
    assert index.refresh(filled) is True
    assert index.find(filled, "", 0, 50)[0] == 4
