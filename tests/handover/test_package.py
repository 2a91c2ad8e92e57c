"""The package of a stored link: everything that was signed is in it byte for byte, and others' programs agree that it was."""

from __future__ import annotations

import hashlib
import json
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import bagit
import pytest
from click.testing import CliRunner
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from sqlite_utils import Database

from app import exchange, signing
from app.cli import main
from app.handover import making
from app.store import keys
from app.store.photos import PhotoFolder
from tests.conftest import picture
from tests.handover.asking import file_of, package
from tests.handover.sealed import jwk, seal
from tests.handover.test_bag import unpacked
from tests.made_links import FibreLink

HELD = [picture(shade=10), picture("PNG", shade=20), picture("HEIF", shade=30)]
SHA256 = [hashlib.sha256(held).hexdigest() for held in HELD]
LATER = "came after signing"


class Signed:
    """A signed link with three photos, one of which nobody sent, and a note that came after signing; in a store."""

    def __init__(self, db: Database, photos: PhotoFolder, folder: Path) -> None:
        made = FibreLink(photos=0)
        for sha256 in SHA256:
            made.story.add("photo", {"link": made.link, "of": made.stations[0], "sha256": sha256, "caption": "Trench"})
        self.seal = seal(made.story, made.link)
        made.story.add("note", {"link": made.link, "text": LATER})
        self.story, self.link, self.book = made.story, made.link, made.story.book
        folder.mkdir()
        held = {"spanbook": 1, "book": self.book, "entries": made.story.texts}
        (folder / "book.json").write_text(json.dumps(held), encoding="utf-8")
        (folder / "photos").mkdir()
        for data, sha256, ending in list(zip(HELD, SHA256, ("jpg", "png", "heic"), strict=True))[:2]:
            (folder / "photos" / f"{sha256}.{ending}").write_bytes(data)
        exchange.import_file(db, photos, folder)

    def signed(self) -> dict[str, Any]:
        return dict(
            json.loads(
                json.loads(next(text for text in self.story.texts if self.seal in text and '"signed"' in text))["body"]["signed"]
            )
        )


@pytest.fixture
def link(db: Database, photos: PhotoFolder, tmp_path: Path) -> Signed:
    return Signed(db, photos, tmp_path / "book")


@pytest.fixture
def bag(db: Database, photos: PhotoFolder, link: Signed, tmp_path: Path) -> Path:
    """The unpacked package."""
    making.make(db, photos, link.book, "Office to slip shed", tmp_path / "made.zip")
    return unpacked(tmp_path / "made.zip", tmp_path / "out")


def manifest(bag: Path) -> dict[str, str]:
    rows = (bag / "manifest-sha256.txt").read_text(encoding="utf-8").splitlines()
    return {name: sha256 for sha256, name in (row.split("  ", 1) for row in rows)}


def commands(bag: Path, starting: str) -> list[str]:
    """The commands that VERIFY.txt gives."""
    text = (bag / "data/VERIFY.txt").read_text(encoding="utf-8")
    return [line.strip() for line in text.splitlines() if line.strip().startswith(starting)]


def run(command: str, bag: Path) -> str:
    words = [sys.executable if word == "python3" else word for word in shlex.split(command)]
    done = subprocess.run(words, cwd=bag, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout.strip()


def test_it_is_a_valid_bag_with_everything_in_it(bag: Path, link: Signed) -> None:
    held = bagit.Bag(str(bag))
    assert held.validate()
    assert held.is_valid()
    assert bag.name == "Office-to-slip-shed-revision-1"
    names = set(held.payload_files())
    assert {f"data/plan.{ending}" for ending in ("geojson", "kml", "gpx")} <= names
    assert {"data/record.pdf", "data/stations.csv", "data/readings.csv", "data/checks.csv", "data/VERIFY.txt"} <= names
    assert {f"data/seals/revision-1.{ending}" for ending in ("json", "sig", "pem")} <= names
    assert (bag / "data/record.pdf").read_bytes().startswith(b"%PDF-")
    for text in link.story.texts:
        assert (bag / f"data/entries/{json.loads(text)['id']}.json").read_bytes() == text.encode()
    assert (bag / f"data/photos/{SHA256[0]}.jpg").read_bytes() == HELD[0]
    assert (bag / f"data/photos/{SHA256[1]}.png").read_bytes() == HELD[1]


def test_the_manifest_and_the_seal_name_the_same_hashes(bag: Path, link: Signed) -> None:
    listed, signed = manifest(bag), link.signed()
    assert signed["entries"]
    for name, sha256 in signed["entries"]:
        assert listed[f"data/entries/{name}.json"] == sha256
    assert signed["limits"]
    for name, sha256 in signed["limits"]:
        assert listed[f"data/limits/{name}.json"] == sha256
    for sha256 in SHA256[:2]:
        assert sha256 in signed["photos"]
        assert sha256 in listed.values()
    assert json.loads((bag / "data/seals/revision-1.json").read_bytes()) == signed


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="sha256sum is not on this system")
def test_sha256sum_as_its_own_text_says(bag: Path) -> None:
    text = (bag / "data/VERIFY.txt").read_text(encoding="utf-8")
    found = re.findall(r"sha256sum -c \S+", text)
    assert len(found) == 2
    for command in found:
        assert "FAILED" not in run(command, bag)


@pytest.mark.skipif(not shutil.which("openssl"), reason="openssl is not on this system")
def test_openssl_as_its_own_text_says(bag: Path) -> None:
    [command] = commands(bag, "openssl")
    assert run(command, bag) == "Verified OK"
    signed = bag / "data/seals/revision-1.json"
    signed.write_bytes(signed.read_bytes().replace(b"A. Installer", b"B. Installer", 1))
    with pytest.raises(AssertionError, match="Verification failure"):
        run(command, bag)


def test_the_cryptography_library_takes_signature_and_key(bag: Path) -> None:
    seals = bag / "data/seals"
    key = serialization.load_pem_public_key((seals / "revision-1.pem").read_bytes())
    assert isinstance(key, ec.EllipticCurvePublicKey)
    key.verify((seals / "revision-1.sig").read_bytes(), (seals / "revision-1.json").read_bytes(), ec.ECDSA(hashes.SHA256()))


def test_python_as_its_own_text_says_names_exactly_what_is_not_as_signed(bag: Path, link: Signed) -> None:
    compare, key = commands(bag, "python3")
    assert run(compare, bag) == f"['photo {SHA256[2]}']"  # nobody sent it
    assert run(key, bag) == "True"
    entry, photo = f"data/entries/{link.signed()['entries'][0][0]}.json", f"data/photos/{SHA256[0]}.jpg"
    for name in (entry, photo):
        (bag / name).write_bytes((bag / name).read_bytes()[:-1] + b"?")
    found = run(compare, bag).strip("[]").split(", ")
    assert sorted(found) == sorted(f"'{name}'" for name in (entry, photo, f"photo {SHA256[2]}"))
    other = ec.derive_private_key(5, ec.SECP256R1())
    (bag / "data/seals/revision-1.pem").write_text(signing.pem(jwk(other)).decode())
    assert run(key, bag) == "False"


def test_a_photo_that_nobody_sent_is_named(bag: Path) -> None:
    held = bagit.Bag(str(bag))
    assert held.info["Spanbook-Photos-Missing"] == "1"
    assert held.info["Spanbook-Photo-Missing"] == SHA256[2]
    text = (bag / "data/VERIFY.txt").read_text(encoding="utf-8")
    assert SHA256[2] in text
    assert SHA256[0] not in text


def test_what_came_after_signing_is_in_it_and_said_not_to_be_covered(bag: Path, link: Signed) -> None:
    later = next(json.loads(text)["id"] for text in link.story.texts if LATER in text)
    assert (bag / f"data/entries/{later}.json").is_file()
    text = (bag / "data/VERIFY.txt").read_text(encoding="utf-8")
    assert text.index("After signing, not covered: 1 entry") < text.index(later)


def test_the_words_say_which_key_and_that_its_signature_is_good(
    db: Database, photos: PhotoFolder, link: Signed, tmp_path: Path
) -> None:
    with_key = making.make(db, photos, link.book, link.link, tmp_path / "made.zip")
    words = dict(with_key.answer["files"])["data/VERIFY.txt"]
    assert signing.thumbprint(jwk()) in words
    assert "the signature was good" in words
    assert with_key.signatures == {link.seal: "good"}
    assert keys.words(db) == {}


def test_a_signature_that_is_not_good_is_said(link: Signed) -> None:
    known = {signing.thumbprint(jwk()): "registered by Ana"}
    words = file_of(package(link.story, link.link, signatures={link.seal: "bad"}, keys=known), "VERIFY.txt")
    assert "NOT GOOD: do not rely on it" in words
    assert "The office knows this key: registered by Ana." in words


def test_a_photo_damaged_in_the_store_counts_as_missing_and_the_bag_is_valid(
    db: Database, photos: PhotoFolder, link: Signed, tmp_path: Path
) -> None:
    photos.path(SHA256[0]).write_bytes(HELD[0][:-1] + b"?")
    asked = making.make(db, photos, link.book, link.link, tmp_path / "made.zip")
    assert asked.missing == sorted([SHA256[0], SHA256[2]])
    assert asked.damaged == [SHA256[0]]
    assert bagit.Bag(str(unpacked(tmp_path / "made.zip", tmp_path / "out"))).is_valid()


def test_made_twice_at_the_same_moment_it_is_the_same_file(
    db: Database, photos: PhotoFolder, link: Signed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(making, "now", lambda: "2026-03-15T10:00:00.000+00:00")
    for name in ("one.zip", "two.zip"):
        making.make(db, photos, link.book, link.link, tmp_path / name)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_progress_counts_the_photos(db: Database, photos: PhotoFolder, link: Signed, tmp_path: Path) -> None:
    said: list[tuple[int, int, str]] = []
    making.make(db, photos, link.book, link.link, tmp_path / "made.zip", progress=lambda *step: said.append(step))
    assert (0, 2, "Photo 1 of 2") in said
    assert (1, 2, "Photo 2 of 2") in said
    assert said[-1][0] == said[-1][1]


def test_two_seals_of_one_revision_keep_apart() -> None:
    """Two phones that did not know of each other both sign revision 1."""
    made = FibreLink(photos=0)
    seal(made.story, made.link)
    first = made.story.texts.pop()
    second = seal(made.story, made.link, name="B. Installer")
    made.story.texts.append(first)
    files = [held["file"] for held in package(made.story, made.link)["seals"]]
    assert len(set(files)) == 2
    assert f"revision-1-{second[-12:]}" in files
    assert "revision-1" in files


def test_a_seal_of_the_older_form_is_explained_and_no_command_is_given_for_it() -> None:
    made = FibreLink(signed=True)
    answer = package(made.story, made.link)
    words = file_of(answer, "VERIFY.txt")
    assert answer["seals"] == []
    assert "older form" in words
    assert "openssl" not in words
    assert f"data/entries/{made.seal_id}.json" in words


def test_a_link_that_nobody_signed_says_so() -> None:
    made = FibreLink()
    answer = package(made.story, made.link)
    assert answer["name"] == "Office-to-slip-shed-unsigned"
    assert "Nobody has signed this link" in file_of(answer, "VERIFY.txt")
    assert not [name for name, _ in answer["files"] if name.startswith("data/seals")]


def test_entries_of_another_link_stay_out(link: Signed) -> None:
    other = link.story.thing("link", name="Other", medium="copper", near_building=link.book, far_building=link.book)
    strange = link.story.add("hologram", {"link": link.link}, v=3)
    note = link.story.add("note", {"link": other, "text": "not yours"})
    answer = package(link.story, link.link)
    assert note not in answer["entries"]
    assert strange in answer["entries"]


# ---- the command


def spanbook(data_folder: Path, *arguments: object) -> Any:
    return CliRunner().invoke(main, ["handover", *map(str, arguments), "--data", str(data_folder)])


def test_the_command_makes_it_by_the_name_of_the_link_and_says_what_is_missing(
    data_folder: Path, link: Signed, tmp_path: Path
) -> None:
    done = spanbook(data_folder, link.book, "Office to slip shed", tmp_path / "made.zip", "--paper", "letter")
    assert done.exit_code == 0, done.output
    assert "2 photos; 1 seal with a device's key" in done.output
    assert f"Photo {SHA256[2]} is not here" in done.output
    assert bagit.Bag(str(unpacked(tmp_path / "made.zip", tmp_path / "out"))).is_valid()


@pytest.mark.parametrize(("book", "name", "words"), [(None, "Shed to moon", "Links: "), ("nowhere", "Any", "Books here: ")])
def test_the_command_says_what_there_is_when_asked_for_what_is_not(
    data_folder: Path, link: Signed, tmp_path: Path, book: str | None, name: str, words: str
) -> None:
    done = spanbook(data_folder, book or link.book, name, tmp_path / "made.zip")
    assert done.exit_code == 2
    assert words in done.output
    assert not (tmp_path / "made.zip").exists()


def test_the_command_refuses_to_guess_between_two_links_of_one_name(
    db: Database, photos: PhotoFolder, data_folder: Path, link: Signed, tmp_path: Path
) -> None:
    twin = link.story.thing("link", name="Office to slip shed", medium="copper", near_building=link.book, far_building=link.book)
    (tmp_path / "book" / "book.json").write_text(json.dumps({"spanbook": 1, "book": link.book, "entries": link.story.texts}))
    exchange.import_file(db, photos, tmp_path / "book")
    done = spanbook(data_folder, link.book, "Office to slip shed", tmp_path / "made.zip")
    assert done.exit_code == 2
    assert link.link in done.output
    assert twin in done.output


def test_the_command_says_when_the_file_can_not_be_written(data_folder: Path, link: Signed, tmp_path: Path) -> None:
    done = spanbook(data_folder, link.book, link.link, tmp_path / "no" / "folder" / "made.zip")
    assert done.exit_code == 2
    assert "can't be written" in done.output
