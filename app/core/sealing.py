"""What a seal covers, and what came after it."""

from . import kinds, limits, seal_form
from .errors import Refused, require
from .hashes import sha256_hex
from .ordering import ascending, in_order

_OF_LINK = ("end", "station", "bond", "protector", "load", "limit", "identifier")


def events_of_link(book: object, kind: str, link_id: str) -> list:
    """Events of a kind on a link, in time order."""
    return [entry for entry in book.events.get(kind, []) if entry["body"].get("link") == link_id]


def cover(book: object, link_id: str, limit_files: list | tuple = ()) -> dict:
    """What a seal on this link covers now: [[id, sha256]] of its entries sorted by id, sha256 of its photos, [[id, sha256]] of the limit sets
    in `limit_files`, and the digest over all.

    The digest is SHA-256 over one line an entry, 'id sha256', then one line a photo, 'photo sha256', then one line a limit set,
    'limits id sha256', each ended by a line feed.
    """
    ids = _covered_ids(book, link_id)
    rows = [[entry_id, book.sha256(entry_id)] for entry_id in ascending(ids)]
    photos = ascending(
        {book.entries[entry_id]["body"]["sha256"] for entry_id in ids if book.entries[entry_id]["kind"] == "photo"}
    )
    sets = [[file_id, limits.sha256(file_id)] for file_id in ascending(limit_files)]
    return {"entries": rows, "photos": photos, "limits": sets, "digest": digest(rows, photos, sets)}


def cover_now(book: object, link_id: str, checks: list) -> dict:
    """What `cover` gives with the limit sets of these checks; without them where the newest seal names none, to compare like with like."""
    held = [parts_of(book, entry) for entry in seals_in_order(book, link_id)]
    is_first = bool(held) and held[-1]["v"] == 1 and not held[-1]["limits"]
    return cover(book, link_id, () if is_first else limit_files(checks))


def digest(rows: list, photos: list, sets: list | tuple = ()) -> str:
    """The digest that `cover` describes, for given rows, photos and limit sets."""
    lines = [row[0] + " " + row[1] + "\n" for row in rows] + ["photo " + photo + "\n" for photo in photos]
    lines += ["limits " + held[0] + " " + held[1] + "\n" for held in sets]
    return sha256_hex("".join(lines))


def limit_files(checks: list) -> list:
    """Ids of the limit sets that these checks name, as their limit or beside a limit typed for the link; sorted."""
    found = set()
    for check in checks:
        for source in (check["source"], check.get("published")):
            if source and source.get("set"):
                found.add(source["set"])
    return ascending(found)


def _covered_ids(book: object, link_id: str) -> list:
    link = require(book.things.get("link", {}).get(link_id), "link", link_id)
    buildings = [(link["fields"].get(name) or {}).get("value") for name in ("near_building", "far_building")]
    ids = list(link["entries"])
    for kind in ("site", "building", "corner"):
        for thing in book.things.get(kind, {}).values():
            of = thing["subject"] if kind == "building" else (thing["fields"].get("building") or {}).get("value")
            if kind == "site" or of in buildings:
                ids.extend(thing["entries"])
    for kind in _OF_LINK:
        for thing in book.things.get(kind, {}).values():
            if thing["link"] == link_id:
                ids.extend(thing["entries"])
    for kind in kinds.EVENT_NAMES:
        if kind != "seal":
            ids.extend([entry["id"] for entry in events_of_link(book, kind, link_id)])
    return ids


def parts_of(book: object, entry: dict) -> dict | None:
    """What a seal of this book says (see seal_form.parts), read once and kept beside the entry; None when its text is torn."""
    if "said" not in entry:
        try:
            entry["said"] = seal_form.parts(entry)
        except (Refused, ValueError, KeyError, TypeError, IndexError):
            entry["said"] = None
    return entry["said"]


def seals_in_order(book: object, link_id: str) -> list:
    """Seal entries of a link that can be read, by revision and then by time: a phone whose clock is wrong turns no revision back."""
    readable = [entry for entry in events_of_link(book, "seal", link_id) if parts_of(book, entry)]
    return in_order(readable, lambda entry: (entry["said"]["revision"], entry["ms"], entry["id"]))


def seal_views(book: object, link_id: str) -> list:
    """The seals of a link, the newest last, each with what it says and how what is here stands to it."""
    entries = seals_in_order(book, link_id)
    now = _covered_ids(book, link_id) if entries else []
    return [_seal_view(book, entry, parts_of(book, entry), now) for entry in entries]


def _seal_view(book: object, entry: dict, held: dict, now: list) -> dict:
    covered = {row[0]: row[1] for row in held["entries"]}
    differs = ascending(
        [entry_id for entry_id in covered if entry_id in book.entries and book.sha256(entry_id) != covered[entry_id]]
    )
    view = {name: held[name] for name in _SHOWN}
    view["id"], view["at"], view["by"], view["device"] = entry["id"], entry["at"], entry["by"], entry["device"]
    view["entries"], view["photos"] = len(covered), len(held["photos"])
    view["after"] = ascending([entry_id for entry_id in now if entry_id not in covered])
    view["missing"] = ascending([entry_id for entry_id in covered if entry_id not in book.entries])
    view["differs"] = differs
    view["limits"] = [_limit_view(row) for row in held["limits"]]
    view["sound"] = (
        digest(held["entries"], held["photos"], held["limits"]) == held["digest"] and not differs and _follows(book, held)
    )
    return view


_SHOWN = (
    "v",
    "revision",
    "digest",
    "signatures",
    "verdicts",
    "previous",
    "stops",
    "changes",
    "identifiers",
    "list",
    "summary",
    "key",
    "jwk",
    "signature",
    "text",
)


def _follows(book: object, held: dict) -> bool:
    """Is the seal before it, as far as it is here, the one that it names."""
    before = held["previous"]
    return before is None or before[0] not in book.entries or book.sha256(before[0]) == before[1]


def _limit_view(row: list) -> dict:
    known = row[0] in limits.file_ids()
    return {"id": row[0], "sha256": row[1], "same": known and limits.sha256(row[0]) == row[1]}
