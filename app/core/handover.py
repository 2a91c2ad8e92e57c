"""The handover package of a link: every text in it, and which entries, photos and limit sets belong in it.

It is a bag (BagIt 1.0, RFC 8493). The texts are made here, so that the office and a phone without signal hand over the same; whoever asks adds
the kept bytes (entries, photos, limit sets, and the record as PDF where it can be made) and packs them.
"""

from . import handover_places, handover_plan, handover_readings, handover_tables, handover_words, limits, sealing, views
from .checks.base import field
from .entries import sha256_hex
from .handover_text import one_line
from .ordering import ascending, in_order
from .record_words import Names

_LONGEST_NAME_BYTES = 80


def photos(book: object, link_id: str) -> dict:
    """What can be packed before the texts are asked for: {"name": of the folder, "photos": [[SHA-256, media type as its entry says, or ""]...]}."""
    link = views.link_view(book, link_id)
    return {"name": folder_name(field(link, "name") or "", link["seals"]), "photos": _photos(book, link_id)}


def _photos(book: object, link_id: str) -> list:
    types = {}
    for entry_id in _entry_ids(book, link_id):
        entry = book.entries[entry_id]
        if entry["kind"] == "photo" and entry["body"].get("sha256"):
            types[str(entry["body"]["sha256"])] = str(entry["body"].get("type") or "")
    for seal in _seals(book, link_id):
        for sha256 in seal["photos"]:
            if isinstance(sha256, str):
                types.setdefault(sha256, "")
    return [[sha256, types[sha256]] for sha256 in ascending(types)]


def build(
    book: object, link_id: str, made_at: str, signatures: dict | None = None, keys: dict | None = None, here: list | None = None
) -> dict:
    """The package of a link.

    Inputs: a ledger's book; made_at: time with zone; signatures: {seal id: "good" | "bad"} as checked outside core; keys: {thumbprint: words};
    here: SHA-256 of the photos that can be handed over (None: all).
    Result: {"name": of its folder, "files": [[path in the bag, text]...], "entries": [ids], "photos": [[SHA-256, media type]...] that are
    here, "photos_missing": [SHA-256...], "limits": [ids], "seals": [{"file", "jwk", "signature"}...] whose .pem and .sig are to be added,
    "info": [[tag, value]...] for `tags`}. Errors: Refused("unknown") when the book has no such link.
    """
    link, site = views.link_view(book, link_id), views.site_view(book)
    judged = views.judged_link(book, link_id)
    ids, seals, named = _entry_ids(book, link_id), _seals(book, link_id), _photos(book, link_id)
    held = {
        "site": site,
        "link": link,
        "name": one_line(field(link, "name") or "unnamed link"),
        "made_at": made_at,
        "entries": ids,
        "seals": seals,
        "limits": _limits(judged["checks"], seals),
        "photos": [photo for photo in named if here is None or photo[0] in here],
        "photos_missing": [photo[0] for photo in named if here is not None and photo[0] not in here],
        "places": handover_places.places(site, link),
        "summary": judged["summary"],
        "signatures": signatures or {},
        "keys": keys or {},
    }
    return {
        "name": folder_name(field(link, "name") or "", link["seals"]),
        "files": _files(held, judged["checks"]),
        "entries": ids,
        "photos": held["photos"],
        "photos_missing": held["photos_missing"],
        "limits": held["limits"],
        "seals": [{"file": seal["file"], "jwk": seal["jwk"], "signature": seal["signature"]} for seal in seals if seal["signed"]],
        "info": handover_words.info(held),
    }


def _files(held: dict, checks: list) -> list:
    link, places = held["link"], held["places"]
    names = Names(held["site"], link)
    tables = handover_readings.table_files(link, names)
    held["tables"] = [table[0] for table in tables]
    files = tables + [
        ["VERIFY.txt", handover_words.verify_text(held)],
        ["checks.csv", handover_tables.checks_csv(checks)],
        ["plan.geojson", handover_plan.geojson(held["name"], places)],
        ["plan.gpx", handover_plan.gpx(held["name"], places)],
        ["plan.kml", handover_plan.kml(held["name"], places)],
        ["readings.csv", handover_readings.readings_csv(link, names)],
        ["stations.csv", handover_tables.stations_csv(link, places, names)],
    ]
    files += [["seals/" + seal["file"] + ".json", seal["signed"]] for seal in held["seals"] if seal["signed"]]
    return [["data/" + name, text] for name, text in in_order(files, _first)]


def _first(pair: list) -> str:
    return pair[0]


def _entry_ids(book: object, link_id: str) -> list:
    """Ids, sorted, of the entries of a link, of those its seals cover as far as they are here, of its seals, and of kinds not known here."""
    ids = {row[0] for row in sealing.cover(book, link_id)["entries"]}
    for seal in _seals(book, link_id):
        ids.add(seal["id"])
        ids.update([row[0] for row in seal["entries"]])
    ids.update([entry["id"] for entry in book.unknown if entry["body"].get("link") == link_id])
    return ascending([entry_id for entry_id in ids if entry_id in book.entries])


def _seals(book: object, link_id: str) -> list:
    """The seals of a link, the newest last: {"id", "file", "signed", "jwk", "signature", "entries", "photos", "limits"}.

    A seal of version 1 has no signed text: "signed" is "".
    """
    found, used = [], set()
    for entry in sealing.seals_in_order(book, link_id):
        says = sealing.parts_of(book, entry)
        if says:
            file = "revision-" + str(says["revision"])
            if file in used:  # two phones that did not know of each other
                file += "-" + entry["id"][-12:]
            used.add(file)
            found.append({name: says[name] for name in ("jwk", "signature", "entries", "photos", "limits")})
            found[-1]["id"], found[-1]["file"], found[-1]["signed"] = entry["id"], file, says["text"] or ""
    return found


def _limits(checks: list, seals: list) -> list:
    """Ids of the limit sets that a seal names, or that a seal would name now; those that this program holds."""
    named = set(sealing.limit_files(checks))
    for seal in seals:
        named.update([row[0] for row in seal["limits"]])
    return [file_id for file_id in limits.file_ids() if file_id in named]


def folder_name(name: str, seals: list) -> str:
    """A name for the folder and the zip that every system takes: letters, digits and hyphens, of bounded length, and the newest revision."""
    pieces, size = [], 0
    for character in name:
        kept = character if _is_plain_letter(ord(character)) else "-"
        size += len(kept.encode())
        if size > _LONGEST_NAME_BYTES:
            break
        if kept != "-" or (pieces and pieces[-1] != "-"):
            pieces.append(kept)
    stem = "".join(pieces).rstrip("-") or "link"
    return stem + ("-revision-" + str(seals[-1]["revision"]) if seals else "-unsigned")


def _is_plain_letter(code: int) -> bool:
    """Letters and digits of ASCII, and what other scripts write words with; no sign, no control character, no symbol."""
    if code < 0xC0:
        return 48 <= code <= 57 or 65 <= code <= 90 or 97 <= code <= 122
    if code in (0xD7, 0xF7, 0x34F, 0x61C, 0x115F, 0x1160, 0x1680, 0x17B4, 0x17B5) or 0x180B <= code <= 0x180E:
        return False
    return code < 0x2000 or 0x3041 <= code <= 0xD7A3


def tags(payload: list, info: list) -> list:
    """The tag files of a bag: payload [[path from the bag's folder, SHA-256, size in bytes]...] and info [[tag, value]...] -> [[path, text]...]."""
    rows = in_order(payload, _first)
    size = 0
    for row in rows:
        size += row[2]
    told = info + [["Payload-Oxum", str(size) + "." + str(len(rows))]]
    files = [
        ["bag-info.txt", "".join([name + ": " + one_line(value) + "\n" for name, value in told])],
        ["bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"],
        ["manifest-sha256.txt", "".join([row[1] + "  " + row[0] + "\n" for row in rows])],
    ]
    listed = "".join([sha256_hex(text) + "  " + name + "\n" for name, text in files])
    return files + [["tagmanifest-sha256.txt", listed]]
