"""What nobody touched is intact, in every kind of file; the report says who signed what when with which key, and what no seal covers."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest

from app import verify
from tests.handover.sealed import AT, jwk
from tests.made_links import FibreLink
from tests.verify.signed import (
    PICTURES,
    Files,
    SignedLink,
    book_files,
    book_json,
    pdf_with,
    phone_export,
    write_bag,
    write_files,
    write_zip,
)

# RFC 7638, section 3, by hand.
THUMBPRINT = hashlib.sha256(json.dumps(dict(sorted(jwk().items())), separators=(",", ":")).encode()).hexdigest()


def only_link(report: dict[str, Any]) -> dict[str, Any]:
    (found,) = report["links"]
    return dict(found)


def made(kind: str, link: SignedLink, package: Files, path: Path) -> Path:
    """The signed link as a file of a kind, untouched."""
    book = book_files(link.book, link.texts, PICTURES)
    if kind == "book zip":
        return write_zip(path / "book.zip", book)
    if kind == "book folder":
        return write_files(path / "book", book)
    if kind == "phone":
        (path / "phone.json").write_bytes(phone_export(link.texts, PICTURES))
        return path / "phone.json"
    if kind == "package zip":
        return write_bag(path / "package.zip", package)
    if kind == "package folder":
        return write_files(path / "package", package)
    if kind == "folder of a package":
        return write_files(path / "unpacked" / "package", package).parent
    (path / "record.pdf").write_bytes(package["data/record.pdf"] if kind == "record" else pdf_with(book["book.json"]))
    return path / "record.pdf"


KINDS = ["book zip", "book folder", "phone", "package zip", "package folder", "folder of a package", "record", "PDF saved anew"]


@pytest.mark.parametrize("kind", KINDS)
def test_an_untouched_file_is_intact(kind: str, link: SignedLink, package: Files, tmp_path: Path) -> None:
    report = verify.report(made(kind, link, package, tmp_path))
    assert (report["intact"], report["problems"]) == (True, [])
    found = only_link(report)
    assert (found["link"], found["name"]) == (link.link, "Office to slip shed")
    assert [(seal["id"], seal["revision"], seal["state"]) for seal in found["seals"]] == [
        (link.first, 1, "intact"),
        (link.second, 2, "intact"),
    ]
    newest = found["seals"][1]
    assert (newest["at"], newest["key"]) == (AT, THUMBPRINT)
    assert [who.split(",")[0] for who in newest["who"]] == ["A. Installer (installer)", "C. Client (client)"]
    assert "good" in dict(newest["lines"])["Device signature"]
    is_pdf = kind in ("record", "PDF saved anew")
    assert ("Photos" in dict(newest["lines"])) == is_pdf
    assert any("pages of the PDF" in line for line in report["uncovered"]) == is_pdf


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "record"])
def test_what_came_after_signing_is_said_to_be_covered_by_no_seal(
    kind: str, link: SignedLink, package: Files, tmp_path: Path
) -> None:
    report = verify.report(made(kind, link, package, tmp_path))
    assert any("came after signing" in line and "Grass is back" in line for line in report["uncovered"])


def test_a_record_holds_nothing_that_came_after_signing(link: SignedLink, package: Files) -> None:
    assert b"Grass is back" not in package["data/record.pdf"]


def test_a_key_that_is_known_is_named(link: SignedLink, tmp_path: Path) -> None:
    path = write_zip(tmp_path / "book.zip", book_files(link.book, link.texts, PICTURES))
    seal = only_link(verify.report(path, {THUMBPRINT: "registered by A. Installer on 2026-03-01"}))["seals"][1]
    assert seal["key_words"] == "registered by A. Installer on 2026-03-01"
    assert only_link(verify.report(path))["seals"][1]["key_words"] == ""


def test_a_book_that_nobody_signed_says_so(tmp_path: Path) -> None:
    (tmp_path / "book.json").write_bytes(book_json(FibreLink().story.book, FibreLink(photos=0).story.texts))
    report = verify.report(tmp_path / "book.json")
    assert (report["intact"], report["links"]) == (False, [])
    assert report["headline"] == "No seal is in it: nobody has signed anything here."


def test_a_seal_without_a_device_key_is_told_as_proof_of_nothing(tmp_path: Path) -> None:
    story = FibreLink(photos=0, signed=True).story
    (tmp_path / "book.json").write_bytes(book_json(story.book, story.texts))
    report = verify.report(tmp_path / "book.json")
    (seal,) = only_link(report)["seals"]
    assert (report["intact"], seal["state"]) == (False, "incomplete")
    assert "No device key signed it" in report["headline"]


def test_a_book_without_its_photos_is_incomplete_and_names_each(link: SignedLink, tmp_path: Path) -> None:
    (tmp_path / "book.json").write_bytes(book_json(link.book, link.texts))
    report = verify.report(tmp_path / "book.json")
    seal = only_link(report)["seals"][1]
    assert (report["intact"], seal["state"]) == (False, "incomplete")
    assert len(seal["missing"]) == len(PICTURES)
    for sha256 in PICTURES:
        assert any(sha256 in line for line in seal["missing"])


def test_photos_and_files_that_belong_to_nothing_are_named_and_change_nothing(link: SignedLink, tmp_path: Path) -> None:
    stray = hashlib.sha256(b"x").hexdigest()
    files = book_files(link.book, link.texts, PICTURES) | {f"photos/{stray}.jpg": b"x", "../../evil.sh": b"rm", "/etc/evil": b"x"}
    inner = tmp_path / "a" / "b"
    inner.mkdir(parents=True)
    report = verify.report(write_zip(inner / "book.zip", files))
    assert report["intact"]
    assert any(stray in line and "no entry names" in line for line in report["uncovered"])
    assert any("../../evil.sh" in line and "not looked at" in line for line in report["uncovered"])
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == ["book.zip"]
