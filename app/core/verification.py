"""Is what was signed still what is here: entry texts, photos and limit sets held against every seal among them.

Bears any garbage: what can't be read is said, never passed over. Whether a device key's signature is good is worked out outside core.
"""

from . import entries, moments, verification_uncovered, verification_words
from .errors import Refused
from .hashes import sha256_hex
from .ordering import ascending, in_order
from .verification_seal import INTACT, judged_seal


def verify(request: dict) -> dict:
    """What a file or a phone holds, held against the seals in it.

    request: texts [[entry text, where it lay]...]; photos {SHA-256 named: {"sha256": actual, or "" where it can't be read, "where"}};
    signatures {seal id: "good" | "bad"}; keys {thumbprint: words}; limits {limit file id: SHA-256} of the sets that came along (else those of
    this program stand beside them); photos_expected (true: a photo that isn't here is missing; false: it is just not checked); problems and
    notes (texts of whoever read the file). All but texts may be left out.
    Result: {"intact", "headline", "links": [{"link", "name", "seals"}], "problems", "uncovered"} (shapes in the README beside this file).
    """
    held, problems = _held(request.get("texts") or [])
    seals = _seals(held, request)
    problems = [str(problem) for problem in request.get("problems") or []] + problems
    problems += _photos_of_no_seal(held, seals, request.get("photos") or {})
    counting = [seal for seal in seals if seal["counts"]]
    # An older seal that proves nothing covers nothing either: anyone could slip one in to cover what he added.
    proving = [seal for seal in seals if seal["is_newest"] or seal["state"] == INTACT]
    uncovered = verification_uncovered.sentences(_entries(held), proving) + [str(note) for note in request.get("notes") or []]
    return {
        "intact": bool(counting) and not problems and not [seal for seal in counting if seal["state"] != INTACT],
        "headline": verification_words.headline(counting, problems),
        "links": _by_link(seals),
        "problems": problems,
        "uncovered": uncovered,
    }


def _held(texts: list) -> tuple:
    """({id: [{"entry", "sha256", "text", "where"}...]}, problems): the same text twice does no harm, two texts of one id are told."""
    held, problems = {}, []
    for row in texts:
        text, where = (row[0], str(row[1])) if isinstance(row, list) and len(row) == 2 else (None, "the list of entries")
        try:
            entry, sha256 = entries.read(text), sha256_hex(text)
        except (Refused, ValueError):  # half of a surrogate pair has no bytes and no hash
            problems.append("An entry can't be read, its text is torn or altered: " + where + ".")
            continue
        group = held.setdefault(entry["id"], [])
        if sha256 in [one["sha256"] for one in group]:
            continue
        if group:
            problems.append("Two texts have one id, " + entry["id"] + ": " + group[0]["where"] + ", and " + where + ".")
        group.append({"entry": entry, "sha256": sha256, "text": text, "where": where})
    return held, problems


def _entries(held: dict) -> list:
    return [one["entry"] for entry_id in ascending(held) for one in held[entry_id]]


def _seals(held: dict, request: dict) -> list:
    """Every seal, judged, by link and the newest last. Only the newest of a link is worked out again: it covers all that those before it do."""
    found = in_order([one for entry_id in ascending(held) for one in held[entry_id] if _is_a_seal(one["entry"])], _place)
    newest, beside = {}, {}
    for one in found:
        newest[_link_of(one)] = one
        beside.setdefault((_link_of(one), verification_words.revision_of(one["entry"])), set()).add(one["entry"]["id"])
    seals = []
    for one in found:
        others = beside[(_link_of(one), verification_words.revision_of(one["entry"]))]
        seals.append(judged_seal(one, held, request, newest[_link_of(one)] is one, others))
    return seals


def _is_a_seal(entry: dict) -> bool:
    """Is it a seal, or was it one before its kind was altered."""
    return entry["kind"] == "seal" or "signed" in entry["body"] or "covers" in entry["body"]


def _link_of(one: dict) -> str:
    return str(one["entry"]["body"].get("link"))


def _place(one: dict) -> tuple:
    entry = one["entry"]
    return (_link_of(one), verification_words.revision_of(entry), moments.milliseconds(entry["at"]), entry["id"], one["sha256"])


def _photos_of_no_seal(held: dict, seals: list, photos: dict) -> list:
    """Photos that came after signing, or of no signed link, and are not what their entries name."""
    covered = {name for seal in seals for name in seal["photos"]}
    named = {str(entry["body"].get("sha256")) for entry in _entries(held) if entry["kind"] == "photo"}
    wrong = [name for name in ascending(photos) if name in named and name not in covered and photos[name].get("sha256") != name]
    return [verification_words.photo_is_other(name, photos[name]) for name in wrong]


def _by_link(seals: list) -> list:
    links = []
    for seal in seals:
        if not links or links[-1]["link"] != seal["link"]:
            links.append({"link": seal["link"], "name": "", "seals": []})
        links[-1]["name"] = seal["name"] or links[-1]["name"]
        links[-1]["seals"].append({name: seal[name] for name in seal if name not in _HIDDEN})
    return links


_HIDDEN = ("link", "name", "covered", "photos", "counts", "is_newest")
