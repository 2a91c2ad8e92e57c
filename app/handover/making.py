"""The package of a stored link from beginning to end: core asked, record set as PDF, zip written."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlite_utils import Database

from app import engine, handover
from app.handover import Asked, Progress
from app.record import made
from app.store import entries, keys
from app.store.database import now
from app.store.photos import Photo, PhotoFolder, checked_photo


class NoSuchLink(LookupError):
    """Neither id nor name of one link; its text says what there is."""


def make(
    db: Database, folder: PhotoFolder, book: str, link: str, path: Path, paper: str = "a4", progress: Progress | None = None
) -> Asked:
    """Write the package of a link, given by its id or its name where that is the only one.

    Errors: NoSuchLink; OSError when the file can't be written; record.RecordError when the record can't be set.
    """
    kept = entries.kept_of(db, book)
    if not kept:
        raise NoSuchLink(f"there is no book {book}. Books here: {', '.join(entries.books(db)) or 'none'}.")
    known, made_at = keys.words(db), now()

    def photo(sha256: str) -> Photo | None:
        return folder.find(db, sha256)

    texts = [one.text for one in kept]
    with engine.opened(book, texts) as core:
        found = link_id(core, link)
        asked = handover.asked(core, texts, found, made_at, lambda sha256: checked_photo(folder, db, sha256), known)
        model = made.asked(core, book, kept, found, made_at, known)
    pdf = made.pdf(model, made.photo_bytes(folder), paper, progress)
    handover.write(path, asked, photo, pdf, progress)
    return asked


def link_id(core: Any, given: str) -> str:
    """The id of a link of the opened book. Errors: NoSuchLink for none, or for a name that several have."""
    links = core("book")["links"]
    found = [link for link in links if link["id"] == given] or [link for link in links if link["name"] == given]
    if len(found) == 1:
        return str(found[0]["id"])
    listed = "; ".join(f"{link['id']} {link['name']}" for link in found or links) or "none"
    if found:
        raise NoSuchLink(f"{len(found)} links are called '{given}'. Give the id of one: {listed}.")
    raise NoSuchLink(f"there is no link '{given}' in this book. Links: {listed}.")
