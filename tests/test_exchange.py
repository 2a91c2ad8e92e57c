"""A book to a file and back; and what is refused whole."""

from __future__ import annotations

import base64
import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlite_utils import Database

from app import exchange
from app.parcel import ParcelRefused
from app.store import database, entries, index, people
from app.store.photos import PhotoFolder
from tests.conftest import picture
from tests.making import BOOK, Story, entry

HELD = [picture(shade=10), picture("HEIF", shade=20)]
SHA256 = [hashlib.sha256(held).hexdigest() for held in HELD]


def story_with_photos() -> Story:
    story = Story()
    story.link("fibre")
    for sha256 in SHA256:
        story.add("photo", {"link": None, "of": BOOK, "sha256": sha256, "caption": "Ω trench"})
    story.add("hologram", {"newer": True}, v=3)
    return story


@pytest.fixture
def story() -> Story:
    return story_with_photos()


@pytest.fixture
def folder_of(story: Story, tmp_path: Path) -> Path:
    """The book as a folder."""
    folder = tmp_path / "book"
    (folder / "photos").mkdir(parents=True)
    (folder / "book.json").write_text(json.dumps({"spanbook": 1, "book": BOOK, "entries": story.texts}), encoding="utf-8")
    for held, sha256, ending in zip(HELD, SHA256, ("jpg", "heic"), strict=True):
        (folder / "photos" / f"{sha256}.{ending}").write_bytes(held)
    return folder


@pytest.fixture
def exported(db: Database, photos: PhotoFolder, folder_of: Path, tmp_path: Path) -> Path:
    exchange.import_file(db, photos, folder_of)
    exchange.export_book(db, photos, BOOK, tmp_path / "book.zip")
    return tmp_path / "book.zip"


@pytest.fixture
def elsewhere(tmp_path: Path) -> tuple[Database, PhotoFolder]:
    """A second, empty store."""
    database.prepare(tmp_path / "elsewhere" / "spanbook.db")
    return database.connect(tmp_path / "elsewhere" / "spanbook.db"), PhotoFolder(tmp_path / "elsewhere" / "photos")


def test_a_book_goes_out_and_comes_in_elsewhere_and_out_again_as_the_same_bytes(
    exported: Path, elsewhere: tuple[Database, PhotoFolder], tmp_path: Path, story: Story
) -> None:
    db, photos = elsewhere
    moved = exchange.import_file(db, photos, exported)
    assert (moved.books, moved.entries, moved.photos, moved.missing) == ([BOOK], len(story.texts), 2, [])
    assert entries.texts_of(db, BOOK) == story.texts
    for held, sha256 in zip(HELD, SHA256, strict=True):
        found = photos.find(db, sha256)
        assert found and found.path.read_bytes() == held
    assert index.find(db, "harbour", 0, 5)[0] == 1
    exchange.export_book(db, photos, BOOK, tmp_path / "again.zip")
    assert (tmp_path / "again.zip").read_bytes() == exported.read_bytes()


def test_the_zip_holds_what_it_says(exported: Path, story: Story) -> None:
    with zipfile.ZipFile(exported) as archive:
        assert archive.namelist() == [
            "book.json",
            *sorted(f"photos/{SHA256[n]}.{ending}" for n, ending in enumerate(("jpg", "heic"))),
        ]
        assert json.loads(archive.read("book.json")) == {"spanbook": 1, "book": BOOK, "entries": story.texts}


def test_importing_twice_is_the_same_as_once(db: Database, photos: PhotoFolder, exported: Path) -> None:
    moved = exchange.import_file(db, photos, exported)
    assert (moved.entries, moved.photos) == (0, 0)


def test_a_photo_that_nobody_sent_yet_is_reported_and_stops_nothing(
    db: Database, photos: PhotoFolder, folder_of: Path, tmp_path: Path
) -> None:
    next(iter((folder_of / "photos").glob("*.heic"))).unlink()
    assert exchange.import_file(db, photos, folder_of).missing == [SHA256[1]]
    assert exchange.export_book(db, photos, BOOK, tmp_path / "out.zip").missing == [SHA256[1]]


def test_a_phone_s_own_export_is_taken_in(db: Database, photos: PhotoFolder, story: Story, tmp_path: Path) -> None:
    held = [
        {"sha256": sha256, "type": "image/jpeg", "base64": base64.b64encode(photo).decode()}
        for photo, sha256 in zip(HELD, SHA256, strict=True)
    ]
    other = Story("01990000-0000-7000-9000-000000000002")
    other.site_with_buildings()
    path = tmp_path / "phone.json"
    path.write_text(json.dumps({"format": "spanbook-phone-export", "v": 1, "entries": story.texts + other.texts, "photos": held}))
    moved = exchange.import_file(db, photos, path)
    assert (moved.books, moved.photos) == ([BOOK, other.book], 2)
    assert entries.texts_of(db, other.book) == other.texts


def zip_of(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, held in files.items():
            archive.writestr(name, held)
    return out.getvalue()


def book_json(*texts: object, **more: object) -> bytes:
    return json.dumps({"spanbook": 1, "book": BOOK, "entries": list(texts), **more}).encode()


def photo_entry() -> str:
    return entry("photo", {"link": None, "of": BOOK, "sha256": SHA256[0], "caption": ""})


def note(**more: object) -> str:
    return entry("note", {"link": None, "of": BOOK, "text": "x"}, **more)


BAD: dict[str, tuple[Callable[[], bytes], str]] = {
    "no json": (lambda: b"hello", "isn't whole JSON"),
    "torn json": (lambda: book_json(note())[:-5], "isn't whole JSON"),
    "other json": (lambda: b'{"a": 1}', "no exported book"),
    "a newer form": (lambda: book_json(note(), spanbook=2), "another form"),
    "no entry": (lambda: book_json(), "no entry"),
    "a damaged entry": (lambda: book_json(note(), "{"), "Entry 2 of 2 is damaged"),
    "a number for an entry": (lambda: book_json(7), "Entry 1 of 1 is damaged"),
    "an entry of another book": (lambda: book_json(note(book="01990000-0000-7000-9000-000000000009")), "belongs to another book"),
    "a torn zip": (lambda: zip_of({"book.json": book_json(note())})[:-30], "torn"),
    "a zip without a book": (lambda: zip_of({f"photos/{SHA256[0]}.jpg": HELD[0]}), "no book.json"),
    "a path that climbs": (lambda: zip_of({"book.json": book_json(note()), "../../evil": b"x"}), "has no place"),
    "an absolute path": (lambda: zip_of({"book.json": book_json(note()), "/tmp/evil": b"x"}), "has no place"),
    "a photo path that climbs": (lambda: zip_of({"book.json": book_json(note()), "photos/../x.jpg": b"x"}), "has no place"),
    "a photo that differs from its name": (
        lambda: zip_of({"book.json": book_json(photo_entry()), f"photos/{SHA256[0]}.jpg": HELD[1]}),
        "bytes don't match",
    ),
    "a photo that no entry names": (
        lambda: zip_of({"book.json": book_json(note()), f"photos/{SHA256[0]}.jpg": HELD[0]}),
        "No entry names",
    ),
}


@pytest.mark.parametrize("case", BAD)
def test_a_file_with_anything_wrong_is_refused_whole(db: Database, photos: PhotoFolder, tmp_path: Path, case: str) -> None:
    make, says = BAD[case]
    path = tmp_path / "file"
    path.write_bytes(make())
    with pytest.raises(ParcelRefused, match=says):
        exchange.import_file(db, photos, path)
    assert entries.last_seq(db) == 0
    assert [file for file in photos.folder.rglob("*") if file.is_file()] == []


def test_one_flipped_byte_anywhere_in_a_zip_is_never_taken_in_altered(
    exported: Path, elsewhere: tuple[Database, PhotoFolder], tmp_path: Path, story: Story
) -> None:
    """Either it is refused and nothing is there, or (a byte that carries nothing) the book is there exactly."""
    db, photos = elsewhere
    whole = exported.read_bytes()
    refused = 0
    directory = whole.index(b"PK\x01\x02")  # the zip's own list, every byte of it, and a sample of the rest
    for place in (*range(0, directory, max(1, directory // 100)), *range(directory, len(whole))):
        path = tmp_path / "flipped.zip"
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        try:
            exchange.import_file(db, photos, path)
        except ParcelRefused:
            refused += 1
    assert refused > 100
    assert entries.texts_of(db, BOOK) in ([], story.texts)


@pytest.mark.parametrize("packing", [zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_torn_zip_is_refused_in_words_however_it_was_packed(
    elsewhere: tuple[Database, PhotoFolder], tmp_path: Path, packing: int
) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing) as archive:
        archive.writestr("book.json", book_json(note()))
    whole = out.getvalue()
    middle = whole.index(b"book.json") + 60
    (tmp_path / "book.zip").write_bytes(whole[:middle] + b"\x00\xff\x55" + whole[middle + 3 :])
    with pytest.raises(ParcelRefused, match="torn"):
        exchange.import_file(*elsewhere, tmp_path / "book.zip")


def test_an_entry_that_is_kept_with_other_bytes_stops_the_whole_import(db: Database, photos: PhotoFolder, tmp_path: Path) -> None:
    first, changed = note(id="01990000-0000-7000-8000-0000000000aa"), note(id="01990000-0000-7000-8000-0000000000aa", by="Other")
    (tmp_path / "one.json").write_bytes(book_json(first))
    exchange.import_file(db, photos, tmp_path / "one.json")
    (tmp_path / "two.zip").write_bytes(
        zip_of({"book.json": book_json(photo_entry(), changed), f"photos/{SHA256[0]}.jpg": HELD[0]})
    )
    with pytest.raises(ParcelRefused, match="other content"):
        exchange.import_file(db, photos, tmp_path / "two.zip")
    assert entries.texts_of(db, BOOK) == [first]
    assert photos.find(db, SHA256[0]) is None


def test_a_failure_midway_leaves_neither_entries_nor_files(
    db: Database, photos: PhotoFolder, folder_of: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> bool:
        raise OSError("disk full")

    monkeypatch.setattr(index, "rebuild", fail)
    with pytest.raises(OSError, match="disk full"):
        exchange.import_file(db, photos, folder_of)
    assert entries.last_seq(db) == 0
    assert db.execute("SELECT count(*) FROM photos").fetchone()[0] == 0
    assert [file for file in photos.folder.rglob("*") if file.is_file()] == []


def test_an_export_that_fails_leaves_the_old_file(
    db: Database, photos: PhotoFolder, exported: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = exported.read_bytes()
    monkeypatch.setattr(exchange, "_member", lambda *_: (_ for _ in ()).throw(OSError("disk full")))
    with pytest.raises(OSError, match="disk full"):
        exchange.export_book(db, photos, BOOK, exported)
    assert exported.read_bytes() == before
    assert [path.name for path in exported.parent.glob(".*.zip*")] == []


def test_people_never_travel_with_a_book(exported: Path, elsewhere: tuple[Database, PhotoFolder]) -> None:
    exchange.import_file(*elsewhere, exported)
    assert people.everyone(elsewhere[0]) == []
