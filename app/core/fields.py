"""Is a thing's body well made: its subject, and each field as its description (kinds.py) allows."""

from . import identifier_kinds, kinds, moments, own_limits, units
from .errors import Refused
from .numbers import is_blank, parse_decimal
from .shapes import LONGEST_TEXT, RETYPE, check_bounds, check_reference, check_text, is_id

_NEVER_NEGATIVE = ("length", "resistance", "voltage", "current", "power", "rate", "time", "frequency", "ratio", "level")


def check_thing(kind: str, body: dict, entry: dict) -> None:
    subject = body.get("subject")
    if kind == "site" and subject != entry["book"]:
        raise Refused("shape", "subject", subject, "the book's own id for its site")
    if kind == "end":
        sides = [str(body.get("link")) + ":near", str(body.get("link")) + ":far"]
        if subject not in sides or subject != str(body.get("link")) + ":" + str(body.get("side")):
            raise Refused("shape", "subject", subject, "the link's id, a colon, and near or far, with link and side to match")
    elif kind == "limit":
        _check_limit(body, entry)
    elif kind == "identifier":
        identifier_kinds.check(body, entry)
    elif not is_id(subject):
        raise Refused("shape", "subject", subject, "a UUID in lower case")
    if kind in kinds.BELONGS_TO_LINK:
        check_reference(body.get("link"), "link")
    _check_fields(kind, body)


def _check_limit(body: dict, entry: dict) -> None:
    """A limit typed for a link is known by the link and by what it is of; from its first entry on it has a value and says where it is written."""
    what = body.get("what")
    if own_limits.about(str(what)) is None:
        allowed = "one of " + ", ".join([word[0] for word in own_limits.WORDS])
        raise Refused("word", "what", what, allowed, "Choose it again.")
    if body.get("subject") != own_limits.subject_of(body.get("link"), what):
        raise Refused("shape", "subject", body.get("subject"), "the link's id, ':limit:' and what it is a limit of, to match")
    for name, remedy in (("value", "Type the limit."), ("source", "Say where it is written: a limit without source is not taken.")):
        if not entry["replaces"] and body.get(name) is None:
            raise Refused("missing", name, "", "a value and its source", remedy)


def _specifications(kind: str, body: dict) -> dict:
    found = {}
    for field in kinds.THINGS[kind]:
        found[field["name"]] = field
        if field.get("units_from"):  # a limit has the units of what it is a limit of
            found[field["name"]] = dict(field)
            found[field["name"]]["units"] = own_limits.about(body["what"])["units"]
    return found


def _check_fields(kind: str, body: dict) -> None:
    specifications = _specifications(kind, body)
    for name in body:
        if name in ("subject", "link") or (kind == "end" and name == "side"):
            continue
        if name == "withdrawn":
            if body[name] is not None:
                check_text(body[name], name, LONGEST_TEXT)
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
    check_text(value, field["name"], LONGEST_TEXT)
    if field.get("required") and is_blank(value):
        raise Refused("missing", field["name"], "", "at least one letter", "Fill in " + field["label"] + ".")


def _field_word(field: dict, value: object) -> None:
    check_text(value, field["name"], 80)
    words = field.get("words")
    if words and value not in [word[0] for word in words]:
        raise Refused("word", field["name"], value, "one of " + ", ".join([word[0] for word in words]), "Choose it again.")


def _field_quantity(field: dict, value: object) -> None:
    number = units.typed(value, field["units"][0], field["name"])
    if number < 0 and units.group_of(field["units"][0]) in _NEVER_NEGATIVE:
        raise Refused("range", field["name"], value["value"], "a number from zero up", RETYPE)


def _field_decimal(field: dict, value: object) -> None:
    number = parse_decimal(value, field["name"])
    check_bounds(field["name"], number, value, field.get("low"), field.get("high"), "", "")


def _field_count(field: dict, value: object) -> None:
    number = parse_decimal(value, field["name"])
    if number != int(number) or not 0 <= number <= 100000:
        raise Refused("number", field["name"], value, "a whole number from 0 to 100000", RETYPE)


def _field_date(field: dict, value: object) -> None:
    moments.day_number(value, field["name"])


def _field_position(field: dict, value: object) -> None:
    if not isinstance(value, dict):
        raise Refused("shape", field["name"], value, "latitude and longitude in degrees")
    for name, bound in (("lat", 90), ("lon", 180)):
        if abs(parse_decimal(value.get(name), name)) > bound:
            raise Refused("range", name, value[name], "degrees from -" + str(bound) + " to " + str(bound), RETYPE)
    if value.get("accuracy") not in (None, "") and parse_decimal(value["accuracy"], "accuracy") < 0:
        raise Refused("range", "accuracy", value["accuracy"], "metres from zero up", RETYPE)


def _field_ties(field: dict, value: object) -> None:
    if not isinstance(value, list) or len(value) > 6:
        raise Refused("shape", field["name"], value, "up to six taped distances")
    for tie in value:
        if not isinstance(tie, dict):
            raise Refused("shape", field["name"], tie, "a corner and a distance")
        check_reference(tie.get("corner"), "corner")
        if units.typed(tie.get("distance"), "m", "tie") < 0:
            raise Refused("range", "tie", tie["distance"]["value"], "a distance from zero up", RETYPE)


def _field_reference(field: dict, value: object) -> None:
    check_reference(value, field["name"])


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
