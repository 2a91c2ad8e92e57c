"""Photos over HTTP: sent as often as it takes, checked by hash, size and kind."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
from flask import Flask
from PIL import Image

from tests.conftest import Phone, picture

HELD = picture()
SHA256 = hashlib.sha256(HELD).hexdigest()


def files(app: Flask) -> list[Path]:
    return [path for path in Path(app.config["PHOTOS"]).rglob("*") if path.is_file()]


def test_a_photo_is_asked_for_sent_sent_again_and_fetched(phone: Phone) -> None:
    address = f"/api/photos/{SHA256}"
    assert phone.client.head(address).status_code == 404
    assert phone.put_photo(HELD).status_code == 201
    assert phone.put_photo(HELD).status_code == 200
    assert phone.client.head(address).status_code == 200
    answer = phone.client.get(address)
    assert (answer.data, answer.mimetype) == (HELD, "image/jpeg")
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Disposition"] == f'inline; filename="{SHA256}.jpg"'
    assert "private" in answer.headers["Cache-Control"] and "immutable" in answer.headers["Cache-Control"]


def test_bytes_that_do_not_match_the_name_are_refused(phone: Phone, app: Flask) -> None:
    answer = phone.put_photo(HELD[:-1], SHA256)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (400, "hash")
    assert files(app) == []
    assert phone.put_photo(HELD, "not-a-hash").status_code == 400


def test_a_photo_announced_as_ten_gigabytes_is_refused_before_reading(phone: Phone, app: Flask) -> None:
    class NeverRead(io.RawIOBase):
        def readable(self) -> bool:
            return True

        def readinto(self, _: object) -> int:
            pytest.fail("the body was read")

    headers = {"X-CSRFToken": phone.token}
    environ = {"wsgi.input": NeverRead(), "CONTENT_LENGTH": "10737418240"}
    answer = phone.client.put(f"/api/photos/{SHA256}", headers=headers, environ_overrides=environ)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (413, "too_large")
    assert files(app) == []


def test_a_body_of_unsaid_length_is_refused(phone: Phone, app: Flask) -> None:
    headers = {"X-CSRFToken": phone.token, "Transfer-Encoding": "chunked"}
    assert phone.client.put(f"/api/photos/{SHA256}", headers=headers).status_code == 413
    assert files(app) == []


def test_a_length_that_says_less_or_more_than_comes_stores_nothing(phone: Phone, app: Flask) -> None:
    for said in (len(HELD) - 10, len(HELD) + 10):
        environ = {"CONTENT_LENGTH": str(said), "wsgi.input": io.BytesIO(HELD)}
        answer = phone.client.put(f"/api/photos/{SHA256}", headers={"X-CSRFToken": phone.token}, environ_overrides=environ)
        assert answer.status_code == 400
    assert files(app) == []


@pytest.mark.parametrize(
    "held", [b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", b"<html>", b"GIF89a", b"%PDF-1.7", b""]
)
def test_what_is_no_photo_is_refused_by_its_bytes(phone: Phone, app: Flask, held: bytes) -> None:
    answer = phone.put_photo(held)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (415, "kind")
    assert files(app) == []


def test_a_heic_photo_comes_as_it_is_or_as_jpeg(phone: Phone) -> None:
    held = picture("HEIF", (120, 80))
    assert phone.put_photo(held).status_code == 201
    address = f"/api/photos/{hashlib.sha256(held).hexdigest()}"
    assert phone.client.get(address).data == held
    answer = phone.client.get(f"{address}?as=jpeg")
    assert answer.mimetype == "image/jpeg"
    assert Image.open(io.BytesIO(answer.data)).size == (120, 80)


def test_a_photo_that_cannot_be_shown_is_still_kept(phone: Phone) -> None:
    held = b"\xff\xd8\xff" + b"\x00" * 200
    assert phone.put_photo(held).status_code == 201
    address = f"/api/photos/{hashlib.sha256(held).hexdigest()}"
    assert phone.client.get(address).data == held
    answer = phone.client.get(f"{address}?as=jpeg")
    assert answer.status_code == 415
    assert "kept" in answer.get_json()["error"]["message"]


@pytest.mark.parametrize("name", ["..%2f..%2fspanbook.db", "0" * 63, "G" * 64])
def test_a_name_that_is_no_hash_finds_nothing(phone: Phone, name: str) -> None:
    assert phone.client.get(f"/api/photos/{name}").status_code == 404
