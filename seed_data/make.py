"""Writes the demo book: ``python -m seed_data.make``. The same bytes at every run with the same Pillow."""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

from seed_data.drawings import NAMES, draw
from seed_data.story import tell

FOLDER = Path(__file__).parent / "vineyard"


def book_text(pictures: dict[str, bytes]) -> str:
    """The book's export as JSON text, told with these pictures."""
    writer, album = tell(pictures)
    unused = sorted(set(pictures) - set(album.used))
    if unused:
        raise ValueError(f"drawn but nowhere in the story: {', '.join(unused)}")
    held = {"spanbook": 1, "book": writer.book, "entries": writer.texts}
    return json.dumps(held, ensure_ascii=False, indent=1) + "\n"


def write(folder: Path) -> None:
    """Make pictures and book in a folder. Pictures of an earlier making are taken away; nothing else is touched."""
    pictures = {name: draw(name) for name in NAMES}
    text = book_text(pictures)
    photos = folder / "photos"
    photos.mkdir(parents=True, exist_ok=True)
    for old in photos.glob("*.jpg"):
        old.unlink()
    for jpeg in pictures.values():
        (photos / f"{hashlib.sha256(jpeg).hexdigest()}.jpg").write_bytes(jpeg)
    (folder / "book.json").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write(FOLDER)
    sys.stdout.write(f"Written to {FOLDER}\n")
