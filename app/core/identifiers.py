"""The identifiers of one link: what is typed, else the default of the scheme, and where each is changed."""

from .checks.base import field
from .errors import require
from .identifier_kinds import SIDES, folded, subject_of
from .identifier_scheme import ALONG, ROOM, Scheme
from .kinds import FIBRE, METAL_MEDIA, STATION_TYPES
from .numbers import parse_decimal, trimmed
from .picture_strip import station_words
from .views import link_view

ABOUT = (
    "Defaults follow the scheme of ANSI/TIA-606 for several buildings: building, room, panel and port; both ends of the cable; "
    "its fibres or pairs; pathway; bonding. The forms are from memory and the names of bonding bars were seen in one public place: "
    "check your edition. HH, CL, MK, BP, P, BC and SP are our own. Change any of them; nothing else changes with it but what is counted from it."
)
GROUPS = [["near", "Near end"], ["route", "Cable and route"], ["far", "Far end"], ["strands", "Fibres or pairs of the cable"]]
MOST_STRANDS = 576
NO_BUILDING = "B0"
_AT_AN_END = {"bond": "Bond", "protector": "Surge protector"}
PAIR_WORDS = ["1-2", "3-6", "4-5", "7-8"]
_STATION_WORDS = {word: label for word, label in STATION_TYPES}
_SIDE_WORDS = {"near": "near end", "far": "far end"}


def scheme(book: object) -> Scheme:
    """All identifiers of a book, worked out once until its next entry."""
    if "identifiers" not in book.kept:
        book.kept["identifiers"] = Scheme(book)
    return book.kept["identifiers"]


def shown(book: object, link_id: str) -> dict:
    """The identifiers of a link for its record: those that were signed, or as they stand where no seal names any: {what: text}.

    What: building, space, panel, port, bar of near or far (`port:near`), cable, pathway, strand or pair by number (`strand:1`), station, bond,
    protector by id.
    """
    seals = link_view(book, link_id)["seals"]
    signed = {row[0]: row[1] for row in seals[-1]["identifiers"]} if seals else {}
    return signed or as_they_stand(book, link_id)


def as_they_stand(book: object, link_id: str) -> dict:
    """The identifiers of a link as they stand now: {what: text}."""
    return {row["what"]: row["value"] for row in rows(book, link_id)}


def describe(book: object, link_id: str) -> dict:
    """Identifiers of a link for a screen: rows by group, the code of the link for its QR, how many fibres have no row of their own."""
    link = link_view(book, link_id)
    return {
        "link": link_id,
        "link_code": code_of(link_id),
        "name": field(link, "name") or "",
        "about": ABOUT,
        "groups": GROUPS,
        "rows": rows(book, link_id),
        "left_out": max(0, _strands(link) - MOST_STRANDS),
    }


def code_of(link_id: str) -> str:
    """What names a link in a QR: the last 12 digits of its id, in capitals."""
    return link_id[-12:].upper()


def rows(book: object, link_id: str) -> list:
    """One row for each identifier of the link, near end first, then the route, the far end, and its fibres or pairs."""
    known, link = scheme(book), link_view(book, link_id)
    thing = require(book.things.get("link", {}).get(link_id), "link", link_id)
    found = _end_rows(book, known, thing, link, "near") + _route_rows(book, known, thing, link)
    found = found + _end_rows(book, known, thing, link, "far") + _strand_rows(book, link, found)
    owners = _owners(book)
    for row in found:
        row["same"] = [other[1] for other in owners.get(folded(row["value"]), []) if other[0] != row["key"]]
        row.pop("key")
    return found


def _owners(book: object) -> dict:
    """Folded identifier -> [[key of the real thing, its words]...] over all links that are not taken off, each thing once."""
    if "identifier_owners" in book.kept:
        return book.kept["identifier_owners"]
    known, found = scheme(book), {}
    for link in known.links:
        if link["withdrawn"] is not None:
            continue
        name = field(link, "name") or "a link without a name"
        for row in _all_but_strands(book, known, link):
            held = found.setdefault(folded(row["value"]), [])
            if row["key"] not in [other[0] for other in held]:
                held.append([row["key"], row["title"] + " (" + name + ")"])
    book.kept["identifier_owners"] = found
    return found


def _all_but_strands(book: object, known: Scheme, thing: dict) -> list:
    link = link_view(book, thing["subject"])
    found = _route_rows(book, known, thing, link)
    for side in SIDES:
        found = found + _end_rows(book, known, thing, link, side)
    return found + [row for row in _strand_rows(book, link, found) if row["typed"]]


# ---- rows


def _end_rows(book: object, known: Scheme, thing: dict, link: dict, side: str) -> list:
    at, other = ", " + _SIDE_WORDS[side], "far" if side == "near" else "near"
    to = "to " + known.value[(link["id"], "port:" + other)]
    found = [
        _building_row(book, known, thing, side),
        _space_row(book, known, thing, side),
        _row(book, known, link, ["panel:" + side, side, "Socket or panel" + at, "Panel"]),
        _row(book, known, link, ["port:" + side, side, "Port" + at, to]),
    ]
    things = [(kind, one) for kind in _AT_AN_END for one in link[kind + "s"] if (field(one, "side") or "near") == side]
    if things or _has_metal(link) or (link["id"], "bar:" + side) in known.typed:
        found.append(_row(book, known, link, ["bar:" + side, side, "Bonding bar" + at, "Bonding bar"]))
    for kind, one in things:
        title = _AT_AN_END[kind] + " " + (field(one, "name") or "without a name")
        found.append(_row(book, known, link, [kind + ":" + one["subject"], side, title, _AT_AN_END[kind]]))
    return found


def _has_metal(link: dict) -> bool:
    return link["medium"] in METAL_MEDIA or field(link, "cable_metal") not in (None, "none")


def _route_rows(book: object, known: Scheme, thing: dict, link: dict) -> list:
    edit = {"kind": "link", "subject": thing["subject"], "field": "label", "body": {}}
    found = [
        _made(known, (link["id"], "cable"), ["cable", "route", "Cable", "Cable"], edit, thing),
        _row(book, known, link, ["pathway", "route", "Pathway", "Pathway"]),
    ]
    for number, station in enumerate(link["stations"]):
        if station["type"] in ALONG:
            title = "Station " + station_words(number + 1, station)
            about = ["station:" + station["subject"], "route", title, _STATION_WORDS[station["type"]]]
            found.append(_row(book, known, link, about))
    return found


def _strand_rows(book: object, link: dict, found: list) -> list:
    """The cable's fibres, or its pairs, numbered after the cable's identifier."""
    cable, known, rows_of = next(row["value"] for row in found if row["what"] == "cable"), scheme(book), []
    for what, title in _strand_names(link):
        known.put((link["id"], what), cable + "." + what.partition(":")[2], what + " " + link["id"])
        rows_of.append(_row(book, known, link, [what, "strands", title, title]))
    return rows_of


def _strand_names(link: dict) -> list:
    if link["medium"] in METAL_MEDIA:
        return [["pair:" + str(place + 1), "Pair " + PAIR_WORDS[place]] for place in range(4)]
    count = min(_strands(link), MOST_STRANDS)
    return [["strand:" + str(number), "Fibre " + str(number)] for number in range(1, count + 1)]


def _strands(link: dict) -> int:
    text = field(link, "strands") if link["medium"] == FIBRE else None
    return int(parse_decimal(text)) if text else 0


def _building_row(book: object, known: Scheme, thing: dict, side: str) -> dict:
    subject, key = known.building(thing, side), (thing["subject"], "building:" + side)
    building = book.things.get("building", {}).get(subject)
    edit = {"kind": "building", "subject": subject, "field": "code", "body": {}} if building else None
    known.default[key], known.value[key] = known.code_default.get(subject, NO_BUILDING), known.code.get(subject, NO_BUILDING)
    known.same[key] = "building " + (subject or "of " + thing["subject"] + ":" + side)
    name = (field(building, "name") if building else None) or "not named"
    return _made(known, key, [key[1], side, "Building, " + _SIDE_WORDS[side] + ": " + name, "Building"], edit, building)


def _space_row(book: object, known: Scheme, thing: dict, side: str) -> dict:
    """A room is changed at the end; its identifier is the building's and its own."""
    key, subject = (thing["subject"], "space:" + side), thing["subject"] + ":" + side
    edit = {"kind": "end", "subject": subject, "field": "space", "body": {"link": thing["subject"], "side": side}}
    end = book.things.get("end", {}).get(subject)
    row = _made(known, key, [key[1], side, "Room or space, " + _SIDE_WORDS[side], "Room or space"], edit, end)
    row["part"] = known.recorded(thing, side, "space") or ROOM
    row["part_default"] = ROOM
    row["default"] = known.code.get(known.building(thing, side), NO_BUILDING) + "-" + ROOM
    return row


def _row(book: object, known: Scheme, link: dict, about: list) -> dict:
    """An identifier that is a thing of its own."""
    subject = subject_of(link["id"], about[0])
    edit = {"kind": "identifier", "subject": subject, "field": "value", "body": {"link": link["id"], "what": about[0]}}
    return _made(known, (link["id"], about[0]), about, edit, book.things.get("identifier", {}).get(subject))


def _made(known: Scheme, key: tuple, about: list, edit: dict | None, thing: dict | None) -> dict:
    """about: what, group, title, what a label says beneath. `part` is what is typed, where that is not the whole of the identifier."""
    held = thing["fields"].get(edit["field"]) if thing and edit else None
    return {
        "key": known.same[key],
        "what": about[0],
        "group": about[1],
        "title": about[2],
        "lines": [known.value[key], about[3]],
        "value": known.value[key],
        "default": known.default[key],
        "part": known.value[key],
        "part_default": known.default[key],
        "typed": bool(held and trimmed(held["value"] or "")),
        "near": about[1] == "near",
        "edit": edit,
        "heads": thing["heads"] if thing else [],
        "also": [_setting(held)] + [_setting(other) for other in held["also"]] if held and held["also"] else [],
    }


def _setting(held: dict) -> dict:
    return {"value": held["value"], "at": held["at"], "by": held["by"]}
