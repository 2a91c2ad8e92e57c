"""The one exchange: repeatable, whole, nothing lost, bad input answered with what is wrong."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from sqlite_utils import Database

from app import engine
from app.store import entries, index
from tests.conftest import Phone
from tests.making import BOOK, entry, id_of


def note(text: str = "Trench is wet", **more: Any) -> str:
    return entry("note", {"link": None, "of": BOOK, "text": text}, **more)


def kept(db: Database) -> list[str]:
    return entries.texts_of(db, BOOK)


def test_entries_go_up_and_come_down_on_another_phone_as_the_same_text(phone: Phone, new_phone: Callable[[], Phone]) -> None:
    texts = [note("Ω 0,42 dB “wet”"), note("second")]
    answer = phone.sync(texts).get_json()
    assert answer["accepted"] == [id_of(text) for text in texts]
    assert (answer["refused"], answer["entries"], answer["more"]) == ([], [], False)

    other = new_phone()
    other.sign_in()
    received = other.sync([], device="phone-2").get_json()
    assert [row["text"] for row in received["entries"]] == texts
    assert other.sync([], cursor=received["cursor"]).get_json()["entries"] == []


def test_the_same_exchange_twice_is_the_same_as_once(phone: Phone, db: Database) -> None:
    texts = [note("one"), note("two")]
    first = phone.sync(texts).get_json()
    again = phone.sync(texts).get_json()
    assert again == first
    assert kept(db) == texts


def test_one_text_twice_in_a_batch_is_kept_once(phone: Phone, db: Database) -> None:
    text = note()
    assert phone.sync([text, text]).get_json()["refused"] == []
    assert kept(db) == [text]


def test_the_same_id_with_other_bytes_is_refused_loudly_and_overwrites_nothing(phone: Phone, db: Database) -> None:
    text = note("as first written")
    other = note("as changed", id=id_of(text))
    phone.sync([text])
    answer = phone.sync([note("beside it"), other]).get_json()
    assert [(refused["id"], refused["code"], refused["index"]) for refused in answer["refused"]] == [(id_of(text), "differs", 1)]
    assert "Nothing was overwritten" in answer["refused"][0]["message"]
    assert len(answer["accepted"]) == 1
    assert kept(db)[0] == text and len(kept(db)) == 2


@pytest.mark.parametrize(
    ("bad", "code", "says"),
    [
        ("{torn", "shape", "torn"),
        ('["no", "entry"]', "shape", "object"),
        (7, "shape", "text"),
        (None, "shape", "text"),
        ("\ud800", "shape", "text"),
        ("[" * 60_000, None, None),
        (
            entry("reading", {"link": BOOK, "quantity": "optical_loss", "value": {"value": "abc", "unit": "dB"}, "strand": "1"}),
            None,
            "abc",
        ),
        (entry("site", {"subject": BOOK, "name": ""}), "missing", "name"),
        (entry("site", {"subject": BOOK, "colour": "red"}), "unknown", "colour"),
    ],
)
def test_a_malformed_entry_is_refused_with_its_reason_and_the_rest_goes_in(
    phone: Phone, db: Database, bad: object, code: str | None, says: str | None
) -> None:
    before, after = note("before"), note("after")
    answer = phone.sync([before, bad, after])
    assert answer.status_code == 200
    answered = answer.get_json()
    assert answered["accepted"] == [id_of(before), id_of(after)]
    (refused,) = answered["refused"]
    assert refused["index"] == 1
    assert code is None or refused["code"] == code
    assert says is None or says in refused["message"]
    assert kept(db) == [before, after]


@pytest.mark.parametrize("odd", [entry("drone_flight", {"link": None, "height": 7}), entry("note", {"words": "other form"}, v=9)])
def test_an_entry_of_an_unknown_kind_or_version_is_kept_as_it_came(
    phone: Phone, db: Database, new_phone: Callable[[], Phone], odd: str
) -> None:
    answer = phone.sync([odd]).get_json()
    assert (answer["accepted"], answer["refused"]) == ([id_of(odd)], [])
    assert kept(db) == [odd]
    other = new_phone()
    other.sign_in()
    assert other.sync([]).get_json()["entries"][0]["text"] == odd
    with engine.opened(BOOK, kept(db)) as core:
        assert [entry["id"] for entry in core("book")["unknown"]] == [id_of(odd)]


@pytest.mark.parametrize(
    "body",
    [
        b'{"device": "phone-1", "cursor": 0, "entries": ["{',
        b"",
        b"\xff\xfe",
        b"[]",
        b"[" * 100_000,
        b'{"cursor": 0, "entries": []}',
        b'{"device": "", "cursor": 0, "entries": []}',
        b'{"device": "p", "cursor": -1, "entries": []}',
        b'{"device": "p", "cursor": true, "entries": []}',
        b'{"device": "p", "cursor": "0", "entries": []}',
        b'{"device": "p", "cursor": 1e300, "entries": []}',
        b'{"device": "p", "cursor": 99999999999999999999, "entries": []}',
        b'{"device": "p", "cursor": 0, "entries": {}}',
    ],
)
def test_a_torn_or_misshapen_message_is_refused_whole(phone: Phone, db: Database, body: bytes) -> None:
    answer = phone.client.post("/api/sync", data=body, headers={"X-CSRFToken": phone.token, "Content-Type": "application/json"})
    assert answer.status_code == 400
    error = answer.get_json()["error"]
    assert error["code"] == "torn"
    assert error["message"].endswith("Nothing was stored; send it again.")
    assert entries.last_seq(db) == 0


def test_a_message_over_the_limit_is_refused_before_it_is_read(phone: Phone, db: Database) -> None:
    headers = {"X-CSRFToken": phone.token, "Content-Type": "application/json"}
    answer = phone.client.post("/api/sync", headers=headers, environ_overrides={"CONTENT_LENGTH": "8000001"})
    assert answer.status_code == 413
    assert answer.get_json()["error"]["code"] == "too_large"


def test_a_failure_midway_leaves_nothing_behind(phone: Phone, db: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> bool:
        raise RuntimeError("disk full")

    monkeypatch.setattr(index, "rebuild", fail)
    with pytest.raises(RuntimeError, match="disk full"):
        phone.sync([note("one"), note("two")])
    assert entries.last_seq(db) == 0
    monkeypatch.undo()
    assert len(phone.sync([note("one"), note("two")]).get_json()["accepted"]) == 2


def test_a_fault_in_checking_one_entry_does_not_hold_up_the_others(
    phone: Phone, db: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    odd, fine = note("odd"), note("fine")
    call = engine.call

    def faulty(op: str, **payload: Any) -> Any:
        if payload.get("text") == odd:
            raise ZeroDivisionError
        return call(op, **payload)

    monkeypatch.setattr(engine, "call", faulty)
    answer = phone.sync([odd, fine]).get_json()
    assert [(refused["id"], refused["code"]) for refused in answer["refused"]] == [(id_of(odd), "fault")]
    assert kept(db) == [fine]


def test_what_is_missing_comes_in_pages_that_leave_out_nothing(phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.sync.exchange.PULL_PAGE_ENTRIES", 4)
    texts = [note(str(number)) for number in range(10)]
    phone.sync(texts)
    received, cursor, more = [], 0, True
    while more:
        page = phone.sync([], cursor).get_json()
        received += [row["text"] for row in page["entries"]]
        cursor, more = page["cursor"], page["more"]
    assert received == texts


def test_a_page_is_cut_by_size_too_but_never_empty(phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.sync.exchange.PULL_PAGE_CHARACTERS", 10)
    phone.sync([note("a"), note("b")])
    page = phone.sync([]).get_json()
    assert len(page["entries"]) == 1 and page["more"] is True


def test_a_cursor_from_beyond_the_end_gets_everything_again(phone: Phone) -> None:
    """As after the server was set back to an older copy."""
    text = note()
    phone.sync([text])
    assert [row["text"] for row in phone.sync([], cursor=1000).get_json()["entries"]] == [text]


def test_two_phones_at_once_lose_nothing(app: Flask, new_phone: Callable[[], Phone], db: Database) -> None:
    phones = [new_phone(), new_phone()]
    for one in phones:
        one.sign_in()
    sent = [[note(f"{number} of {name}") for number in range(12)] for name in ("first", "second")]
    statuses: list[int] = []

    def run(one: Phone, texts: list[str]) -> None:
        for text in texts:
            statuses.append(one.sync([text]).status_code)

    threads = [threading.Thread(target=run, args=pair) for pair in zip(phones, sent, strict=True)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(statuses) == {200}
    assert sorted(kept(db)) == sorted(sent[0] + sent[1])


def test_who_sent_an_entry_is_kept_beside_it(phone: Phone, db: Database) -> None:
    phone.sync([note()], device="phone-7")
    row = db.execute("SELECT people.name, device, received_at FROM entries JOIN people ON people.id = person").fetchone()
    assert row[:2] == ("Ada Office", "phone-7")
    assert json.dumps(row[2]).endswith('+00:00"')
