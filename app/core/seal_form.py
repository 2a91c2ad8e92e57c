"""A seal's form: is it well made, so strictly that no sign of it can be changed unseen; and what it says, of either version.

Version 1 has its parts in the body. Version 2 has them in `signed`, the very text that the device's key signed, made once and never again.
"""

import binascii

from . import moments
from .errors import Refused
from .hashes import sha256_hex
from .shapes import HEX, check_filled, check_reference, is_id
from .textform import loads

FORM = "spanbook seal 2"
BODY = ["key", "link", "signature", "signed"]
_KEY = ["crv", "kty", "x", "y"]


def check_seal(body: dict) -> None:
    """Refuse the body of a seal that is not well made; a version 2 seal is known by its signed text."""
    check_reference(body.get("link"), "link")
    if "signed" in body:
        _check_second(body)
    else:
        _check_covers(body.get("covers"))
        check_signatures(body.get("signatures"))


def _check_covers(covers: object) -> None:
    if not isinstance(covers, dict) or not isinstance(covers.get("entries"), list) or not isinstance(covers.get("digest"), str):
        raise Refused("shape", "covers", "", "entries, photos and digest")


def check_signatures(signatures: object) -> None:
    """At least one; each drawn, or typed by a person who can't draw, with name and time."""
    if not isinstance(signatures, list) or not signatures:
        raise Refused("missing", "signatures", "", "at least one signature", "Sign before sealing.")
    for signature in signatures:
        if not isinstance(signature, dict):
            raise Refused("shape", "signature", signature, "name, role, time and strokes")
        check_filled(signature.get("name"), "name", "Write who signs.")
        moments.milliseconds(signature.get("at"), "at")
        strokes, typed = signature.get("strokes"), signature.get("typed")
        if not (isinstance(strokes, list) and strokes) and not (typed and typed == signature["name"]):
            raise Refused("missing", "signature", "", "a drawn signature, or the name typed once more", "Draw it on the pad.")


def _check_second(body: dict) -> None:
    if sorted(body) != BODY:
        raise Refused("shape", "seal", ", ".join(sorted(body)), "exactly " + ", ".join(BODY))
    held = read_signed(body["signed"])
    if held["link"] != body["link"]:
        raise Refused("shape", "link", body["link"], "the link that the signed text names")
    if thumbprint(body["key"]) != held["key"]:
        raise Refused("shape", "key", "", "the key that the signed text names")
    if not is_hex(body["signature"], 128):
        raise Refused("shape", "signature", "", "128 hexadecimal digits in lower case")


def read_signed(text: object) -> dict:
    """The signed text of a version 2 seal -> its parts. Errors: Refused when a part is missing or of another shape."""
    try:
        held = loads(text) if isinstance(text, str) else None
    except (ValueError, RuntimeError):
        held = None
    if not isinstance(held, dict) or held.get("form") != FORM:
        raise Refused("shape", "signed", "", "the text that was signed, of form '" + FORM + "'")
    for name in ("seal", "book", "link"):
        check_reference(held.get(name), name)
    if not isinstance(held.get("revision"), int) or held["revision"] is True or held["revision"] < 1:
        raise Refused("shape", "revision", held.get("revision"), "a whole number from 1")
    for name in ("entries", "limits"):
        _check_pairs(held.get(name), name)
    for name in ("photos", "verdicts", "list", "stops", "changes"):
        if not isinstance(held.get(name), list):
            raise Refused("shape", name, "", "a list")
    for name in ("at", "by", "device", "digest", "name"):
        if not isinstance(held.get(name), str):
            raise Refused("shape", name, held.get(name), "text")
    if held.get("previous") is not None:
        _check_pairs([held["previous"]], "previous")
    if not is_hex(held.get("key"), 64):
        raise Refused("shape", "key", "", "the thumbprint of the key, 64 hexadecimal digits")
    moments.milliseconds(held["at"], "at")
    check_signatures(held.get("signatures"))
    return held


def _check_pairs(rows: object, name: str) -> None:
    if not isinstance(rows, list):
        raise Refused("shape", name, "", "pairs of id and SHA-256")
    for row in rows:
        if not isinstance(row, list) or len(row) != 2 or not isinstance(row[0], str) or not is_hex(row[1], 64):
            raise Refused("shape", name, "", "pairs of id and SHA-256")


def check_version(entry: dict) -> None:
    """Refuse a seal whose version is not that of its body, or whose header says other than what was signed."""
    if ("signed" in entry["body"]) != (entry.get("v", 1) == 2):
        raise Refused("shape", "v", entry.get("v"), "2 for a seal with signed text, 1 for one without")
    if entry.get("v") == 2:
        check_header(entry)


def check_header(entry: dict) -> None:
    """Refuse a version 2 seal whose entry says other than what was signed: its id, book, time, person, device."""
    held = read_signed(entry["body"]["signed"])
    for name, signed in (("id", "seal"), ("book", "book"), ("at", "at"), ("by", "by"), ("device", "device")):
        if entry[name] != held[signed]:
            raise Refused("shape", name, entry[name], "what the signed text says")
    if entry["replaces"] != []:
        raise Refused("shape", "replaces", "", "an empty list, since a seal replaces nothing")


def is_hex(text: object, length: int) -> bool:
    """Is it that many hexadecimal digits in lower case."""
    return isinstance(text, str) and len(text) == length and not [sign for sign in text if sign not in HEX]


def thumbprint(key: object) -> str:
    """A P-256 public key as JWK -> its SHA-256 thumbprint by RFC 7638, in hexadecimal.

    Errors: Refused for a key with other members, or coordinates that are not canonical base64url of 32 bytes.
    """
    if not isinstance(key, dict) or sorted(key) != _KEY or key["kty"] != "EC" or key["crv"] != "P-256":
        raise Refused("shape", "key", "", "a public key with kty EC, crv P-256, x and y")
    for name in ("x", "y"):
        if not _is_coordinate(key[name]):
            raise Refused("shape", "key", key[name], "32 bytes as base64url without padding")
    return sha256_hex('{"crv":"P-256","kty":"EC","x":"' + key["x"] + '","y":"' + key["y"] + '"}')


def _is_coordinate(text: object) -> bool:
    if not isinstance(text, str) or len(text) != 43:
        return False
    try:
        held = binascii.a2b_base64((text.replace("-", "+").replace("_", "/") + "=").encode())  # the phone's takes bytes only
    except ValueError:
        return False
    again = binascii.b2a_base64(held).decode().strip("=\n").replace("+", "-").replace("/", "_")
    return len(held) == 32 and again == text


def parts(entry: dict) -> dict:
    """What a seal entry of either version says: {"v", "revision", "entries", "photos", "limits", "digest", "signatures", "verdicts", "previous",
    "stops", "changes", "list", "summary", "key" (thumbprint), "jwk", "signature", "text"}. Errors: Refused for a version 2 seal that is torn."""
    body = entry["body"]
    if "signed" not in body:
        return _first(body)
    held = read_signed(body["signed"])
    found = {name: held[name] for name in ("revision", "entries", "photos", "limits", "digest", "signatures", "previous", "stops")}
    for name in ("changes", "list", "key", "name"):
        found[name] = held[name]
    found["v"], found["summary"] = 2, held.get("summary")
    found["verdicts"] = [verdict for verdict in [_verdict(row) for row in held["verdicts"]] if verdict]
    found["jwk"], found["signature"], found["text"] = body["key"], body["signature"], body["signed"]
    return found


def _first(body: dict) -> dict:
    covers = body["covers"]
    found = {"v": 1, "revision": body.get("revision", 1), "entries": covers["entries"], "photos": covers.get("photos") or []}
    found["limits"], found["digest"] = covers.get("limits") or [], covers["digest"]
    found["signatures"], found["previous"] = body["signatures"], None
    for name in ("stops", "changes", "list"):
        found[name] = []
    rows = [row for row in body.get("verdicts") or [] if isinstance(row, list) and len(row) == 5]
    found["verdicts"] = [_verdict([row[0], row[0]] + row[1:]) for row in rows]
    found["summary"], found["key"], found["jwk"], found["signature"], found["text"] = None, "", None, "", ""
    found["name"] = ""
    return found


_VERDICT = ["check", "title", "verdict", "measured", "limit", "margin"]


def _verdict(row: object) -> dict | None:
    if not isinstance(row, list) or len(row) != len(_VERDICT):
        return None
    return {_VERDICT[place]: row[place] for place in range(len(_VERDICT))}


def entry_of(text: object) -> dict | None:
    """An entry's text -> the entry, when it is a JSON object with a body; None for anything else."""
    try:
        entry = loads(text) if isinstance(text, str) else None
    except (ValueError, RuntimeError):
        return None
    return entry if isinstance(entry, dict) and isinstance(entry.get("body"), dict) else None


def is_seal(entry: object) -> bool:
    """Is it a version 2 seal of the shape that the server takes: its header, its body and its text say the same."""
    try:
        check_seal(entry["body"])
        check_header(entry)
        return entry["kind"] == "seal" and entry["v"] == 2 and is_id(entry["id"])
    except (Refused, KeyError, TypeError, AttributeError):
        return False
