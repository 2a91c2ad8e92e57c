"""What a request works with: its database connection, the photo folder, the person who signed in."""

from __future__ import annotations

from pathlib import Path

from flask import Flask, current_app, g, session
from sqlite_utils import Database

from app.store import people
from app.store.database import connect
from app.store.people import Person
from app.store.photos import PhotoFolder


def database() -> Database:
    """This request's own connection; closed when the request ends."""
    if "database" not in g:
        g.database = connect(Path(current_app.config["DATABASE"]))
    db: Database = g.database
    return db


def photo_folder() -> PhotoFolder:
    """The folder of photos."""
    return PhotoFolder(Path(current_app.config["PHOTOS"]))


def person() -> Person | None:
    """Who signed in with this request's session, if the session still counts."""
    if "person" not in g:
        g.person = _person_of_session()
    found: Person | None = g.person
    return found


def _person_of_session() -> Person | None:
    id, mark = session.get("person"), session.get("mark")
    if not isinstance(id, int):
        return None
    found = people.by_id(database(), id)
    return found if found and found.active and found.mark == mark else None


def _close(error: BaseException | None = None) -> None:
    db = g.pop("database", None)
    if db is not None:
        db.close()


def register(app: Flask) -> None:
    """Close each request's connection at its end; let pages ask who signed in."""
    app.teardown_appcontext(_close)
    app.jinja_env.globals["person"] = person
