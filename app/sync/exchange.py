"""The one exchange: takes what a phone has, gives what it lacks. Repeating it does no harm."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sqlite_utils import Database

from app.config import PULL_PAGE_CHARACTERS, PULL_PAGE_ENTRIES
from app.store import entries, index
from app.store.database import writing
from app.store.entries import CheckedEntry
from app.sync.checking import EntryRefused, check
from app.sync.message import Message

_DIFFERS = (
    "id: an entry with this id and other content is already kept. Nothing was overwritten. "
    "Export the book from this phone and tell the office."
)


@dataclass
class Outcome:
    """What became of the entries that a phone sent."""

    accepted: list[str] = field(default_factory=list)
    refused: list[dict[str, Any]] = field(default_factory=list)

    def refuse(self, place: int, id: str | None, code: str, message: str) -> None:
        """Note a refusal; `place` is the entry's place in what was sent, for entries that show no id."""
        self.refused.append({"id": id, "index": place, "code": code, "message": message})


def exchange(db: Database, message: Message, person: int) -> dict[str, Any]:
    """Keep a message's entries and answer with what came after its cursor. All that is answered as accepted is durable."""
    outcome = _push(db, message, person)
    return {"accepted": outcome.accepted, "refused": outcome.refused} | _pull(db, message.cursor, set(outcome.accepted))


def _push(db: Database, message: Message, person: int) -> Outcome:
    outcome = Outcome()
    checked: list[tuple[int, CheckedEntry]] = []
    for place, text in enumerate(message.entries):
        try:
            checked.append((place, check(text)))
        except EntryRefused as refused:
            outcome.refuse(place, refused.id, refused.code, str(refused))
    if checked:
        with writing(db):
            _keep(db, checked, person, message.device, outcome)
    return outcome


def _keep(db: Database, checked: list[tuple[int, CheckedEntry]], person: int, device: str, outcome: Outcome) -> None:
    before = entries.last_seq(db)
    for place, entry in checked:
        if entries.add(db, entry, person, device):
            outcome.accepted.append(entry.id)
        else:
            outcome.refuse(place, entry.id, "differs", _DIFFERS)
    if entries.last_seq(db) > before:
        for book in sorted({entry.book for _, entry in checked}):
            index.rebuild(db, book)


def _pull(db: Database, cursor: int, just_sent: set[str]) -> dict[str, Any]:
    last = entries.last_seq(db)
    # A cursor from beyond our end means that this server was set back to an older copy: give everything again.
    start = cursor if cursor <= last else 0
    page = entries.after(db, start, PULL_PAGE_ENTRIES, PULL_PAGE_CHARACTERS)
    reached = page[-1].seq if page else start
    lacking = [{"seq": entry.seq, "text": entry.text} for entry in page if entry.id not in just_sent]
    return {"entries": lacking, "cursor": reached, "more": reached < last}
