"""Photos in the record: any number, any size, broken or missing; what is shown is small and bare."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import pypdf
import pytest
from PIL import Image

from app import record
from app.record import photos
from tests.core.test_record import record_of
from tests.made_links import FibreLink
from tests.record.pdfs import picture, text_of


def read(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


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
    data = picture(4000, 3000, exif=exif)
    assert b"SecretMaker" in data
    upright = photos.upright(data)
    assert upright.size == (1200, 1600) and not upright.getexif() and "exif" not in upright.info


def test_a_transparent_picture_is_shown_on_paper_and_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    out = io.BytesIO()
    Image.new("RGBA", (40, 30), (0, 0, 0, 0)).save(out, "PNG", exif=exif)
    shown = photos.upright(out.getvalue())
    assert shown.size == (30, 40) and shown.getpixel((5, 5)) == (255, 255, 255)


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


def record_with(data: bytes) -> bytes:
    made = FibreLink(photos=1)
    return record.pdf(record_of(made.story, made.link), lambda _: data)


def sizes(pdf: bytes) -> list[tuple[int, int]]:
    return [image.image.size for page in read(pdf).pages for image in page.images if image.image]


@pytest.mark.parametrize(
    ("width", "height", "shown"), [(1, 1, (1, 1)), (12_000, 9_000, (1600, 1200)), (12_000, 12_000, (1600, 1600))]
)
def test_a_photo_of_any_size_is_shown_scaled(width: int, height: int, shown: tuple[int, int]) -> None:
    """A JPEG is decoded at an eighth to a whole of its size (ITU-T T.81, 8 x 8 blocks), so 144 million pixels fit into memory."""
    assert sizes(record_with(picture(width, height, quality=50))) == [shown]


def test_a_jpeg_beyond_the_limit_is_named_in_its_place() -> None:
    pdf = record_with(picture(20_001, 10_000, quality=10))
    assert sizes(pdf) == []
    assert "Thepicturehasmorethan200millionpixelsandisn'tshown;itsbytesarekept." in text_of(pdf)


def test_progress_counts_every_photo_and_then_the_pages() -> None:
    made, told = FibreLink(photos=3), []

    def progress(done: int, total: int, words: str) -> None:
        told.append((done, total, words))

    record.pdf(record_of(made.story, made.link), lambda _: picture(), progress=progress)
    assert told == [(1, 3, "Photos"), (2, 3, "Photos"), (3, 3, "Photos"), (0, 0, "Setting the pages")]


def test_two_hundred_photos_each_have_their_caption_and_their_hash() -> None:
    made = FibreLink(photos=200)
    pdf = record.pdf(record_of(made.story, made.link), lambda name: picture(60 + int(name, 16), 45))
    assert len(sizes(pdf)) == 200
    said = text_of(pdf)
    for number in range(200):
        assert f"Photo{number + 1}," in said
        assert f"{number:064x}" in said


def test_a_photo_that_came_after_signing_and_one_of_the_site_are_said_not_to_be_covered() -> None:
    made = FibreLink(photos=1, signed=True)
    of_link: dict[str, Any] = {"link": made.link, "of": None, "sha256": "ab" * 32, "type": "image/jpeg", "caption": "Digger"}
    made.story.add("photo", {**of_link, "taken": "2026-04-01T09:00:00.000+02:00"}, at="2026-04-01T09:00:00.000+02:00")
    made.story.add("photo", {**of_link, "link": None, "sha256": "cd" * 32, "caption": "Yard from the road"})
    said = text_of(record.pdf(record_of(made.story, made.link), lambda _: picture()))
    assert "Photo2,Thelink:Digger.Taken2026-04-0109:00(+02:00)byA.Installer.Notundertheseal:itcameafter." in said
    assert "Ofthesite,notundertheseal" in said and "Thesite:Yardfromtheroad.Taken" in said
