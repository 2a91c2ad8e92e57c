"""The signed text of a version 2 seal: which parts it has and of what shape, so strictly that it can be written in one way only."""

from . import moments
from .errors import Refused
from .seal_key import is_hex
from .shapes import LONGEST_TEXT, check_filled, check_reference, check_text
from .textform import dumps, loads

FORM = "spanbook seal 2"
PARTS = [
    "at",
    "book",
    "by",
    "changes",
    "device",
    "digest",
    "entries",
    "form",
    "identifiers",
    "key",
    "limits",
    "link",
    "list",
    "name",
    "photos",
    "previous",
    "revision",
    "seal",
    "signatures",
    "stops",
    "summary",
    "verdicts",
]
_SUMMARY = ["deviations", "fail", "not_measured", "pass", "verdict", "words"]
_DRAWN = ["at", "height", "name", "role", "strokes", "width"]
_TYPED = ["at", "name", "role", "typed"]
_WIDTHS = (("identifiers", 2), ("verdicts", 6), ("list", 4), ("stops", 4))


def read_signed(text: object) -> dict:
    """The signed text of a version 2 seal -> its parts.

    Errors: Refused when a part is missing, one too many, or of another shape, or when core would have written the text otherwise (a key twice,
    a blank too many): two readers of such a text might understand two things.
    """
    held = _loaded(text)
    if not isinstance(held, dict) or held.get("form") != FORM:
        raise Refused("shape", "signed", "", "the text that was signed, of form '" + FORM + "'")
    if sorted(held) != PARTS:
        raise Refused("shape", "signed", ", ".join(sorted(held)), "exactly " + ", ".join(PARTS))
    _check_identity(held)
    _check_covered(held)
    _check_rows(held)
    check_signatures(held["signatures"])
    if not _is_as_written(held, text):
        raise Refused("shape", "signed", "", "the text as core wrote it, sign for sign")
    return held


def _loaded(text: object) -> object:
    try:
        return loads(text) if isinstance(text, str) else None
    except (ValueError, RuntimeError):  # CPython's reader gives up on deep nesting with a kind of RuntimeError
        return None


def _is_as_written(held: dict, text: str) -> bool:
    try:
        return dumps(held) == text
    except (Refused, RuntimeError):
        return False


def _check_identity(held: dict) -> None:
    for name in ("seal", "book", "link"):
        check_reference(held[name], name)
    if not isinstance(held["revision"], int) or held["revision"] is True or held["revision"] < 1:
        raise Refused("shape", "revision", held["revision"], "a whole number from 1")
    for name in ("by", "device", "name"):
        check_text(held[name], name, LONGEST_TEXT)
    moments.milliseconds(held["at"], "at")
    if not is_hex(held["key"], 64):
        raise Refused("shape", "key", "", "the thumbprint of the key, 64 hexadecimal digits")


def _check_covered(held: dict) -> None:
    for name in ("entries", "limits"):
        check_pairs(held[name], name)
    if held["previous"] is not None:
        check_pairs([held["previous"]], "previous")
    if (held["previous"] is None) != (held["revision"] == 1):
        raise Refused("shape", "previous", "", "the seal before it from revision 2 on, and none for revision 1")
    check_photos(held["photos"])
    if not is_hex(held["digest"], 64):
        raise Refused("shape", "digest", held["digest"], "64 hexadecimal digits")


def check_photos(photos: object) -> None:
    """Refuse what is no list of SHA-256."""
    if not isinstance(photos, list) or [name for name in photos if not is_hex(name, 64)]:
        raise Refused("shape", "photos", "", "a list of SHA-256")


def check_pairs(rows: object, name: str) -> None:
    """Refuse what is no list of [id, SHA-256]."""
    if not isinstance(rows, list):
        raise Refused("shape", name, "", "pairs of id and SHA-256")
    for row in rows:
        if not isinstance(row, list) or len(row) != 2 or not isinstance(row[0], str) or not is_hex(row[1], 64):
            raise Refused("shape", name, "", "pairs of id and SHA-256")


def _check_rows(held: dict) -> None:
    for name, width in _WIDTHS:
        for row in held[name] if isinstance(held[name], list) else [None]:
            if not isinstance(row, list) or len(row) != width or not are_texts(row):
                raise Refused("shape", name, "", "rows of " + str(width) + " texts")
    if not isinstance(held["changes"], list) or not are_texts(held["changes"]):
        raise Refused("shape", "changes", "", "a list of texts")
    for stop in held["stops"]:
        moments.milliseconds(stop[3], "at")
    summary = held["summary"]
    if not isinstance(summary, dict) or sorted(summary) != _SUMMARY or not are_texts([summary["verdict"], summary["words"]]):
        raise Refused("shape", "summary", "", "exactly " + ", ".join(_SUMMARY))
    if [name for name in _SUMMARY[:4] if summary[name] is True or summary[name] is False or not isinstance(summary[name], int)]:
        raise Refused("shape", "summary", "", "whole numbers and two texts")


def are_texts(items: list) -> bool:
    """Is every item a text."""
    return not [item for item in items if not isinstance(item, str)]


def check_signatures(signatures: object) -> None:
    """At least one; each drawn, or typed by a person who can't draw, with name, role and time, and nothing else."""
    if not isinstance(signatures, list) or not signatures:
        raise Refused("missing", "signatures", "", "at least one signature", "Sign before sealing.")
    for signature in signatures:
        if not isinstance(signature, dict):
            raise Refused("shape", "signature", signature, "name, role, time and strokes")
        check_filled(signature.get("name"), "name", "Write who signs.")
        check_filled(signature.get("role"), "role", "Say as what this person signs.")
        moments.milliseconds(signature.get("at"), "at")
        if sorted(signature) == _TYPED:
            _check_typed(signature)
        else:
            _check_drawn(signature)


def _check_typed(signature: dict) -> None:
    if signature["typed"] != signature["name"]:
        raise Refused("missing", "signature", signature["typed"], "the name typed once more, as it stands above")


def _check_drawn(signature: dict) -> None:
    if not signature.get("strokes"):
        raise Refused("missing", "signature", "", "a drawn signature, or the name typed once more", "Draw it on the pad.")
    if sorted(signature) != _DRAWN:
        raise Refused("shape", "signature", ", ".join(sorted(signature)), ", ".join(_DRAWN) + "; or " + ", ".join(_TYPED))
    strokes, sizes = signature["strokes"], [signature["width"], signature["height"]]
    points = [point for stroke in strokes for point in stroke] if _are_lists(strokes) else [None]
    if not _are_lists(points) or [point for point in points if len(point) != 2] or not _are_numbers(sizes + _flat(points)):
        raise Refused("shape", "signature", "", "strokes of points [x, y], and the pad's width and height", "Draw it again.")


def _flat(points: list) -> list:
    return [number for point in points for number in point]


def _are_lists(items: object) -> bool:
    return isinstance(items, list) and not [item for item in items if not isinstance(item, list)]


def _are_numbers(items: list) -> bool:
    return not [item for item in items if item is True or item is False or not isinstance(item, (int, float))]
