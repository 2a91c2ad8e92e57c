"""Entries for tests, made as the phone makes them."""

from __future__ import annotations

import itertools
import json
from typing import Any

BOOK = "01990000-0000-7000-8000-000000000001"
_count = itertools.count(16)


def new_id() -> str:
    """An id of the right shape, different at each call."""
    return f"01990000-0000-7000-8000-{next(_count):012x}"


def entry(kind: str, body: dict[str, Any], **more: Any) -> str:
    """An entry's text. more: id, book, v, at, by, device, replaces."""
    held = {
        "id": more.get("id") or new_id(),
        "book": more.get("book", BOOK),
        "kind": kind,
        "v": more.get("v", 1),
        "body": body,
        "at": more.get("at", "2026-03-14T10:22:05.123+01:00"),
        "by": more.get("by", "A. Installer"),
        "device": more.get("device", "phone-1"),
        "replaces": more.get("replaces", []),
    }
    return json.dumps(held, ensure_ascii=False, separators=(",", ":"))


def id_of(text: str) -> str:
    return str(json.loads(text)["id"])


def value(number: str, unit: str) -> dict[str, str]:
    return {"value": number, "unit": unit}


class Story:
    """A book in the making: each call adds an entry and gives the subject or entry id."""

    def __init__(self, book: str = BOOK) -> None:
        self.book = book
        self.texts: list[str] = []

    def add(self, kind: str, body: dict[str, Any], **more: Any) -> str:
        text = entry(kind, body, book=self.book, **more)
        self.texts.append(text)
        return id_of(text)

    def thing(self, kind: str, subject: str | None = None, **fields: Any) -> str:
        subject = subject or (self.book if kind == "site" else new_id())
        replaces = [id_of(text) for text in self.texts if json.loads(text)["body"].get("subject") == subject]
        self.add(kind, {"subject": subject, **fields}, replaces=replaces[-1:])
        return subject

    def reading(self, link: str, quantity: str, number: str | None = None, unit: str | None = None, **marks: Any) -> str:
        body: dict[str, Any] = {"link": link, "quantity": quantity}
        if number is not None:
            body["value"] = value(number, str(unit))
        at = marks.pop("at", "2026-03-14T10:30:00.000+01:00")
        return self.add("reading", {**body, **marks}, at=at)

    def site_with_buildings(self) -> tuple[str, str]:
        self.thing("site", name="Yard", client="Harbour Trust", place="Westquay")
        return self.thing("building", name="Office"), self.thing("building", name="Shed")

    def link(self, medium: str, **fields: Any) -> str:
        near, far = self.site_with_buildings()
        return self.thing("link", name="Office to shed", medium=medium, near_building=near, far_building=far, **fields)
