"""The few values that the server makes for itself and must find again."""

from __future__ import annotations

import secrets

from sqlite_utils import Database

from app.store.database import writing


def read(db: Database, name: str) -> str | None:
    """A setting's value, or None."""
    row = db.execute("SELECT value FROM settings WHERE name = ?", [name]).fetchone()
    return None if row is None else str(row[0])


def write(db: Database, name: str, value: str) -> None:
    """Set a value, in the running change or in one of its own."""
    with writing(db):
        db.execute("INSERT INTO settings VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value", [name, value])


def secret_key(db: Database) -> str:
    """The key that signs sessions; made at the first start, kept from then on so that a restart signs nobody out."""
    found = read(db, "secret_key")
    if found is not None:
        return found
    with writing(db):
        # A second process may have made it between the look and the lock.
        db.execute("INSERT OR IGNORE INTO settings VALUES ('secret_key', ?)", [secrets.token_hex(32)])
    return str(read(db, "secret_key"))
