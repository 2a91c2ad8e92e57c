"""Opening the database so that saved means saved, and changing it whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlite_utils import Database

from app.store.schema import migrations

BUSY_TIMEOUT_MS = 15_000


def connect(path: Path) -> Database:
    """A connection for one request or thread: write-ahead log, flushed at every commit, foreign keys held."""
    db = Database(path)
    db.conn.execute(f"PRAGMA busy_timeout = {BUSY_TIMEOUT_MS}")
    db.conn.execute("PRAGMA synchronous = FULL")
    db.conn.execute("PRAGMA foreign_keys = ON")
    return db


def prepare(path: Path) -> None:
    """Make the database if it isn't there, and bring an older one up to this version."""
    path.parent.mkdir(parents=True, exist_ok=True)
    db = connect(path)
    try:
        db.conn.execute("PRAGMA journal_mode = WAL")
        if migrations.pending(db):
            migrations.apply(db)
    finally:
        db.close()


@contextmanager
def writing(db: Database) -> Iterator[Database]:
    """One change, whole or not at all. The write lock is taken first, so that two writers queue instead of failing half-way."""
    if db.conn.in_transaction:
        with db.atomic():
            yield db
        return
    db.conn.execute("BEGIN IMMEDIATE")
    try:
        with db.atomic():
            yield db
        db.conn.execute("COMMIT")
    except BaseException:
        db.rollback()
        raise


def now() -> str:
    """The server's time in UTC, to the millisecond."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")
