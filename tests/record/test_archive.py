"""The record's PDF as an archive keeps it: PDF/A-3 level A and PDF/UA-1 by their own marks, tags, embedded fonts, attached files.

No validator of PDF/A is among the tests' libraries: what it would look at first is looked at here with pikepdf and qpdf.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
from pathlib import Path

import pikepdf
import pytest

from app import engine, record
from app.record import made
from app.store.entries import KeptText
from tests.core.test_record import MADE_AT, record_of
from tests.handover.sealed import seal
from tests.made_links import FibreLink
from tests.record.pdfs import below, bookmarks, elements, fonts, no_photo, opened, picture, tagged

NOTES = [
    ("book.json", b'{"spanbook": 1, "book": "x", "entries": []}', "application/json", "The entries"),
    ("VERIFY.txt", b"how", "text/plain", "How"),
]


@pytest.fixture(scope="module")
def made_pdf() -> bytes:
    link = FibreLink(photos=3, signed=True)
    return record.pdf(record_of(link.story, link.link), lambda _: picture(), attachments=NOTES)


@pytest.fixture
def archive(made_pdf: bytes) -> pikepdf.Pdf:
    return opened(made_pdf)


def test_its_metadata_say_archive_3a_and_accessible_1(archive: pikepdf.Pdf) -> None:
    """ISO 19005-3, 6.6.4: part 3, conformance A; ISO 14289-1, clause 5: part 1."""
    with archive.open_metadata() as metadata:
        assert metadata["pdfaid:part"] == "3"
        assert metadata["pdfaid:conformance"] == "A"
        assert metadata["pdfuaid:part"] == "1"
        assert metadata["dc:title"] == "Commissioning record: Office to slip shed"
    assert archive.Root.ViewerPreferences.DisplayDocTitle


def test_one_output_intent_holds_a_colour_profile(archive: pikepdf.Pdf) -> None:
    (intent,) = archive.Root.OutputIntents
    assert intent.S == "/GTS_PDFA1"
    profile = intent.DestOutputProfile.read_bytes()
    assert profile[36:40] == b"acsp"  # the mark of an ICC profile, ICC.1:2022, 7.2.11


def test_every_font_is_inside(archive: pikepdf.Pdf) -> None:
    held = fonts(archive)
    assert any("SourceSans3" in name for name in held)
    for name, descriptor in held.items():
        assert any(kind in descriptor for kind in ("/FontFile", "/FontFile2", "/FontFile3")), name


def test_its_language_is_named_and_its_content_is_marked(archive: pikepdf.Pdf) -> None:
    assert archive.Root.Lang == "en"
    assert archive.Root.MarkInfo.Marked


def test_headings_tables_and_figures_are_tagged(archive: pikepdf.Pdf) -> None:
    kinds = [str(element.S) for element in elements(archive)]
    assert kinds.count("/H1") == 1
    assert kinds.count("/H2") > 15
    assert kinds.index("/H1") < kinds.index("/H2")
    for table in tagged(archive, "Table"):
        cells = [str(element.S) for element in below(table.K)]
        assert "/TH" in cells and "/TD" in cells
    figures = tagged(archive, "Figure")
    assert len(figures) >= 3 + 2 + 3  # photos, signatures, plan and strip and bars
    for figure in figures:
        assert str(figure.Alt).strip()
    assert "Trench before closing" in " ".join(str(figure.Alt) for figure in figures)


def test_every_section_has_a_bookmark(archive: pikepdf.Pdf) -> None:
    link = FibreLink(photos=3, signed=True)
    titles = [section["title"] for section in record_of(link.story, link.link)["sections"]]
    with archive.open_outline() as outline:
        found = [item.title for item in bookmarks(outline.root)]
    assert found == ["Office to slip shed", *titles]


def test_attached_files_are_the_bytes_that_were_given(archive: pikepdf.Pdf) -> None:
    for name, data, mime, description in NOTES:
        held = archive.attachments[name]
        file = held.get_file()
        assert file.read_bytes() == data
        assert file.mime_type == mime
        assert held.description == description
        assert file.size == len(data)
    assert set(archive.attachments) == {"book.json", "VERIFY.txt"}


def test_attached_files_are_tied_to_the_document_with_their_relationship(archive: pikepdf.Pdf) -> None:
    """ISO 19005-3, 6.8: each embedded file is named in an AF array with AFRelationship."""
    named = {str(one.UF): str(one.AFRelationship) for one in archive.Root.AF}
    assert named == {"book.json": "/Source", "VERIFY.txt": "/Source"}


def _kept(text: str) -> KeptText:
    return KeptText(json.loads(text)["kind"], text, hashlib.sha256(text.encode()).hexdigest())


def test_a_signed_link_has_its_entries_attached_as_they_were_kept() -> None:
    link = FibreLink(photos=0)
    seal(link.story, link.link)
    link.story.add("note", {"link": link.link, "of": None, "text": "After signing"})
    kept = {json.loads(text)["id"]: text for text in link.story.texts}
    with engine.opened(link.story.book, link.story.texts) as core:
        asked = made.asked(core, link.story.book, [_kept(text) for text in link.story.texts], link.link, MADE_AT, {})
    archive = opened(made.pdf(asked, no_photo))
    attached = json.loads(archive.attachments["book.json"].get_file().read_bytes())
    assert attached["spanbook"] == 1 and attached["book"] == link.story.book
    signed = json.loads(json.loads(attached["entries"][-1])["body"]["signed"])
    ids = [json.loads(text)["id"] for text in attached["entries"]]
    assert sorted(ids[:-1]) == [row[0] for row in signed["entries"]]
    for text, name in zip(attached["entries"], ids, strict=True):
        assert text == kept[name]
    digests = {row[0]: row[1] for row in signed["entries"]}
    hashes = {name: hashlib.sha256(text.encode()).hexdigest() for text, name in zip(attached["entries"][:-1], ids, strict=False)}
    assert hashes == digests


def test_qpdf_finds_nothing_wrong(made_pdf: bytes, tmp_path: Path) -> None:
    file = tmp_path / "record.pdf"
    file.write_bytes(made_pdf)
    with pikepdf.open(file) as held:
        assert held.check_pdf_syntax() == []
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_same_record_is_the_same_bytes(paper: str) -> None:
    link = FibreLink(photos=2, signed=True, note="\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627 \U0001f415")
    model = record_of(link.story, link.link)
    first = record.pdf(model, lambda _: picture(), paper, attachments=NOTES)
    assert record.pdf(model, lambda _: picture(), paper, attachments=NOTES) == first
