"""Links for clients as they are kept: the token itself is nowhere, and what is revoked or over opens nothing."""

from __future__ import annotations

import hashlib
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from sqlite_utils import Database

from app.store import shares
from tests.making import BOOK

LINK = "01990000-0000-7000-8000-0000000000aa"
OFFICE, INSTALLER = 1, 2


def day(after: int) -> str:
    return (datetime.now(UTC).date() + timedelta(days=after)).isoformat()


def test_a_token_opens_its_share_and_says_who_made_it(db: Database) -> None:
    made, token = shares.make(db, BOOK, LINK, INSTALLER, "  The client's  engineer ", day(30))
    assert shares.open_for(db, token) == made
    assert (made.by, made.for_whom, made.last_day, made.is_open) == ("Ben Installer", "The client's engineer", day(30), True)


def test_tokens_differ_and_hold_at_least_128_bits(db: Database) -> None:
    tokens = {shares.make(db, BOOK, LINK, OFFICE)[1] for _ in range(20)}
    assert len(tokens) == 20
    # 6 bits a character of base64url.
    assert all(len(token) * 6 >= 128 for token in tokens)


def test_only_the_hash_of_a_token_is_kept(db: Database, data_folder: Path) -> None:
    _, token = shares.make(db, BOOK, LINK, OFFICE)
    kept = b"".join(path.read_bytes() for path in data_folder.glob("spanbook.db*"))
    assert token.encode() not in kept
    assert hashlib.sha256(token.encode()).hexdigest().encode() in kept


@pytest.mark.parametrize("wrong", ["", "x", "A" * 32, "../../../../etc/passwd", "é" * 32, "A" * 10_000])
def test_a_wrong_token_opens_nothing(db: Database, wrong: str) -> None:
    shares.make(db, BOOK, LINK, OFFICE)
    assert shares.open_for(db, wrong) is None


def test_a_token_with_one_letter_in_the_other_case_opens_nothing(db: Database) -> None:
    _, token = shares.make(db, BOOK, LINK, OFFICE)
    assert shares.open_for(db, token.swapcase()) is None


def test_a_revoked_share_opens_nothing_and_keeps_who_revoked_it_first(db: Database) -> None:
    made, token = shares.make(db, BOOK, LINK, OFFICE)
    other, other_token = shares.make(db, BOOK, LINK, OFFICE)
    assert shares.revoke(db, BOOK, LINK, made.number, INSTALLER) is True
    assert shares.revoke(db, BOOK, LINK, made.number, OFFICE) is True
    assert shares.open_for(db, token) is None
    assert shares.open_for(db, other_token) == other
    assert [(share.number, share.revoked_by) for share in shares.of_link(db, BOOK, LINK)] == [
        (other.number, None),
        (made.number, "Ben Installer"),
    ]


def test_a_share_of_another_link_is_not_revoked(db: Database) -> None:
    made, token = shares.make(db, BOOK, LINK, OFFICE)
    assert shares.revoke(db, BOOK, "another", made.number, OFFICE) is False
    assert shares.open_for(db, token) is not None


@pytest.mark.parametrize(
    ("hours_after", "open"),
    [
        (24 + 11, True),  # 11:00 UTC of the day after: still the last day where days end last, at UTC-12
        (24 + 13, False),
    ],
)
def test_a_last_day_lasts_until_it_has_ended_everywhere(
    db: Database, monkeypatch: pytest.MonkeyPatch, hours_after: int, open: bool
) -> None:
    _, token = shares.make(db, BOOK, LINK, OFFICE, last_day="2199-06-30")
    then = datetime(2199, 6, 30, tzinfo=UTC) + timedelta(hours=hours_after)

    class Clock(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            return then

    monkeypatch.setattr(shares, "datetime", Clock)
    assert (shares.open_for(db, token) is not None) is open


@pytest.mark.parametrize(
    ("note", "last_day", "field", "says"),
    [
        ("x" * 121, "", "for_whom", "121 characters"),
        ("", "2026-02-30", "last_day", "no day"),
        ("", "tomorrow", "last_day", "year-month-day"),
        ("", date(2020, 1, 1).isoformat(), "last_day", "2020-01-01 is over"),
    ],
)
def test_what_cannot_be_kept_is_refused_beside_its_field(db: Database, note: str, last_day: str, field: str, says: str) -> None:
    with pytest.raises(shares.ShareRefused, match=says) as refused:
        shares.make(db, BOOK, LINK, OFFICE, note, last_day)
    assert refused.value.field == field
    assert shares.of_link(db, BOOK, LINK) == []
