"""Whatever isn't one open record is one and the same page, and guessing ends soon."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from flask import Flask
from sqlite_utils import Database

from app.store import shares
from tests.client.conftest import OFFICE, Client, Signed
from tests.conftest import Phone, picture
from tests.making import BOOK, id_of

WRONG = "A" * 32


def nothing(app: Flask) -> bytes:
    answer = app.test_client().get(f"/c/{WRONG}")
    assert answer.status_code == 404
    return answer.data


def test_revoked_is_revoked_at_once_for_page_photo_and_pdf(
    app: Flask, reader: Client, signed: Signed, share: tuple[shares.Share, str], db: Database
) -> None:
    parts = ("", f"/photos/{signed.sha256}", "/record.pdf")
    assert [reader.get(part).status_code for part in parts] == [200, 200, 200]
    shares.revoke(db, BOOK, signed.link, share[0].number, OFFICE)
    assert [(answer := reader.get(part)).status_code for part in parts] == [404, 404, 404]
    assert answer.data == nothing(app)


def test_over_is_over(app: Flask, reader: Client, signed: Signed, db: Database) -> None:
    _, token = shares.make(db, BOOK, signed.link, OFFICE, last_day=datetime.now(UTC).date().isoformat())
    assert reader.get(token=token).status_code == 200
    db.execute("UPDATE shares SET last_day = '2020-01-01' WHERE last_day IS NOT NULL")
    db.conn.commit()
    answer = reader.get(token=token)
    assert (answer.status_code, answer.data) == (404, nothing(app))


@pytest.mark.parametrize(
    "more",
    [
        "/",
        "/photos/",
        "/photos/" + "0" * 64,
        "/photos/..%2f..%2fspanbook.db",
        "/record.pdf/x",
        "/record.pdf?paper=a5",
        "/office",
        "/entries",
        "/../../office/",
        "//",
    ],
)
def test_nothing_else_is_under_a_good_token(app: Flask, reader: Client, more: str) -> None:
    answer = reader.get(more)
    assert (answer.status_code, answer.data) == (404, nothing(app))


@pytest.mark.parametrize(
    "address", ["/c/", "/c/x", "/c/" + WRONG, "/c/" + "A" * 5000, "/c/%00", "/c/é", f"/c/{WRONG}/record.pdf"]
)
def test_a_wrong_token_is_the_same_page_everywhere(app: Flask, signed: Signed, address: str) -> None:
    answer = app.test_client().get(address)
    assert (answer.status_code, answer.data) == (404, nothing(app))
    assert b"/office" not in answer.data and b"ign in" not in answer.data


@pytest.mark.parametrize("method", ["post", "put", "delete", "patch"])
def test_nothing_can_be_written(app: Flask, reader: Client, method: str) -> None:
    answer = getattr(reader.browser, method)(f"/c/{reader.token}", data=b"x")
    assert (answer.status_code, answer.data) == (404, nothing(app))


def test_a_body_that_is_too_large_is_the_same_page(app: Flask, reader: Client) -> None:
    answer = reader.browser.post(f"/c/{reader.token}", data=b"x" * 2_000_000)
    assert (answer.status_code, answer.data) == (404, nothing(app))


def test_a_photo_of_another_link_is_not_reachable_though_the_server_has_it(reader: Client, signed: Signed) -> None:
    held = picture(shade=7)
    sha256 = hashlib.sha256(held).hexdigest()
    signed.story.add("photo", {"link": None, "of": BOOK, "sha256": sha256, "type": "image/jpeg", "caption": "The site"})
    signed.send()
    assert signed.phone.put_photo(held).status_code == 201
    assert reader.get(f"/photos/{sha256}").status_code == 404


def test_a_token_opens_no_other_address(reader: Client, signed: Signed) -> None:
    for address in (f"/office/links/{BOOK}/{signed.link}", f"/office/photos/{signed.sha256}", "/office/people"):
        assert reader.browser.get(address).status_code == 302
    assert reader.browser.get(f"/api/photos/{signed.sha256}").status_code == 401


def test_a_link_whose_seal_is_gone_shows_nothing(
    app: Flask, reader: Client, signed: Signed, tamper: Callable[[str, list[str]], None]
) -> None:
    tamper("DELETE FROM entries WHERE id = ?", [id_of(signed.seals[0])])
    answer = reader.get()
    assert (answer.status_code, answer.data) == (404, nothing(app))


def test_a_fault_of_the_server_writes_no_token_into_its_log(
    app: Flask, reader: Client, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    app.config["PROPAGATE_EXCEPTIONS"] = False
    monkeypatch.setattr(shares, "open_for", lambda *_: 1 / 0)
    for more in ("", "/record.pdf"):
        assert reader.get(more).status_code == 500
    assert "Exception on /c/.../record.pdf [GET]" in caplog.text and "ZeroDivisionError" in caplog.text
    assert reader.token not in caplog.text


def test_guessing_is_slowed_and_reading_is_not(app: Flask, reader: Client) -> None:
    for _ in range(40):
        assert reader.get().status_code == 200
    statuses = [app.test_client().get(f"/c/{WRONG[:-2]}{number:02d}").status_code for number in range(40)]
    assert statuses[:30] == [404] * 30
    assert set(statuses[30:]) == {429}
    answer = app.test_client().get(f"/c/{WRONG}")
    assert "too many wrong addresses" in answer.text and "sign" not in answer.text.lower().replace("signed", "")


def test_what_is_missing_behind_a_good_address_is_no_guess(reader: Client) -> None:
    for _ in range(40):
        assert reader.get("/photos/" + "0" * 64).status_code == 404
    assert reader.get().status_code == 200


def test_signing_in_is_not_slowed_by_wrong_tokens(app: Flask, new_phone: Callable[[], Phone]) -> None:
    for _ in range(35):
        app.test_client().get(f"/c/{WRONG}")
    assert new_phone().sign_in().status_code == 200
