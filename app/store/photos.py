"""Photos: immutable files named by their SHA-256, in folders by its first digits, each with a row in the database."""

from __future__ import annotations

import hashlib
import os
import secrets
import time
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Protocol

from sqlite_utils import Database

from app.config import MEGABYTE, PHOTO_LIMIT_BYTES
from app.store import images
from app.store.database import now, writing

_CHUNK_BYTES = 65_536
_HEX = frozenset("0123456789abcdef")


class ByteStream(Protocol):
    """What a photo is read from."""

    def read(self, size: int, /) -> bytes: ...


class PhotoRefused(ValueError):
    """Bytes that can't be kept as a photo: `code` for programs ("size", "kind", "hash"), text for people."""

    def __init__(self, code: str, message: str):
        super().__init__(message)
        self.code = code


@dataclass(frozen=True)
class Photo:
    """A kept photo: hash, media type, size in bytes, file."""

    sha256: str
    type: str
    size: int
    path: Path


def is_sha256(text: str) -> bool:
    """Is it 64 lower-case hexadecimal digits?"""
    return len(text) == 64 and _HEX.issuperset(text)


class PhotoFolder:
    """The folder of photos beside the database."""

    def __init__(self, folder: Path):
        self.folder = folder

    def path(self, sha256: str) -> Path:
        """Where a photo of this hash lies."""
        if not is_sha256(sha256):
            raise ValueError("not a SHA-256 in hexadecimal")
        return self.folder / sha256[:2] / sha256[2:4] / sha256

    def find(self, db: Database, sha256: str) -> Photo | None:
        """The photo of this hash, or None. A row whose file is gone counts as none, so that a phone sends it again."""
        if not is_sha256(sha256):
            return None
        row = db.execute("SELECT type, size FROM photos WHERE sha256 = ?", [sha256]).fetchone()
        path = self.path(sha256)
        return Photo(sha256, row[0], row[1], path) if row and path.is_file() else None

    def keep(self, db: Database, sha256: str, stream: ByteStream) -> Photo:
        """Read a photo to its end, check it against its hash, keep file and row. PhotoRefused leaves nothing behind."""
        incoming, size, start = self._receive(sha256, stream)
        try:
            kind = images.kind_of(start)
            if kind is None:
                raise PhotoRefused("kind", "This is no photo that can be kept: JPEG, PNG, WebP and HEIC can.")
            self._settle(incoming, self.path(sha256))
        finally:
            incoming.unlink(missing_ok=True)
        self.note(db, Photo(sha256, kind, size, self.path(sha256)))
        return Photo(sha256, kind, size, self.path(sha256))

    def note(self, db: Database, photo: Photo) -> None:
        """Write a photo's row, in the running change or in one of its own."""
        with writing(db):
            db.execute("INSERT OR IGNORE INTO photos VALUES (?, ?, ?, ?)", [photo.sha256, photo.type, photo.size, now()])

    def _receive(self, sha256: str, stream: ByteStream) -> tuple[Path, int, bytes]:
        incoming = self.folder / "incoming" / secrets.token_hex(16)
        incoming.parent.mkdir(parents=True, exist_ok=True)
        digest, size, start = hashlib.sha256(), 0, b""
        try:
            with incoming.open("xb") as file:
                while chunk := stream.read(_CHUNK_BYTES):
                    size += len(chunk)
                    if size > PHOTO_LIMIT_BYTES:
                        raise PhotoRefused("size", f"A photo may have up to {PHOTO_LIMIT_BYTES // MEGABYTE} MB.")
                    start += chunk[: images.MAGIC_BYTES - len(start)]
                    digest.update(chunk)
                    file.write(chunk)
                if digest.hexdigest() != sha256:
                    raise PhotoRefused(
                        "hash", "The photo was cut or changed on the way: its bytes don't match its name. Send it again."
                    )
                file.flush()
                os.fsync(file.fileno())
        except BaseException:
            incoming.unlink(missing_ok=True)
            raise
        return incoming, size, start

    def _settle(self, incoming: Path, path: Path) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        os.replace(incoming, path)
        for folder in (path.parent, path.parent.parent, self.folder):
            _flush_folder(folder)

    def clear_incoming(self) -> int:
        """Remove what uploads that were interrupted more than a day ago left. Gives their number."""
        yesterday = time.time() - 86_400
        left = [file for file in (self.folder / "incoming").glob("*") if file.stat().st_mtime < yesterday]
        for file in left:
            file.unlink(missing_ok=True)
        return len(left)


def _flush_folder(folder: Path) -> None:
    """Make a rename durable. Windows can't open folders and orders this itself."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def checked_photo(folder: PhotoFolder, db: Database, sha256: str) -> str:
    """Is a photo "here" as it was taken, "missing", or "altered"? Bytes are read anew only when the file has changed."""
    found = folder.find(db, sha256)
    if found is None:
        return "missing"
    state = found.path.stat()
    return "here" if _digest(found.path, state.st_mtime_ns, state.st_size) == sha256 else "altered"


@lru_cache(maxsize=4096)
def _digest(path: Path, changed_ns: int, size: int) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
