"""The files in a zip or a folder, read without ever writing one to disk, within limits, past damage that can be said and passed."""

from __future__ import annotations

import copy
import hashlib
import os
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

from app.config import MEGABYTE
from app.parcel import TORN
from app.verify.evidence import NotReadable

TEXT_LIMIT_BYTES = 600 * MEGABYTE
ENTRY_LIMIT_BYTES = 8 * MEGABYTE
# Together, so that many small bombs do no more than one large one.
_TOTAL_LIMIT_BYTES = 8_000 * MEGABYTE
_MOST_FILES = 200_000
_CHUNK_BYTES = 262_144
_TORN = (*TORN, ValueError)


class Torn(Exception):
    """A file in a container that can't be read to its end; the text says why, to be put after its name."""


@dataclass
class Budget:
    """How many bytes may still be unpacked."""

    left: int = _TOTAL_LIMIT_BYTES

    def take(self, size: int) -> None:
        self.left -= size
        if self.left < 0:
            raise NotReadable(
                f"It unpacks to more than {_TOTAL_LIMIT_BYTES // MEGABYTE} MB, which no book has. Nothing more was read."
            )


@dataclass
class Member:
    """One file: its path with slashes, how it is opened, and the checksum that its container has for it."""

    name: str
    source: zipfile.ZipInfo | Path
    archive: zipfile.ZipFile | None
    budget: Budget
    faults: list[str] = field(default_factory=list)

    def content(self, limit_bytes: int = TEXT_LIMIT_BYTES) -> bytes:
        """All of it. Errors: Torn. That the container's checksum differs is a fault and no hindrance."""
        return b"".join(self.chunks(limit_bytes))

    def sha256(self, limit_bytes: int = TEXT_LIMIT_BYTES) -> str:
        """The SHA-256 of its bytes. Errors: Torn."""
        digest = hashlib.sha256()
        for chunk in self.chunks(limit_bytes):
            digest.update(chunk)
        return digest.hexdigest()

    def chunks(self, limit_bytes: int) -> Iterator[bytes]:
        """Its bytes piece by piece. Errors: Torn, also beyond the limit, however small its container says it is."""
        size, checksum = 0, 0
        expected = self.source.CRC if isinstance(self.source, zipfile.ZipInfo) else None
        try:
            with self._opened() as file:
                while chunk := file.read(_CHUNK_BYTES):
                    size, checksum = size + len(chunk), zlib.crc32(chunk, checksum)
                    if size > limit_bytes:
                        raise Torn(f"is larger than {limit_bytes // MEGABYTE} MB, which nothing of its kind is")
                    self.budget.take(len(chunk))
                    yield chunk
        except NotReadable:
            raise
        except _TORN as error:
            raise Torn("is torn or locked") from error
        if expected is not None and (checksum != expected or size != self.source.file_size):  # type: ignore[union-attr]
            self.faults.append("has other bytes than the zip's own checksum says")

    def _opened(self) -> IO[bytes]:
        if self.archive is None:
            return Path(self.source).open("rb")  # type: ignore[arg-type]
        # Without its checksum, at which the library would stop before the last bytes came out.
        unchecked = copy.copy(self.source)
        unchecked.CRC = None  # type: ignore[union-attr, assignment]
        return self.archive.open(unchecked)  # type: ignore[arg-type]


def of_zip(path: Path) -> list[Member]:
    """The files of a zip. Errors: NotReadable when its list of files is torn."""
    try:
        archive = zipfile.ZipFile(path)
    except _TORN as error:
        raise NotReadable("The zip is torn: its list of files can't be read. Fetch it again from whoever sent it.") from error
    infos = [info for info in archive.infolist() if not info.filename.endswith("/")]
    return _bounded([(info.filename, info) for info in infos], archive)


def of_folder(folder: Path) -> list[Member]:
    """The files of a folder and the folders in it; links that lead out of it are not followed."""
    found: list[tuple[str, zipfile.ZipInfo | Path]] = []
    for parent, folders, files in os.walk(folder):
        folders.sort()
        for name in sorted(files):
            path = Path(parent, name)
            if path.is_file() and not path.is_symlink():
                found.append((path.relative_to(folder).as_posix(), path))
        if len(found) > _MOST_FILES:
            break
    return _bounded(found, None)


def _bounded(found: list[tuple[str, zipfile.ZipInfo | Path]], archive: zipfile.ZipFile | None) -> list[Member]:
    if len(found) > _MOST_FILES:
        raise NotReadable(f"It holds more than {_MOST_FILES} files, which no book has.")
    budget = Budget()
    return [Member(name, source, archive, budget) for name, source in found]
