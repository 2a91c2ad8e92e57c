"""A handover package is taken in as it was handed over, or not at all."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest
from sqlite_utils import Database

from app import exchange, parcel_bag
from app.parcel import ParcelRefused
from app.store import entries
from app.store.photos import PhotoFolder
from tests.verify.signed import PICTURES, Files, SignedLink, flipped, listed_anew, read_zip, write_bag, write_files


@pytest.fixture(scope="module")
def link() -> SignedLink:
    return SignedLink()


@pytest.fixture(scope="module")
def package(link: SignedLink, tmp_path_factory: pytest.TempPathFactory) -> Files:
    return read_zip(link.packed(tmp_path_factory.mktemp("made") / "store"))


@pytest.mark.parametrize("packed", [True, False])
def test_its_entries_and_photos_come_in_byte_for_byte(
    link: SignedLink, package: Files, db: Database, photos: PhotoFolder, tmp_path: Path, packed: bool
) -> None:
    path = write_bag(tmp_path / "p.zip", package) if packed else write_files(tmp_path / "p", package)
    moved = exchange.import_file(db, photos, path)
    assert (moved.books, moved.entries, moved.photos, moved.missing) == ([link.book], len(link.texts), len(PICTURES), [])
    assert sorted(entries.texts_of(db, link.book)) == sorted(link.texts)
    for name, held in PICTURES.items():
        found = photos.find(db, name)
        assert found is not None and found.path.read_bytes() == held
    assert exchange.import_file(db, photos, path).entries == 0


def refused(db: Database, photos: PhotoFolder, path: Path) -> str:
    with pytest.raises(ParcelRefused) as error:
        exchange.import_file(db, photos, path)
    assert entries.books(db) == []
    return str(error.value)


def test_a_changed_missing_or_added_file_is_refused_by_name(
    link: SignedLink, package: Files, db: Database, photos: PhotoFolder, tmp_path: Path
) -> None:
    entry = f"data/entries/{link.between}.json"
    photo = next(name for name in package if next(iter(PICTURES)) in name)
    for number, name in enumerate((entry, photo, "data/checks.csv")):
        changed = write_bag(tmp_path / f"{number}.zip", {**package, name: flipped(package[name], 250)})
        assert f"'{name}' is not the file" in refused(db, photos, changed)
        gone = write_bag(tmp_path / f"gone{number}.zip", {inner: held for inner, held in package.items() if inner != name})
        assert f"'{name}' is listed" in refused(db, photos, gone)
    assert "'data/x' is not listed" in refused(db, photos, write_bag(tmp_path / "x.zip", {**package, "data/x": b""}))
    for name in ("bagit.txt", "manifest-sha256.txt"):
        lost = write_bag(tmp_path / f"{name}.zip", {inner: held for inner, held in package.items() if inner != name})
        assert f"There is no {name}" in refused(db, photos, lost)


def test_lists_made_anew_over_a_changed_photo_or_a_torn_entry_do_not_help(
    link: SignedLink, package: Files, db: Database, photos: PhotoFolder, tmp_path: Path
) -> None:
    name = next(iter(PICTURES))
    photo = next(inner for inner in package if name in inner)
    changed = listed_anew({**package, photo: flipped(package[photo], 250)})
    assert f"The photo {name} is not the one" in refused(db, photos, write_bag(tmp_path / "a.zip", changed))
    entry = f"data/entries/{link.between}.json"
    for number, held in enumerate((package[entry][:-1], b"\xff", json.dumps({}).encode())):
        torn = listed_anew({**package, entry: held})
        refused(db, photos, write_bag(tmp_path / f"{number}.zip", torn))


def test_a_file_outside_of_its_folder_is_refused(package: Files, db: Database, photos: PhotoFolder, tmp_path: Path) -> None:
    for number, name in enumerate(("../evil", "/evil", "other/x")):
        path = write_bag(tmp_path / f"{number}.zip", package)
        with zipfile.ZipFile(path, "a") as archive:
            archive.writestr(name, b"x")
        assert f"'{name}' has no place" in refused(db, photos, path)


def test_what_unpacks_to_more_than_any_package_has_is_refused(
    package: Files, db: Database, photos: PhotoFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_bag(tmp_path / "p.zip", package)
    monkeypatch.setattr(parcel_bag, "_TOTAL_LIMIT_BYTES", 10_000)
    assert "unpacks to more" in refused(db, photos, path)
    monkeypatch.undo()
    monkeypatch.setattr(parcel_bag, "_ENTRY_LIMIT_BYTES", 10)
    assert "larger than" in refused(db, photos, path)
