"""The zip as a bag: any validator takes it, sha256sum takes it, and the same input is the same file."""

from __future__ import annotations

import hashlib
import io
import shutil
import subprocess
import zipfile
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import IO, Any

import bagit
import pytest

from app.handover import bag
from tests.handover.asking import package
from tests.made_hostile import HOSTILE, hostile_link
from tests.making import Story

PARTS: list[Any] = [
    ("data/entries/a.json", b'{"a": 1}'),
    ("data/photos/b.jpg", lambda: io.BytesIO(b"\xff\xd8\xff" * 999)),
    ("data/c.txt", b""),
]
INFO = [
    ["Bagging-Date", "2026-03-15"],
    ["Client", "Two\r\nlines: and a colon"],
    ["Spanbook-Photo-Missing", "a"],
    ["Spanbook-Photo-Missing", "b"],
]
# Names that Windows keeps for devices, whatever follows after a point.
RESERVED = {"con", "prn", "aux", "nul"} | {f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10)}


def unpacked(path: Path, folder: Path) -> Path:
    """The bag's own folder."""
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        archive.extractall(folder)
    [inside] = list(folder.iterdir())
    return inside


def test_a_validator_takes_it_and_reads_what_it_says_of_itself(tmp_path: Path) -> None:
    bag.write(tmp_path / "made.zip", "Office-to-shed", PARTS, INFO)
    held = bagit.Bag(str(unpacked(tmp_path / "made.zip", tmp_path / "out")))
    assert held.validate()
    assert held.is_valid()
    assert held.version_info == (1, 0)
    assert held.encoding.upper() == "UTF-8"
    assert held.info["Client"] == "Two lines: and a colon"
    assert held.info["Spanbook-Photo-Missing"] == ["a", "b"]
    assert held.info["Payload-Oxum"] == f"{8 + 2997}.3"
    assert sorted(held.payload_files()) == ["data/c.txt", "data/entries/a.json", "data/photos/b.jpg"]


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="sha256sum is not on this system")
def test_sha256sum_takes_its_lists(tmp_path: Path) -> None:
    bag.write(tmp_path / "made.zip", "Office-to-shed", PARTS, INFO)
    folder = unpacked(tmp_path / "made.zip", tmp_path / "out")
    for manifest in ("manifest-sha256.txt", "tagmanifest-sha256.txt"):
        done = subprocess.run(["sha256sum", "-c", "--strict", manifest], cwd=folder, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr


def test_a_changed_file_is_found_by_the_validator(tmp_path: Path) -> None:
    bag.write(tmp_path / "made.zip", "Office-to-shed", PARTS, INFO)
    folder = unpacked(tmp_path / "made.zip", tmp_path / "out")
    (folder / "data/entries/a.json").write_bytes(b'{"a": 2}')
    assert not bagit.Bag(str(folder)).is_valid()


def test_the_same_input_is_the_same_file(tmp_path: Path) -> None:
    for name in ("one.zip", "two.zip"):
        bag.write(tmp_path / name, "Office-to-shed", PARTS, INFO)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_nothing_in_the_zip_needs_more_than_plain_zip(tmp_path: Path) -> None:
    """Version 2.0 to unpack, no extra fields (zip64 is one), no streamed sizes, names with / and no drive."""
    bag.write(tmp_path / "made.zip", "Office-to-shed", PARTS, INFO)
    with zipfile.ZipFile(tmp_path / "made.zip") as archive:
        for member in archive.infolist():
            assert member.extract_version == 20
            assert member.extra == b""
            assert not member.flag_bits & 0x08
            assert member.filename.startswith("Office-to-shed/")
            assert not any(sign in member.filename for sign in '\\:*?"<>|')


def test_a_failure_midway_leaves_the_old_file_and_nothing_else(tmp_path: Path) -> None:
    def torn() -> AbstractContextManager[IO[bytes]]:
        raise OSError("disk full")

    (tmp_path / "made.zip").write_bytes(b"old")
    with pytest.raises(OSError, match="disk full"):
        bag.write(tmp_path / "made.zip", "Office-to-shed", [*PARTS, ("data/d.jpg", torn)], INFO)
    assert [path.name for path in tmp_path.iterdir()] == ["made.zip"]
    assert (tmp_path / "made.zip").read_bytes() == b"old"


class Held:
    """A photo of 1 MB that counts how many of its kind are open at once."""

    open_now = 0
    most = 0
    largest_read = 0

    def __init__(self) -> None:
        self.file = io.BytesIO(b"\xff" * 1_000_000)

    def __enter__(self) -> Held:
        Held.open_now += 1
        Held.most = max(Held.most, Held.open_now)
        return self

    def __exit__(self, *_: object) -> None:
        Held.open_now -= 1

    def read(self, size: int) -> bytes:
        Held.largest_read = max(Held.largest_read, size)
        return self.file.read(size)


def test_two_hundred_photos_are_read_one_at_a_time_and_piece_by_piece(tmp_path: Path) -> None:
    opener: Callable[[], Any] = Held
    bag.write(tmp_path / "made.zip", "many", [(f"data/photos/{number}.jpg", opener) for number in range(200)], INFO)
    assert Held.most == 1
    assert Held.largest_read <= 1_000_000
    assert (tmp_path / "made.zip").stat().st_size > 200_000_000


@pytest.mark.parametrize(
    "words", [*HOSTILE, "CON", "nul.txt", "LPT1", ". .", "Σύνδεσμος 1", "مبنى ١", "", "a" * 500, "\u0416" * 300]
)
def test_the_folder_has_a_name_that_every_system_takes(words: str, tmp_path: Path) -> None:
    story = Story()
    near, far = story.site_with_buildings()
    link = story.thing("link", name=words[:200] or "?", medium="copper", near_building=near, far_building=far)
    name = package(story, link)["name"]
    assert name.endswith("-unsigned")
    assert not any(ord(sign) < 32 or sign in '<>:"/\\|?*' for sign in name)
    assert name.split(".")[0].lower() not in RESERVED
    assert name == name.strip(" .")
    assert len(f"{name}.zip".encode()) <= 120
    bag.write(tmp_path / f"{name}.zip", name, PARTS, INFO)
    assert bagit.Bag(str(unpacked(tmp_path / f"{name}.zip", tmp_path / "out"))).is_valid()


def test_letters_of_other_scripts_stay_in_the_name() -> None:
    story = Story()
    near, far = story.site_with_buildings()
    link = story.thing("link", name="Σπίτι – αποθήκη 2", medium="copper", near_building=near, far_building=far)
    assert package(story, link)["name"] == "Σπίτι-αποθήκη-2-unsigned"


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_names_leave_a_valid_bag(words: str, tmp_path: Path) -> None:
    story, link = hostile_link(words)
    answer = package(story, link)
    bag.write(tmp_path / "made.zip", answer["name"], [(name, text.encode()) for name, text in answer["files"]], answer["info"])
    held = bagit.Bag(str(unpacked(tmp_path / "made.zip", tmp_path / "out")))
    assert held.validate()
    [description] = [value for tag, value in answer["info"] if tag == "External-Description"]
    assert "\n" not in description
    assert held.info["External-Description"].split() == description.split()
    text = (Path(held.path) / "data/VERIFY.txt").read_bytes()
    assert hashlib.sha256(text).hexdigest() in (Path(held.path) / "manifest-sha256.txt").read_text()
