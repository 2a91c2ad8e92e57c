"""Links for clients: whoever holds the token may read one signed record. Only the token's hash is kept, so nobody can read it out of here."""

from __future__ import annotations

import hashlib
import re
import secrets
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sqlite_utils import Database

from app.config import SHARE_NOTE_LONGEST
from app.store.database import now, writing

_TOKEN_BYTES = 24
_TOKEN = re.compile(r"[A-Za-z0-9_-]{32}")
_COLUMNS = """
    SELECT shares.number, shares.book, shares.link, maker.name, shares.made_at, shares.for_whom, shares.last_day, shares.revoked_at, revoker.name
    FROM shares JOIN people AS maker ON maker.id = shares.person LEFT JOIN people AS revoker ON revoker.id = shares.revoked_by
"""


class ShareRefused(ValueError):
    """A note or a last day that can't be taken; `field` names it, the text says why and what to do."""

    def __init__(self, field: str, message: str):
        super().__init__(message)
        self.field = field


@dataclass(frozen=True)
class Share:
    """A link for a client: which record, who made it when and for whom, its last day, and who revoked it when."""

    number: int
    book: str
    link: str
    by: str
    made_at: str
    for_whom: str
    last_day: str | None
    revoked_at: str | None
    revoked_by: str | None

    @property
    def is_over(self) -> bool:
        """Its last day has ended everywhere on earth, so that no client loses an evening to a time zone."""
        return self.last_day is not None and _earliest_day() > date.fromisoformat(self.last_day)

    @property
    def is_open(self) -> bool:
        """Does it still show the record?"""
        return self.revoked_at is None and not self.is_over


def _earliest_day() -> date:
    """The day that it still is where the day ends last."""
    return (datetime.now(UTC) - timedelta(hours=12)).date()


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def make(db: Database, book: str, link: str, person: int, for_whom: str = "", last_day: str = "") -> tuple[Share, str]:
    """A new link for a client and its token of 192 bits, which is not kept and so can't be shown again.

    for_whom: a note for the office, up to 120 characters; last_day: "2026-12-31" or "". Errors: ShareRefused.
    """
    note, day = _note(for_whom), _day(last_day)
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    with writing(db):
        added = db.execute(
            "INSERT INTO shares (token_sha256, book, link, person, made_at, for_whom, last_day) VALUES (?, ?, ?, ?, ?, ?, ?)",
            [_hash(token), book, link, person, now(), note, day],
        )
        number = added.lastrowid
    return _share(db.execute(f"{_COLUMNS} WHERE shares.number = ?", [number]).fetchone()), token


def _note(for_whom: str) -> str:
    note = " ".join(for_whom.split())
    if len(note) > SHARE_NOTE_LONGEST:
        raise ShareRefused("for_whom", f"The note has {len(note)} characters; up to {SHARE_NOTE_LONGEST} fit. Shorten it.")
    return note


def _day(last_day: str) -> str | None:
    if not last_day.strip():
        return None
    try:
        day = date.fromisoformat(last_day.strip())
    except ValueError:
        raise ShareRefused("last_day", f"'{last_day[:40]}' is no day. Write it as year-month-day, or leave it empty.") from None
    if day < _earliest_day():
        raise ShareRefused("last_day", f"{day.isoformat()} is over. Choose today or a later day, or leave it empty.")
    return day.isoformat()


def _share(row: Any) -> Share:
    return Share(*row)


def open_for(db: Database, token: str) -> Share | None:
    """The share of this token while it shows its record; None when it is wrong, revoked or over."""
    if not _TOKEN.fullmatch(token):
        return None
    row = db.execute(f"{_COLUMNS} WHERE shares.token_sha256 = ?", [_hash(token)]).fetchone()
    found = _share(row) if row else None
    return found if found and found.is_open else None


def of_link(db: Database, book: str, link: str) -> list[Share]:
    """All that were ever made for a link, newest first."""
    rows = db.execute(f"{_COLUMNS} WHERE shares.book = ? AND shares.link = ? ORDER BY shares.number DESC", [book, link])
    return [_share(row) for row in rows.fetchall()]


def revoke(db: Database, book: str, link: str, number: int, person: int) -> bool:
    """End a share at once. False when the link has none of this number; one that was revoked before keeps who did it."""
    with writing(db):
        held = db.execute("SELECT 1 FROM shares WHERE number = ? AND book = ? AND link = ?", [number, book, link]).fetchone()
        db.execute(
            "UPDATE shares SET revoked_at = ?, revoked_by = ? WHERE number = ? AND book = ? AND link = ? AND revoked_at IS NULL",
            [now(), person, number, book, link],
        )
    return held is not None
