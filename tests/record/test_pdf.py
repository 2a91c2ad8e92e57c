"""The record as PDF: read back with pypdf, it says what the model says."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import pypdf
import pytest
from PIL import Image

from app import engine, record
from app.record import fitting, layout, photos
from tests.core.test_record import MADE_AT, judged, record_of
from tests.made_checks import all_verdicts
from tests.made_links import FibreLink


def picture(width: int = 640, height: int = 480, kind: str = "JPEG", exif: Any = None) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), (90, 120, 90)).save(out, kind, **({"exif": exif} if exif else {}))
    return out.getvalue()


def no_photo(_: str) -> bytes | None:
    return None


def read(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


def squeezed(text: str) -> str:
    """Text without blanks, breaks and break marks: a column may wrap a cell anywhere."""
    return "".join(text.replace("\u200b", "").replace("\u00ad", "").split())


def text_of(pdf: bytes) -> str:
    return squeezed("\n".join(page.extract_text() for page in read(pdf).pages))


def all_texts(model: dict[str, Any]) -> list[str]:
    found = [model["kind"], model["name"], *(text for pair in model["identity"] for text in pair)]
    for section in model["sections"]:
        found.append(section["title"])
        for block in section["blocks"]:
            found += [text for row in block.get("rows", []) for text in row] + block.get("head", []) + block.get("lines", [])
            found += [item["caption"] for item in block.get("items", []) if "caption" in item]
            found += [item[name] for item in block.get("items", []) if "role" in item for name in ("name", "role", "at")]
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_text_of_the_model_stands_in_the_pdf(paper: str) -> None:
    made = FibreLink(signed=True)
    model = record_of(made.story, made.link)
    said = text_of(record.pdf(model, lambda _: picture(), paper))
    for words in all_texts(model):
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


def test_the_same_record_is_the_same_bytes() -> None:
    made = FibreLink(signed=True)
    model = record_of(made.story, made.link)
    assert record.pdf(model, lambda _: picture()) == record.pdf(model, lambda _: picture())


def test_fonts_are_inside_and_the_file_calls_itself_pdf_a_and_tagged() -> None:
    made = FibreLink()
    reader = read(record.pdf(record_of(made.story, made.link), no_photo))
    fonts = 0
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            descriptor = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            assert any(name in descriptor for name in ("/FontFile", "/FontFile2", "/FontFile3"))
            assert "SourceSans3" in str(descriptor["/FontName"])
            fonts += 1
    assert fonts
    root = reader.trailer["/Root"]
    metadata = root["/Metadata"].get_data().decode()
    assert "<pdfaid:part>3</pdfaid:part>" in metadata and "<pdfaid:conformance>A</pdfaid:conformance>" in metadata
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en"


def test_the_plan_is_printed_at_its_own_scale() -> None:
    """The drawing says 180 mm; it is placed 180 mm wide."""
    made = FibreLink()
    model = record_of(made.story, made.link)
    plan = next(block for section in model["sections"] for block in section["blocks"] if section["id"] == "plan")
    assert layout.svg_width_mm(plan["text"]) == 180.0
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


HOSTILE = [
    '#panic("no") $x$ `raw` *bold* _it_ @ref <label> \\ #read("/etc/passwd")',
    "</svg><script>alert(1)</script>&amp;",
    "\u05e9\u05dc\u05d5\u05dd and \u0645\u0631\u062d\u0628\u0627",
    "\U0001f600 \U0001f468\u200d\U0001f469\u200d\U0001f467 \u4e2d\u6587 \u202egnirts",
    "x" * 900,
    "a long note that goes on " * 150,
    "e\u0301\u0302\u0303\u0304 \ufeff\u200b\u00ad\u2028",
]


@pytest.mark.parametrize("words", HOSTILE)
def test_words_of_any_kind_stay_words(words: str) -> None:
    made = FibreLink(note=words)
    made.story.thing("station", link=made.link, type="other", name=words[:200], order="9", note=words)
    said = text_of(record.pdf(record_of(made.story, made.link), no_photo))
    for plain in ("#panic", "<script>", "xxxxxxxxxx", "alongnotethatgoeson"):
        if plain in squeezed(words):
            assert plain in said


def test_what_no_font_shows_is_written_by_its_code_point() -> None:
    """U+4E95 is a Chinese character; no Chinese face comes with the record."""
    assert fitting.fit({"a": ["\u4e95 \u03a9 \u2264"]}, fitting.fits_with_fallback) == {"a": ["[U+4E95] \u03a9 \u2264"]}
    made = FibreLink(note="Well \u4e95 on site")
    assert "Well[U+4E95]onsite" in text_of(record.pdf(record_of(made.story, made.link), no_photo))


@pytest.mark.parametrize("count", [0, 1, 40])
def test_any_number_of_photos_is_shown_with_captions(count: int) -> None:
    made = FibreLink(photos=count)
    pdf = record.pdf(record_of(made.story, made.link), lambda name: picture(400 + int(name, 16), 300))
    reader = read(pdf)
    drawn = [image for page in reader.pages for image in page.images]
    assert len(drawn) == count
    said = text_of(pdf)
    assert all(f"view{number + 1}.Taken2026-03-14" in said for number in range(count))


def test_photos_that_are_missing_or_unreadable_leave_a_note_and_the_record_still_comes() -> None:
    made = FibreLink(photos=3)
    held = {0: picture(), 1: b"not a picture", 2: None}
    pdf = record.pdf(record_of(made.story, made.link), lambda name: held[int(name, 16)])
    said = text_of(pdf)
    assert "Thepictureisdamagedandcan'tbeshown" in said and "hasnotreachedtheoffice" in said
    assert sum(len(page.images) for page in read(pdf).pages) == 1


def test_photos_are_turned_upright_cut_to_size_and_bare_of_hidden_data() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was held upright
    exif[0x010F] = "SecretMaker"
    data = picture(4000, 3000, "JPEG", exif)
    assert b"SecretMaker" in data
    upright = photos.upright(data)
    assert upright.size == (1200, 1600) and not upright.getexif() and "exif" not in upright.info


def test_phone_formats_are_read() -> None:
    assert photos.upright(picture(64, 48, "HEIF")).size == (64, 48)
    assert photos.upright(picture(64, 48, "PNG")).size == (64, 48)


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xd8\xff", b"%PDF-1.7", b"<svg xmlns='http://www.w3.org/2000/svg'/>", picture()[:300]]
)
def test_what_is_no_photo_is_refused_with_a_sentence(data: bytes) -> None:
    with pytest.raises(ValueError, match="damaged"):
        photos.upright(data)


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


@pytest.mark.parametrize("side", [11_000, 30_000])
def test_a_small_file_that_claims_to_be_huge_is_not_opened(side: int) -> None:
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0))
    data = b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    with pytest.raises(ValueError, match="more than 50 million pixels"):
        photos.upright(data)


def test_sixty_stations_and_a_hundred_readings_keep_every_row() -> None:
    made = FibreLink()
    for number in range(60):
        made.story.thing("station", link=made.link, type="marker", name=f"Post {number}", order=str(20 + number))
    for number in range(100):
        made.story.reading(made.link, "instrument_length", str(100 + number), "m", strand=str(1 + number))
    assert engine.call("open", book=made.story.book, entries=made.story.texts)
    said = text_of(record.pdf(engine.call("record", book=made.story.book, link=made.link, made_at=MADE_AT), no_photo))
    assert all(f"Post{number}" in said for number in range(60)) and all(f"{100 + number}m" in said for number in range(100))
