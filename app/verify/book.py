"""Reading an exported book as evidence: its JSON, with the photos that lie beside it or, from a phone, in it."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
from typing import Any

from app.config import PHOTO_LIMIT_BYTES
from app.parcel import BOOK_FILE, FORM, PHONE_FORM
from app.verify.containers import Member, Torn
from app.verify.evidence import Evidence, NotReadable

_PHOTO = re.compile(r"(?:.*/)?photos/([0-9a-f]{64})\.(?:jpg|png|webp|heic|bin)")
_MOST_NAMED = 20
# The reader gives up on deeper nesting, or on numbers with thousands of digits, with errors of these kinds.
BROKEN_JSON = (ValueError, RecursionError)


def take_json(evidence: Evidence, held: bytes, name: str) -> None:
    """Take entries, and a phone's photos, from {"entries": [texts]}. Errors: NotReadable when it is of another form."""
    try:
        data = json.loads(held.decode("utf-8-sig"))
    except BROKEN_JSON as error:
        raise NotReadable(f"{name} is torn or no exported book: it isn't whole JSON text.") from error
    if not isinstance(data, dict) or not isinstance(data.get("entries"), list):
        raise NotReadable(f'{name} is no exported book: {{"spanbook": 1, "book": id, "entries": [texts]}} is.')
    for number, text in enumerate(data["entries"], 1):
        where = f"entry {number} of {name}"
        if isinstance(text, str):
            evidence.texts.append([text, where])
        else:
            evidence.problems.append(f"An entry can't be read, it is no text: {where}.")
    if data.get("format") == PHONE_FORM:
        _take_photos_of_phone(evidence, data.get("photos"), name)
    else:
        _check_head(evidence, data, name)


def _check_head(evidence: Evidence, data: dict[str, Any], name: str) -> None:
    """What stands before the entries is signed by nobody; that it was changed is said all the same."""
    if data.get("spanbook") != FORM or isinstance(data["spanbook"], bool):
        evidence.problems.append(f"{name} does not say that it is an exported book of form {FORM}.")
    others = {book for text in data["entries"] if (book := _book_of(text)) is not None} - {data.get("book")}
    if others:
        evidence.problems.append(f"{name} does not name the book that its entries are of, {', '.join(sorted(others)[:3])}.")


def _book_of(text: object) -> str | None:
    try:
        return str(json.loads(text)["book"]) if isinstance(text, str) else None
    except (*BROKEN_JSON, KeyError, TypeError):
        return None


def _take_photos_of_phone(evidence: Evidence, photos: object, name: str) -> None:
    for number, photo in enumerate(photos if isinstance(photos, list) else [], 1):
        where = f"photo {number} of {name}"
        try:
            named, written = str(photo["sha256"]), photo["base64"]
        except (TypeError, KeyError):
            evidence.problems.append(f"A photo can't be read: {where}.")
            continue
        try:
            evidence.add_photo(named, hashlib.sha256(base64.b64decode(written, validate=True)).hexdigest(), where)
        except (TypeError, ValueError, binascii.Error):
            evidence.add_photo(named, "", where)


def take_files(evidence: Evidence, members: list[Member]) -> None:
    """Take a book from the files of a zip or folder: book.json and photos/<SHA-256>.<ending>. Each fault of a file is said."""
    others = []
    for member in members:
        photo = _PHOTO.fullmatch(member.name)
        if member.name == BOOK_FILE:
            _take_book(evidence, member)
        elif photo:
            take_photo(evidence, member, photo[1], member.name)
        else:
            others.append(member.name)
        evidence.problems += [f"{member.name} {fault}." for fault in member.faults]
    note_others(evidence, others)


def _take_book(evidence: Evidence, member: Member) -> None:
    try:
        take_json(evidence, member.content(), member.name)
    except Torn as torn:
        evidence.problems.append(f"{member.name} {torn}.")
    except NotReadable as fault:
        evidence.problems.append(str(fault))


def take_photo(evidence: Evidence, member: Member, named: str, where: str) -> str:
    """Take a photo by its actual hash -> that hash, or "" for one that can't be read."""
    try:
        found = member.sha256(PHOTO_LIMIT_BYTES)
    except Torn as torn:
        found = ""
        evidence.problems.append(f"{where} {torn}.")
    evidence.add_photo(named, found, where)
    return found


def note_others(evidence: Evidence, names: list[str]) -> None:
    """Say which files were not looked at."""
    evidence.notes += [f"{name[:200]} has no place here and was not looked at." for name in names[:_MOST_NAMED]]
    if len(names) > _MOST_NAMED:
        evidence.notes.append(f"{len(names) - _MOST_NAMED} more files have no place here and were not looked at.")
