"""Is what was signed still what is here: entry texts, photos and limit sets held against every seal among them.

Bears any garbage: what can't be read is said, never passed over. Whether a device key's signature is good is worked out outside core.
"""

from . import limits, seal_form, verification_words
from .errors import Refused
from .hashes import sha256_hex
from .ordering import ascending, in_order
from .sealing import digest
from .shapes import is_id
from .verification_again import verdicts_again

INTACT, ALTERED, INCOMPLETE = "intact", "altered", "incomplete"


def verify(request: dict) -> dict:
    """What a file or a phone holds, held against the seals in it.

    request: texts [[entry text, where it lay]...]; photos {SHA-256 named: {"sha256": actual, "where"}}; signatures {seal id: "good" | "bad"};
    keys {thumbprint: words}, limits {limit file id: SHA-256} of the sets that came along (else those of this program), photos_expected,
    problems and notes (texts of whoever read the file), all optional.
    Result: {"intact", "headline", "links": [{"link", "name", "seals"}], "problems", "uncovered"} (shapes in the README beside this file).
    """
    held, problems = _held(request.get("texts") or [])
    problems = [str(problem) for problem in request.get("problems") or []] + problems
    seals = in_order([_seal(entry, held, request) for entry in _seals(held)], _by_link_and_time)
    links = []
    for seal in seals:
        if not links or links[-1]["link"] != seal["link"]:
            links.append({"link": seal["link"], "name": "", "seals": []})
        links[-1]["name"] = seal.pop("name") or links[-1]["name"]
        links[-1]["seals"].append(seal)
    newest = [link["seals"][-1] for link in links]
    # A seal before the newest is under the newest's hash: an older one without a key takes nothing from it, one that was altered does.
    counting = newest + [seal for seal in seals if seal["state"] == ALTERED]
    uncovered = verification_words.uncovered(_entries(held), newest) + [str(note) for note in request.get("notes") or []]
    headline = verification_words.headline(counting, problems)
    intact = bool(seals) and not problems and not [seal for seal in counting if seal["state"] != INTACT]
    for seal in seals:
        for name in ("link", "covered", "when"):
            seal.pop(name)
    return {
        "intact": intact,
        "headline": headline,
        "links": links,
        "problems": problems,
        "uncovered": uncovered,
    }


def _held(texts: list) -> tuple:
    """({id: [{"entry", "sha256", "text", "where"}...]}, problems): the same text twice does no harm, two texts of one id are told."""
    held, problems = {}, []
    for row in texts:
        text, where = (row[0], str(row[1])) if isinstance(row, list) and len(row) == 2 else (None, "the list of entries")
        entry = seal_form.entry_of(text)
        if entry is None or not is_id(entry.get("id")) or not isinstance(entry.get("kind"), str):
            problems.append(where + " can't be read as an entry: its text is torn or altered.")
            continue
        sha256 = sha256_hex(text)
        group = held.setdefault(entry["id"], [])
        if sha256 in [one["sha256"] for one in group]:
            continue
        if group:
            problems.append(where + " has the id of another entry, " + entry["id"] + ", and another text.")
        group.append({"entry": entry, "sha256": sha256, "text": text, "where": where})
    return held, problems


def _entries(held: dict) -> list:
    return [one["entry"] for entry_id in ascending(held) for one in held[entry_id][:1]]


def _seals(held: dict) -> list:
    """Whatever is or once was a seal: also one whose kind or version was altered."""
    found = []
    for entry_id in ascending(held):
        for one in held[entry_id]:
            body = one["entry"]["body"]
            if one["entry"]["kind"] == "seal" or "signed" in body or "covers" in body:
                found.append(one)
    return found


def _by_link_and_time(seal: dict) -> tuple:
    return (seal["link"], seal["revision"], seal["when"], seal["id"])


def _seal(one: dict, held: dict, request: dict) -> dict:
    entry = one["entry"]
    found = {"id": entry["id"], "link": str(entry["body"].get("link")), "name": "", "revision": 0, "at": "", "when": str(entry.get("at"))}
    found["who"], found["key"], found["key_words"], found["covered"] = [], "", "", []
    said = _said(entry)
    if said is None or not _is_well_made(entry):
        words = "The seal itself (" + one["where"] + ") is torn or altered: its parts do not agree."
        found["state"], found["headline"], found["lines"] = ALTERED, verification_words.HEADLINES[ALTERED], []
        found["differs"], found["missing"] = [words], []
        if said:
            found["revision"], found["who"] = said["revision"], verification_words.who(said["signatures"])
        return found
    found["revision"], found["at"], found["key"] = said["revision"], entry["at"], said["key"]
    found["who"] = verification_words.who(said["signatures"])
    found["key_words"] = str((request.get("keys") or {}).get(said["key"]) or "")
    found["covered"] = [row[0] for row in said["entries"]]
    found["name"] = _name(said, held, found["link"])
    compared = _compared(said, held, request)
    signature = (request.get("signatures") or {}).get(entry["id"], "") if said["v"] == 2 else "none"
    differs, missing = compared["differs"], compared["missing"]
    if signature == "bad":
        differs = ["The device key's signature does not fit the text that it should have signed."] + differs
    found["state"] = ALTERED if differs else INCOMPLETE if missing or signature != "good" else INTACT
    found["headline"] = verification_words.seal_headline(found["state"], signature, missing)
    again = verdicts_again(said, held, entry) if not differs and not compared["entries_missing"] else None
    found["lines"] = verification_words.lines(said, found, signature, compared, again)
    found["differs"], found["missing"] = differs, missing
    return found


def _said(entry: dict) -> dict | None:
    try:
        said = seal_form.parts(entry)
        sound = isinstance(said["revision"], int) and isinstance(said["signatures"], list) and isinstance(said["photos"], list)
        rows = [row for row in said["entries"] if not isinstance(row, list) or len(row) != 2 or not isinstance(row[0], str)]
        return said if sound and not rows else None
    except (Refused, KeyError, TypeError, AttributeError):
        return None


def _is_well_made(entry: dict) -> bool:
    if entry.get("v") == 2 or "signed" in entry["body"]:
        return seal_form.is_seal(entry)
    try:
        seal_form.check_seal(entry["body"])
        return entry["kind"] == "seal" and entry.get("v") == 1 and isinstance(entry.get("at"), str)
    except (Refused, KeyError, TypeError, AttributeError):
        return False


def _name(said: dict, held: dict, link_id: str) -> str:
    if said["v"] == 2:
        return said["name"]
    names = [one["entry"]["body"].get("name") for group in held.values() for one in group if _is_of_link(one["entry"], link_id)]
    return str(ascending([name for name in names if isinstance(name, str)] + [""])[-1])


def _is_of_link(entry: dict, link_id: str) -> bool:
    return entry["kind"] == "link" and entry["body"].get("subject") == link_id


def _compared(said: dict, held: dict, request: dict) -> dict:
    """{"differs", "missing": sentences; "entries_missing", "photos_unchecked", "limits_other": counts and ids}."""
    differs, missing = [], []
    if digest(said["entries"], said["photos"], said["limits"]) != said["digest"]:
        differs.append("The digest in the seal is not that of the list beside it.")
    lacking = 0
    for row in said["entries"]:
        group = held.get(row[0]) or []
        if not group:
            lacking += 1
            missing.append("Entry " + row[0] + " is signed and not here.")
        elif row[1] not in [one["sha256"] for one in group]:
            differs.append(verification_words.entry_differs(group[0], row[1]))
    unchecked = _photos(said, request, differs, missing)
    before = said["previous"]
    if before and not held.get(before[0]):
        missing.append("The seal before it, " + before[0] + ", is not here.")
    elif before and before[1] not in [one["sha256"] for one in held[before[0]]]:
        differs.append("The seal before it, " + before[0] + ", is not the one that it names.")
    return {
        "differs": differs,
        "missing": missing,
        "entries_missing": lacking,
        "photos_unchecked": unchecked,
        "limits_other": _limits(said, request.get("limits"), differs, missing),
    }


def _photos(said: dict, request: dict, differs: list, missing: list) -> int:
    """How many photos could not be checked, since the file carries none."""
    photos, unchecked = request.get("photos") or {}, 0
    for name in said["photos"]:
        found = photos.get(name)
        if found is None and not request.get("photos_expected", True):
            unchecked += 1
        elif found is None:
            missing.append("Photo " + str(name) + " is signed and not here.")
        elif found.get("sha256") != name:
            differs.append(verification_words.photo_differs(str(name), found))
    return unchecked


def _limits(said: dict, came_along: dict | None, differs: list, missing: list) -> list:
    """Ids of limit sets that this program has with other bytes, or not at all; sets that came along with the file have to be those signed."""
    other = []
    for row in said["limits"]:
        if came_along is not None:
            if row[0] not in came_along:
                missing.append("The limit set " + row[0] + " is signed and not here.")
            elif came_along[row[0]] != row[1]:
                differs.append(verification_words.limit_differs(row, came_along[row[0]]))
        elif row[0] not in limits.file_ids() or limits.sha256(row[0]) != row[1]:
            other.append(row[0])
    return other

