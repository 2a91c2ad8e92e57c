"""A book to a file and back, with its photos; and the checks of an exported book."""

from __future__ import annotations

import json
import os
import secrets
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from app import engine, parcel
from app.parcel import BOOK_FILE, FORM, Parcel, ParcelRefused
from app.store import entries, index
from app.store.database import writing
from app.store.images import ENDINGS
from app.store.photos import Photo, PhotoFolder

# Fixed, so that the same book always gives the same bytes.
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
_DEVICE = "import"


class NoSuchBook(LookupError):
    """A book that isn't in the store."""


@dataclass(frozen=True)
class Moved:
    """What an export or import moved, and the photos that entries name but nobody sent."""

    books: list[str]
    entries: int
    photos: int
    missing: list[str]


def export_book(db: Database, folder: PhotoFolder, book: str, target: Path) -> Moved:
    """Write a book and its photos to a zip: book.json and photos/<sha256>.<ending>. The file appears whole or not at all."""
    texts = entries.texts_of(db, book)
    if not texts:
        raise NoSuchBook(book)
    named = entries.photos_of(db, book)
    photos = [photo for sha256 in named if (photo := folder.find(db, sha256))]
    draft = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        _write_zip(draft, book, texts, photos)
        os.replace(draft, target)
    finally:
        draft.unlink(missing_ok=True)
    here = {photo.sha256 for photo in photos}
    return Moved([book], len(texts), len(photos), [sha256 for sha256 in named if sha256 not in here])


def _write_zip(path: Path, book: str, texts: list[str], photos: list[Photo]) -> None:
    held = {"spanbook": FORM, "book": book, "entries": texts}
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(_member(BOOK_FILE, zipfile.ZIP_DEFLATED), json.dumps(held, ensure_ascii=False, indent=1) + "\n")
        for photo in photos:
            name = f"photos/{photo.sha256}.{ENDINGS[photo.type]}"
            archive.writestr(_member(name, zipfile.ZIP_STORED), photo.path.read_bytes())


def _member(name: str, compression: int) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, _ZIP_TIME)
    member.compress_type = compression
    # The same on every system: made on Unix, a plain file.
    member.create_system = 3
    member.external_attr = 0o644 << 16
    return member


def import_file(db: Database, folder: PhotoFolder, path: Path) -> Moved:
    """Take in a zip, book.json, folder of the same, handover package, or a phone's export: all of it or, when anything is wrong with it, nothing."""
    with parcel.opened(path) as held:
        if not held.entries:
            raise ParcelRefused("There is no entry in it.")
        new: list[str] = []
        try:
            with writing(db):
                added = _add_entries(db, held)
                _add_photos(db, folder, held, new)
                for book in held.books():
                    index.rebuild(db, book)
        except BaseException:
            for sha256 in new:
                folder.path(sha256).unlink(missing_ok=True)
            raise
        named = sorted({entry.photo for entry in held.entries if entry.photo})
        missing = [sha256 for sha256 in named if folder.find(db, sha256) is None]
        return Moved(held.books(), added, len(new), missing)


def _add_entries(db: Database, held: Parcel) -> int:
    before = entries.last_seq(db)
    for entry in held.entries:
        if not entries.add(db, entry, None, _DEVICE):
            raise ParcelRefused(f"The entry {entry.id} is already kept with other content.")
    return entries.last_seq(db) - before


def _add_photos(db: Database, folder: PhotoFolder, held: Parcel, new: list[str]) -> None:
    for sha256, opener in held.photos.items():
        if folder.find(db, sha256) is None:
            new.append(sha256)
            with opener() as file:
                folder.keep(db, sha256, file)


def evaluate(path: Path) -> dict[str, Any]:
    """The checks of every link of an exported book, by the same core as on the phone."""
    with parcel.opened(path) as held:
        if len(held.books()) != 1:
            raise ParcelRefused(f"The file holds {len(held.books())} books; evaluate takes one.")
        book = held.books()[0]
        with engine.opened(book, [entry.text for entry in held.entries]) as core:
            links = [_judged(core, link) for link in core("book")["links"]]
    return {"book": book, "links": links}


def _judged(core: Any, link: dict[str, Any]) -> dict[str, Any]:
    judged = core("checks", link=link["id"])
    return {"link": link["id"], "name": link["name"], "checks": judged["checks"], "summary": judged["summary"]}
