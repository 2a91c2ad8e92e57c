"""What stands above a client's record: is it as it was signed, by whom, with which key, and what isn't shown."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from app.office.words import grouped

if TYPE_CHECKING:
    from app.record.made import Signed

_GOOD = "Good: the signed list of entries, photos and verdicts is exactly what this key signed."
_BAD = "Not good: the list of entries, photos and verdicts is not what this key signed. Don't rely on this page; ask who made the record."
_KEYLESS = "No device key signed this revision, so nothing proves its list of entries and photos."
_MISSING = ("signed entry is missing here", "signed entries are missing here")
_TORN = ("signature kept with this site is damaged", "signatures kept with this site are damaged")
_HEADLINES = {
    "whole": "Signed, and here as it was signed",
    "keyless": "As its list says, but nothing proves the list",
    "incomplete": "Signed, but not all of it is here",
    "broken": "This is not the record as it was signed",
}
_NOT_SHOWN = (
    "What was recorded after signing.",
    "Other links of the site, and notes and photos of the site as a whole.",
    "Whether what was written was true, or a name or a phone's clock right: a seal shows that nothing was changed after signing.",
    "Whose key it is. Ask the installing firm for its thumbprint by another way, such as the telephone, and compare.",
)


@dataclass(frozen=True)
class Standing:
    """How a record stands.

    `state`: "whole", "keyless" (of the form without a device key, which anyone could have written), "incomplete" (some of it is not here) or
    "broken" (it is not as it was signed); `headline` for people; `rows` of label and text; `troubles` that speak against it; `verdicts` that
    this version of the program judges otherwise; `not_shown`.
    """

    state: str
    headline: str
    rows: list[tuple[str, str]]
    troubles: list[str] = field(default_factory=list)
    verdicts: list[str] = field(default_factory=list)
    not_shown: tuple[str, ...] = _NOT_SHOWN


def standing(signed: Signed, known: dict[str, str], photos_missing: int, photos_altered: int) -> Standing:
    """How a signed record stands. known: {thumbprint: words} of registered keys; photos: signed ones that aren't here, or not as signed."""
    held = signed.covered
    altered = _sentences(
        (len(held.altered), "signed entry is altered", "signed entries are altered", "What they say now is not shown."),
        (photos_altered, "signed photo is altered", "signed photos are altered", "What they show now is not shown."),
        (held.torn_seals, *_TORN, "There may be a newer one."),
    )
    lacking = _sentences(
        (len(held.missing), *_MISSING, "The record below lacks what they say."),
        (photos_missing, "signed photo is not here", "signed photos are not here", "They may not have been sent yet."),
    )
    if signed.asked is None or signed.asked.seal is None:
        return Standing("broken", "This record can't be shown", [("Revision", str(held.revision))], altered + lacking)
    seal, word = signed.asked.seal, signed.asked.signatures.get(signed.asked.seal["id"])
    altered, unproved = _against(seal, word) + altered, [] if seal["key"] else [_KEYLESS]
    state = "broken" if altered else "incomplete" if lacking else "keyless" if unproved else "whole"
    return Standing(state, _HEADLINES[state], _rows(seal, known, word), altered + lacking + unproved, signed.asked.verdicts)


def _against(seal: dict[str, Any], word: str | None) -> list[str]:
    """What speaks against the seal itself."""
    bad = [_BAD] if seal["key"] and word != "good" else []
    return bad if seal["sound"] else ["The digest that was signed does not match its own list: this seal does not hold.", *bad]


def _rows(seal: dict[str, Any], known: dict[str, str], word: str | None) -> list[tuple[str, str]]:
    rows = [("Revision", str(seal["revision"]))]
    # The first that an engineer looks for, and on a phone the record's own section is screens further down.
    rows += [("Verdict", seal["summary"]["words"])] if seal.get("summary") else []
    rows += [
        (str(one.get("role") or "signed by").capitalize(), f"{one['name']}, {_moment(one.get('at') or seal['at'])}")
        for one in seal["signatures"]
    ]
    rows.append(("Covers", f"{_count(seal['entries'], 'entry', 'entries')}, {_count(seal['photos'], 'photo', 'photos')}"))
    key = seal.get("key")
    if not key:
        return [*rows, ("Device signature", "None")]
    rows.append(("Device key", grouped(key)))
    rows.append(("Key known here", known.get(key, "No: it is not registered with this office.")))
    return [*rows, ("Device signature", _GOOD if word == "good" else _BAD)]


def _sentences(*counted: tuple[int, str, str, str]) -> list[str]:
    return [f"{number} {one if number == 1 else more}. {then}" for number, one, more, then in counted if number]


def _moment(at: str) -> str:
    return at[:16].replace("T", " ")


def _count(number: int, one: str, more: str) -> str:
    return f"{number} {one if number == 1 else more}"
