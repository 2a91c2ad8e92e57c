"""Saved means saved; a change is whole; reading never writes."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest
from sqlite_utils import Database

from app.store import database, entries, settings
from app.store.entries import CheckedEntry
from app.store.schema import migrations


def made(number: int, text: str = "{}") -> CheckedEntry:
    return CheckedEntry(text, f"id-{number}", "book", "note", f"sha-of-{text}", None)


def test_a_connection_flushes_at_every_commit_and_holds_references(db: Database) -> None:
    assert db.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    assert db.execute("PRAGMA synchronous").fetchone()[0] == 2  # 2 is FULL in SQLite's documentation
    assert db.execute("PRAGMA foreign_keys").fetchone()[0] == 1
    assert db.execute("PRAGMA busy_timeout").fetchone()[0] >= 5000


def test_every_table_of_ours_is_strict(db: Database) -> None:
    rows = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table' AND sql LIKE 'CREATE TABLE%'").fetchall()
    ours = {name: sql for name, sql in rows if not name.startswith(("search", "sqlite_", "_sqlite"))}
    assert set(ours) - {"device_keys"} == {"people", "entries", "photos", "links", "settings", "shares"}
    assert all(sql.rstrip().endswith("STRICT") for sql in ours.values())


def test_a_change_that_fails_midway_leaves_nothing(db: Database) -> None:
    with pytest.raises(RuntimeError, match="midway"), database.writing(db):
        entries.add(db, made(1), None, "phone")
        settings.write(db, "a", "b")
        raise RuntimeError("midway")
    assert entries.last_seq(db) == 0
    assert settings.read(db, "a") is None


def test_a_migration_that_fails_leaves_neither_its_tables_nor_its_mark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.store.schema._FIRST", ("CREATE TABLE half (a TEXT) STRICT", "CREATE TABLE half (a TEXT) STRICT"))
    with pytest.raises(sqlite3.OperationalError, match="already exists"):
        database.prepare(tmp_path / "new.db")
    db = database.connect(tmp_path / "new.db")
    assert not db["half"].exists()
    assert migrations.pending(db)[0].name == "m001_first"
    db.close()


def test_preparing_twice_changes_nothing(data_folder: Path, db: Database) -> None:
    before = db.execute("PRAGMA data_version").fetchone()[0]
    database.prepare(data_folder / "spanbook.db")
    assert db.execute("PRAGMA data_version").fetchone()[0] == before


def test_an_entry_can_be_neither_changed_nor_deleted(db: Database) -> None:
    with database.writing(db):
        entries.add(db, made(1), None, "phone")
    for statement in ("UPDATE entries SET text = 'other'", "DELETE FROM entries"):
        with pytest.raises(sqlite3.IntegrityError, match="never"):
            db.execute(statement)
    assert entries.texts_of(db, "book") == ["{}"]


def test_two_threads_writing_lose_nothing_and_never_fail(data_folder: Path, db: Database) -> None:
    failures: list[BaseException] = []

    def write(first: int) -> None:
        own = database.connect(data_folder / "spanbook.db")
        try:
            for number in range(first, first + 60):
                with database.writing(own):
                    entries.last_seq(own)
                    entries.add(own, made(number), None, "phone")
        except BaseException as error:
            failures.append(error)
        finally:
            own.close()

    threads = [threading.Thread(target=write, args=(first,)) for first in (0, 1000, 2000)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert db.execute("SELECT count(*), max(seq) FROM entries").fetchone() == (180, 180)


def test_the_secret_key_outlives_a_restart(db: Database, data_folder: Path) -> None:
    first = settings.secret_key(db)
    other = database.connect(data_folder / "spanbook.db")
    assert settings.secret_key(other) == first
    assert len(first) == 64
    other.close()
