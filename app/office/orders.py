"""What can be made of a link in the background: the record as PDF, the handover package."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from flask import current_app
from sqlite_utils import Database

from app.office import words
from app.office.jobs import Order, Progress, Work, WorkRefused
from app.store import database
from app.store.photos import PhotoFolder, checked_photo
from app.sync import context

if TYPE_CHECKING:
    # The typesetter is loaded when the first record is made.
    from app.record.made import Signed

PAPERS = {"a4": "A4", "letter": "US letter"}
PDF, ZIP = "application/pdf", "application/zip"

StoreWork = Callable[[Database, PhotoFolder, Path, Progress], None]


def in_background(work: StoreWork) -> Work:
    """Work with a database connection of its own, for a thread; a record that can't be set, or a photo gone meanwhile, is told in words."""
    from app.record import RecordError

    file, folder = Path(current_app.config["DATABASE"]), context.photo_folder()

    def run(path: Path, progress: Progress) -> None:
        db = database.connect(file)
        try:
            work(db, folder, path, progress)
        except (RecordError, FileNotFoundError) as error:
            raise WorkRefused(str(error)) from error
        finally:
            db.close()

    return run


def record(book: str, view: dict[str, Any], paper: str, working: bool) -> Order:
    """The commissioning record of a link as it stands now. view: core's, of the link."""
    link = view["id"]

    def work(db: Database, folder: PhotoFolder, path: Path, progress: Progress) -> None:
        from app.record import made

        path.write_bytes(made.make(db, folder, book, link, paper, working, progress))

    title = f"Commissioning record, {PAPERS[paper]}{'' if working else ', without the working'}"
    name = file_name("record", view["fields"], revision_of(view), "pdf")
    return Order(f"record {book} {link} {paper} {working}", title, name, PDF, in_background(work))


def package(book: str, view: dict[str, Any], paper: str) -> Order:
    """The handover package of a link. view: core's, of the link."""
    link = view["id"]

    def work(db: Database, folder: PhotoFolder, path: Path, progress: Progress) -> None:
        from app.handover import making

        making.make(db, folder, book, link, path, paper, progress)

    title = f"Handover package, record in {PAPERS[paper]}"
    name = file_name("handover", view["fields"], revision_of(view), "zip")
    return Order(f"package {book} {link} {paper}", title, name, ZIP, in_background(work))


def client_record(signed: Signed, paper: str, photos: dict[str, str]) -> Order:
    """The signed record of a client's page; photos that aren't as signed are left out. photos: {SHA-256: as `checked_photo` says}."""
    held = signed.asked
    assert held

    def work(db: Database, folder: PhotoFolder, path: Path, progress: Progress) -> None:
        from app.record import made

        here = {sha256 for sha256 in signed.covered.photos if checked_photo(folder, db, sha256) == "here"}

        def photo(sha256: str) -> bytes | None:
            return folder.path(sha256).read_bytes() if sha256 in here else None

        path.write_bytes(made.pdf(held, photo, paper, progress))

    # A photo that comes later makes another file.
    key = f"signed {signed.fingerprint} {paper} {sorted(photos.items())}"
    name = file_name("record", held.fields, signed.covered.revision, "pdf")
    return Order(key, "Signed record", name, PDF, in_background(work))


def revision_of(view: dict[str, Any]) -> int:
    """The newest signed revision of a link, 0 while nobody has signed it."""
    return int(view["seals"][-1]["revision"]) if view["seals"] else 0


def file_name(start: str, fields: dict[str, Any], revision: int, ending: str) -> str:
    """Link and revision, so that two revisions lie beside each other: in plain letters, since headers carry no others."""
    plain = re.sub(r"[^A-Za-z0-9]+", "-", words.field_value(fields.get("name"))).strip("-")[:80]
    return "-".join(part for part in (start, plain, f"revision-{revision}" if revision else "unsigned") if part) + f".{ending}"
