"""Writes entries as a phone writes them, but with times and ids that are the same at every run."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime, timedelta, timezone
from typing import Any

ZONE = timezone(timedelta(hours=-2))
_SEED = "Three Lanterns"


def made_id(at: datetime, name: str) -> str:
    """A UUID of version 7: the milliseconds of `at`, then digits that `name` decides instead of chance."""
    milliseconds = int(at.timestamp() * 1000)
    rest = hashlib.sha256(f"{_SEED}/{name}".encode()).hexdigest()
    variant = "89ab"[int(rest[3], 16) % 4]
    head = f"{milliseconds:012x}"
    return f"{head[:8]}-{head[8:]}-7{rest[:3]}-{variant}{rest[4:7]}-{rest[7:19]}"


def quantity(number: str, unit: str) -> dict[str, str]:
    """A value as typed, with its unit."""
    return {"value": number, "unit": unit}


class Writer:
    """The book in the making. `day` sets the clock, each entry moves it on; `phone` says whose hand writes."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 2, 9, 4, 0, tzinfo=ZONE)
        self.book = made_id(self.now, "book")
        self.texts: list[str] = []
        self.by, self.device = "", ""
        self._heads: dict[str, str] = {}

    def phone(self, by: str, device: str) -> None:
        """From here on this person writes, on this phone."""
        self.by, self.device = by, device

    def day(self, day: int, clock: str) -> None:
        """Move the clock to a time of a day in March 2026; it never goes back."""
        hour, minute = clock.split(":")
        later = datetime(2026, 3, day, int(hour), int(minute), tzinfo=ZONE)
        if later < self.now:
            raise ValueError(f"the story goes back in time: {later} comes after {self.now}")
        self.now = later

    def at(self) -> str:
        """The clock as an entry writes it."""
        return self.now.isoformat(timespec="milliseconds")

    def write(self, kind: str, body: dict[str, Any], replaces: list[str] | None = None, named: bool = False) -> str:
        """One entry; its id. `named`: the thing is new and is known by this entry's id."""
        entry_id = self.coming()
        self.keep(entry_id, kind, {"subject": entry_id, **body} if named else body, replaces or [])
        return entry_id

    def coming(self) -> str:
        """Move the clock on to the entry that comes next; its id."""
        count = len(self.texts)
        self.now += timedelta(seconds=23 + count * 7 % 31, milliseconds=137 * count % 1000)
        return made_id(self.now, f"entry {count}")

    def keep(self, entry_id: str, kind: str, body: dict[str, Any], replaces: list[str], version: int = 1) -> None:
        """Write the entry whose id `coming` gave."""
        held = {
            "id": entry_id,
            "book": self.book,
            "kind": kind,
            "v": version,
            "body": body,
            "at": self.at(),
            "by": self.by,
            "device": self.device,
            "replaces": replaces,
        }
        self.texts.append(json.dumps(held, ensure_ascii=False, separators=(",", ":")))

    def site(self, **fields: Any) -> None:
        """The site, known by the book's own id."""
        self._heads[self.book] = self.write("site", {"subject": self.book, **fields}, self._seen(self.book))

    def new(self, kind: str, **fields: Any) -> str:
        """A new building, corner, link, station, bond or protector; its id."""
        subject = self.write(kind, fields, named=True)
        self._heads[subject] = subject
        return subject

    def end(self, link: str, side: str, **fields: Any) -> str:
        """One end of a link; its subject."""
        subject = f"{link}:{side}"
        body = {"subject": subject, "link": link, "side": side, **fields}
        self._heads[subject] = self.write("end", body, self._seen(subject))
        return subject

    def change(self, kind: str, subject: str, seen: list[str] | None = None, **fields: Any) -> str:
        """Change some fields of a thing. `seen`: the entries that this phone had seen of it, when that is not all."""
        entry = self.write(kind, {"subject": subject, **fields}, self._seen(subject) if seen is None else seen)
        self._heads[subject] = entry
        return entry

    def _seen(self, subject: str) -> list[str]:
        return [self._heads[subject]] if subject in self._heads else []

    def reading(self, link: str, name: str, number: str | None = None, unit: str = "", **marks: Any) -> str:
        """One reading; its id."""
        body: dict[str, Any] = {"link": link, "quantity": name}
        if number is not None:
            body["value"] = quantity(number, unit)
        return self.write("reading", {**body, **marks})

    def void(self, link: str, reading: str, reason: str) -> None:
        """A reading that doesn't count, and why."""
        self.write("void", {"link": link, "reading": reading, "reason": reason})

    def note(self, link: str | None, of: str | None, text: str) -> None:
        """A note about the site, a link or a place on it."""
        self.write("note", {"link": link, "of": of, "text": text})
