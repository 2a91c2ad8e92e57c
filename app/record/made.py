"""A link's record from the store to the finished PDF: asked of core, signatures checked, entries attached.

Two kinds: the link as it stands now (office, handover package), and the newest signed revision from nothing but what its seal covers (client).
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from sqlite_utils import Database

from app import engine, record, signing
from app.core.errors import Refused
from app.record import covered, verify_text
from app.record.covered import Covered
from app.store import entries, keys
from app.store.database import now
from app.store.entries import KeptText
from app.store.photos import PhotoFolder

Progress = Callable[[int, int, str], None]
Attachment = tuple[str, bytes, str, str]
PhotoBytes = Callable[[str], bytes | None]


@dataclass(frozen=True)
class Asked:
    """A record model with what is attached to its PDF.

    `signatures`: what checking the device keys' signatures gave, {seal id: "good" | "bad"}; `seal`: core's view of the newest seal, or None;
    `fields`: the link's; `verdicts`: those that the newest seal signed and that differ now, a sentence each.
    """

    model: dict[str, Any]
    attachments: list[Attachment]
    signatures: dict[str, str]
    seal: dict[str, Any] | None
    fields: dict[str, Any]
    verdicts: list[str]


@dataclass(frozen=True)
class Signed:
    """The newest signed revision of a link: what its seal covers, and its record from just that; None when too little of it is left."""

    covered: Covered
    asked: Asked | None
    fingerprint: str


def make(
    db: Database,
    folder: PhotoFolder,
    book: str,
    link: str,
    paper: str = "a4",
    working: bool = True,
    progress: Progress | None = None,
) -> bytes:
    """The record of a link as it stands now, as PDF. Errors: Refused for a link that isn't there, RecordError when it can't be set."""
    (progress or _quiet)(0, 0, "Working out the margins")
    kept = entries.kept_of(db, book)
    with engine.opened(book, [one.text for one in kept]) as core:
        made = asked(core, book, kept, link, now(), keys.words(db), working)
    return pdf(made, photo_bytes(folder), paper, progress)


def asked(
    core: Any, book: str, kept: list[KeptText], link: str, made_at: str, known: dict[str, str], working: bool = True
) -> Asked:
    """The record of a link of an opened book (`engine.opened` with just these texts). known: {thumbprint: words} of registered keys."""
    view = core("link", link=link)
    signatures = signing.checked(core("seals", texts=[one.text for one in kept if one.kind == "seal"]))
    model = core("record", link=link, made_at=made_at, signatures=signatures, keys=known, working=working)
    name = str((view["fields"].get("name") or {}).get("value") or "unnamed link")
    found = covered.newest(kept, link)
    if found is None:
        wanted = {row[0] for row in core("cover", link=link)["entries"]}
        texts = [one.text for one in kept if json.loads(one.text)["id"] in wanted]
    attached = attachments(book, name, found.texts if found else texts, found)
    seal = view["seals"][-1] if view["seals"] else None
    return Asked(model, attached, signatures, seal, view["fields"], core("since_signing", link=link)["verdicts"])


def signed(db: Database, book: str, link: str) -> Signed | None:
    """The newest signed revision of a link, from exactly the entries that its seal covers and its seals; None when it isn't signed.

    The record bears the time of signing, since nothing that came later is in it: made again, it is the same.
    """
    kept, known = entries.kept_of(db, book), keys.words(db)
    found = covered.newest(kept, link)
    if found is None:
        return None
    fingerprint = _fingerprint(found, known)
    with _one_at_a_time:
        if fingerprint not in _recent:
            while len(_recent) >= _MOST_RECENT:
                del _recent[next(iter(_recent))]
            _recent[fingerprint] = _asked_of(book, link, found, kept, known)
        return Signed(found, _recent[fingerprint], fingerprint)


# A record takes most of a second, and a page with photos asks for it once for each.
_recent: dict[str, Asked | None] = {}
_MOST_RECENT = 8
_one_at_a_time = threading.Lock()


def _fingerprint(found: Covered, known: dict[str, str]) -> str:
    """Changes whenever the record would."""
    parts = [engine.bundle(), json.dumps([found.texts, found.missing, found.altered, known], sort_keys=True).encode()]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def _asked_of(book: str, link: str, found: Covered, kept: list[KeptText], known: dict[str, str]) -> Asked | None:
    wanted = set(found.texts)
    with engine.opened(book, found.texts) as core:
        try:
            made = asked(core, book, [one for one in kept if one.text in wanted], link, found.at, known)
        except Refused:
            return None
    return replace(made, model=_without_later(made.model))


# Rows on what is here now, which core can't know from the signed entries alone.
_LATER = "Entries after signing"
_NOW = ("Entries now", "Photos now", "Digest now")


def _without_later(model: dict[str, Any]) -> dict[str, Any]:
    """The model without saying that nothing came later, which a record made of the signed entries alone can't say."""
    return model | {"sections": [_told(section) if section["id"] == "covered" else section for section in model["sections"]]}


def _told(section: dict[str, Any]) -> dict[str, Any]:
    blocks = [block | {"rows": _rows(block["rows"])} if block["form"] == "rows" else block for block in section["blocks"]]
    return section | {"blocks": blocks}


def _rows(rows: list[list[str]]) -> list[list[str]]:
    return [[label, "not in this record" if label == _LATER else text] for label, text in rows if label not in _NOW]


def attachments(book: str, name: str, texts: list[str], signed: Covered | None) -> list[Attachment]:
    """What lies in the PDF beside the pages: the entries as written, and how to verify them. Same input, same bytes."""
    held = json.dumps({"spanbook": 1, "book": book, "entries": texts}, ensure_ascii=False, indent=0)
    about = (signed.revision, signed.entries, len(signed.missing) + len(signed.altered)) if signed else None
    how = verify_text.text(name, about, bool(signed and signed.has_key)).encode()
    return [
        ("book.json", held.encode(), "application/json", "The entries of this record as they were first written, and its seals"),
        ("VERIFY.txt", how, "text/plain", "How to verify the entries against the signatures"),
    ]


def pdf(made: Asked, photos: PhotoBytes, paper: str = "a4", progress: Progress | None = None) -> bytes:
    """Set what was asked. Errors: ValueError for an unknown paper, RecordError."""
    return record.pdf(made.model, photos, paper, made.model["lang"], attachments=made.attachments, progress=progress)


def photo_bytes(folder: PhotoFolder) -> PhotoBytes:
    """What gives a photo's bytes by its hash, from any thread (a database connection is for one); None for one that isn't here."""

    def found(sha256: str) -> bytes | None:
        path = folder.path(sha256)
        return path.read_bytes() if path.is_file() else None

    return found


def _quiet(done: int, total: int, words: str) -> None:
    pass
