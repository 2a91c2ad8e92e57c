"""A signed fibre link with one real photo on the server, a link for its client, and the client's browser, which nobody signed in with."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlite_utils import Database
from werkzeug.test import TestResponse

from app.store import shares
from tests import sealing
from tests.conftest import Phone, picture
from tests.made_links import FibreLink
from tests.making import BOOK, new_id

OFFICE = 1


@dataclass
class Signed:
    """A phone's story of a link: signed and sent, with ways to go on with it."""

    phone: Phone
    made: FibreLink = field(default_factory=lambda: FibreLink(photos=0))
    photo: bytes = field(default_factory=lambda: picture(size=(900, 700)))

    def __post_init__(self) -> None:
        self.story, self.link = self.made.story, self.made.link
        self.sha256 = hashlib.sha256(self.photo).hexdigest()
        self.add_photo(self.sha256, "Trench before closing")
        self.seals: list[str] = []

    def add_photo(self, sha256: str, caption: str) -> None:
        body = {"link": self.link, "of": self.made.stations[1], "sha256": sha256, "type": "image/jpeg", "caption": caption}
        self.story.add("photo", body)

    def sign(self, at: str = "2026-03-20T15:00:00.000+01:00", **more: object) -> None:
        """Accept what is open, sign as two people do, send."""
        text, accepted = sealing.seal_text(BOOK, self.story.texts, self.link, new_id(), at, accept=True, **more)  # type: ignore[arg-type]
        self.story.texts += [*accepted, text]
        self.seals.append(text)
        self.send()

    def send(self) -> None:
        answer = self.phone.sync(self.story.texts).get_json()
        assert answer["refused"] == []


@pytest.fixture
def signed(phone: Phone) -> Signed:
    found = Signed(phone)
    found.sign()
    phone.put_photo(found.photo)
    return found


@dataclass
class Client:
    """Who was given the link."""

    browser: FlaskClient
    token: str

    def get(self, more: str = "", token: str | None = None) -> TestResponse:
        return self.browser.get(f"/c/{self.token if token is None else token}{more}")


@pytest.fixture
def share(db: Database, signed: Signed) -> tuple[shares.Share, str]:
    return shares.make(db, BOOK, signed.link, OFFICE, "The client's engineer")


@pytest.fixture
def reader(app: Flask, share: tuple[shares.Share, str]) -> Client:
    return Client(app.test_client(), share[1])


@pytest.fixture
def tamper(db: Database) -> Callable[[str, list[str]], None]:
    """Somebody with the database file in hand: the triggers that hold entries are no lock."""

    def run(statement: str, values: list[str]) -> None:
        for name in ("entries_never_change", "entries_never_go"):
            db.execute(f"DROP TRIGGER IF EXISTS {name}")
        assert db.execute(statement, values).rowcount == 1
        db.conn.commit()

    return run
