"""Asking core whether an entry is well made."""

from __future__ import annotations

import json
import logging

from app import engine
from app.core.errors import Refused
from app.store.entries import CheckedEntry

_log = logging.getLogger(__name__)


class EntryRefused(Exception):
    """An entry that isn't taken: its id if it shows one, a code, a sentence."""

    def __init__(self, id: str | None, code: str, message: str):
        super().__init__(message)
        self.id = id
        self.code = code


def check(text: object) -> CheckedEntry:
    """An entry's text -> CheckedEntry; EntryRefused when it is malformed. A kind or version that core doesn't know is kept."""
    if not isinstance(text, str) or not _is_utf8(text):
        raise EntryRefused(None, "shape", "entry: only the text of an entry is taken")
    try:
        facts = engine.call("check_entry", text=text)
    except Refused as refused:
        raise EntryRefused(_id_in(text), refused.code, refused.sentence()) from refused
    except Exception as error:
        # A fault of ours on one odd entry must not hold up the rest of a day's work.
        _log.exception("check_entry failed")
        message = "entry: the server could not check it. It stays on the phone; tell the office."
        raise EntryRefused(_id_in(text), "fault", message) from error
    return CheckedEntry(text, facts["id"], facts["book"], facts["kind"], facts["sha256"], facts.get("photo"))


def _is_utf8(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _id_in(text: str) -> str | None:
    try:
        entry = json.loads(text)
    except (ValueError, RecursionError):
        return None
    found = entry.get("id") if isinstance(entry, dict) else None
    return found if isinstance(found, str) else None
