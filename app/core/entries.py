"""Is this text a well-made entry? The same answer on the phone before it is kept and on the server before it is taken."""

import json

from . import kinds, moments, seal_form
from .errors import Refused
from .events import check_event
from .fields import check_thing
from .hashes import sha256_hex
from .shapes import check_text, is_id

HEADER = ("id", "book", "kind", "v", "body", "at", "by", "device", "replaces")
_LONGEST_ENTRY = 2000000
_DEEPEST = 12


def read(text: str) -> dict:
    """An entry's text -> the entry as plain data, when its header is well made. The body is checked by `check_body`."""
    if not isinstance(text, str) or len(text) > _LONGEST_ENTRY:
        raise Refused("shape", "entry", "", "JSON text of up to two million characters")
    try:
        entry = json.loads(text)
    except (ValueError, RuntimeError):  # CPython's reader gives up on deep nesting with a kind of RuntimeError
        raise Refused("shape", "entry", text[:40], "whole JSON text", "The text is torn or not an entry.")
    if _deeper_than(entry, _DEEPEST):
        raise Refused("shape", "entry", text[:40], "up to " + str(_DEEPEST) + " levels of brackets", "The text is not an entry.")
    if not isinstance(entry, dict) or "\\u0000" in text or "\x00" in text:
        raise Refused("shape", "entry", text[:40], "one JSON object without NUL characters")
    for name in HEADER:
        if name not in entry:
            raise Refused("missing", name, "", "an entry with " + ", ".join(HEADER))
    _check_header(entry)
    return entry


def _deeper_than(value: object, most: int) -> bool:
    """Are brackets nested deeper than that. Level by level, since the interpreters bear different depths of recursion."""
    level = [value]
    for _ in range(most):
        level = [inner for outer in level for inner in _containers(outer)]
        if not level:
            return False
    return True


def _containers(value: object) -> list:
    members = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [member for member in members if isinstance(member, (dict, list))]


def read_kept(text: str) -> dict:
    """An entry's text that was checked before it was kept -> plain data. Only a torn one is refused, which keeps opening a book quick."""
    try:
        entry = json.loads(text)
        if isinstance(entry["body"], dict) and entry["id"] and entry["at"]:
            return entry
    except (ValueError, KeyError, TypeError):
        pass
    return read(text)


def _check_header(entry: dict) -> None:
    for name in ("id", "book"):
        if not is_id(entry[name]):
            raise Refused("shape", name, entry[name], "a UUID in lower case")
    if not isinstance(entry["kind"], str) or not 1 <= len(entry["kind"]) <= 40:
        raise Refused("shape", "kind", entry["kind"], "a word of up to 40 letters")
    if not isinstance(entry["v"], int) or entry["v"] is True or entry["v"] < 1:
        raise Refused("shape", "v", entry["v"], "a whole number from 1")
    if not isinstance(entry["body"], dict):
        raise Refused("shape", "body", entry["body"], "an object")
    moments.milliseconds(entry["at"], "at")
    for name in ("by", "device"):
        check_text(entry[name], name, 200)
    if not isinstance(entry["replaces"], list) or len(entry["replaces"]) > 1000:
        raise Refused("shape", "replaces", entry["replaces"], "a list of up to 1000 entry ids")
    for replaced in entry["replaces"]:
        if not is_id(replaced) or replaced == entry["id"]:
            raise Refused("shape", "replaces", replaced, "ids of other entries")


def is_known(entry: dict) -> bool:
    """Does this version of core know the entry's kind and version? What it doesn't know is kept, shown as unknown, and never judged."""
    kind = entry["kind"]
    return entry["v"] <= kinds.newest_version(kind) and (kind in kinds.THINGS or kind in kinds.EVENT_NAMES)


def read_checked(text: str) -> dict:
    """An entry's text -> the entry, when all of it is well made as far as this version knows its kind."""
    entry = read(text)
    if is_known(entry):
        check_body(entry)
        if entry["kind"] == "seal":
            seal_form.check_version(entry, text)
    return entry


def check(text: str) -> dict:
    """An entry's text -> {id, book, kind, v, known, sha256, link, photo}; Refused when it is malformed."""
    entry = read_checked(text)
    body = entry["body"]
    return {
        "id": entry["id"],
        "book": entry["book"],
        "kind": entry["kind"],
        "v": entry["v"],
        "known": is_known(entry),
        "sha256": sha256_hex(text),
        "link": body.get("link"),
        "photo": body.get("sha256") if entry["kind"] == "photo" else None,
    }


def check_body(entry: dict) -> None:
    """Refuse a body that its kind doesn't allow."""
    kind, body = entry["kind"], entry["body"]
    if kind in kinds.THINGS:
        check_thing(kind, body, entry)
    else:
        check_event(kind, body)
