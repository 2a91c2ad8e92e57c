"""Record sections on the seal: signatures, what changed since the revision before, what came after, what is covered, how to verify it."""

from . import pictures
from .record_blocks import code, rows, section, table, text
from .record_words import NONE, when

_HOW = (
    "SHA-256 over one line an entry (its id, a blank, the SHA-256 of its text as first written), sorted by id, then one line a photo "
    "(the word photo, a blank, its SHA-256), sorted, then one line a limit set (the word limits, a blank, its id, a blank, its SHA-256), "
    "sorted; each line ends with a line feed."
)
_MEANS = {
    "good": "Good: the signed text is the one that the holder of this key signed.",
    "bad": "NOT GOOD: the signed text is not the one that this key signed. Do not rely on this record.",
    "unchecked": "Not checked where this record was made.",
    "none": "None: this seal is of an older form, without a device's key.",
}


def newest(link: dict) -> dict | None:
    """The newest seal of a link view, or None."""
    return link["seals"][-1] if link["seals"] else None


def count(number: int, one: str, more: str) -> str:
    """'1 entry', '3 entries'."""
    return str(number) + " " + (one if number == 1 else more)


def person(signed: dict) -> str:
    """'A. Field (installer)'."""
    return str(signed["name"]) + (" (" + str(signed["role"]) + ")" if signed.get("role") else "")


def device_words(seal: dict, signatures: dict) -> str:
    """Whether the device's signature over a seal is good. signatures: {seal id: "good" | "bad"} as far as they were checked."""
    return _MEANS[signatures.get(seal["id"], "unchecked") if seal["key"] else "none"]


def cover_rows(link: dict, signatures: dict) -> list:
    """Who signed, whether the device's signature is good, and what came since: rows of the cover."""
    seal = newest(link)
    if not seal:
        return [["Signed", "Not signed. Nobody has put their name to this record yet."]]
    people = "; ".join([person(signed) for signed in seal["signatures"]])
    pairs = [["Signed", "Revision " + str(seal["revision"]) + ", " + when(seal["at"]) + ", by " + people]]
    if seal["key"]:
        pairs.append(["Device signature", device_words(seal, signatures)])
    since = _since(seal)
    return pairs + ([["After signing", since]] if since else [])


def _since(seal: dict) -> str:
    parts = []
    if seal["after"]:
        number = count(len(seal["after"]), "entry that came after signing is", "entries that came after signing are")
        parts.append(number + " not covered by the signatures.")
    if seal["differs"]:
        number = count(len(seal["differs"]), "covered entry differs", "covered entries differ")
        parts.append(number + " from what was signed.")
    if seal["missing"]:
        parts.append(count(len(seal["missing"]), "covered entry is", "covered entries are") + " not here.")
    if not seal["differs"] and not seal["sound"]:
        parts.append("The signed digest does not match the list it was made from, or the seal before it is not the one it names.")
    return " ".join(parts)


def signatures_section(link: dict) -> dict:
    """Signatures of the newest seal, drawn or typed, and earlier revisions in a row each."""
    seal = newest(link)
    if not seal:
        return section("signatures", "Signatures", [text(["Not signed."])])
    items = {"form": "signatures", "items": [_signature(signed, seal) for signed in seal["signatures"]]}
    earlier = [_earlier(held) for held in link["seals"][:-1]]
    before = table(["Earlier revision", "At", "Signed by", "Digest begins"], "llll", earlier)
    return section("signatures", "Signatures, revision " + str(seal["revision"]), [items, before])


def _signature(signed: dict, seal: dict) -> dict:
    item = {"name": str(signed["name"]), "role": str(signed.get("role") or NONE), "at": when(signed.get("at") or seal["at"])}
    item["svg"] = "" if signed.get("typed") else pictures.signature(signed)
    item["typed"] = "Name typed by the person, not drawn" if signed.get("typed") else ""
    return item


def _earlier(seal: dict) -> list:
    people = "; ".join([person(signed) for signed in seal["signatures"]])
    return [str(seal["revision"]), when(seal["at"]), people, seal["digest"][:16]]


def changes_section(link: dict) -> dict | None:
    """What changed since the revision before, as it was signed; None for the first revision and for a seal of an older form."""
    seal = newest(link)
    if not seal or not seal["changes"]:
        return None
    title = "What changed since revision " + str(seal["revision"] - 1)
    return section("changes", title, [text([str(change) for change in seal["changes"]])])


def after_section(link: dict, after: list) -> dict | None:
    """What came after the newest seal, in sentences. None where nothing did."""
    seal = newest(link)
    if not seal or not seal["after"]:
        return None
    lines = ["In this record, but not under the signatures of revision " + str(seal["revision"]) + ":"]
    return section("after", "After signing", [text(lines + list(after))])


def covered_section(link: dict, cover: dict, signatures: dict, keys: dict) -> dict:
    """What the signatures cover, with which key, the hashes of photos and limit sets, and fields with two values."""
    seal = newest(link)
    pairs = _signed_rows(seal, signatures, keys) if seal else []
    pairs += [["Entries now", str(len(cover["entries"]))], ["Photos now", str(len(cover["photos"]))], ["Digest now", cover["digest"]]]
    blocks = [rows(pairs + [["How it is worked out", _HOW]]), _limit_sets(seal, cover), _photos(link), _unsettled(link)]
    return section("covered", "What the signatures cover" if seal else "What this record covers", blocks)


def _signed_rows(seal: dict, signatures: dict, keys: dict) -> list:
    pairs = [["Signed entries", str(seal["entries"])], ["Signed photos", str(seal["photos"])], ["Signed digest", seal["digest"]]]
    if seal["key"]:
        pairs.append(["Key of the device, thumbprint", seal["key"]])
        pairs.append(["Whose key it is", keys.get(seal["key"]) or "Not known where this record was made."])
    pairs.append(["Signature of the device", device_words(seal, signatures)])
    pairs.append(["Entries after signing", str(len(seal["after"]))])
    pairs.append(["Signed entries missing here", str(len(seal["missing"]))])
    return pairs + [["Signed entries that differ", str(len(seal["differs"]))]]


def _limit_sets(seal: dict | None, cover: dict) -> dict | None:
    if seal and seal["limits"]:
        body = [[held["id"], held["sha256"], "Yes" if held["same"] else "No"] for held in seal["limits"]]
        return table(["Limit set, as signed", "SHA-256", "The same here"], "lll", body)
    return None if seal else table(["Limit set", "SHA-256"], "ll", [list(row) for row in cover.get("limits", [])])


def _photos(link: dict) -> dict | None:
    body = [[str(place + 1), link["photos"][place]["sha256"]] for place in range(len(link["photos"]))]
    return table(["Photo", "SHA-256 of its file"], "rl", body)


def _unsettled(link: dict) -> dict | None:
    if not link["conflicts"]:
        return None
    number = count(len(link["conflicts"]), "field has", "fields have")
    return text([number + " two values that nobody has settled; both are shown where they stand."])


def verify_section(link: dict) -> dict:
    """How anyone verifies the record, with Spanbook and by hand."""
    seal = newest(link)
    if not seal:
        line = "Nobody has signed this link, so there is nothing to verify yet. The digest tells which entries this record was made from."
        return section("verify", "How to verify it", [text([line])])
    blocks = [text([_BY_SPANBOOK]), code(["spanbook verify RECORD.pdf"]), text([_IN_PDF])]
    return section("verify", "How to verify it", blocks + (_by_hand(seal) if seal["key"] else []) + [text([_NOT])])


_BY_SPANBOOK = "With Spanbook, without a server and without the installing firm; the app has a page for it too:"
_IN_PDF = (
    "The PDF of this record holds two files: book.json, every covered entry exactly as it was first written, and VERIFY.txt, which "
    "says how to compare them with nothing but Python 3."
)
_NOT = (
    "A seal does not say that what was written was true, nor that a name or a phone's clock was right; it shows that nothing was "
    "changed after signing."
)


def _by_hand(seal: dict) -> list:
    file = "data/seals/revision-" + str(seal["revision"])
    commands = [
        "sha256sum -c manifest-sha256.txt",
        "openssl dgst -sha256 -verify " + file + ".pem \\",
        "-signature " + file + ".sig " + file + ".json",
    ]
    answer = (
        "Every line of the first has to end in OK, and the second has to answer Verified OK. Whose key it is no file can prove by itself: "
        "ask the installing firm for the thumbprint by another way, such as the telephone, and compare it with the one above."
    )
    return [text(["By hand, in the folder of the unpacked handover package:"]), code(commands), text([answer])]


def footer(name: str, link: dict, cover: dict) -> list:
    """[left, right] of every page's foot: the link; revision and the digest's first sixteen digits."""
    seal = newest(link)
    if not seal:
        return [name, "Not signed, digest " + cover["digest"][:16]]
    mark = "Revision " + str(seal["revision"]) + ", digest " + seal["digest"][:16]
    return [name, mark + (", changed after signing" if seal["after"] else "")]
