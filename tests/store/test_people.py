"""Who may sign in."""

from __future__ import annotations

import pytest
from sqlite_utils import Database

from app.store import people
from app.store.people import PersonRefused
from tests.conftest import NAME, PASSWORD


def test_the_right_name_and_password_give_the_person_whatever_the_case_of_the_name(db: Database) -> None:
    found = people.verify(db, "  ada   OFFICE ", PASSWORD)
    assert found is not None and found.name == NAME


@pytest.mark.parametrize(
    ("name", "password"), [(NAME, "wrong password"), ("Nobody", PASSWORD), (NAME, ""), ("", ""), (NAME, "\ud800" * 12)]
)
def test_anything_else_gives_nobody(db: Database, name: str, password: str) -> None:
    assert people.verify(db, name, password) is None


def test_only_a_hash_of_the_password_is_kept(db: Database) -> None:
    kept = db.execute("SELECT password FROM people WHERE name = ?", [NAME]).fetchone()[0]
    assert kept.startswith("$argon2id$") and PASSWORD not in kept


def test_an_unknown_name_costs_a_hash_as_a_known_one_does(db: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    class Counting:
        def verify(self, kept: str, password: str) -> bool:
            asked.append(kept)
            return True

    monkeypatch.setattr(people, "_hasher", Counting())
    assert people.verify(db, "Nobody", PASSWORD) is None
    assert asked == [people._NOBODY]


@pytest.mark.parametrize(
    ("name", "password", "role", "message"),
    [
        ("", PASSWORD, "office", "1 to 80 letters"),
        ("x" * 81, PASSWORD, "office", "1 to 80 letters"),
        ("Cay", "123456789", "office", "10 to 200 characters"),
        ("Cay", PASSWORD, "king", "must be one of office, installer"),
        ("ada office", PASSWORD, "office", "already a person named ada office"),
    ],
)
def test_what_cannot_be_taken_is_refused_with_its_reason(db: Database, name: str, password: str, role: str, message: str) -> None:
    with pytest.raises(PersonRefused, match=message):
        people.add(db, name, password, role)
    assert len(people.everyone(db)) == 2


def test_the_last_person_of_the_office_cannot_be_stopped(db: Database) -> None:
    ada = people.by_name(db, NAME)
    assert ada
    with pytest.raises(PersonRefused, match="last person of the office"):
        people.set_active(db, ada, False)
    people.add(db, "Second", PASSWORD, "office")
    people.set_active(db, ada, False)
    assert people.verify(db, NAME, PASSWORD) is None
