"""What changed on a link since its last seal, in words that stand in the next one."""

from . import kinds, sign_off_items, views
from .checks.base import VERDICT_WORDS
from .ledger import in_time_order
from .record_words import Names, field_text, reading_title, reading_value

_MOST_OF_A_KIND = 12


def since_last(book: object, link_id: str) -> list:
    """Sentences: entries added since the newest seal, what they set, verdicts that changed. [] when there is no seal before."""
    link = views.link_view(book, link_id)
    if not link["seals"]:
        return []
    seal = link["seals"][-1]
    found = entry_words(book, link_id, seal["after"])
    for what, ids in (("was signed and is not here", seal["missing"]), ("is not the one that was signed", seal["differs"])):
        found += ["The entry " + entry_id + " " + what + "." for entry_id in ids]
    return found + verdict_words(seal["verdicts"], views.judged_link(book, link_id)["checks"])


def entry_words(book: object, link_id: str, ids: list) -> list:
    """A sentence for each of these entries, in time order; more than a dozen of one kind are counted."""
    names = Names(views.site_view(book), views.link_view(book, link_id))
    wanted, groups = set(ids), []
    for kind in kinds.THING_NAMES + kinds.EVENT_NAMES:
        own = [entry for entry in _of_kind(book, kind) if entry["id"] in wanted]
        words = [_WORDS.get(kind, _thing)(book, entry, names) for entry in own]
        groups += words[:_MOST_OF_A_KIND]
        rest = len(words) - _MOST_OF_A_KIND
        if rest > 0:
            groups.append("And " + str(rest) + " more of the kind: " + _KINDS.get(kind, kind) + ".")
    return groups


_KINDS = {"void": "readings voided", "reading": "readings", "photo": "photos", "note": "notes", "deviation": "deviations"}


def _of_kind(book: object, kind: str) -> list:
    if kind in kinds.EVENT_NAMES:
        return book.events.get(kind, [])
    ids = [entry_id for thing in book.things.get(kind, {}).values() for entry_id in thing["entries"]]
    return in_time_order([book.entries[entry_id] for entry_id in ids])


def _reading(book: object, entry: dict, names: Names) -> str:
    return "Reading: " + reading_title(entry["body"], names) + ", " + _value(entry) + "."


def _value(entry: dict) -> str:
    shown = {"body": entry["body"], "text": views.reading_text(entry["body"])}
    return reading_value(shown)


def _void(book: object, entry: dict, names: Names) -> str:
    voided = book.entries.get(entry["body"]["reading"])
    title = reading_title(voided["body"], names) + ", " + _value(voided) if voided else "a reading that is not here"
    return "Reading does not count any more: " + title + ". Reason: " + entry["body"]["reason"]


def _photo(book: object, entry: dict, names: Names) -> str:
    body = entry["body"]
    place = names.of(body["of"]) if body.get("of") else "the link"
    return "Photo of " + place + (": " + body["caption"] if body.get("caption") else "") + "."


def _note(book: object, entry: dict, names: Names) -> str:
    body = entry["body"]
    return "Note" + (" on " + names.of(body["of"]) if body.get("of") else "") + ": " + body["text"]


def _deviation(book: object, entry: dict, names: Names) -> str:
    body = entry["body"]
    about = sign_off_items.title_of(body["check"]) or body["check"]
    return "Deviation accepted by " + body["name"] + " (" + about + "): " + body["reason"]


def _thing(book: object, entry: dict, names: Names) -> str:
    """What an entry of a thing set, field by field; what stood before is said where the entry names it."""
    body, kind = entry["body"], entry["kind"]
    if body.get("withdrawn"):
        return _named(entry, names) + " taken away: " + str(body["withdrawn"])
    parts = []
    for field in kinds.THINGS[kind]:
        if field["name"] in body:
            before = _before(book, entry, field["name"])
            now = _shown(field, body[field["name"]], names)
            was = _shown(field, before, names)
            parts.append(field["label"] + ": " + (was + " is now " if before is not None else "") + now)
    return _named(entry, names) + ". " + "; ".join(parts) if parts else _named(entry, names) + "."


def _shown(field: dict, value: object, names: Names) -> str:
    return "nothing" if value is None else field_text(field, value, names)


def _named(entry: dict, names: Names) -> str:
    subject = str(entry["body"].get("subject"))
    name = names.of(subject)
    word = entry["kind"][:1].upper() + entry["kind"][1:]
    if name == names.of("nothing of that name") or name == word:
        name = str(entry["body"].get("name") or "")
    return word + (" " + name if name else "")


def _before(book: object, entry: dict, name: str) -> object:
    """What the field was for whoever wrote this entry: the newest setting among those it replaces and theirs."""
    waiting, seen = list(entry["replaces"]), set()
    while waiting:
        found = in_time_order([book.entries[one] for one in waiting if one in book.entries and one not in seen])
        seen.update(waiting)
        for parent in found:
            if name in parent["body"]:
                return parent["body"][name]
        waiting = [one for parent in found for one in parent["replaces"]]
    return None


_WORDS = {"reading": _reading, "void": _void, "photo": _photo, "note": _note, "deviation": _deviation, "seal": lambda *_: ""}


def verdict_words(before: list, checks: list) -> list:
    """'Loss, strand 2: not measured is now passes.' for each check whose verdict differs from the one signed; new and dropped checks too."""
    held = {row["check"]: row for row in before}
    found = []
    for check in checks:
        row = held.pop(check["id"], None)
        now = VERDICT_WORDS.get(check["verdict"], check["verdict"]).lower()
        if row is None:
            found.append("New check: " + check["title"] + ", " + now + ".")
        elif row["verdict"] != check["verdict"]:
            found.append(check["title"] + ": " + VERDICT_WORDS.get(row["verdict"], row["verdict"]).lower() + " is now " + now + ".")
    return found + ["No longer checked: " + row["title"] + "." for row in before if row["check"] in held]
