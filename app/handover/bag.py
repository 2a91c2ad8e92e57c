"""A bag (BagIt 1.0, RFC 8493) as one zip, written file by file so that nothing large is held in memory. Same input, same bytes."""

from __future__ import annotations

import hashlib
import os
import secrets
import zipfile
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import IO, Any

from app import engine

Opener = Callable[[], AbstractContextManager[IO[bytes]]]
Part = tuple[str, bytes | Opener]

# Fixed, so that the same package always has the same bytes.
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
_CHUNK_BYTES = 262_144
# Pictures are packed already.
_STORED = (".jpg", ".png", ".webp", ".heic", ".bin")


def write(path: Path, folder: str, parts: Iterable[Part], info: list[list[str]]) -> None:
    """Write a bag whose files lie in `folder` to a zip. The zip appears whole or not at all.

    parts: (path in the bag, bytes or what opens them), each path once; info: [[tag, value]...] for bag-info.txt.
    """
    draft = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with zipfile.ZipFile(draft, "w") as archive:
            payload: list[list[Any]] = [_added(archive, folder, name, held) for name, held in parts]
            for name, text in engine.call("handover_tags", payload=payload, info=info):
                _added(archive, folder, name, text.encode())
        os.replace(draft, path)
    finally:
        draft.unlink(missing_ok=True)


def _added(archive: zipfile.ZipFile, folder: str, name: str, held: bytes | Opener) -> list[Any]:
    """Put a file into the zip -> [path in the bag, SHA-256, size in bytes]."""
    digest, size = hashlib.sha256(), 0
    with archive.open(_member(f"{folder}/{name}"), "w") as target:
        for chunk in [held] if isinstance(held, bytes) else _chunks(held):
            digest.update(chunk)
            size += len(chunk)
            target.write(chunk)
    return [name, digest.hexdigest(), size]


def _chunks(opener: Opener) -> Iterable[bytes]:
    with opener() as file:
        while chunk := file.read(_CHUNK_BYTES):
            yield chunk


def _member(name: str) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, _ZIP_TIME)
    member.compress_type = zipfile.ZIP_STORED if name.endswith(_STORED) else zipfile.ZIP_DEFLATED
    # The same on every system: made on Unix, a plain file.
    member.create_system = 3
    member.external_attr = 0o644 << 16
    return member
