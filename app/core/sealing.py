"""What a seal covers, and what came after it."""

from . import kinds
from .entries import sha256_hex
from .errors import require
from .ordering import ascending


def events_of_link(book: object, kind: str, link_id: str) -> list:
    """Events of a kind on a link, in time order."""
    return [entry for entry in book.events.get(kind, []) if entry["body"].get("link") == link_id]


def cover(book: object, link_id: str) -> dict:
    """What a seal on this link covers now: [[id, sha256]] of its entries sorted by id, sha256 of its photos, and the digest over both.

    The digest is SHA-256 over one line an entry, 'id sha256', then one line a photo, 'photo sha256', each ended by a line feed.
    """
    ids = _covered_ids(book, link_id)
    rows = [[entry_id, book.sha256(entry_id)] for entry_id in ascending(ids)]
    photos = ascending(
        {book.entries[entry_id]["body"]["sha256"] for entry_id in ids if book.entries[entry_id]["kind"] == "photo"}
    )
    return {"entries": rows, "photos": photos, "digest": digest(rows, photos)}


def digest(rows: list, photos: list) -> str:
    """The digest that `cover` describes, for given rows and photos."""
    lines = [row[0] + " " + row[1] + "\n" for row in rows] + ["photo " + photo + "\n" for photo in photos]
    return sha256_hex("".join(lines))


def _covered_ids(book: object, link_id: str) -> list:
    link = require(book.things.get("link", {}).get(link_id), "link", link_id)
    buildings = [(link["fields"].get(name) or {}).get("value") for name in ("near_building", "far_building")]
    ids = list(link["entries"])
    for kind in ("site", "building", "corner"):
        for thing in book.things.get(kind, {}).values():
            of = thing["subject"] if kind == "building" else (thing["fields"].get("building") or {}).get("value")
            if kind == "site" or of in buildings:
                ids.extend(thing["entries"])
    for kind in ("end", "station", "bond", "protector", "load", "limit", "identifier"):
        for thing in book.things.get(kind, {}).values():
            if thing["link"] == link_id:
                ids.extend(thing["entries"])
    for kind in kinds.EVENT_NAMES:
        if kind != "seal":
            ids.extend([entry["id"] for entry in events_of_link(book, kind, link_id)])
    return ids


def seal_views(book: object, link_id: str) -> list:
    now = _covered_ids(book, link_id)
    found = []
    for entry in events_of_link(book, "seal", link_id):
        body = entry["body"]
        covered = {row[0]: row[1] for row in body["covers"]["entries"]}
        after = ascending([entry_id for entry_id in now if entry_id not in covered])
        missing = ascending([entry_id for entry_id in covered if entry_id not in book.entries])
        differs = ascending(
            [entry_id for entry_id in covered if entry_id in book.entries and book.sha256(entry_id) != covered[entry_id]]
        )
        sound = digest(body["covers"]["entries"], body["covers"].get("photos") or []) == body["covers"]["digest"]
        found.append(
            {
                "id": entry["id"],
                "revision": body.get("revision", 1),
                "at": entry["at"],
                "by": entry["by"],
                "digest": body["covers"]["digest"],
                "entries": len(covered),
                "photos": len(body["covers"].get("photos") or []),
                "signatures": body["signatures"],
                "verdicts": body.get("verdicts") or [],
                "after": after,
                "missing": missing,
                "differs": differs,
                "sound": sound and not differs,
            }
        )
    return found
