"""State to what a screen or a page needs: one book, one link."""

from . import acceptance, chainage
from .checks.base import field
from .errors import require
from .numbers import clean_decimal
from .ordering import in_order
from .sealing import events_of_link, seal_views
from .units_words import unit_word


def thing_view(thing: dict) -> dict:
    """A thing as views show it: subject, kind, fields, heads, created, withdrawn."""
    return {
        "subject": thing["subject"],
        "kind": thing["kind"],
        "fields": thing["fields"],
        "heads": thing["heads"],
        "created": thing["created"],
        "withdrawn": thing["withdrawn"],
    }


def _present(book: object, kind: str, link: str | None = None) -> list:
    """Things of a kind that are not taken away, oldest first."""
    found = []
    for thing in book.things.get(kind, {}).values():
        if thing["withdrawn"] is None and (link is None or thing["link"] == link):
            found.append(thing)
    return in_order(found, _by_creation)


def _by_creation(thing: dict) -> tuple:
    entry = thing["created"]
    return (entry["at"][:19], entry["id"])


def _empty(kind: str, subject: str) -> dict:
    return {"subject": subject, "kind": kind, "fields": {}, "heads": [], "created": None, "withdrawn": None}


def site_view(book: object) -> dict:
    """Site, buildings and corners of a book, without its links: what rules and pictures need of it."""
    if "site" not in book.kept:
        book.kept["site"] = _site_view(book)
    return dict(book.kept["site"])


def _site_view(book: object) -> dict:
    site = book.things.get("site", {}).get(book.book)
    return {
        "book": book.book,
        "site": thing_view(site) if site else _empty("site", book.book),
        "buildings": [thing_view(thing) for thing in _present(book, "building")],
        "corners": [thing_view(thing) for thing in _present(book, "corner")],
    }


def book_view(book: object) -> dict:
    """Everything about one site in short, with the state of each link."""
    if "book" in book.kept:
        return book.kept["book"]
    view = site_view(book)
    links = []
    conflicts = _conflicts(_present(book, "site") + _present(book, "building") + _present(book, "corner"))
    for thing in _present(book, "link"):
        link = link_view(book, thing["subject"])
        judged = judged_link(book, thing["subject"])
        links.append(_link_summary(link, judged["summary"]))
        conflicts.extend(link["conflicts"])
    view["links"] = links
    view["conflicts"] = conflicts
    view["unknown"] = [
        {"id": entry["id"], "kind": entry["kind"], "v": entry["v"], "at": entry["at"], "by": entry["by"]}
        for entry in book.unknown
    ]
    view["photos"] = photos_of_site(book)
    view["notes"] = notes_of_site(book)
    view["entries"] = len(book.entries)
    book.kept["book"] = view
    return view


def photos_of_site(book: object) -> list:
    """Photos that name no link."""
    return [photo_view(entry) for entry in book.events.get("photo", []) if not entry["body"].get("link")]


def notes_of_site(book: object) -> list:
    """Notes that name no link."""
    return [note_view(entry) for entry in book.events.get("note", []) if not entry["body"].get("link")]


def _link_summary(link: dict, summary: dict) -> dict:
    return {
        "id": link["id"],
        "name": field(link, "name"),
        "medium": link["medium"],
        "near_building": field(link, "near_building"),
        "far_building": field(link, "far_building"),
        "stations": len(link["stations"]),
        "readings": len([reading for reading in link["readings"] if not reading["voided"]]),
        "photos": len(link["photos"]),
        "summary": summary,
        "state": summary["state"],
        "conflicts": len(link["conflicts"]),
    }


def judged_link(book: object, link_id: str) -> dict:
    """Checks, summary and applications of a link, kept until the book changes."""
    return _judged(book, link_id)["judged"]


def _judged(book: object, link_id: str) -> dict:
    key = "judged:" + link_id
    if key not in book.kept:
        book.kept[key] = acceptance.evaluate(link_view(book, link_id), site_view(book))
    return book.kept[key]


def with_draft(book: object, link_id: str, body: dict, at: str | None, by: str) -> list:
    """The checks that one more reading would take part in; without a time of its own it is as new as the newest reading."""
    link = link_view(book, link_id)
    return acceptance.with_draft(link, site_view(book), _judged(book, link_id), body, at, by)


def link_view(book: object, link_id: str) -> dict:
    """The link view of the README beside this file. Refused("unknown") when the book has no such link."""
    key = "link:" + link_id
    if key in book.kept:
        return book.kept[key]
    thing = require(book.things.get("link", {}).get(link_id), "link", link_id)
    view = thing_view(thing)
    view["id"] = link_id
    view["medium"] = field(thing, "medium")
    unit = field(thing, "mark_unit") or "m"
    view["mark_unit"] = unit
    view["ends"] = {side: _end(book, link_id, side) for side in ("near", "far")}
    view["bonds"] = [thing_view(bond) for bond in _present(book, "bond", link_id)]
    view["protectors"] = [thing_view(protector) for protector in _present(book, "protector", link_id)]
    view["limits"] = [thing_view(limit) for limit in _present(book, "limit", link_id)]
    view["limits_taken_off"] = [thing_view(limit) for limit in _taken_off(book, "limit", link_id)]
    view["loads"] = [thing_view(load) for load in _present(book, "load", link_id)]
    view["identifiers"] = [thing_view(identifier) for identifier in _present(book, "identifier", link_id)]
    view["photos"] = [photo_view(entry) for entry in events_of_link(book, "photo", link_id)]
    view["notes"] = [note_view(entry) for entry in events_of_link(book, "note", link_id)]
    view["deviations"] = [_deviation(entry) for entry in events_of_link(book, "deviation", link_id)]
    view["readings"] = _readings(book, link_id)
    view["stations"] = _stations(book, link_id, unit, view)
    view["spans"] = chainage.spans(view["stations"], unit)
    own = [thing] + [_thing_of(book, link_id, side) for side in ("near", "far")]
    own = (
        [one for one in own if one]
        + _present(book, "station", link_id)
        + _present(book, "bond", link_id)
        + _present(book, "protector", link_id)
        + _present(book, "load", link_id)
        + _present(book, "limit", link_id)
        + _present(book, "identifier", link_id)
    )
    view["conflicts"] = _conflicts(own)
    view["seals"] = seal_views(book, link_id)
    book.kept[key] = view
    return view


def _taken_off(book: object, kind: str, link: str) -> list:
    """Things of a kind on a link that were taken away: a form that brings one back has to name what it saw."""
    held = book.things.get(kind, {}).values()
    return in_order([thing for thing in held if thing["withdrawn"] is not None and thing["link"] == link], _by_creation)


def _thing_of(book: object, link_id: str, side: str) -> dict | None:
    return book.things.get("end", {}).get(link_id + ":" + side)


def _end(book: object, link_id: str, side: str) -> dict:
    thing = _thing_of(book, link_id, side)
    return thing_view(thing) if thing else _empty("end", link_id + ":" + side)


def _stations(book: object, link_id: str, unit: str, view: dict) -> list:
    found = [thing_view(thing) for thing in _present(book, "station", link_id)]
    found = in_order(found, chainage.order_key)
    for station in found:
        station["type"] = field(station, "type")
        station["photos"] = [photo for photo in view["photos"] if photo["of"] == station["subject"]]
        station["notes"] = [note for note in view["notes"] if note["of"] == station["subject"]]
    chainage.place(found, unit)
    return found


def _readings(book: object, link_id: str) -> list:
    voids = {}
    for entry in events_of_link(book, "void", link_id):
        voids.setdefault(
            entry["body"]["reading"],
            {"reason": entry["body"]["reason"], "by": entry["by"], "at": entry["at"], "entry": entry["id"]},
        )
    return [
        {
            "id": entry["id"],
            "body": entry["body"],
            "at": entry["at"],
            "by": entry["by"],
            "voided": voids.get(entry["id"]),
            "text": reading_text(entry["body"]),
        }
        for entry in events_of_link(book, "reading", link_id)
    ]


def reading_text(body: dict) -> str:
    """What was read, in one short text: '0.42 dB', the wire map, the answer."""
    if body.get("value"):
        return clean_decimal(body["value"]["value"]) + (" " + unit_word(body["value"]["unit"])).rstrip(" ")
    if body.get("map"):
        return body["map"]
    if body.get("table"):
        count, word = len(body["table"]["rows"]), "point" if body.get("quantity") == "sweep" else "row"
        return str(count) + " " + word + ("" if count == 1 else "s")
    return str(body.get("answer") or "counts by zone")


def photo_view(entry: dict) -> dict:
    """A photo as views show it."""
    body = entry["body"]
    return {
        "id": entry["id"],
        "sha256": body["sha256"],
        "type": body.get("type"),
        "caption": body.get("caption") or "",
        "of": body.get("of"),
        "at": entry["at"],
        "by": entry["by"],
        "position": body.get("position"),
        "taken": body.get("taken"),
    }


def note_view(entry: dict) -> dict:
    """A note as views show it."""
    return {"id": entry["id"], "of": entry["body"].get("of"), "text": entry["body"]["text"], "at": entry["at"], "by": entry["by"]}


def _deviation(entry: dict) -> dict:
    body = entry["body"]
    return {
        "check": body["check"],
        "reason": body["reason"],
        "name": body["name"],
        "at": entry["at"],
        "by": entry["by"],
        "entry": entry["id"],
    }


def _conflicts(things: list) -> list:
    found = []
    for thing in things:
        for name in sorted(thing["fields"]):
            shown = thing["fields"][name]
            if shown["also"]:
                standing = [{"value": shown["value"], "entry": shown["entry"], "at": shown["at"], "by": shown["by"]}]
                found.append(
                    {"kind": thing["kind"], "subject": thing["subject"], "field": name, "values": standing + shown["also"]}
                )
    return found
