"""One seal held against what is here: the entries, photos and limit sets that it lists, the seal before it, its device key's signature."""

from . import entries, limits, seal_form, verification_words
from .errors import Refused
from .ordering import ascending
from .sealing import digest
from .verification_again import worked_out_again

INTACT, ALTERED, INCOMPLETE = "intact", "altered", "incomplete"


def judged_seal(one: dict, held: dict, request: dict, is_newest: bool, beside: set) -> dict:
    """One seal among what was read, as `verify` gives it, with what only `verify` needs: link, name, covered, photos, counts, is_newest.

    one: {"entry", "sha256", "text", "where"}; held: {id: [such...]}; request: that of `verify`; beside: ids of the seals of its link that say
    they are of the same revision, with its own.
    """
    entry = one["entry"]
    said = _said(one)
    if said is None:
        found = _unreadable(one)
    else:
        found = _held_against(said, one, held, request, is_newest)
        _say_beside(found, entry, beside)
    found["id"], found["link"] = entry["id"], str(entry["body"].get("link"))
    # A seal before the newest is under the newest's hash: an older one without a key takes nothing from it, one that was altered does.
    found["is_newest"], found["counts"] = is_newest, is_newest or found["state"] == ALTERED
    return found


def _say_beside(found: dict, entry: dict, beside: set) -> None:
    """Two phones that had not heard of each other each sign one, or somebody put one beside that which was signed: which it is, people know."""
    others = ascending([other for other in beside if other != entry["id"]])
    if others:
        found["headline"] += verification_words.BESIDE
        found["lines"].insert(0, ["Same revision", verification_words.beside_words(found["revision"], others)])


def _said(one: dict) -> dict | None:
    """What a well made seal says; None for one that is torn or altered."""
    try:
        entry = entries.read_checked(one["text"])
        if not entries.is_known(entry) or entry["kind"] != "seal":
            return None
        return seal_form.parts(entry)
    except (Refused, ValueError, KeyError, TypeError, IndexError, AttributeError):
        return None


def _unreadable(one: dict) -> dict:
    """A seal that is torn, or of a version that is newer than this program."""
    is_newer = verification_words.is_newer(one["entry"])
    state = INCOMPLETE if is_newer else ALTERED
    words = [] if is_newer else ["The seal itself (" + one["where"] + ") is torn or altered: its parts do not agree."]
    found = {"state": state, "differs": words, "missing": [], "revision": 0}
    found["headline"] = verification_words.NEWER if is_newer else verification_words.HEADLINES[ALTERED]
    for name in ("lines", "who", "covered", "photos"):
        found[name] = []
    for name in ("at", "key", "key_words", "name"):
        found[name] = ""
    return found


def _held_against(said: dict, one: dict, held: dict, request: dict, is_newest: bool) -> dict:
    entry = one["entry"]
    found = {"revision": said["revision"], "at": entry["at"], "key": said["key"], "name": _name(said, held, entry)}
    found["who"] = verification_words.who(said["signatures"])
    found["key_words"] = str((request.get("keys") or {}).get(said["key"]) or "")
    found["covered"], found["photos"] = [row[0] for row in said["entries"]], said["photos"]
    compared = _compared(said, one, held, request)
    signature = (request.get("signatures") or {}).get(entry["id"], "") if said["v"] == 2 else "none"
    differs, missing = compared["differs"], compared["missing"]
    if signature == "bad":
        differs = ["The device key's signature does not fit the text that it should have signed."] + differs
    found["state"] = ALTERED if differs else INCOMPLETE if missing or signature != "good" else INTACT
    again = None
    if is_newest and not compared["entries_lack"]:
        again = worked_out_again(said, held, entry)
    found["headline"] = verification_words.seal_headline(found["state"], signature, missing, again)
    found["lines"] = verification_words.lines(said, found, signature, compared, again)
    found["differs"], found["missing"] = differs, missing
    return found


def _name(said: dict, held: dict, entry: dict) -> str:
    """The link's name as signed; a version 1 seal holds none, so there it is the newest that is here."""
    if said["v"] == 2:
        return said["name"]
    own = [one["entry"] for group in held.values() for one in group if _is_named_link(one["entry"], entry["body"]["link"])]
    named = sorted([(one["at"], one["id"], one["body"]["name"]) for one in own])
    return named[-1][2] if named else ""


def _is_named_link(entry: dict, link_id: str) -> bool:
    body = entry["body"]
    return entry["kind"] == "link" and body.get("subject") == link_id and isinstance(body.get("name"), str)


def _compared(said: dict, one: dict, held: dict, request: dict) -> dict:
    """{"differs", "missing": sentences; "entries_lack": is one not here as signed; "photos_unchecked": count; "limits_other": ids}."""
    differs, missing = [], []
    if digest(said["entries"], said["photos"], said["limits"]) != said["digest"]:
        differs.append("The digest in the seal is not that of the list beside it.")
    for row in said["entries"]:
        group = held.get(row[0]) or []
        if not group:
            missing.append(verification_words.lacks("Entry " + row[0], row[1]))
        elif row[1] not in [one["sha256"] for one in group]:
            differs.append(verification_words.entry_differs(group[0], row[1]))
    entries_lack = bool(missing or differs)
    unchecked = _photos(said, held, request, differs, missing)
    _previous(said, one["entry"], held, differs, missing)
    found = {"entries_lack": entries_lack, "photos_unchecked": unchecked}
    found["limits_other"] = _limits(said, request.get("limits"), differs, missing)
    found["differs"], found["missing"] = differs, missing
    return found


def _photos(said: dict, held: dict, request: dict, differs: list, missing: list) -> int:
    """How many photos could not be checked, since the file carries none."""
    photos, unchecked = request.get("photos") or {}, 0
    for name in said["photos"]:
        found = photos.get(name)
        if found is None and not request.get("photos_expected", True):
            unchecked += 1
        elif found is None:
            missing.append(verification_words.lacks("The photo " + verification_words.photo_words(name, held), name))
        elif found.get("sha256") != name:
            differs.append(verification_words.other("The photo " + str(found.get("where") or name), name, found.get("sha256")))
    return unchecked


def _previous(said: dict, entry: dict, held: dict, differs: list, missing: list) -> None:
    before = said["previous"]
    if before is None:
        return
    what, group = "The seal before it, " + before[0] + ",", held.get(before[0])
    named = [one["entry"] for one in group or [] if one["sha256"] == before[1]]
    if not group:
        missing.append(verification_words.lacks(what, before[1]))
    elif not named:
        differs.append(verification_words.other(what, before[1], group[0]["sha256"]))
    elif not _is_one_before(named[0], said, entry):
        differs.append(what + " is not revision " + str(said["revision"] - 1) + " of this link: a revision was left out.")


def _is_one_before(before: dict, said: dict, entry: dict) -> bool:
    is_of_link = before["book"] == entry["book"] and before["body"].get("link") == entry["body"]["link"]
    revision = verification_words.revision_of(before) or 1  # the first form of a seal could leave it out
    return is_of_link and before["kind"] == "seal" and revision == said["revision"] - 1


def _limits(said: dict, came_along: dict | None, differs: list, missing: list) -> list:
    """[id, SHA-256 signed] of limit sets that this program, which judges once more, has with other bytes or not at all; sets that came along
    have to be those signed."""
    for row in said["limits"] if came_along is not None else []:
        what = "The limit set " + verification_words.limit_words(row[0])
        if row[0] not in came_along:
            missing.append(verification_words.lacks(what, row[1]))
        elif came_along[row[0]] != row[1]:
            differs.append(verification_words.other(what, row[1], came_along[row[0]]))
    return [row for row in said["limits"] if row[0] not in limits.file_ids() or limits.sha256(row[0]) != row[1]]
