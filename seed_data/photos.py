"""Photo entries: what the drawn pictures show and where they belong."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import timedelta

from seed_data.drawings import SIZE
from seed_data.writer import Writer


@dataclass
class Album:
    """The pictures at hand, by name, and those that the story has used so far, in its order."""

    pictures: dict[str, bytes]
    used: list[str] = field(default_factory=list)

    def put(self, writer: Writer, name: str, link: str, of: str, caption: str, position: dict[str, str] | None = None) -> None:
        """Write the entry of one picture."""
        jpeg = self.pictures[name]
        self.used.append(name)
        body: dict[str, object] = {
            "link": link,
            "of": of,
            "sha256": hashlib.sha256(jpeg).hexdigest(),
            "type": "image/jpeg",
            "bytes": len(jpeg),
            "width": SIZE[0],
            "height": SIZE[1],
            "caption": caption,
            "taken": (writer.now - timedelta(seconds=9)).isoformat(timespec="milliseconds"),
        }
        writer.write("photo", {**body, "position": position} if position else body)
