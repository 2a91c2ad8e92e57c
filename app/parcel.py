"""Reading a book from a file: a zip with photos, the bare book.json, a folder of the same, a handover package, or what a phone exported.

Everything is checked before anything is kept: form, every entry by core, every photo by its hash.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import io
import json
import lzma
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from app import bags, parcel_bag
from app.config import MEGABYTE, PHOTO_LIMIT_BYTES
from app.store import images
from app.store.entries import CheckedEntry
from app.sync.checking import EntryRefused, check

BOOK_FILE = "book.json"
FORM = 1
PHONE_FORM = "spanbook-phone-export"
_PHOTO_NAME = re.compile(r"photos/([0-9a-f]{64})\.(jpg|png|webp|heic)")
# A book of text is a few MB; a phone's export carries its photos inside.
_JSON_LIMIT_BYTES = 600 * MEGABYTE
# What the library raises for a zip that is torn or locked, however it was packed.
TORN = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, RuntimeError, OSError, struct.error)

Opener = Callable[[], AbstractContextManager[IO[bytes]]]


class ParcelRefused(ValueError):
    """A file that can't be taken; its text says what is wrong with it. Nothing was kept."""


@dataclass(frozen=True)
class Parcel:
    """What a file holds: checked entries in their order, and photos by hash with a way to read each."""

    entries: list[CheckedEntry]
    photos: dict[str, Opener]

    def books(self) -> list[str]:
        """The ids of the books in it."""
        return sorted({entry.book for entry in self.entries})


@contextmanager
def opened(path: Path) -> Iterator[Parcel]:
    """The parcel in a file or folder, checked whole. ParcelRefused when any part of it is torn, altered or out of place."""
    if path.is_dir():
        yield _checked(_of_folder(path))
    elif not path.is_file():
        raise ParcelRefused(f"There is no file {path}.")
    elif zipfile.is_zipfile(path):
        with _archive(path) as archive:
            try:
                yield _checked(_of_zip(archive))
            except zipfile.BadZipFile as error:
                raise ParcelRefused("The zip is torn. Fetch or export it again.") from error
    elif path.open("rb").read(2) == b"PK":
        raise ParcelRefused("The zip is torn: its end is missing. Fetch or export it again.")
    else:
        yield _checked(_of_json(_limited(path.open("rb"), _JSON_LIMIT_BYTES, path.name)))


def _archive(path: Path) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(path)
    except (*TORN, ValueError) as error:  # one wrong byte in its list can look like a newer version or another script
        raise ParcelRefused("The zip is torn. Fetch or export it again.") from error


def _of_zip(archive: zipfile.ZipFile) -> Parcel:
    photos: dict[str, Opener] = {}
    names = [name for name in archive.namelist() if name != "photos/"]
    package = bags.folder_of(names)
    if package is not None and BOOK_FILE not in names:
        return _of_package(package, [name for name in names if not name.endswith("/")], lambda name: _opener_in(archive, name))
    for name in names:
        match = _PHOTO_NAME.fullmatch(name)
        if names.count(name) > 1 if name == BOOK_FILE else (match is None or match[1] in photos):
            raise ParcelRefused(
                f"'{name[:120]}' has no place in a book's zip. Only {BOOK_FILE} and photos/<sha256>.<ending> have, once each."
            )
        if match:
            photos[match[1]] = _opener_in(archive, name)
    if BOOK_FILE not in names:
        raise ParcelRefused(f"There is no {BOOK_FILE} in the zip.")
    try:
        return Parcel(_of_json(_limited(archive.open(BOOK_FILE), _JSON_LIMIT_BYTES, BOOK_FILE)).entries, photos)
    except TORN as error:
        raise ParcelRefused(f"{BOOK_FILE} in the zip is torn or locked. Fetch or export it again.") from error


def _opener_in(archive: zipfile.ZipFile, name: str) -> Opener:
    return lambda: archive.open(name)


def _of_package(package: str, names: list[str], opener: Callable[[str], Opener]) -> Parcel:
    try:
        texts, photos = parcel_bag.contents(package, names, opener)
    except parcel_bag.BagRefused as refused:
        raise ParcelRefused(str(refused)) from refused
    except TORN as error:
        raise ParcelRefused("The handover package is torn or locked. Fetch it again.") from error
    return Parcel(_entries(texts, None), photos)


def _of_folder(folder: Path) -> Parcel:
    names = [
        path.relative_to(folder).as_posix() for path in sorted(folder.rglob("*")) if path.is_file() and not path.is_symlink()
    ]
    package = bags.folder_of(names)
    if package is not None and not (folder / BOOK_FILE).is_file():
        return _of_package(package, names, lambda name: _opener_of(folder / name))
    if not (folder / BOOK_FILE).is_file():
        raise ParcelRefused(f"There is no {BOOK_FILE} in {folder}.")
    photos: dict[str, Opener] = {}
    for path in sorted((folder / "photos").glob("*")):
        match = _PHOTO_NAME.fullmatch(f"photos/{path.name}")
        if match is None:
            raise ParcelRefused(f"'{path.name}' is no photo named by its SHA-256.")
        photos[match[1]] = _opener_of(path)
    return Parcel(_of_json(_limited((folder / BOOK_FILE).open("rb"), _JSON_LIMIT_BYTES, BOOK_FILE)).entries, photos)


def _opener_of(path: Path) -> Opener:
    return lambda: path.open("rb")


def _limited(file: IO[bytes], limit_bytes: int, name: str) -> bytes:
    """All bytes of a file, refused beyond a limit however small a zip says they are."""
    with file:
        held = file.read(limit_bytes + 1)
    if len(held) > limit_bytes:
        raise ParcelRefused(f"{name} is larger than {limit_bytes // MEGABYTE} MB.")
    return held


def _of_json(held: bytes) -> Parcel:
    try:
        data = json.loads(held.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise ParcelRefused("The file is torn, or no exported book: it isn't whole JSON.") from error
    if not isinstance(data, dict) or not isinstance(data.get("entries"), list):
        raise ParcelRefused('The file is no exported book: {"spanbook": 1, "book": id, "entries": [texts]} is.')
    if data.get("format") == PHONE_FORM:
        return Parcel(_entries(data["entries"], None), _photos_of_phone(data.get("photos")))
    if data.get("spanbook") != FORM or not isinstance(data.get("book"), str):
        raise ParcelRefused(f"The file is of another form than this version reads ({FORM}). Update Spanbook, or export it again.")
    return Parcel(_entries(data["entries"], data["book"]), {})


def _entries(texts: list[Any], book: str | None) -> list[CheckedEntry]:
    found = []
    for number, text in enumerate(texts, 1):
        try:
            entry = check(text)
        except EntryRefused as refused:
            raise ParcelRefused(f"Entry {number} of {len(texts)} is damaged. {refused}") from refused
        if book is not None and entry.book != book:
            raise ParcelRefused(f"Entry {number} belongs to another book, {entry.book}.")
        found.append(entry)
    return found


def _photos_of_phone(photos: object) -> dict[str, Opener]:
    found: dict[str, Opener] = {}
    for photo in photos if isinstance(photos, list) else []:
        try:
            held = base64.b64decode(photo["base64"], validate=True)
            found[photo["sha256"]] = lambda held=held: io.BytesIO(held)  # type: ignore[misc]
        except (TypeError, KeyError, binascii.Error) as error:
            raise ParcelRefused("A photo in the file is torn.") from error
    return found


def _checked(parcel: Parcel) -> Parcel:
    named = {entry.photo for entry in parcel.entries}
    for sha256, opener in parcel.photos.items():
        if sha256 not in named:
            raise ParcelRefused(f"No entry names the photo {sha256}.")
        _check_photo(sha256, opener)
    return parcel


def _check_photo(sha256: str, opener: Opener) -> None:
    try:
        with opener() as file:
            start = file.read(images.MAGIC_BYTES)
            digest, size = hashlib.sha256(start), len(start)
            while chunk := file.read(MEGABYTE):
                size += len(chunk)
                if size > PHOTO_LIMIT_BYTES:
                    raise ParcelRefused(f"The photo {sha256} is larger than {PHOTO_LIMIT_BYTES // MEGABYTE} MB.")
                digest.update(chunk)
    except TORN as error:
        raise ParcelRefused(f"The photo {sha256} is torn. Fetch or export the file again.") from error
    if digest.hexdigest() != sha256:
        raise ParcelRefused(f"The photo {sha256} is not the one that was taken: its bytes don't match its name.")
    if images.kind_of(start) is None:
        raise ParcelRefused(f"The photo {sha256} is no JPEG, PNG, WebP or HEIC.")
