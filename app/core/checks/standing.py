"""What has to be settled before anything can be judged: fields that two phones set in two ways."""

from .. import identifier_kinds, kinds, own_limits
from ..numbers import clean_decimal
from ..units_words import unit_word
from .base import not_measured


def unsettled(link: dict, book: dict) -> list:
    """One row for each field with two unreconciled values: until one is chosen nobody can say what was judged."""
    rows = []
    for conflict in link["conflicts"]:
        described = _described(conflict)
        values = " or ".join([_words(described, held["value"]) for held in conflict["values"]])
        keys = [["subject", conflict["subject"]], ["field", conflict["field"]]]
        title = "Two values stand: " + described["label"].lower() + " of " + _name(link, conflict)
        rows.append(not_measured("unsettled", keys, "route", title, missing=values + "; the newest is used until one is chosen"))
    return rows


RULES = [unsettled]


def _described(conflict: dict) -> dict:
    for field in kinds.THINGS[conflict["kind"]]:
        if field["name"] == conflict["field"]:
            return field
    return {"label": "taken away" if conflict["field"] == "withdrawn" else conflict["field"]}


def _name(link: dict, conflict: dict) -> str:
    for thing in link["stations"] + link["bonds"] + link["protectors"] + link["loads"]:
        if thing["subject"] == conflict["subject"] and "name" in thing["fields"]:
            return str(thing["fields"]["name"]["value"])
    if conflict["kind"] == "limit":
        return own_limits.label_of(conflict["subject"])
    if conflict["kind"] == "identifier":
        return identifier_kinds.words_of(conflict["subject"])
    if conflict["kind"] == "end":
        return conflict["subject"].rpartition(":")[2] + " end"
    return "this " + conflict["kind"]


def _words(described: dict, value: object) -> str:
    if value is None:
        return "empty"
    if isinstance(value, dict) and "unit" in value:
        return clean_decimal(value["value"]) + " " + unit_word(value["unit"])
    if isinstance(value, dict) and "lat" in value:
        return value["lat"] + ", " + value["lon"]
    for word in described.get("words") or []:
        if word[0] == value:
            return word[1]
    return value if isinstance(value, str) else "another entry"
