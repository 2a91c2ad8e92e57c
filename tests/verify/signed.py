"""A link signed twice with photos, as every kind of file that Spanbook hands out, and ways to make such a file anew after tampering."""

from __future__ import annotations

import base64
import hashlib
import io
import json
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pypdf import PdfReader, PdfWriter

from app import exchange
from app.handover import making
from app.store import database
from app.store.photos import PhotoFolder
from tests.conftest import picture
from tests.handover.sealed import seal
from tests.made_links import FibreLink
from tests.making import Story

PICTURES = {
    hashlib.sha256(held).hexdigest(): held for held in (picture(shade=10), picture("PNG", shade=20), picture("WEBP", shade=30))
}
ENDINGS = {b"\xff\xd8": "jpg", b"\x89P": "png", b"RI": "webp"}
Files = dict[str, bytes]


def ending(held: bytes) -> str:
    return ENDINGS[held[:2]]


class SignedLink:
    """The story, with the ids of the two seals; `texts` are all entries, one of which came after signing."""

    def __init__(self) -> None:
        made = FibreLink(photos=0)
        self.story: Story = made.story
        self.link, self.book = made.link, made.story.book
        for number, sha256 in enumerate(PICTURES):
            self.story.add(
                "photo", {"link": self.link, "of": made.stations[0], "sha256": sha256, "caption": f"Trench {number + 1}"}
            )
        self.first = seal(self.story, self.link)
        self.between = self.story.add("note", {"link": self.link, "text": "Lid of H1 replaced"})
        self.second = seal(self.story, self.link)
        self.after = self.story.add("note", {"link": self.link, "text": "Grass is back"})
        self.texts = list(self.story.texts)

    def text_of(self, entry: str) -> str:
        return next(text for text in self.texts if json.loads(text)["id"] == entry)

    def signed(self, entry: str) -> dict[str, Any]:
        return dict(json.loads(json.loads(self.text_of(entry))["body"]["signed"]))

    def packed(self, folder: Path) -> Path:
        """The real handover package, with the real record in it, made of a store."""
        folder.mkdir()
        database.prepare(folder / "spanbook.db")
        db = database.connect(folder / "spanbook.db")
        write_files(folder / "book", book_files(self.book, self.texts, PICTURES))
        exchange.import_file(db, PhotoFolder(folder / "photos"), folder / "book")
        making.make(db, PhotoFolder(folder / "photos"), self.book, self.link, folder / "made.zip")
        db.close()
        return folder / "made.zip"


def book_json(book: str, texts: Iterable[Any]) -> bytes:
    return json.dumps({"spanbook": 1, "book": book, "entries": list(texts)}, ensure_ascii=False, indent=1).encode()


def book_files(book: str, texts: Iterable[Any], photos: dict[str, bytes]) -> Files:
    files = {"book.json": book_json(book, texts)}
    return files | {f"photos/{name}.{ending(PICTURES[name])}": held for name, held in photos.items()}


def phone_export(texts: Iterable[str], photos: dict[str, bytes]) -> bytes:
    held = [{"sha256": name, "base64": base64.b64encode(photo).decode()} for name, photo in photos.items()]
    return json.dumps({"format": "spanbook-phone-export", "v": 1, "entries": list(texts), "photos": held}).encode()


def write_zip(path: Path, files: Files) -> Path:
    """A zip whose own checksums are right, whatever was done to what is in it."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, held in files.items():
            archive.writestr(name, held)
    return path


def write_files(folder: Path, files: Files) -> Path:
    for name, held in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(held)
    return folder


def read_zip(path: Path) -> Files:
    """The files of a package, by their path inside its folder."""
    with zipfile.ZipFile(path) as archive:
        return {name.split("/", 1)[1]: archive.read(name) for name in archive.namelist()}


def listed_anew(files: Files) -> Files:
    """The package with lists of hashes that fit what is in it, as somebody would make them who hides what he did."""
    kept = {name: held for name, held in files.items() if "manifest" not in name}
    rows = sorted((name, hashlib.sha256(held).hexdigest()) for name, held in kept.items())
    payload = "".join(f"{sha256}  {name}\n" for name, sha256 in rows if name.startswith("data/")).encode()
    tags = [row for row in rows if not row[0].startswith("data/")] + [
        ("manifest-sha256.txt", hashlib.sha256(payload).hexdigest())
    ]
    listed = "".join(f"{sha256}  {name}\n" for name, sha256 in tags).encode()
    return {**kept, "manifest-sha256.txt": payload, "tagmanifest-sha256.txt": listed}


def write_bag(path: Path, files: Files) -> Path:
    return write_zip(path, {f"package/{name}": held for name, held in files.items()})


def pdf_with(book: bytes | None, pages: bytes | None = None) -> bytes:
    """A PDF with book.json attached: that of a real record with another book in it, or a bare page."""
    writer = PdfWriter()
    if pages is None:
        writer.add_blank_page(100, 100)
    else:
        for page in PdfReader(io.BytesIO(pages)).pages:
            writer.add_page(page)
    if book is not None:
        writer.add_attachment("book.json", book)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def flipped(held: bytes, bit: int) -> bytes:
    """The bytes with one bit turned over."""
    other = bytearray(held)
    other[bit // 8 % len(held)] ^= 1 << bit % 8
    return bytes(other)


def words(report: dict[str, Any]) -> str:
    """Everything that a report says is wrong."""
    seals = [seal for link in report["links"] for seal in link["seals"]]
    return "\n".join([*report["problems"], *(line for seal in seals for line in seal["differs"] + seal["missing"])])
