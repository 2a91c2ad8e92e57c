"""The handover package made on the phone without signal: a valid bag, and the office's own but for the PDF."""

from __future__ import annotations

import hashlib
import json
import zipfile
from pathlib import Path

import bagit
import pytest
from playwright.sync_api import expect

from app import exchange, handover, signing
from app.handover import making
from app.store.database import Database
from app.store.photos import PhotoFolder
from tests.browser.phone import Phone, PhoneMaker
from tests.browser.server import Server
from tests.conftest import picture
from tests.handover.sealed import seal
from tests.handover.test_bag import unpacked
from tests.made_links import FibreLink

HELD = [picture(shade=10), picture("PNG", shade=20)]
SHA256 = [hashlib.sha256(held).hexdigest() for held in HELD]
HOSTILE = "=1+1; \u202e<b>Ω</b> & \u05d0 \U0001f9f0"


class Signed:
    """A signed link with two photos and a note that a spreadsheet or a page could trip over, in a folder to import."""

    def __init__(self, folder: Path) -> None:
        made = FibreLink(photos=0, note=HOSTILE)
        for number, sha256 in enumerate(SHA256):
            body = {"link": made.link, "of": made.stations[0], "sha256": sha256, "caption": f"Trench {number + 1}"}
            made.story.add("photo", body)
        table = {"units": ["m", "", "dB", "dB", ""], "rows": [["0", "connector", "0,2", "-52", ""], ["170.5", "end", "", "", ""]]}
        marks = {"strand": "1", "wavelength": "1310", "direction": "near_to_far"}
        made.story.add("reading", {"link": made.link, "quantity": "fibre_events", "table": table, **marks})
        self.seal = seal(made.story, made.link)
        self.folder, self.book, self.link = folder, made.story.book, made.link
        (folder / "photos").mkdir(parents=True)
        held = {"spanbook": 1, "book": self.book, "entries": made.story.texts}
        (folder / "book.json").write_text(json.dumps(held), encoding="utf-8")
        for data, sha256, ending in zip(HELD, SHA256, ("jpg", "png"), strict=True):
            (folder / "photos" / f"{sha256}.{ending}").write_bytes(data)


@pytest.fixture
def signed(server: Server, tmp_path: Path) -> Signed:
    made = Signed(tmp_path / "book")
    server.change(lambda db, photos: exchange.import_file(db, photos, made.folder))
    return made


@pytest.fixture
def record(phones: PhoneMaker, server: Server, signed: Signed) -> Phone:
    """A phone on the record's screen, with the book but none of its photos, and without signal."""
    phone = phones.fresh(server, accept_downloads=True)
    phone.sign_in()
    phone.wait_until_kept_offline()
    phone.all_sent()
    phone.may_lose_network = True
    phone.context.set_offline(True)
    phone.open(f"/book/{signed.book}/link/{signed.link}/record")
    return phone


def make(phone: Phone, button: str = "Handover package") -> None:
    phone.press(button)
    phone.said("Office-to-slip-shed-revision-1.zip, ")
    bar = phone.page.get_by_role("button", name="Print or save as PDF").bounding_box()
    button = phone.page.get_by_role("button", name="Save it").bounding_box()
    assert bar and button and button["y"] + button["height"] <= bar["y"]


def saved(phone: Phone, path: Path) -> Path:
    with phone.page.expect_download() as download:
        phone.press("Save it")
    assert download.value.suggested_filename == "Office-to-slip-shed-revision-1.zip"
    download.value.save_as(path)
    return path


def contents(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return {name.partition("/")[2]: archive.read(name) for name in archive.namelist()}


def office_package(db: Database, photos: PhotoFolder, signed: Signed, path: Path, made_at: str) -> handover.Asked:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(making, "now", lambda: made_at)
        return making.make(db, photos, signed.book, signed.link, path)


def test_without_signal_it_is_the_office_s_package_but_for_the_pdf(
    record: Phone, server: Server, signed: Signed, tmp_path: Path
) -> None:
    """The photos come with signal; then the same is made without. What may differ: the PDF, and the three lists that count it."""
    record.context.set_offline(False)
    record.page.reload()
    record.all_sent()
    make(record)
    expect(record.page.get_by_role("alert").filter(has_text="not on this phone")).to_have_count(0)
    record.context.set_offline(True)
    record.page.reload()
    make(record)
    path = saved(record, tmp_path / "phone.zip")
    bag = bagit.Bag(str(unpacked(path, tmp_path / "out")))
    assert bag.validate()
    assert bag.info["Spanbook-Photos-Missing"] == "0"
    made_at = bag.info["Spanbook-Made-At"]
    server.change(lambda db, photos: office_package(db, photos, signed, tmp_path / "office.zip", made_at))
    phone, office = contents(path), contents(tmp_path / "office.zip")
    assert set(office) - set(phone) == {"data/record.pdf"}
    assert set(phone) - set(office) == set()
    different = {name for name in phone if phone[name] != office[name]}
    assert different == {"bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt"}
    listed = [line for line in office["manifest-sha256.txt"].splitlines() if not line.endswith(b"data/record.pdf")]
    assert phone["manifest-sha256.txt"].splitlines() == listed
    told = [
        [line for line in held["bag-info.txt"].splitlines() if not line.startswith(b"Payload-Oxum")] for held in (phone, office)
    ]
    assert told[0] == told[1]


def test_its_seal_is_good_by_the_office_s_own_check(record: Phone, signed: Signed, tmp_path: Path) -> None:
    make(record)
    held = contents(saved(record, tmp_path / "phone.zip"))
    body = json.loads(held[f"data/entries/{signed.seal}.json"])["body"]
    assert signing.is_good(body["key"], body["signature"], held["data/seals/revision-1.json"].decode())
    assert held["data/seals/revision-1.sig"] == signing.der(body["signature"])
    assert held["data/seals/revision-1.pem"] == signing.pem(body["key"])
    for name, sha256 in json.loads(held["data/seals/revision-1.json"])["entries"]:
        assert hashlib.sha256(held[f"data/entries/{name}.json"]).hexdigest() == sha256
    assert "the signature was good" in held["data/VERIFY.txt"].decode()


def test_photos_that_are_not_on_the_phone_are_named_there_and_in_the_package(record: Phone, tmp_path: Path) -> None:
    make(record)
    said = record.page.get_by_role("alert").filter(has_text="2 photos are not on this phone")
    expect(said).to_contain_text("Trench 1")
    expect(said).to_contain_text(SHA256[1][:16])
    bag = bagit.Bag(str(unpacked(saved(record, tmp_path / "phone.zip"), tmp_path / "out")))
    assert bag.validate()
    assert sorted(bag.info["Spanbook-Photo-Missing"]) == sorted(SHA256)
    assert not [name for name in bag.payload_files() if name.startswith("data/photos/")]
    assert all(sha256 in Path(bag.path, "data/VERIFY.txt").read_text(encoding="utf-8") for sha256 in SHA256)


def test_it_is_shared_where_the_phone_shares_files(record: Phone) -> None:
    record.page.evaluate(
        """() => {
          navigator.canShare = ({ files }) => files.length === 1;
          navigator.share = async ({ files }) => { window.shared = files[0].name + " " + files[0].type; };
        }"""
    )
    make(record)
    record.press("Share it")
    assert record.page.evaluate("window.shared") == "Office-to-slip-shed-revision-1.zip application/zip"
