"""A seal's form: is it well made, so strictly that no sign of it can be changed unseen; and what it says, of either version.

Version 1 has its parts in the body. Version 2 has them in `signed`, the very text that the device's key signed, made once and never again.
"""

from . import moments
from .errors import Refused
from .seal_key import is_hex, thumbprint
from .seal_signed import FORM, PARTS, are_texts, check_pairs, check_photos, read_signed
from .shapes import check_filled, check_reference
from .textform import dumps, loads

__all__ = ["FORM", "check_seal", "check_version", "is_hex", "parts", "thumbprint"]

_BODY = ["key", "link", "signature", "signed"]
_HEADER = (("id", "seal"), ("book", "book"), ("at", "at"), ("by", "by"), ("device", "device"))


def check_seal(body: dict) -> None:
    """Refuse the body of a seal that is not well made; a version 2 seal is known by its signed text."""
    check_reference(body.get("link"), "link")
    if "signed" in body:
        _check_second(body)
    else:
        _check_first(body)


def _check_first(body: dict) -> None:
    """Version 1. A part of another shape than those that read it take would stop every screen that shows the link."""
    _check_covers(body.get("covers"))
    _check_first_signatures(body.get("signatures"))
    rows = body.get("verdicts") or []
    if not isinstance(rows, list) or [row for row in rows if not isinstance(row, list) or not are_texts(row)]:
        raise Refused("shape", "verdicts", "", "rows of texts")


def _check_covers(covers: object) -> None:
    if not isinstance(covers, dict) or not isinstance(covers.get("entries"), list) or not isinstance(covers.get("digest"), str):
        raise Refused("shape", "covers", "", "entries, photos and digest")
    check_pairs(covers["entries"], "entries")
    check_pairs(covers.get("limits") or [], "limits")
    check_photos(covers.get("photos") or [])


def _check_first_signatures(signatures: object) -> None:
    if not isinstance(signatures, list) or not signatures:
        raise Refused("missing", "signatures", "", "at least one signature", "Sign before sealing.")
    for signature in signatures:
        if not isinstance(signature, dict):
            raise Refused("shape", "signature", signature, "name, role, time and strokes")
        check_filled(signature.get("name"), "name", "Write who signs.")
        moments.milliseconds(signature.get("at"), "at")
        if not isinstance(signature.get("strokes"), list) or not signature["strokes"]:
            raise Refused("missing", "signature", "", "a drawn signature", "Draw it on the pad.")


def _check_second(body: dict) -> None:
    if sorted(body) != _BODY:
        raise Refused("shape", "seal", ", ".join(sorted(body)), "exactly " + ", ".join(_BODY))
    held = read_signed(body["signed"])
    if held["link"] != body["link"]:
        raise Refused("shape", "link", body["link"], "the link that the signed text names")
    if thumbprint(body["key"]) != held["key"]:
        raise Refused("shape", "key", "", "the key that the signed text names")
    if not is_hex(body["signature"], 128):
        raise Refused("shape", "signature", "", "128 hexadecimal digits in lower case")


def check_version(entry: dict, text: str) -> None:
    """Refuse a seal whose version is not that of its body, whose header says other than what was signed, or whose text is written otherwise."""
    if ("signed" in entry["body"]) != (entry["v"] == 2):
        raise Refused("shape", "v", entry["v"], "2 for a seal with signed text, 1 for one without")
    if entry["v"] != 2:
        return
    held = loads(entry["body"]["signed"])
    for name, signed in _HEADER:
        if entry[name] != held[signed]:
            raise Refused("shape", name, entry[name], "what the signed text says")
    if entry["replaces"] != []:
        raise Refused("shape", "replaces", "", "an empty list, since a seal replaces nothing")
    if entry_text(entry) != text:
        raise Refused("shape", "seal", "", "an entry's keys in their order, once each, without blanks between them")


def entry_text(entry: dict) -> str:
    """The one text that a version 2 seal entry can have. Only so is a sign of it that was changed found whoever reads it: the phone's
    interpreter takes a colon for a comma, and a key twice."""
    body, key = entry["body"], entry["body"]["key"]
    public = _object([[name, key[name]] for name in ("kty", "crv", "x", "y")])
    inner = _object([["link", body["link"]], ["signed", body["signed"]]])[:-1] + ',"key":' + public
    inner += ',"signature":' + dumps(body["signature"]) + "}"
    before = _object([[name, entry[name]] for name in ("id", "book", "kind", "v")])[:-1]
    after = _object([[name, entry[name]] for name in ("at", "by", "device", "replaces")])[1:]
    return before + ',"body":' + inner + "," + after


def _object(pairs: list) -> str:
    return "{" + ",".join([dumps(pair[0]) + ":" + dumps(pair[1]) for pair in pairs]) + "}"


def parts(entry: dict) -> dict:
    """What a seal entry of either version says: {"v", "revision", "name", "entries", "photos", "limits", "digest", "signatures", "verdicts",
    "previous", "stops", "changes", "list", "identifiers", "summary", "key" (thumbprint), "jwk", "signature", "text"}.

    For entries that were checked before they were kept. Errors: Refused, KeyError, TypeError, ValueError for one that was torn since, or taken
    by a version that checked less.
    """
    body = entry["body"]
    if "signed" not in body:
        return _first(body)
    held = loads(body["signed"])
    found = {name: held[name] for name in PARTS if name not in _OF_THE_ENTRY}
    found["v"], found["verdicts"] = 2, [_verdict(row) for row in held["verdicts"]]
    found["jwk"], found["signature"], found["text"] = body["key"], body["signature"], body["signed"]
    return found


_OF_THE_ENTRY = ("at", "book", "by", "device", "form", "link", "seal")


def _first(body: dict) -> dict:
    _check_first(body)
    covers = body["covers"]
    revision = body.get("revision")
    found = {"v": 1, "revision": revision if isinstance(revision, int) else 1, "digest": covers["digest"]}
    for name in ("entries", "photos", "limits"):
        found[name] = covers.get(name) or []
    found["signatures"], found["previous"] = body["signatures"], None
    for name in ("stops", "changes", "list", "identifiers"):
        found[name] = []
    rows = [row for row in body.get("verdicts") or [] if isinstance(row, list) and len(row) == 5]
    found["verdicts"] = [_verdict([row[0], row[0]] + row[1:]) for row in rows]
    for name in ("name", "key", "signature", "text"):
        found[name] = ""
    found["summary"], found["jwk"] = None, None
    return found


_VERDICT = ("check", "title", "verdict", "measured", "limit", "margin")


def _verdict(row: list) -> dict:
    return {_VERDICT[place]: row[place] for place in range(len(_VERDICT))}
