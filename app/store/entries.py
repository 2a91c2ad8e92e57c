"""The entries: added once, read in the order they came."""

from __future__ import annotations

from dataclasses import dataclass

from sqlite_utils import Database

from app.store.database import now


@dataclass(frozen=True)
class CheckedEntry:
    """An entry's exact text with what core's `check_entry` said about it."""

    text: str
    id: str
    book: str
    kind: str
    sha256: str
    photo: str | None


@dataclass(frozen=True)
class StoredEntry:
    """An entry as it lies in the store: its place in the order of arrival, id and exact text."""

    seq: int
    id: str
    text: str


@dataclass(frozen=True)
class KeptText:
    """An entry's text with its kind and its SHA-256 as they were when it came, to be held against what lies there now."""

    kind: str
    text: str
    sha256: str


def add(db: Database, entry: CheckedEntry, person: int | None, device: str) -> bool:
    """Keep an entry; call inside `writing`.

    True when it is kept now or was kept before with the same bytes; False when its id holds other bytes, which stay.
    """
    held = db.execute("SELECT sha256 FROM entries WHERE id = ?", [entry.id]).fetchone()
    if held is not None:
        return bool(held[0] == entry.sha256)
    db.execute(
        "INSERT INTO entries (id, book, kind, text, sha256, photo, received_at, person, device)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [entry.id, entry.book, entry.kind, entry.text, entry.sha256, entry.photo, now(), person, device],
    )
    return True


def has(db: Database, id: str) -> bool:
    """Is an entry of this id kept?"""
    return db.execute("SELECT 1 FROM entries WHERE id = ?", [id]).fetchone() is not None


def last_seq(db: Database) -> int:
    """The highest place in the order of arrival; 0 when nothing is kept."""
    return int(db.execute("SELECT coalesce(max(seq), 0) FROM entries").fetchone()[0])


def after(db: Database, seq: int, count: int, characters: int) -> list[StoredEntry]:
    """Entries that came after `seq`, in order: up to `count` of them and about `characters` of text, but never none if there is one."""
    found: list[StoredEntry] = []
    total = 0
    for row in db.execute("SELECT seq, id, text FROM entries WHERE seq > ? ORDER BY seq LIMIT ?", [seq, count]):
        total += len(row[2])
        if found and total > characters:
            break
        found.append(StoredEntry(*row))
    return found


def texts_of(db: Database, book: str) -> list[str]:
    """All texts of a book in the order they came."""
    return [row[0] for row in db.execute("SELECT text FROM entries WHERE book = ? ORDER BY seq", [book])]


def kept_of(db: Database, book: str) -> list[KeptText]:
    """All texts of a book in the order they came, each with its kind and the hash that it had when it came."""
    rows = db.execute("SELECT kind, text, sha256 FROM entries WHERE book = ? ORDER BY seq", [book])
    return [KeptText(*row) for row in rows]


def seals_of(db: Database, book: str) -> list[str]:
    """The texts of a book's seals in the order they came."""
    return [row[0] for row in db.execute("SELECT text FROM entries WHERE book = ? AND kind = 'seal' ORDER BY seq", [book])]


def photos_of(db: Database, book: str) -> list[str]:
    """The photos that a book's entries name, in order of their hashes."""
    rows = db.execute("SELECT DISTINCT photo FROM entries WHERE book = ? AND photo IS NOT NULL ORDER BY photo", [book])
    return [row[0] for row in rows]


def books(db: Database) -> list[str]:
    """The ids of all books."""
    return [row[0] for row in db.execute("SELECT DISTINCT book FROM entries ORDER BY book")]


def extent(db: Database, book: str) -> tuple[int, int]:
    """How many entries a book has and the seq of its last: changes whenever the book does. (0, 0) when there is no such book."""
    count, last = db.execute("SELECT count(*), coalesce(max(seq), 0) FROM entries WHERE book = ?", [book]).fetchone()
    return int(count), int(last)
