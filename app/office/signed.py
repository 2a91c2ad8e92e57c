"""What was signed on a link, revision by revision, newest first: who, with which key, does it hold, and what has changed since."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from app import signing
from app.office.words import grouped


@dataclass(frozen=True)
class Revision:
    """A seal for the page. `state`: "good", "bad" (it does not hold) or "old" (of the form without a device key); texts are final."""

    seal: dict[str, Any]
    state: str
    is_signature_good: bool
    key: str
    key_words: str
    troubles: list[str]
    limits: list[str]
    since: dict[str, list[str]] | None


def revisions(
    views: list[dict[str, Any]], seals: list[dict[str, Any]], since: dict[str, Any], known: dict[str, str]
) -> list[Revision]:
    """Core's views of a link's seals (oldest first) -> the page's, newest first.

    seals: as op `seals` gives them, to check their signatures; since: as op `since_signing` gives it; known: {thumbprint: words}.
    """
    checked = signing.checked(seals)
    found = [_revision(view, checked.get(view["id"]), known) for view in views]
    if found:
        found[-1] = replace(found[-1], since=since)
    return found[::-1]


def _revision(view: dict[str, Any], word: str | None, known: dict[str, str]) -> Revision:
    key, is_good = view["key"], word == "good"
    state = "old" if not key else "good" if is_good else "bad"
    words = known.get(key, "not registered here: ask whose it is") if key else ""
    limits = [one["id"] for one in view["limits"] if not one["same"]]
    return Revision(view, state if view["sound"] else "bad", is_good, grouped(key), words, _troubles(view, is_good), limits, None)


def _troubles(view: dict[str, Any], is_signature_good: bool) -> list[str]:
    """What speaks against a seal, a sentence each."""
    found = []
    if view["key"] and not is_signature_good:
        found.append("The device's signature is bad: this text is not what the key signed.")
    if not view["sound"] and not view["differs"]:
        found.append("Its digest, or the seal before it, is not the one that was signed.")
    if view["differs"]:
        found.append(f"{_count(view['differs'], 'covered entry differs', 'covered entries differ')} from what was signed.")
    if view["missing"]:
        found.append(
            f"{_count(view['missing'], 'covered entry is', 'covered entries are')} not here and may still be on a phone."
        )
    return found


def _count(ids: list[str], one: str, more: str) -> str:
    return f"{len(ids)} {one if len(ids) == 1 else more}"
