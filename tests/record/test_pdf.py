"""The record as PDF: read back with pypdf, it says what the model says."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pypdf
import pypdfium2
import pytest

from app import engine, record
from app.record import drawings
from tests.core.test_record import MADE_AT, judged, record_of
from tests.made_checks import all_verdicts
from tests.made_links import FibreLink
from tests.record import pdfs
from tests.record.pdfs import no_photo, picture, squeezed, text_of


def read(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


@cache
def signed_record(paper: str) -> tuple[dict[str, Any], bytes]:
    made = FibreLink(signed=True)
    model = record_of(made.story, made.link)
    return model, record.pdf(model, lambda _: picture(), paper)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_text_of_the_model_stands_in_the_pdf_in_its_order(paper: str) -> None:
    """A cell that wraps beside another is drawn line by line, so each text is looked for from the start of its section on."""
    model, pdf = signed_record(paper)
    said, below_cover, place = text_of(pdf), text_of(pdf, 1), 0
    for section in model["sections"][1:]:
        place = below_cover.index(squeezed(section["title"]), place)
        for words in pdfs.texts_of(section):
            for line in words.split("\n"):
                assert squeezed(line) in below_cover[place:], line
    for words in pdfs.all_texts(model):
        for line in words.split("\n"):
            assert squeezed(line) in said, line


def test_margins_on_paper_are_the_texts_of_the_checks() -> None:
    checks = all_verdicts()
    said = text_of(record.pdf(judged(checks), no_photo))
    for check in checks:
        for part in ("measured", "limit", "margin"):
            if check[part]:
                assert squeezed(check[part]["text"] + check[part]["unit"]) in said


def test_a4_and_letter_are_as_large_as_they_are_called() -> None:
    """210 x 297 mm and 8.5 x 11 in, in points of 1/72 in."""
    made = FibreLink()
    model = record_of(made.story, made.link)
    for paper, width, height in (("a4", 210 / 25.4 * 72, 297 / 25.4 * 72), ("letter", 612, 792)):
        box = read(record.pdf(model, no_photo, paper)).pages[0].mediabox
        assert float(box.width) == pytest.approx(width, abs=0.1) and float(box.height) == pytest.approx(height, abs=0.1)


def test_an_unknown_paper_is_refused_with_what_is_allowed() -> None:
    made = FibreLink()
    with pytest.raises(ValueError, match="'a5' was given; allowed is a4 or letter"):
        record.pdf(record_of(made.story, made.link), no_photo, "a5")


def test_the_plan_is_printed_at_its_own_scale() -> None:
    """The drawing says 180 mm; it is placed 180 mm wide."""
    made = FibreLink()
    model = record_of(made.story, made.link)
    plan = next(block for section in model["sections"] for block in section["blocks"] if section["id"] == "plan")
    assert drawings.width_mm(plan["text"]) == 180.0
    reader = read(record.pdf(model, no_photo))
    boxes = [box_of(element) for element in figures(reader.trailer["/Root"]["/StructTreeRoot"])]
    widths_mm = [(float(box[2]) - float(box[0])) / 72 * 25.4 for box in boxes]
    assert widths_mm[0] == pytest.approx(180.0, abs=0.1)


def box_of(figure: Any) -> Any:
    """The rectangle that a figure's tag says it fills."""
    held = figure["/A"].get_object()
    attributes = held if isinstance(held, pypdf.generic.ArrayObject) else [held]
    return next(one.get_object()["/BBox"] for one in attributes if "/BBox" in one.get_object())


def figures(node: Any) -> list[Any]:
    """Every figure in the tag tree, in reading order."""
    node = node.get_object()
    if isinstance(node, pypdf.generic.ArrayObject):
        return [found for kid in node for found in figures(kid)]
    if not isinstance(node, pypdf.generic.DictionaryObject):
        return []
    own = [node] if node.get("/S") == "/Figure" else []
    return own + (figures(node["/K"]) if "/K" in node else [])


def test_sixty_stations_and_a_hundred_readings_keep_every_row() -> None:
    made = FibreLink()
    for number in range(60):
        made.story.thing("station", link=made.link, type="marker", name=f"Post {number}", order=str(20 + number))
    for number in range(100):
        made.story.reading(made.link, "instrument_length", str(100 + number), "m", strand=str(1 + number))
    assert engine.call("open", book=made.story.book, entries=made.story.texts)
    said = text_of(record.pdf(engine.call("record", book=made.story.book, link=made.link, made_at=MADE_AT), no_photo))
    assert all(f"Post{number}" in said for number in range(60)) and all(f"{100 + number}m" in said for number in range(100))
    assert said.count("ReadingValue") >= 3  # the head of a table stands on each of its pages


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_page_says_link_revision_digest_and_its_number(paper: str) -> None:
    model, pdf = signed_record(paper)
    pages = read(pdf).pages
    for number, page in enumerate(pages, 1):
        words = squeezed(page.extract_text())
        assert squeezed("".join(model["footer"]) + f"Page {number} of {len(pages)}") in words


def test_no_table_begins_at_a_pages_foot_with_its_head_alone() -> None:
    """Sixty tables, each after more lines than the one before: whichever page a head stands on, two rows do too."""
    made = FibreLink()
    model = record_of(made.story, made.link)
    tables = []
    for number in range(60):
        body = [[f"Row{number}-{place}\nsecond line", "x"] for place in range(6)]
        table = {"form": "table", "head": [f"Head{number}-", "Words"], "align": ["l", "l"], "rows": body}
        lines = {"form": "text", "lines": ["A line"] * (1 + number % 7)}
        tables.append({"id": f"part-{number}", "title": f"Part {number}", "blocks": [lines, table]})
    model["sections"] = [model["sections"][0], *tables]
    pages = [squeezed(page.get_textpage().get_text_bounded()) for page in pypdfium2.PdfDocument(record.pdf(model, no_photo))]
    for number in range(60):
        first = next(page for page in pages[1:] if f"Head{number}-Words" in page)
        assert f"Row{number}-0" in first and f"Row{number}-1" in first
