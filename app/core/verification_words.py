"""How a verification reads: headlines, what differs, who signed, the lines under a seal."""

from . import kinds, limits, quantities
from .record_words import when
from .textform import loads

HEADLINES = {
    "intact": "Intact: what is here is what was signed.",
    "altered": "Altered: what is here is not what was signed.",
    "incomplete": "Incomplete: not everything that was signed is here.",
}
NEWER = "Not checked: the seal is of a newer version than this program."
_NO_KEY = "No device key signed it: what it lists is unchanged, but nothing proves the list."
_UNCHECKED = "The device key's signature was not checked."
_OTHERWISE = " This version of Spanbook works out something else from it; see below."
BESIDE = " Another seal says that it is the same revision; see below."
_KINDS = {"void": "voiding of a reading", "end": "end of the link", "limit": "own limit"}
_MOST_NAMED = 6


def revision_of(entry: dict) -> int:
    """The revision that a seal says it is; 0 where it can't be read."""
    body = entry["body"]
    try:
        found = loads(body["signed"])["revision"] if "signed" in body else body["revision"]
    except (ValueError, KeyError, TypeError, RuntimeError):
        return 0
    return found if isinstance(found, int) else 0


def is_newer(entry: dict) -> bool:
    """Is it a seal of a version to come, rather than one of ours whose version was altered."""
    is_ours = "spanbook seal 2" in str(entry["body"].get("signed"))
    return entry["kind"] == "seal" and entry["v"] > kinds.newest_version("seal") and not is_ours


def headline(seals: list, problems: list) -> str:
    """One line over everything that was looked at. seals: those that count."""
    if [seal for seal in seals if seal["state"] == "altered"]:
        return HEADLINES["altered"]
    if problems:
        return "Damaged: not everything in it is whole." if seals else "Damaged, and no seal could be read in it."
    if not seals:
        return "No seal is in it: nobody has signed anything here."
    for state in ("incomplete", "intact"):
        said = [seal["headline"] for seal in seals if seal["state"] == state]
        if said:
            return max(said, key=len) if state == "intact" else said[0]
    return HEADLINES["intact"]


def seal_headline(state: str, signature: str, missing: list, again: dict | None) -> str:
    """One line over one seal. again: what `worked_out_again` gave."""
    if state == "incomplete" and not missing:
        return _NO_KEY if signature == "none" else _UNCHECKED
    return HEADLINES[state] + (_OTHERWISE if state == "intact" and again and _is_other(again) else "")


def beside_words(revision: int, others: list) -> str:
    """Which other seals say that they are of the same revision."""
    words = "Revision " + str(revision) + " was signed more than once, and neither seal names the other: this one, and "
    return words + ", ".join(others) + ". Ask those who signed which of them holds."


def _is_other(again: dict) -> bool:
    if "fault" in again:
        return True
    return bool(again["verdicts"]["other"] or not again["summary"] or (again["list"] and again["list"]["other"]))


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
    what = "The " + entry_words(one["entry"]) + " (" + one["where"] + ", " + one["entry"]["id"] + ")"
    return other(what, signed, one["sha256"])


def other(what: str, signed: str, here: object) -> str:
    """'... is not the one that was signed', with both hashes; without the second where it can't be read."""
    words = "here " + str(here) if here else "and it can't be read here"
    return what + " is not the one that was signed: SHA-256 signed " + signed + ", " + words + "."


def lacks(what: str, signed: str) -> str:
    """'... is signed and not here', with its hash."""
    return what + " is signed and not here: SHA-256 signed " + signed + "."


def photo_is_other(name: str, found: dict) -> str:
    """A photo that no seal covers and that is not the one its entry names."""
    what = (
        "The photo "
        + str(found.get("where") or name)
        + ", which no seal covers, is not the one that its entry names: SHA-256 there "
    )
    return what + name + (", here " + str(found["sha256"]) + "." if found.get("sha256") else ", and it can't be read here.")


def photo_words(name: object, held: dict) -> str:
    """A photo by the caption of the entry that names it, or by the start of its hash."""
    for group in held.values():
        for one in group:
            body = one["entry"]["body"]
            if one["entry"]["kind"] == "photo" and body.get("sha256") == name and body.get("caption"):
                return "'" + _short(body["caption"]) + "'"
    return str(name)[:16]


def limit_words(file_id: str) -> str:
    """A limit set's title and id."""
    return "'" + limits.document(file_id)["title"] + "' (" + file_id + ")" if file_id in limits.file_ids() else file_id


def entry_words(entry: dict) -> str:
    """What an entry is about, in a few words: 'reading Loss', 'station 'H1'', 'note 'Shared trench''."""
    kind, body = entry["kind"], entry["body"]
    if kind == "reading":
        about = quantities.quantity(body.get("quantity")) if isinstance(body.get("quantity"), str) else None
        return "reading " + (about["title"] if about else str(body.get("quantity"))[:60])
    for name in ("name", "caption", "text", "reason"):
        if isinstance(body.get(name), str) and body[name]:
            return _KINDS.get(kind, kind) + " '" + _short(body[name]) + "'"
    return _KINDS.get(kind, kind)


def _short(text: object) -> str:
    text = str(text).replace("\n", " ")
    return text if len(text) <= 60 else text[:57] + "..."


def lines(said: dict, found: dict, signature: str, compared: dict, again: dict | None) -> list:
    """[label, text] of what a seal is and how what is here stands to it."""
    rows = [["Signed", when(found["at"])]]
    if said["summary"]:
        rows.append(["Verdict as signed", said["summary"]["words"]])
    covers = [_count(len(said["entries"]), "entry", "entries"), _count(len(said["photos"]), "photo", "photos")]
    rows.append(["Covers", ", ".join(covers + [_count(len(said["limits"]), "limit set", "limit sets")])])
    rows += _key_lines(said, found, signature)
    rows.append(["Digest", said["digest"]])
    if compared["photos_unchecked"]:
        count = _count(compared["photos_unchecked"], "photo is", "photos are")
        rows.append(["Photos", count + " not here and could not be checked"])
    if compared["limits_other"]:
        rows.append(["Limit sets", "\n".join([_other_limit(row) for row in compared["limits_other"]])])
    if again:
        rows += _again_lines(again)
    if said["stops"]:
        rows.append(["Acknowledged before signing", "\n".join([_stop(stop) for stop in said["stops"]])])
    if said["changes"]:
        rows.append(["What had changed since the seal before", "\n".join(said["changes"])])
    return rows


def _stop(stop: list) -> str:
    return stop[1] + " (" + stop[2] + ", " + when(stop[3]) + ")"


def _key_lines(said: dict, found: dict, signature: str) -> list:
    rows = [["Device key", said["key"] or "none"]]
    if said["key"]:
        unknown = "Not known here. Ask the installing firm for its thumbprint by another way."
        rows.append(["Whose key", found["key_words"] or unknown])
    words = {"good": "good", "bad": "does not fit", "none": "none"}
    return rows + [["Device signature", words.get(signature, "not checked")]]


def _other_limit(row: list) -> str:
    if row[0] not in limits.file_ids():
        return "This program does not have " + row[0] + ", SHA-256 signed " + row[1] + "."
    words = "This program's " + limit_words(row[0]) + " is not the one that was signed with: SHA-256 signed " + row[1] + ", here "
    return words + limits.sha256(row[0]) + "."


def _again_lines(again: dict) -> list:
    if "fault" in again:
        return [["Verdicts worked out again", "Could not be worked out: " + again["fault"]]]
    rows = [["Verdicts worked out again", _again(again["verdicts"], "judges")]]
    if not again["summary"]:
        rows.append(["Verdict of the link worked out again", "It is not the one that was signed."])
    if again["list"]:
        rows.append(["Sign-off list worked out again", _again(again["list"], "words or judges")])
    return rows


def _again(compared: dict, how: str) -> str:
    other = compared["other"]
    if not other:
        return "All " + str(compared["all"]) + " are those that were signed." if compared["all"] else "There are none, as signed."
    shown = "; ".join(other[:_MOST_NAMED])
    more = " and " + str(len(other) - _MOST_NAMED) + " more" if len(other) > _MOST_NAMED else ""
    return "This version of Spanbook " + how + " " + str(len(other)) + " otherwise than was signed: " + shown + more + "."


def _count(number: int, one: str, more: str) -> str:
    return str(number) + " " + (one if number == 1 else more)
