"""What a file holds that a seal can be held against."""

from __future__ import annotations

import json
from dataclasses import dataclass, field


class NotReadable(ValueError):
    """A file in which nothing could hold a seal; its text says what was given, what is read, and what to do."""


@dataclass
class Evidence:
    """Entry texts with where each lay, photos by the hash that names them with their actual hash, hashes of the limit sets that came along.

    problems: what is wrong with the file itself, in sentences; notes: what in it no seal covers; photos_expected: could it have carried photos.
    """

    what: str
    texts: list[list[str]] = field(default_factory=list)
    photos: dict[str, dict[str, str]] = field(default_factory=dict)
    limits: dict[str, str] | None = None
    problems: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    photos_expected: bool = True

    def add_entry(self, held: bytes, where: str) -> str | None:
        """An entry in a file of its own -> its id as far as it can be read."""
        try:
            text = held.decode("utf-8")
        except UnicodeDecodeError:
            self.problems.append(f"An entry can't be read, its text is torn or altered: {where}.")
            return None
        self.texts.append([text, where])
        return _read(text, "id")

    def add_photo(self, named: str, sha256: str, where: str) -> None:
        """A photo, or "" for the hash of one that can't be read. Of two with one name the damaged one counts."""
        if named not in self.photos or sha256 != named:
            self.photos[named] = {"sha256": sha256, "where": where}

    def note_strays(self) -> None:
        """Say which photos no entry names."""
        named = {_photo_of(text) for text, _ in self.texts}
        stray = [self.photos[name]["where"] for name in sorted(self.photos) if name not in named]
        self.notes += [f"{where} is a photo that no entry names." for where in stray[:20]]
        if len(stray) > 20:
            self.notes.append(f"{len(stray) - 20} more photos that no entry names.")


def _photo_of(text: str) -> str | None:
    return _read(text, "body", "sha256") if _read(text, "kind") == "photo" else None


def _read(text: str, *path: str) -> str | None:
    """A text inside an entry, or None where the entry is torn or has none there."""
    try:
        found = json.loads(text)
        for name in path:
            found = found[name]
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return found if isinstance(found, str) else None
