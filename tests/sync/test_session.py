"""Signing in, staying in, and what happens when that ends: no entry is lost by it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlite_utils import Database

from app import create_app
from app.store import entries, people
from app.sync.signing_in import WRONG
from tests.conftest import INSTALLER, NAME, PASSWORD, Phone
from tests.making import BOOK, entry


def note() -> str:
    return entry("note", {"link": None, "of": BOOK, "text": "kept"})


def test_the_session_says_who_is_signed_in(phone: Phone, client: FlaskClient) -> None:
    found = phone.session()
    assert (found["signed_in"], found["name"]) == (True, NAME)
    assert found["now"].endswith("+00:00")
    nobody = client.get("/api/session").get_json()
    assert (nobody["signed_in"], nobody["name"]) == (False, None)
    assert nobody["csrf"]


def test_the_cookie_lasts_ninety_days_and_scripts_cannot_read_it(new_phone: Callable[[], Phone]) -> None:
    cookie = new_phone().sign_in().headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Lax" in cookie and "Expires=" in cookie
    assert "Secure" not in cookie


def test_on_https_the_cookie_is_secure_and_a_write_needs_our_own_referrer(app: Flask) -> None:
    client = app.test_client()
    first = client.get("/api/session", base_url="https://book.example")
    assert "Secure" in first.headers["Set-Cookie"]
    headers = {"X-CSRFToken": first.get_json()["csrf"]}
    sent = {"name": NAME, "password": PASSWORD}
    assert client.post("/api/sign-in", json=sent, headers=headers, base_url="https://book.example").status_code == 403
    headers["Referer"] = "https://book.example/"
    answer = client.post("/api/sign-in", json=sent, headers=headers, base_url="https://book.example")
    assert answer.status_code == 200
    assert "Secure" in answer.headers["Set-Cookie"]


@pytest.mark.parametrize(("name", "password"), [(NAME, "not the password"), ("Nobody At All", PASSWORD)])
def test_wrong_name_and_wrong_password_are_told_in_the_same_words(
    new_phone: Callable[[], Phone], name: str, password: str
) -> None:
    answer = new_phone().sign_in(name, password)
    assert answer.status_code == 401
    assert answer.get_json() == {"error": {"code": "wrong", "message": WRONG}}


@pytest.mark.parametrize("sent", [{}, [], "x", {"name": 1, "password": 2}, {"name": NAME}])
def test_a_sign_in_of_the_wrong_form_is_refused(new_phone: Callable[[], Phone], sent: object) -> None:
    phone = new_phone()
    phone.session()
    assert phone.post("/api/sign-in", sent).status_code == 400


def test_failed_sign_ins_are_limited_per_account_whatever_the_address(app: Flask, new_phone: Callable[[], Phone]) -> None:
    phone = new_phone()
    for number in range(10):
        phone.client.environ_base["REMOTE_ADDR"] = f"192.0.2.{number}"
        assert phone.sign_in(password="guess").status_code == 401
    phone.client.environ_base["REMOTE_ADDR"] = "192.0.2.200"
    answer = phone.sign_in()
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (429, "too_often")
    assert phone.sign_in(INSTALLER).status_code == 200


def test_failed_sign_ins_are_limited_per_address_whatever_the_account(new_phone: Callable[[], Phone]) -> None:
    phone = new_phone()
    answers = [phone.sign_in(f"name {number}", "guess").status_code for number in range(32)]
    assert answers[:30] == [401] * 30
    assert answers[30:] == [429, 429]


def test_successful_sign_ins_are_not_counted(new_phone: Callable[[], Phone]) -> None:
    assert {new_phone().sign_in().status_code for _ in range(14)} == {200}


def test_signed_out_nothing_is_taken_and_the_answer_says_so(client: FlaskClient, db: Database) -> None:
    phone = Phone(client)
    phone.session()
    answer = phone.sync([note()])
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (401, "signed_out")
    assert client.get("/api/photos/" + "0" * 64).status_code == 401
    assert phone.put_photo(b"x").status_code == 401
    assert entries.last_seq(db) == 0


def test_after_the_session_has_expired_signing_in_again_sends_what_waited(phone: Phone, db: Database) -> None:
    text = note()
    phone.client.delete_cookie("spanbook_session")
    # Without its session the old write token is void too: what counts is that the answer is "sign in", not "bad token".
    assert phone.sync([text]).status_code == 401
    assert phone.sign_in().status_code == 200
    assert phone.sync([text]).get_json()["accepted"]
    assert entries.texts_of(db, BOOK) == [text]


@pytest.mark.parametrize("token", ["", "made up", "IjEyMyI.aaaa.bbbb"])
def test_a_wrong_write_token_stores_nothing_and_a_fresh_one_works(phone: Phone, db: Database, token: str) -> None:
    phone.token = token
    answer = phone.sync([note()])
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (403, "csrf")
    assert phone.put_photo(b"\xff\xd8\xff").status_code == 403
    assert entries.last_seq(db) == 0
    phone.session()
    assert phone.sync([note()]).status_code == 200


def test_another_sessions_write_token_does_not_count(phone: Phone, new_phone: Callable[[], Phone]) -> None:
    other = new_phone()
    other.sign_in()
    phone.token = other.token
    assert phone.sync([note()]).status_code == 403


def test_signing_out_ends_the_session(phone: Phone) -> None:
    assert phone.post("/api/sign-out", {}).status_code == 200
    assert phone.session()["signed_in"] is False


def test_a_new_password_or_stopped_access_ends_old_sessions(phone: Phone, db: Database) -> None:
    ada = people.by_name(db, NAME)
    assert ada
    people.set_password(db, ada, "another long password")
    assert phone.sync([note()]).status_code == 401
    assert phone.sign_in(password="another long password").status_code == 200
    people.add(db, "Second", PASSWORD, "office")
    people.set_active(db, ada, False)
    assert phone.sync([note()]).status_code == 401


def test_a_session_outlives_a_restart_of_the_server(phone: Phone, app: Flask, data_folder: object) -> None:
    cookie = phone.client.get_cookie("spanbook_session")
    assert cookie
    again = create_app(str(data_folder), TESTING=True).test_client()
    again.set_cookie("spanbook_session", cookie.value)
    assert again.get("/api/session").get_json()["signed_in"] is True


def test_a_fault_of_the_server_is_told_as_such_and_keeps_nothing_half(
    data_folder: Path, db: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = Phone(create_app(data_folder).test_client())
    phone.sign_in()

    def fail(*_: object) -> bool:
        raise OSError("disk full")

    monkeypatch.setattr("app.store.index.rebuild", fail)
    answer = phone.sync([note()])
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (500, "fault")
    assert "still on the phone" in answer.get_json()["error"]["message"]
    assert entries.last_seq(db) == 0


@pytest.mark.parametrize(("address", "status"), [("/api/nothing", 404), ("/api/sync", 405)])
def test_errors_under_api_are_json_with_a_sentence(phone: Phone, address: str, status: int) -> None:
    answer = phone.client.get(address)
    assert answer.status_code == status
    assert answer.get_json()["error"]["message"].endswith(".")
