"""What kind of file is it, and who reads it."""

from __future__ import annotations

import zipfile
from pathlib import Path

from app import bags
from app.config import MEGABYTE
from app.parcel import BOOK_FILE
from app.verify import book, containers, package, record_pdf
from app.verify.containers import TEXT_LIMIT_BYTES, Member
from app.verify.evidence import Evidence, NotReadable

_WHAT_IS_READ = "A record PDF, a handover package, an exported book, or a folder with one of these unpacked is read."


def gathered(path: Path) -> Evidence:
    """Everything in a file or folder that a seal can be held against. Errors: NotReadable."""
    try:
        found = _gathered(path)
    except OSError as error:
        raise NotReadable(f"It can't be read: {error.strerror or error}.") from error
    found.note_strays()
    return found


def _gathered(path: Path) -> Evidence:
    if path.is_dir():
        return _of_members(containers.of_folder(path), "folder")
    if not path.is_file():
        raise NotReadable(f"There is no such file. {_WHAT_IS_READ}")
    with path.open("rb") as file:
        start = file.read(1024)
    if b"%PDF-" in start:
        return _of_pdf(path)
    if zipfile.is_zipfile(path):
        return _of_members(containers.of_zip(path), "zip")
    if start.startswith(b"PK"):
        raise NotReadable("The zip is torn: its end is missing. Fetch it again from whoever sent it.")
    if not start.strip():
        raise NotReadable(f"It is empty. {_WHAT_IS_READ}")
    return _of_json(path)


def _of_json(path: Path) -> Evidence:
    evidence = Evidence("exported book")
    try:
        book.take_json(evidence, _whole(path), path.name)
    except NotReadable as error:
        raise NotReadable(f"{error} {_WHAT_IS_READ}") from error
    return evidence


def _of_pdf(path: Path) -> Evidence:
    evidence = Evidence("record PDF", photos_expected=False, notes=list(record_pdf.NOTES))
    record_pdf.take(evidence, _whole(path), path.name)
    return evidence


def _of_members(members: list[Member], container: str) -> Evidence:
    names = [member.name for member in members]
    folder = bags.folder_of(names)
    if folder is not None:
        evidence = Evidence("handover package")
        package.take(evidence, folder, members)
    elif BOOK_FILE in names:
        evidence = Evidence("exported book")
        book.take_files(evidence, members)
    else:
        raise NotReadable(f"There is no {BOOK_FILE} and no handover package in this {container}. {_WHAT_IS_READ}")
    return evidence


def _whole(path: Path) -> bytes:
    with path.open("rb") as file:
        held = file.read(TEXT_LIMIT_BYTES + 1)
    if len(held) > TEXT_LIMIT_BYTES:
        raise NotReadable(f"It is larger than {TEXT_LIMIT_BYTES // MEGABYTE} MB, which no book or record is.")
    return held
