"""The people who may sign in."""

from __future__ import annotations

import secrets
import unicodedata
from dataclasses import dataclass

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError
from sqlite_utils import Database

from app.config import PASSWORD_LEAST_CHARACTERS
from app.store.database import now, writing

ROLES = ("office", "installer")
_NAME_LONGEST = 80
_PASSWORD_LONGEST = 200

_hasher = PasswordHasher()
# Verified in place of a person who isn't there, so that the time taken tells nobody which names exist.
_NOBODY = _hasher.hash(secrets.token_hex(16))


class PersonRefused(ValueError):
    """A name, password or role that can't be taken; its text says why and what to do."""


@dataclass(frozen=True)
class Person:
    """Someone who may sign in. `mark` changes with the password or when access is stopped: a session with an old mark is over."""

    id: int
    name: str
    role: str
    active: bool
    mark: str


def clean_name(name: str) -> str:
    """A name as it is kept and looked for: composed letters, single spaces."""
    return " ".join(unicodedata.normalize("NFC", name).split())


def _person(row: tuple[int, str, str, int, str] | None) -> Person | None:
    return None if row is None else Person(row[0], row[1], row[2], bool(row[3]), row[4])


def by_id(db: Database, id: int) -> Person | None:
    """The person of this number, or None."""
    return _person(db.execute("SELECT id, name, role, active, mark FROM people WHERE id = ?", [id]).fetchone())


def by_name(db: Database, name: str) -> Person | None:
    """The person of this name, or None."""
    row = db.execute("SELECT id, name, role, active, mark FROM people WHERE name = ?", [clean_name(name)]).fetchone()
    return _person(row)


def everyone(db: Database) -> list[Person]:
    """All people in order of name."""
    rows = db.execute("SELECT id, name, role, active, mark FROM people ORDER BY name COLLATE NOCASE, id").fetchall()
    return [person for row in rows if (person := _person(row))]


def add(db: Database, name: str, password: str, role: str) -> Person:
    """Add a person. PersonRefused when name, password or role can't be taken or the name is there already."""
    name = clean_name(name)
    if not 1 <= len(name) <= _NAME_LONGEST:
        raise PersonRefused(f"The name must have 1 to {_NAME_LONGEST} letters.")
    if role not in ROLES:
        raise PersonRefused(f"The role '{role}' is not known; it must be one of {', '.join(ROLES)}.")
    password_hash = _hash(password)
    with writing(db):
        if by_name(db, name):
            raise PersonRefused(f"There is already a person named {name}. Choose another name, or change that person's password.")
        db.execute(
            "INSERT INTO people (name, password, role, mark, added_at) VALUES (?, ?, ?, ?, ?)",
            [name, password_hash, role, secrets.token_hex(8), now()],
        )
    added = by_name(db, name)
    assert added is not None
    return added


def set_password(db: Database, person: Person, password: str) -> None:
    """Change a password; whoever was signed in with the old one must sign in again."""
    password_hash = _hash(password)
    with writing(db):
        db.execute("UPDATE people SET password = ?, mark = ? WHERE id = ?", [password_hash, secrets.token_hex(8), person.id])


def set_active(db: Database, person: Person, active: bool) -> None:
    """Stop or allow a person's access. Their entries and name stay. The last active person of the office can't be stopped."""
    with writing(db):
        if not active and person.role == "office":
            others = db.execute("SELECT count(*) FROM people WHERE role = 'office' AND active = 1 AND id <> ?", [person.id])
            if others.fetchone()[0] == 0:
                raise PersonRefused("This is the last person of the office; add another one before you stop this one's access.")
        db.execute("UPDATE people SET active = ?, mark = ? WHERE id = ?", [int(active), secrets.token_hex(8), person.id])


def verify(db: Database, name: str, password: str) -> Person | None:
    """The person whose name and password these are, if active; None for anything else, in the same time."""
    row = db.execute("SELECT id, password FROM people WHERE name = ? AND active = 1", [clean_name(name)]).fetchone()
    try:
        _hasher.verify(row[1] if row else _NOBODY, password[: _PASSWORD_LONGEST + 1])
    except (Argon2Error, InvalidHashError, UnicodeEncodeError):
        return None
    return by_id(db, row[0]) if row else None


def _hash(password: str) -> str:
    if not PASSWORD_LEAST_CHARACTERS <= len(password) <= _PASSWORD_LONGEST:
        raise PersonRefused(f"The password must have {PASSWORD_LEAST_CHARACTERS} to {_PASSWORD_LONGEST} characters.")
    return _hasher.hash(password)
