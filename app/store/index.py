"""The list of links that pages show and search: made from the entries by core, and made again whenever a book changes.

Pages over thousands of links read it instead of judging every link anew.
"""

from __future__ import annotations

import hashlib
import logging
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from app import engine
from app.core.errors import Refused
from app.store import entries, settings
from app.store.database import writing

_log = logging.getLogger(__name__)
_MADE_WITH = "index_made_with"
_COLUMNS = "book, link, site, client, place, name, medium, state, passes, fails, not_measured, deviations"
_ORDER = "ORDER BY client COLLATE NOCASE, site COLLATE NOCASE, name COLLATE NOCASE, number"


@dataclass(frozen=True)
class LinkRow:
    """A link in short; `link` is empty for a site that has none yet."""

    book: str
    link: str
    site: str
    client: str
    place: str
    name: str
    medium: str
    state: str
    passes: int
    fails: int
    not_measured: int
    deviations: int


def rebuild(db: Database, book: str) -> bool:
    """Make a book's rows again, in the running change. A fault in judging leaves the old rows: it must never cost an entry."""
    try:
        with engine.opened(book, entries.texts_of(db, book)) as core:
            rows = _rows(core("book"))
    except (engine.CoreFault, Refused):
        _log.exception("the index of book %s could not be made", book)
        return False
    with writing(db):
        _replace(db, book, rows)
    return True


def refresh(db: Database) -> bool:
    """Make the whole index again if core has changed since it was made. True when it did."""
    version = hashlib.sha256(engine.bundle()).hexdigest()
    if settings.read(db, _MADE_WITH) == version:
        return False
    with writing(db):
        for book in entries.books(db):
            rebuild(db, book)
        settings.write(db, _MADE_WITH, version)
    return True


def find(db: Database, words: str, first: int, count: int) -> tuple[int, list[LinkRow]]:
    """Links whose client, place, site or name hold words that start with the given ones; all links for no words.

    Gives their total and one page of them.
    """
    query = _match(words)
    if query is None:
        return (0, []) if words.strip() else _listed(db, "FROM links", [], first, count)
    return _listed(db, "FROM links WHERE number IN (SELECT rowid FROM search WHERE search MATCH ?)", [query], first, count)


def _listed(db: Database, source: str, values: list[str], first: int, count: int) -> tuple[int, list[LinkRow]]:
    total = db.execute(f"SELECT count(*) {source}", values).fetchone()[0]
    rows = db.execute(f"SELECT {_COLUMNS} {source} {_ORDER} LIMIT ? OFFSET ?", [*values, count, first])
    return int(total), [LinkRow(*row) for row in rows]


def _match(words: str) -> str | None:
    """Typed words as a full-text query: quoted, so that nothing typed is an operator. None when no letter or digit is in them."""
    cleaned = "".join(character if character.isalnum() else " " for character in words[:200])
    return " ".join(f'"{word}"*' for word in cleaned.split()) or None


def _text(fields: dict[str, Any], name: str) -> str:
    shown = fields.get(name)
    return str(shown["value"] or "") if shown else ""


def _rows(view: dict[str, Any]) -> list[LinkRow]:
    fields = view["site"]["fields"]
    site = (_text(fields, "name"), _text(fields, "client"), _text(fields, "place"))
    if not view["links"]:
        return [LinkRow(view["book"], "", *site, "", "", "", 0, 0, 0, 0)]
    return [_row(view["book"], site, link) for link in view["links"]]


def _row(book: str, site: tuple[str, str, str], link: dict[str, Any]) -> LinkRow:
    summary = link["summary"]
    counts = (summary["pass"], summary["fail"], summary["not_measured"], summary["deviations"])
    return LinkRow(book, link["id"], *site, link["name"] or "", link["medium"] or "", summary["state"], *counts)


def _replace(db: Database, book: str, rows: list[LinkRow]) -> None:
    db.execute("DELETE FROM search WHERE rowid IN (SELECT number FROM links WHERE book = ?)", [book])
    db.execute("DELETE FROM links WHERE book = ?", [book])
    for row in rows:
        values = [row.book, row.link, row.site, row.client, row.place, row.name, row.medium, row.state]
        counts = [row.passes, row.fails, row.not_measured, row.deviations]
        added = db.execute(f"INSERT INTO links ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", values + counts)
        texts = [added.lastrowid, row.client, row.place, row.site, row.name]
        db.execute("INSERT INTO search (rowid, client, place, site, name) VALUES (?, ?, ?, ?, ?)", texts)
