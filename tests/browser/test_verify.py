"""Proving what was signed on a phone without signal: its own copy, an exported book, a handover package, a record; whole and altered."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from playwright.sync_api import expect

from app import exchange
from app.handover import making
from app.record import made as record_made
from tests.browser.phone import Phone, PhoneMaker
from tests.browser.server import Server
from tests.browser.test_handover import Signed

INTACT = "Intact: what is here is what was signed."
ALTERED = "Altered: what is here is not what was signed."


@pytest.fixture(scope="module")
def signed(tmp_path_factory: pytest.TempPathFactory) -> Signed:
    return Signed(tmp_path_factory.mktemp("signed") / "book")


@pytest.fixture
def phone(phones: PhoneMaker, server: Server, signed: Signed) -> Phone:
    """A phone with the book, without signal."""
    server.change(lambda db, photos: exchange.import_file(db, photos, signed.folder))
    held = phones.fresh(server)
    held.sign_in()
    held.wait_until_kept_offline()
    held.all_sent()
    held.may_lose_network = True
    held.context.set_offline(True)
    return held


def files(server: Server, signed: Signed, folder: Path) -> dict[str, Path]:
    """The same signed link as exported book, as handover package, and as record PDF."""
    paths = {name: folder / name for name in ("book.zip", "package.zip", "record.pdf")}

    def make(db: object, photos: object) -> None:
        exchange.export_book(db, photos, signed.book, paths["book.zip"])
        making.make(db, photos, signed.book, signed.link, paths["package.zip"])
        paths["record.pdf"].write_bytes(record_made.make(db, photos, signed.book, signed.link))

    server.change(make)
    return paths


def check(phone: Phone, path: Path) -> str:
    """Choose a file on the screen; the headline of what it says."""
    phone.page.locator("input[type=file]").set_input_files(path)
    expect(phone.page.get_by_text(path.name)).to_be_visible(timeout=60_000)
    return phone.page.locator("#verify-title").inner_text().strip()


def rezipped(path: Path, target: Path, change: Callable[[str, bytes], bytes]) -> Path:
    """The same zip with some members changed and every checksum of the zip right again."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
    return target


def saved_again(path: Path, target: Path, old: bytes, new: bytes) -> Path:
    """The PDF as another program writes it, keys in its own order, with something changed in the attached entries."""
    with pikepdf.open(path) as pdf:
        stream = pdf.attachments["book.json"].get_file().obj
        stream.write(stream.read_bytes().replace(old, new))
        pdf.save(target)
    return target


def test_what_the_phone_holds_is_proved_without_signal(phone: Phone, signed: Signed) -> None:
    phone.open(f"/book/{signed.book}/link/{signed.link}/verify")
    expect(phone.page.locator("#verify-title")).to_have_text(INTACT, timeout=60_000)
    report = phone.page.locator(".page")
    expect(report).to_contain_text("good")
    expect(report).to_contain_text("2 photos are not here and could not be checked")
    assert phone.page.evaluate("document.documentElement.scrollWidth") <= 390


def test_files_are_proved_and_every_change_in_them_is_found(phone: Phone, server: Server, signed: Signed, tmp_path: Path) -> None:
    made = files(server, signed, tmp_path)
    phone.open("/verify")
    for name in ("book.zip", "package.zip", "record.pdf"):
        assert check(phone, made[name]) == INTACT, name

    photo = rezipped(
        made["book.zip"], tmp_path / "photo.zip", lambda name, data: data[:-9] + b"x" + data[-8:] if "jpg" in name else data
    )
    assert check(phone, photo) == ALTERED
    expect(phone.page.locator(".page")).to_contain_text("photos/")

    entry = rezipped(made["package.zip"], tmp_path / "entry.zip", lambda name, data: data.replace(b"Trench 1", b"Trench 7"))
    assert check(phone, entry) == ALTERED
    expect(phone.page.locator(".page")).to_contain_text("Trench 7")
    expect(phone.page.locator(".page")).to_contain_text("is not the file that manifest-sha256.txt lists")

    again = tmp_path / "again.pdf"
    assert check(phone, saved_again(made["record.pdf"], again, b"Trench 1", b"Trench 1")) == INTACT, "saved by another program"
    assert check(phone, saved_again(made["record.pdf"], again, b"Trench 1", b"Trench 7")) == ALTERED
    expect(phone.page.locator(".page")).to_contain_text("Trench 7")

    text = made["record.pdf"].read_bytes()
    pdf = tmp_path / "cut.pdf"
    pdf.write_bytes(text[: len(text) // 2])
    phone.page.locator("input[type=file]").set_input_files(pdf)
    expect(phone.page.get_by_role("alert")).to_contain_text("can't be read on the phone")

    assert check(phone, made["book.zip"]) == INTACT, "after a fault the next file is looked at as if it were the first"


def test_a_book_whose_signature_was_exchanged_is_altered_and_one_without_a_seal_says_so(
    phone: Phone, signed: Signed, tmp_path: Path
) -> None:
    held = json.loads((signed.folder / "book.json").read_text(encoding="utf-8"))
    entries = [json.loads(text) for text in held["entries"]]
    seal = next(place for place, entry in enumerate(entries) if entry["kind"] == "seal")
    signature = entries[seal]["body"]["signature"]
    held["entries"][seal] = held["entries"][seal].replace(signature, signature[:-1] + ("0" if signature[-1] != "0" else "1"))
    forged = tmp_path / "forged.json"
    forged.write_text(json.dumps(held), encoding="utf-8")
    phone.open("/verify")
    assert check(phone, forged) == ALTERED
    expect(phone.page.locator(".page")).to_contain_text("does not fit")

    del held["entries"][seal]
    bare = tmp_path / "bare.json"
    bare.write_text(json.dumps(held), encoding="utf-8")
    assert check(phone, bare).startswith("No seal")

    phone.page.locator("input[type=file]").set_input_files({"name": "x.txt", "mimeType": "text/plain", "buffer": b'{"a": 1}'})
    expect(phone.page.get_by_role("alert")).to_contain_text("no exported book, handover package or record PDF")
