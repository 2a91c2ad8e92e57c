"""What the newest seal of a link covers, entry by entry as it was signed: what is missing here or altered is told, never passed over.

Made to bear a store that somebody has tampered with: a torn text is one that is missing, no fault.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from app.core import entries as core_entries
from app.core import moments, seal_form
from app.core.errors import Refused
from app.store.entries import KeptText


@dataclass(frozen=True)
class Covered:
    """A seal and what it covers. `texts`: the covered entries that are here as they were signed, then the link's seals."""

    at: str
    revision: int
    texts: list[str]
    entries: int
    photos: list[str]
    missing: list[str]
    altered: list[str]
    torn_seals: int
    has_key: bool


@dataclass(frozen=True)
class _Seal:
    """A well made seal: its entry, and what it says as core reads it."""

    entry: dict[str, Any]
    says: dict[str, Any]
    text: str

    @property
    def place(self) -> tuple[int, int, str]:
        """As core orders seals: by revision, then by the instant and the id."""
        return (self.says["revision"], moments.milliseconds(self.entry["at"]), self.entry["id"])


def newest(kept: Iterable[KeptText], link: str) -> Covered | None:
    """What the newest seal of a link covers, or None when it has none that can be read.

    kept: the texts of the whole book (`entries.kept_of`).
    """
    held = list(kept)
    seals, torn = _seals([one for one in held if one.kind == "seal"], link)
    if not seals:
        return None
    return _covered(seals[-1], {_id(one.text): one.text for one in held}, [seal.text for seal in seals], torn)


def _covered(seal: _Seal, by_id: dict[str, str], seals: list[str], torn: int) -> Covered:
    texts, missing, altered = [], [], []
    for name, sha256 in seal.says["entries"]:
        text = by_id.get(name)
        if text is None:
            missing.append(name)
        elif _sha256(text) == sha256:
            texts.append(text)
        else:
            altered.append(name)
    says = seal.says
    return Covered(
        at=seal.entry["at"],
        revision=says["revision"],
        texts=texts + seals,
        entries=len(says["entries"]),
        photos=says["photos"],
        missing=missing,
        altered=altered,
        torn_seals=torn,
        has_key=bool(says["key"]),
    )


def _seals(held: list[KeptText], link: str) -> tuple[list[_Seal], int]:
    """The seals of a link, the newest last, and how many of its book's aren't what came: nobody signed them like that."""
    whole = [one.text for one in held if _sha256(one.text) == one.sha256]
    found = [seal for text in whole if (seal := _seal(text, link))]
    return sorted(found, key=lambda seal: seal.place), len(held) - len(whole)


def _seal(text: str, link: str) -> _Seal | None:
    try:
        entry = core_entries.read_checked(text)
    except (Refused, ValueError):
        return None
    if not core_entries.is_known(entry) or entry["body"]["link"] != link:
        return None
    return _Seal(entry, seal_form.parts(entry), text)


def _entry(text: str) -> dict[str, Any]:
    try:
        entry = json.loads(text)
    except (ValueError, RecursionError):
        return {}
    return entry if isinstance(entry, dict) else {}


def _id(text: str) -> str:
    return str(_entry(text).get("id"))


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()
