"""A phone's key is registered for whoever is signed in on it; what is no key is refused in words, and nothing of it is kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlite_utils import Database

from app.store import keys
from tests.conftest import INSTALLER, NAME, Phone
from tests.sealing import DEVICE, Device

PHONE = "01990000-0000-7000-8000-0000000000aa"
WITHOUT_POINT = "A" * 43


def send(phone: Phone, key: Any = DEVICE.jwk, device: Any = PHONE) -> Any:
    return phone.post("/api/device-key", {"device": device, "key": key})


def test_a_phone_s_key_is_registered_under_its_thumbprint_by_rfc_7638(phone: Phone, db: Database) -> None:
    # RFC 7638, section 3: SHA-256 over the required members in the order of their names, without blanks.
    text = json.dumps({name: DEVICE.jwk[name] for name in ("crv", "kty", "x", "y")}, separators=(",", ":"))
    thumbprint = hashlib.sha256(text.encode()).hexdigest()
    answer = send(phone)
    assert (answer.status_code, answer.get_json()) == (200, {"thumbprint": thumbprint})
    (kept,) = keys.listed(db)
    assert (kept.thumbprint, kept.person, kept.device, kept.lost_at) == (thumbprint, NAME, PHONE, None)
    assert keys.words(db) == {thumbprint: f"registered by {NAME} on {kept.registered_at[:10]}"}


def test_registering_again_changes_nothing(phone: Phone, db: Database) -> None:
    first = send(phone).get_json()
    before = keys.listed(db)
    assert send(phone).get_json() == first
    assert keys.listed(db) == before


def test_two_people_of_one_phone_sign_with_the_same_key(new_phone: Callable[[], Phone], db: Database) -> None:
    for name in (NAME, INSTALLER):
        phone = new_phone()
        phone.sign_in(name)
        assert send(phone).status_code == 200
    assert [key.person for key in keys.listed(db)] == [NAME, INSTALLER]
    (words,) = keys.words(db).values()
    assert words.count("registered by") == 2


def test_a_lost_phone_is_said_for_everyone_who_signed_on_it_and_registering_does_not_undo_it(phone: Phone, db: Database) -> None:
    thumbprint = send(phone).get_json()["thumbprint"]
    assert keys.report_lost(db, thumbprint)
    send(phone)
    assert "reported lost on" in keys.words(db)[thumbprint]
    assert not keys.report_lost(db, "0" * 64)


def test_nobody_registers_a_key_signed_out_or_without_the_write_token(client: FlaskClient, phone: Phone, db: Database) -> None:
    sent = {"device": PHONE, "key": DEVICE.jwk}
    assert client.post("/api/device-key", json=sent).status_code == 401
    assert phone.client.post("/api/device-key", json=sent).status_code == 403
    assert keys.listed(db) == []


@pytest.mark.parametrize(
    ("key", "words"),
    [
        (None, "key"),
        ("text", "key"),
        ({}, "kty EC"),
        (DEVICE.jwk | {"d": "AA"}, "nothing else"),
        (DEVICE.jwk | {"crv": "P-384"}, "P-256"),
        (DEVICE.jwk | {"x": 1}, "base64url"),
        (DEVICE.jwk | {"x": DEVICE.jwk["x"] + "="}, "base64url"),
        (DEVICE.jwk | {"x": DEVICE.jwk["x"][:-1]}, "base64url"),
        (DEVICE.jwk | {"y": "é" * 43}, "base64url"),
        (DEVICE.jwk | {"y": WITHOUT_POINT}, "not on the curve"),
        (DEVICE.jwk | {"x": DEVICE.jwk["y"], "y": DEVICE.jwk["x"]}, "not on the curve"),
    ],
)
def test_what_is_no_key_is_refused_and_said(phone: Phone, db: Database, key: Any, words: str) -> None:
    answer = send(phone, key)
    assert answer.status_code == 400
    error = answer.get_json()["error"]
    assert error["code"] == "key" and words in error["message"] and "Reload the app" in error["message"]
    assert keys.listed(db) == []


@pytest.mark.parametrize("device", [None, "", 7, "x" * 201, "two\nlines", "half \ud800"])
def test_a_phone_without_a_name_is_refused(phone: Phone, db: Database, device: Any) -> None:
    assert send(phone, device=device).status_code == 400
    assert keys.listed(db) == []


@pytest.mark.parametrize("sent", [[], "x", 5, None])
def test_a_message_of_another_form_is_refused(phone: Phone, sent: Any) -> None:
    assert phone.post("/api/device-key", sent).status_code == 400


def test_more_than_a_hundred_keys_of_one_person_are_not_taken(phone: Phone, db: Database) -> None:
    for number in range(1, 101):
        assert send(phone, Device(number).jwk).status_code == 200
    assert send(phone, Device(101).jwk).status_code == 400
    assert send(phone, Device(1).jwk).status_code == 200
    assert len(keys.listed(db)) == 100
