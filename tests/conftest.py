"""What tests of the server share: a data folder of their own, an app over it, a browser that is signed in or not."""

from __future__ import annotations

import hashlib
import io
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import settings
from PIL import Image
from sqlite_utils import Database
from werkzeug.test import TestResponse

from app import create_app
from app.store import database, people
from app.store.photos import PhotoFolder
from app.sync.signing_in import limiter

# How long one draw takes is the machine's business, not the test's.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

NAME = "Ada Office"
PASSWORD = "correct horse staple"
INSTALLER = "Ben Installer"


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> Iterator[None]:
    """Passwords hashed with little work: the slow hash is the library's, and tests sign in hundreds of times."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(people, "_hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
        yield


@pytest.fixture(scope="session")
def fresh_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Made once and copied for each test."""
    folder = tmp_path_factory.mktemp("fresh")
    database.prepare(folder / "spanbook.db")
    db = database.connect(folder / "spanbook.db")
    people.add(db, NAME, PASSWORD, "office")
    people.add(db, INSTALLER, PASSWORD, "installer")
    db.close()
    return folder


@pytest.fixture
def data_folder(fresh_folder: Path, tmp_path: Path) -> Path:
    """A data folder of the test's own with a prepared database and two people: one of the office, one installer."""
    return Path(shutil.copytree(fresh_folder, tmp_path / "data"))


@pytest.fixture
def db(data_folder: Path) -> Iterator[Database]:
    """A connection of the test's own."""
    found = database.connect(data_folder / "spanbook.db")
    yield found
    found.close()


@pytest.fixture
def photos(data_folder: Path) -> PhotoFolder:
    return PhotoFolder(data_folder / "photos")


@pytest.fixture
def app(data_folder: Path) -> Iterator[Flask]:
    """The server over the data folder; refused sign-ins are counted from zero."""
    made = create_app(data_folder, TESTING=True)
    limiter.reset()
    yield made
    limiter.reset()


class Phone:
    """A signed-in or signed-out browser that sends the write token as the phone does."""

    def __init__(self, client: FlaskClient):
        self.client = client
        self.token = ""

    def session(self) -> dict[str, Any]:
        found: dict[str, Any] = self.client.get("/api/session").get_json()
        self.token = found["csrf"]
        return found

    def sign_in(self, name: str = NAME, password: str = PASSWORD) -> TestResponse:
        self.session()
        answer = self.post("/api/sign-in", {"name": name, "password": password})
        if answer.status_code == 200:
            self.token = answer.get_json()["csrf"]
        return answer

    def post(self, address: str, sent: Any) -> TestResponse:
        return self.client.post(address, json=sent, headers={"X-CSRFToken": self.token})

    def sync(self, texts: list[Any], cursor: int = 0, device: str = "phone-1") -> TestResponse:
        return self.post("/api/sync", {"device": device, "cursor": cursor, "entries": texts})

    def put_photo(self, held: bytes, sha256: str | None = None) -> TestResponse:
        address = f"/api/photos/{sha256 or hashlib.sha256(held).hexdigest()}"
        return self.client.put(address, data=held, headers={"X-CSRFToken": self.token, "Content-Type": "image/jpeg"})


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A browser that nobody signed in with."""
    return app.test_client()


@pytest.fixture
def phone(app: Flask) -> Phone:
    """A phone with a session of the office person."""
    found = Phone(app.test_client())
    assert found.sign_in().status_code == 200
    return found


@pytest.fixture
def new_phone(app: Flask) -> Callable[[], Phone]:
    """Makes phones that have never signed in."""
    return lambda: Phone(app.test_client())


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), shade: int = 120) -> bytes:
    """A small real picture's bytes."""
    out = io.BytesIO()
    Image.new("RGB", size, (shade, 90, 40)).save(out, kind)
    return out.getvalue()
