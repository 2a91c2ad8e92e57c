"""How a handover package (BagIt 1.0, RFC 8493) is laid out, for whoever reads one: its folder, its lists of hashes, what lies where."""

from __future__ import annotations

import re
from collections.abc import Iterable

MANIFESTS = ("manifest-sha256.txt", "tagmanifest-sha256.txt")
PAYLOAD = "data/"
ENTRY_NAME = re.compile(r"data/entries/([^/]+)\.json")
PHOTO_NAME = re.compile(r"data/photos/([0-9a-f]{64})\.(jpg|png|webp|heic|bin)")
LIMIT_NAME = re.compile(r"data/limits/([^/]+)\.json")
SEAL_NAME = re.compile(r"data/seals/([^/]+)\.(json|sig|pem)")
RECORD_NAME = "data/record.pdf"

_MARK = re.compile(r"((?:[^/]+/)?)(?:bagit\.txt|manifest-sha256\.txt|data/entries/[^/]+\.json)")
_LINE = re.compile(r"([0-9a-fA-F]{64})[ \t]+\*?(.+)")
_ESCAPED = re.compile(r"%(25|0[Aa]|0[Dd])")


def folder_of(names: Iterable[str]) -> str | None:
    """The folder that a package lies in among these paths, as "name/" or "" for the top; None when there is no package.

    One that has lost its bagit.txt is still found by its list of hashes or its entries, so that the loss can be said.
    """
    found = [match[1] for name in names if (match := _MARK.fullmatch(name))]
    return min(found, default=None)


def listed(held: bytes) -> tuple[dict[str, str], list[str]]:
    """A list of hashes -> ({path: SHA-256}, faults in words)."""
    hashes: dict[str, str] = {}
    faults = []
    try:
        lines = held.decode("utf-8").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    except UnicodeDecodeError:
        return {}, ["it is no text in UTF-8"]
    for number, line in enumerate(lines, 1):
        match = _LINE.fullmatch(line)
        if match:
            name = _ESCAPED.sub(lambda code: chr(int(code[1], 16)), match[2])
            if hashes.setdefault(name, match[1].lower()) != match[1].lower():
                faults.append(f"line {number} gives another hash for {name} than a line before")
        elif line:
            faults.append(f"line {number} is no hash with a path")
    return hashes, faults
