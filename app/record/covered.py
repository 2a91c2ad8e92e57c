"""What the newest seal of a link covers, entry by entry as it was signed: what is missing here or altered is told, never passed over.

Made to bear a store that somebody has tampered with: a torn text is one that is missing, no fault.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app import engine
from app.core.errors import Refused
from app.store.entries import KeptText


@dataclass(frozen=True)
class Covered:
    """A seal and what it covers. `texts`: the covered entries that are here as they were signed, then the link's seals."""

    seal: str
    at: str
    revision: int
    texts: list[str]
    entries: int
    photos: list[str]
    missing: list[str]
    altered: list[str]
    torn_seals: int
    has_key: bool

    @property
    def is_whole(self) -> bool:
        """Is every covered entry here as it was signed, and every seal as it came?"""
        return not (self.missing or self.altered or self.torn_seals)


@dataclass(frozen=True)
class _Seal:
    id: str
    at: str
    text: str
    covers: dict[str, Any]

    @property
    def when(self) -> tuple[int, float, str]:
        """As core orders seals: by revision, then by the instant and the id."""
        return (int(self.covers["revision"]), datetime.fromisoformat(self.at).timestamp(), self.id)


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
    for name, sha256 in seal.covers["entries"]:
        text = by_id.get(name)
        if text is None:
            missing.append(name)
        elif _sha256(text) == sha256:
            texts.append(text)
        else:
            altered.append(name)
    photos = list(seal.covers.get("photos") or [])
    revision = int(seal.covers["revision"])
    entries = len(seal.covers["entries"])
    return Covered(seal.id, seal.at, revision, texts + seals, entries, photos, missing, altered, torn, "form" in seal.covers)


def _seals(held: list[KeptText], link: str) -> tuple[list[_Seal], int]:
    """The seals of a link, the newest last, and how many of its book's aren't what came: nobody signed them like that."""
    whole = [one.text for one in held if _sha256(one.text) == one.sha256]
    found = [seal for text in whole if (seal := _seal(text, link))]
    return sorted(found, key=lambda seal: seal.when), len(held) - len(whole)


def _seal(text: str, link: str) -> _Seal | None:
    try:
        checked = engine.call("check_entry", text=text)
    except Refused:
        return None
    if not checked["known"] or checked["link"] != link:
        return None
    entry = _entry(text)
    body = entry["body"]
    covers = json.loads(body["signed"]) if "signed" in body else body["covers"] | {"revision": _first_revision(body)}
    return _Seal(entry["id"], entry["at"], text, covers)


def _first_revision(body: dict[str, Any]) -> int:
    revision = body.get("revision")
    return revision if isinstance(revision, int) else 1


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
