"""How a verification reads: headlines, what differs, who signed, what no seal covers."""

from . import kinds, quantities
from .record_words import when

HEADLINES = {
    "intact": "Intact: what is here is what was signed.",
    "altered": "Altered: what is here is not what was signed.",
    "incomplete": "Incomplete: not everything that was signed is here.",
}
_NO_KEY = "No device key signed it: what it lists is unchanged, but nothing proves the list."
_UNCHECKED = "The device key's signature was not checked."
_KINDS = {"void": "voided reading", "building": "building", "link": "link", "end": "end of the link"}


def headline(seals: list, problems: list) -> str:
    """One line over everything that was looked at. seals: those that count."""
    if [seal for seal in seals if seal["state"] == "altered"]:
        return HEADLINES["altered"]
    if problems:
        return "Damaged: not everything in it could be read." if seals else "Damaged, and no seal could be read in it."
    if not seals:
        return "No seal is in it: nobody has signed anything here."
    lacking = [seal for seal in seals if seal["state"] == "incomplete"]
    return lacking[0]["headline"] if lacking else HEADLINES["intact"]


def seal_headline(state: str, signature: str, missing: list) -> str:
    """One line over one seal."""
    if state == "incomplete" and not missing:
        return _NO_KEY if signature == "none" else _UNCHECKED
    return HEADLINES[state]


def who(signatures: list) -> list:
    """'Ana Field (installer), 2026-03-14 10:22 (+01:00), drawn' for each who signed."""
    found = []
    for signed in signatures:
        role = " (" + str(signed["role"]) + ")" if signed.get("role") else ""
        how = "name typed" if signed.get("typed") else "drawn"
        found.append(str(signed["name"]) + role + ", " + when(signed.get("at")) + ", " + how)
    return found


def entry_differs(one: dict, signed: str) -> str:
    """Which entry is not the one that was signed, with both hashes."""
    entry = one["entry"]
    return (
        _entry_words(entry) + " (" + one["where"] + ", " + entry["id"] + ") is not the one that was signed: SHA-256 signed " + signed
        + ", here " + one["sha256"] + "."
    )  # fmt: skip


def photo_differs(name: str, found: dict) -> str:
    """Which photo is not the one that was signed."""
    here = found.get("sha256")
    words = "here " + str(here) if here else "and it can't be read here"
    return "The photo " + str(found.get("where") or name) + " is not the one that was signed: SHA-256 signed " + name + ", " + words + "."


def limit_differs(row: list, here: str) -> str:
    """Which limit set of the file is not the one that was signed."""
    return "The limit set " + row[0] + " is not the one that was signed: SHA-256 signed " + row[1] + ", here " + str(here) + "."


def _entry_words(entry: dict) -> str:
    kind, body = entry["kind"], entry["body"]
    if kind == "reading":
        about = quantities.quantity(body.get("quantity")) if isinstance(body.get("quantity"), str) else None
        return "The reading " + (about["title"] if about else str(body.get("quantity")))
    name = body.get("name") or body.get("caption") or body.get("text") or body.get("reason") or ""
    words = "The " + _KINDS.get(kind, kind)
    return words + (" '" + str(name)[:60] + "'" if isinstance(name, str) and name else "")


def lines(said: dict, found: dict, signature: str, compared: dict, again: dict | None) -> list:
    """[label, text] of what a seal is and how what is here stands to it."""
    rows = [["Signed", when(found["at"])]]
    if said["summary"]:
        rows.append(["Verdict as signed", str(said["summary"].get("words") or said["summary"].get("verdict"))])
    rows.append(["Covers", _count(len(said["entries"]), "entry", "entries") + ", " + _count(len(said["photos"]), "photo", "photos")])
    rows.append(["Device key", said["key"] or "none"])
    if found["key_words"]:
        rows.append(["Whose key", found["key_words"]])
    elif said["key"]:
        rows.append(["Whose key", "Not known here. Ask the installing firm for its thumbprint by another way."])
    signed = {"good": "good", "bad": "does not fit", "none": "none", "": "not checked"}
    rows.append(["Device signature", signed.get(signature, "not checked")])
    rows.append(["Digest", said["digest"]])
    if compared["photos_unchecked"]:
        rows.append(["Photos", _count(compared["photos_unchecked"], "photo is", "photos are") + " not here and could not be checked"])
    if compared["limits_other"]:
        rows.append(["Limit sets", "This program has other bytes of " + ", ".join(compared["limits_other"]) + ". The limits as signed count."])
    if again:
        rows.append(["Verdicts worked out again", _again(again, said)])
    if said["changes"]:
        rows.append(["What changed then", "\n".join([str(words) for words in said["changes"]])])
    return rows


def _again(again: dict, said: dict) -> str:
    if "fault" in again:
        return "Could not be worked out: " + again["fault"]
    if not again["other"]:
        return "All " + str(len(said["verdicts"])) + " are those that were signed."
    shown = "; ".join(again["other"][:6])
    rest = len(again["other"]) - 6
    more = " and " + str(rest) + " more" if rest > 0 else ""
    return str(again["same"]) + " are those that were signed. This version of Spanbook judges otherwise: " + shown + more + "."


def uncovered(entries: list, newest: list) -> list:
    """What no seal covers: sentences that count, by link and reason."""
    covered, sealed, subjects = set(), {}, set()
    for seal in newest:
        covered.update(seal["covered"])
        sealed[seal["link"]] = seal["revision"]
    for entry in entries:
        if entry["id"] in covered and isinstance(entry["body"].get("subject"), str):
            subjects.add(entry["body"]["subject"])
    counts = {"unknown": 0, "after": 0, "other": 0, "site": 0}
    for entry in entries:
        if entry["id"] not in covered and entry["kind"] != "seal" and "signed" not in entry["body"]:
            counts[_reason(entry, sealed, subjects)] += 1
    rows = []
    for name, words in _UNCOVERED:
        if counts[name]:
            rows.append(_count(counts[name], "entry", "entries") + " " + words)
    return rows


_UNCOVERED = [
    ("after", "came after signing: no seal covers them."),
    ("other", "of other links, or of a link that nobody has signed."),
    ("site", "of the site that belong to no signed link, such as its photos and notes."),
    ("unknown", "of a kind that this version does not know: not looked at."),
]


def _reason(entry: dict, sealed: dict, subjects: set) -> str:
    if entry["kind"] not in kinds.THING_NAMES + kinds.EVENT_NAMES:
        return "unknown"
    body = entry["body"]
    link, subject = body.get("link"), body.get("subject")
    if link in sealed if isinstance(link, str) else False:
        return "after"
    if isinstance(subject, str) and (subject in subjects or subject in sealed):
        return "after"
    if isinstance(link, str) or entry["kind"] == "link":
        return "other"
    return "site"


def _count(number: int, one: str, more: str) -> str:
    return str(number) + " " + (one if number == 1 else more)
