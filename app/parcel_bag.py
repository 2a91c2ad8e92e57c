"""Taking a handover package in: every file held against the package's list of hashes before an entry or a photo of it is looked at."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import IO

from app import bags
from app.config import MEGABYTE

Opener = Callable[[], AbstractContextManager[IO[bytes]]]

_TOTAL_LIMIT_BYTES = 8_000 * MEGABYTE
_ENTRY_LIMIT_BYTES = 8 * MEGABYTE
_MOST_FILES = 200_000


class BagRefused(ValueError):
    """A package that can't be taken; its text says what is wrong with it."""


def contents(folder: str, names: list[str], opener: Callable[[str], Opener]) -> tuple[list[str], dict[str, Opener]]:
    """The package in `folder` ("name/", or "" at the top) -> the entries' texts in the order of their names, and the photos by hash.

    names: all paths in the zip or folder; opener: gives what opens one. Errors: BagRefused when a file is missing, altered or not listed.
    """
    outside = [name for name in names if not name.startswith(folder)]
    if outside or len(set(names)) != len(names) or len(names) > _MOST_FILES:
        raise BagRefused(f"'{(outside or names)[0][:120]}' has no place in a handover package, or is in it twice.")
    held = {name[len(folder) :]: opener(name) for name in names}
    listed = _listed(held)
    if unlisted := sorted(name for name in held if name.startswith(bags.PAYLOAD) and name not in listed):
        raise BagRefused(f"'{unlisted[0][:120]}' is not listed in {bags.MANIFESTS[0]}. Fetch the package again.")
    _check_all(listed, held)
    texts = [_text(name, held[name]) for name in sorted(held) if bags.ENTRY_NAME.fullmatch(name)]
    return texts, {match[1]: held[name] for name in held if (match := bags.PHOTO_NAME.fullmatch(name))}


def _listed(held: dict[str, Opener]) -> dict[str, str]:
    for name in ("bagit.txt", bags.MANIFESTS[0]):
        if name not in held:
            raise BagRefused(f"There is no {name} in the handover package: it is not whole. Fetch it again.")
    listed, faults = bags.listed(_bytes(bags.MANIFESTS[0], held[bags.MANIFESTS[0]], 64 * MEGABYTE))
    if faults:
        raise BagRefused(f"In {bags.MANIFESTS[0]} {faults[0]}. Fetch the package again.")
    return listed


def _check_all(listed: dict[str, str], held: dict[str, Opener]) -> None:
    left = _TOTAL_LIMIT_BYTES
    for name, sha256 in listed.items():
        if name not in held:
            raise BagRefused(f"'{name[:120]}' is listed in {bags.MANIFESTS[0]} and not in the package. Fetch it again.")
        digest = hashlib.sha256()
        with held[name]() as file:
            while chunk := file.read(MEGABYTE):
                left -= len(chunk)
                if left < 0:
                    raise BagRefused(f"It unpacks to more than {_TOTAL_LIMIT_BYTES // MEGABYTE} MB, which no package has.")
                digest.update(chunk)
        if digest.hexdigest() != sha256:
            raise BagRefused(f"'{name[:120]}' is not the file that {bags.MANIFESTS[0]} lists. Fetch the package again.")


def _text(name: str, opener: Opener) -> str:
    try:
        return _bytes(name, opener, _ENTRY_LIMIT_BYTES).decode("utf-8")
    except UnicodeDecodeError as error:
        raise BagRefused(f"'{name[:120]}' is no text in UTF-8.") from error


def _bytes(name: str, opener: Opener, limit_bytes: int) -> bytes:
    with opener() as file:
        held = file.read(limit_bytes + 1)
    if len(held) > limit_bytes:
        raise BagRefused(f"'{name[:120]}' is larger than {limit_bytes // MEGABYTE} MB.")
    return held
