"""Is this text a well-made entry? The same answer on the phone before it is kept and on the server before it is taken."""

import binascii
import hashlib
import json

from . import kinds, moments, units
from .errors import Refused
from .numbers import is_blank, parse_decimal
from .quantities import EXTRA_UNITS, ZONES, quantity

HEADER = ("id", "book", "kind", "v", "body", "at", "by", "device", "replaces")
_HEX = "0123456789abcdef"
_LONGEST_TEXT = 4000
_LONGEST_ENTRY = 2000000
_DEEPEST = 12
_NEVER_NEGATIVE = ("length", "resistance", "voltage", "current", "power", "rate", "time", "frequency", "ratio", "level")
_RETYPE = "Type it again."


def sha256_hex(text: str) -> str:
    """SHA-256 of a text's UTF-8 bytes, in hexadecimal."""
    return binascii.hexlify(hashlib.sha256(text.encode()).digest()).decode()


def is_id(text: object) -> bool:
    """Is it a UUID in lower-case hexadecimal with hyphens."""
    if not isinstance(text, str) or len(text) != 36 or text != text.lower():
        return False
    if text[8] + text[13] + text[18] + text[23] != "----":
        return False
    try:
        return len(binascii.unhexlify(text.replace("-", ""))) == 16
    except ValueError:
        return False


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
        _check_text(entry[name], name, 200)
    if not isinstance(entry["replaces"], list) or len(entry["replaces"]) > 1000:
        raise Refused("shape", "replaces", entry["replaces"], "a list of up to 1000 entry ids")
    for replaced in entry["replaces"]:
        if not is_id(replaced) or replaced == entry["id"]:
            raise Refused("shape", "replaces", replaced, "ids of other entries")


def is_known(entry: dict) -> bool:
    """Does this version of core know the entry's kind and version? What it doesn't know is kept, shown as unknown, and never judged."""
    return entry["v"] <= kinds.VERSION and (entry["kind"] in kinds.THINGS or entry["kind"] in kinds.EVENT_NAMES)


def check(text: str) -> dict:
    """An entry's text -> {id, book, kind, v, known, sha256, link, photo}; Refused when it is malformed."""
    entry = read(text)
    known = is_known(entry)
    if known:
        check_body(entry)
    body = entry["body"]
    return {
        "id": entry["id"],
        "book": entry["book"],
        "kind": entry["kind"],
        "v": entry["v"],
        "known": known,
        "sha256": sha256_hex(text),
        "link": body.get("link"),
        "photo": body.get("sha256") if entry["kind"] == "photo" else None,
    }


def check_body(entry: dict) -> None:
    """Refuse a body that its kind doesn't allow."""
    kind, body = entry["kind"], entry["body"]
    if kind in kinds.THINGS:
        _check_thing(kind, body, entry)
    else:
        _EVENT_CHECKS[kind](body)


# ---- things


def _check_thing(kind: str, body: dict, entry: dict) -> None:
    subject = body.get("subject")
    if kind == "site" and subject != entry["book"]:
        raise Refused("shape", "subject", subject, "the book's own id for its site")
    if kind == "end":
        sides = [str(body.get("link")) + ":near", str(body.get("link")) + ":far"]
        if subject not in sides or subject != str(body.get("link")) + ":" + str(body.get("side")):
            raise Refused("shape", "subject", subject, "the link's id, a colon, and near or far, with link and side to match")
    elif not is_id(subject):
        raise Refused("shape", "subject", subject, "a UUID in lower case")
    if kind in kinds.BELONGS_TO_LINK:
        _check_reference(body.get("link"), "link")
    _check_fields(kind, body)


def _check_fields(kind: str, body: dict) -> None:
    specifications = {field["name"]: field for field in kinds.THINGS[kind]}
    for name in body:
        if name in ("subject", "link") or (kind == "end" and name == "side"):
            continue
        if name == "withdrawn":
            if body[name] is not None:
                _check_text(body[name], name, _LONGEST_TEXT)
        elif name not in specifications:
            raise Refused("unknown", name, body[name], "the fields of " + kind, "Update the app, or leave this field out.")
        elif body[name] is not None:
            check_field(specifications[name], body[name])
        elif specifications[name].get("required"):
            raise Refused("missing", name, "", "a value: this field cannot be cleared", "Fill it in.")


def check_field(field: dict, value: object) -> None:
    """Refuse a value that a field's description doesn't allow. Inputs: the description (kinds.py) and the value as it stands in a body."""
    _FIELD_CHECKS[field["type"]](field, value)


def _field_text(field: dict, value: object) -> None:
    _check_text(value, field["name"], _LONGEST_TEXT)
    if field.get("required") and is_blank(value):
        raise Refused("missing", field["name"], "", "at least one letter", "Fill in " + field["label"] + ".")


def _field_word(field: dict, value: object) -> None:
    _check_text(value, field["name"], 80)
    words = field.get("words")
    if words and value not in [word[0] for word in words]:
        raise Refused("word", field["name"], value, "one of " + ", ".join([word[0] for word in words]), "Choose it again.")


def _field_quantity(field: dict, value: object) -> None:
    number = units.typed(value, field["units"][0], field["name"])
    if number < 0 and units.group_of(field["units"][0]) in _NEVER_NEGATIVE:
        raise Refused("range", field["name"], value["value"], "a number from zero up", _RETYPE)


def _field_decimal(field: dict, value: object) -> None:
    number = parse_decimal(value, field["name"])
    _check_bounds(field["name"], number, value, field.get("low"), field.get("high"), "", "")


def _field_count(field: dict, value: object) -> None:
    number = parse_decimal(value, field["name"])
    if number != int(number) or not 0 <= number <= 100000:
        raise Refused("number", field["name"], value, "a whole number from 0 to 100000", _RETYPE)


def _field_date(field: dict, value: object) -> None:
    moments.day_number(value, field["name"])


def _field_position(field: dict, value: object) -> None:
    if not isinstance(value, dict):
        raise Refused("shape", field["name"], value, "latitude and longitude in degrees")
    for name, bound in (("lat", 90), ("lon", 180)):
        if abs(parse_decimal(value.get(name), name)) > bound:
            raise Refused("range", name, value[name], "degrees from -" + str(bound) + " to " + str(bound), _RETYPE)
    if value.get("accuracy") not in (None, "") and parse_decimal(value["accuracy"], "accuracy") < 0:
        raise Refused("range", "accuracy", value["accuracy"], "metres from zero up", _RETYPE)


def _field_ties(field: dict, value: object) -> None:
    if not isinstance(value, list) or len(value) > 6:
        raise Refused("shape", field["name"], value, "up to six taped distances")
    for tie in value:
        if not isinstance(tie, dict):
            raise Refused("shape", field["name"], tie, "a corner and a distance")
        _check_reference(tie.get("corner"), "corner")
        if units.typed(tie.get("distance"), "m", "tie") < 0:
            raise Refused("range", "tie", tie["distance"]["value"], "a distance from zero up", _RETYPE)


def _field_reference(field: dict, value: object) -> None:
    _check_reference(value, field["name"])


_FIELD_CHECKS = {
    "text": _field_text,
    "lines": _field_text,
    "word": _field_word,
    "quantity": _field_quantity,
    "decimal": _field_decimal,
    "count": _field_count,
    "date": _field_date,
    "position": _field_position,
    "ties": _field_ties,
    "reference": _field_reference,
}


# ---- events


def _check_reading(body: dict) -> None:
    _check_reference(body.get("link"), "link")
    about = quantity(body.get("quantity"))
    if about is None:
        raise Refused("unknown", "quantity", body.get("quantity"), "a quantity that this version knows", "Update the app.")
    form = about.get("form", "value")
    if form == "value":
        check_value(about, body.get("value"))
    elif form == "answer":
        words = [answer[0] for answer in about["answers"]]
        if body.get("answer") not in words:
            raise Refused("word", "answer", body.get("answer"), "one of " + ", ".join(words), "Choose it again.")
    elif form == "map":
        _check_map(body)
    else:
        _check_counts(body.get("counts"))
    _check_marks(body, about)
    _check_extras(body)


def check_value(about: dict, value: object) -> None:
    """Refuse a reading that is impossible: wrong unit, no number, or outside the quantity's hard bounds."""
    name, unit = about["name"], about["units"][0]
    if not isinstance(value, dict) or value.get("value") in (None, ""):
        raise Refused("missing", "value", "", "a number with its unit", "Type what the instrument shows.")
    number = units.typed(value, unit, "value")
    _check_bounds(
        "value",
        number,
        value["value"],
        about.get("low"),
        about.get("high"),
        unit,
        about.get("why") or about["title"] + " (" + name + ") outside this is impossible",
    )


def _check_bounds(name: str, number: float, given: object, low: str | None, high: str | None, unit: str, why: str) -> None:
    if (low is None or number >= float(low)) and (high is None or number <= float(high)):
        return
    allowed = "from " + str(low) + " to " + str(high) + (" " + unit if unit else "")
    raise Refused(
        "range",
        name,
        given,
        allowed + (", since it " + why if why.startswith("cannot") and number < 0 else ""),
        "Check the number and its unit.",
    )


def _check_map(body: dict) -> None:
    pins = body.get("map")
    if not isinstance(pins, str) or len(pins) != 8:
        raise Refused("shape", "map", pins, "eight signs, one a near pin: the far pin 1 to 8, or - for open", "Type all eight.")
    for pin in pins:
        if pin not in "12345678-":
            raise Refused("shape", "map", pins, "digits 1 to 8, or - for open", _RETYPE)
    if body.get("split") not in (None, "yes", "no", "not_tested"):
        raise Refused("word", "split", body.get("split"), "yes, no or not_tested")


def _check_counts(counts: object) -> None:
    if not isinstance(counts, dict) or not counts:
        raise Refused("missing", "counts", "", "counts by zone", "Enter what is seen in each zone, zero where nothing is.")
    for zone in counts:
        if zone not in ZONES or not isinstance(counts[zone], dict):
            raise Refused("word", "zone", zone, "one of " + ", ".join(ZONES))
        for name in counts[zone]:
            if counts[zone][name] in (None, ""):
                continue
            number = parse_decimal(counts[zone][name], name)
            if number != int(number) or not 0 <= number <= 1000:
                raise Refused("number", name, counts[zone][name], "a whole number from 0 to 1000", _RETYPE)


_MARK_WORDS = {
    "side": kinds.SIDES,
    "direction": kinds.DIRECTIONS,
    "method": kinds.METHODS,
    "pair": kinds.PAIRS,
    "pair2": kinds.PAIRS,
}


def _check_marks(body: dict, about: dict) -> None:
    for name in _MARK_WORDS:
        value = body.get(name)
        words = [word[0] for word in _MARK_WORDS[name]]
        if value not in (None, "") and value not in words:
            raise Refused("word", name, value, "one of " + ", ".join(words), "Choose it again.")
    for name in ("side", "direction", "pair", "pair2", "method", "strand", "wavelength", "of"):
        if name in about["per"] and name in about.get("must", ()) and body.get(name) in (None, ""):
            raise Refused("missing", name, "", "a choice of " + name, "Choose it before saving.")
    for name in ("strand", "wavelength"):
        value = body.get(name)
        if value in (None, ""):
            continue
        number = parse_decimal(value, name)
        if number != int(number) or not 1 <= number <= 100000:
            raise Refused("number", name, value, "a whole number from 1", _RETYPE)


def _check_extras(body: dict) -> None:
    for name in EXTRA_UNITS:
        value = body.get(name)
        if value is not None:
            number = units.typed(value, EXTRA_UNITS[name][0], name)
            if name in ("frequency", "duration") and number <= 0:
                raise Refused("range", name, value["value"], "a number above zero", _RETYPE)
    stated = body.get("uncertainty")
    if stated is not None and parse_decimal(stated.get("value") if isinstance(stated, dict) else stated, "uncertainty") < 0:
        raise Refused("range", "uncertainty", stated["value"], "a number from zero up", _RETYPE)
    if stated is not None and body.get("value"):
        units.convert(1.0, stated.get("unit"), body["value"]["unit"], "uncertainty")
    if body.get("reference_at"):
        moments.milliseconds(body["reference_at"], "reference_at")
    _check_instrument(body.get("instrument"))
    if body.get("visit") not in (None, "install", "service"):
        raise Refused("word", "visit", body.get("visit"), "install or service")
    for name in ("note", "conditions"):
        if body.get(name) is not None:
            _check_text(body[name], name, _LONGEST_TEXT)


def _check_instrument(instrument: object) -> None:
    if instrument is None:
        return
    if not isinstance(instrument, dict):
        raise Refused("shape", "instrument", instrument, "name, serial and calibration date")
    for name in ("name", "serial"):
        if instrument.get(name) is not None:
            _check_text(instrument[name], name, 200)
    for name in ("calibrated", "due"):
        if instrument.get(name):
            moments.day_number(instrument[name], name)


def _check_void(body: dict) -> None:
    _check_reference(body.get("link"), "link")
    _check_reference(body.get("reading"), "reading")
    _check_filled(body.get("reason"), "reason", "Say why the reading doesn't count.")


def _check_photo(body: dict) -> None:
    sha256 = body.get("sha256")
    if not isinstance(sha256, str) or len(sha256) != 64 or [c for c in sha256 if c not in _HEX]:
        raise Refused("shape", "sha256", sha256, "64 hexadecimal digits")
    if body.get("link") is not None:
        _check_reference(body["link"], "link")
    _check_text(body.get("caption") or "", "caption", _LONGEST_TEXT)
    if body.get("position") is not None:
        _field_position({"name": "position"}, body["position"])


def _check_note(body: dict) -> None:
    if body.get("link") is not None:
        _check_reference(body["link"], "link")
    _check_filled(body.get("text"), "text", "Write the note.")


def _check_deviation(body: dict) -> None:
    _check_reference(body.get("link"), "link")
    _check_filled(body.get("check"), "check", "Name the check.")
    _check_filled(body.get("reason"), "reason", "Say why it is accepted as it is.")
    _check_filled(body.get("name"), "name", "Say who accepts it.")


def _check_seal(body: dict) -> None:
    _check_reference(body.get("link"), "link")
    covers = body.get("covers")
    if not isinstance(covers, dict) or not isinstance(covers.get("entries"), list) or not isinstance(covers.get("digest"), str):
        raise Refused("shape", "covers", "", "entries, photos and digest")
    signatures = body.get("signatures")
    if not isinstance(signatures, list) or not signatures:
        raise Refused("missing", "signatures", "", "at least one signature", "Sign before sealing.")
    for signature in signatures:
        if not isinstance(signature, dict) or not isinstance(signature.get("strokes"), list) or not signature["strokes"]:
            raise Refused("missing", "signature", "", "a drawn signature", "Draw it on the pad.")
        _check_filled(signature.get("name"), "name", "Write who signs.")
        moments.milliseconds(signature.get("at"), "at")


_EVENT_CHECKS = {
    "reading": _check_reading,
    "void": _check_void,
    "photo": _check_photo,
    "note": _check_note,
    "deviation": _check_deviation,
    "seal": _check_seal,
}


# ---- small checks


def _check_text(value: object, name: str, longest: int) -> None:
    if not isinstance(value, str):
        raise Refused("shape", name, value, "text")
    if len(value) > longest:
        raise Refused("range", name, value[:40], "up to " + str(longest) + " characters", "Shorten it.")


def _check_filled(value: object, name: str, remedy: str) -> None:
    if not isinstance(value, str) or is_blank(value):
        raise Refused("missing", name, value if isinstance(value, str) else None, "at least one letter", remedy)
    _check_text(value, name, _LONGEST_TEXT)


def _check_reference(value: object, name: str) -> None:
    if not is_id(value):
        raise Refused("shape", name, value, "the id of an entry or thing")
