"""What changed on the things of a link (site, buildings, stations, bonds...): field by field what it was and what it is."""

from . import identifier_kinds, kinds, own_limits
from .checks.base import field
from .ledger import fold_thing
from .ordering import in_order
from .record_words import Names, described, field_text
from .textform import dumps

# What is there from the start, so that its first entry is a change and no new thing.
_ALWAYS_THERE = ("site", "link", "end")
_WORDS = {"site": "The site", "link": "The link", "protector": "Surge protector"}


def thing_words(book: object, names: Names, ids: set) -> list:
    """A sentence for each thing that these entries changed: added, taken away, or its fields before and now. Several entries on one thing are
    told as one change, from what stood without them to what stands."""
    found = []
    for kind in kinds.THING_NAMES:
        things = in_order(book.things.get(kind, {}).values(), lambda thing: thing["created"]["id"])
        for thing in things:
            kept = [entry_id for entry_id in thing["entries"] if entry_id not in ids]
            if len(kept) < len(thing["entries"]):
                before = fold_thing(kind, thing["subject"], [book.entries[entry_id] for entry_id in kept]) if kept else None
                found.append(_sentence(thing, before, names))
    return [sentence for sentence in found if sentence]


def _sentence(thing: dict, before: dict | None, names: Names) -> str:
    name = _named(thing, names)
    if thing["withdrawn"] is not None:
        if before is None or before["withdrawn"] is not None:
            return ""
        return name + " taken away: " + str(thing["withdrawn"]).strip(" \n.") + "."
    if before is None and thing["kind"] not in _ALWAYS_THERE:
        return name + " added" + _value(thing, names) + "."
    changes = _changes(thing, before, names)
    if before is not None and before["withdrawn"] is not None:
        return name + " brought back" + (": " + "; ".join(changes) if changes else "") + "."
    return name + ": " + "; ".join(changes) + "." if changes else ""


def _changes(thing: dict, before: dict | None, names: Names) -> list:
    found = []
    for description in kinds.THINGS[thing["kind"]]:
        now, was = field(thing, description["name"]), field(before, description["name"]) if before else None
        if dumps(now) != dumps(was):
            words = description["label"] + (" was " + _shown(description, was, names) if was is not None else " was not set")
            found.append(words + ", now " + (_shown(description, now, names) if now is not None else "cleared"))
    return found


def _value(thing: dict, names: Names) -> str:
    """Of a limit or an identifier, which are their value."""
    value = field(thing, "value")
    return ": " + _shown(described(kinds.THINGS[thing["kind"]], "value"), value, names) if value is not None else ""


def _shown(description: dict, value: object, names: Names) -> str:
    words = field_text(description, value, names)
    return words if len(words) <= 120 else words[:117] + "..."


def _named(thing: dict, names: Names) -> str:
    """'Station 3 Handhole H1', 'Bond cabinet to bar', 'Identifier of strand 3'."""
    kind, subject = thing["kind"], thing["subject"]
    if kind == "end":
        return "Far end" if thing["side"] == "far" else "Near end"
    if kind == "identifier":
        return "Identifier of " + identifier_kinds.words_of(subject)
    if kind == "limit":
        return "Own limit for " + own_limits.label_of(subject)
    word = _WORDS.get(kind) or kind[:1].upper() + kind[1:]
    if kind in ("site", "link"):
        return word
    name = names.of(subject)
    if name == names.of("a subject that is not there"):
        name = str(field(thing, "name") or "")
    return word + (" " + name if name else "")
