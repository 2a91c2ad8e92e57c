"""Labels from the office: pages of the right size, codes that a reader reads back at a printer's own resolution, text beside each."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ElementTree
import zipfile
from typing import Any

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from app import engine, labels
from tests.conftest import Phone
from tests.made_links import FibreLink
from tests.making import BOOK, value
from tests.office.test_pages import words

MM_PER_POINT = 25.4 / 72
HOSTILE = '<b>Mill</b> #eval("1") \u05e9\u05dc\u05d5\u05dd \U0001f600 ' + "x" * 260
TAPES = {"tape-12": 12, "tape-18": 18, "tape-24": 24}


@pytest.fixture
def sent(phone: Phone) -> FibreLink:
    made = FibreLink(photos=0)
    assert phone.sync(made.story.texts).get_json()["refused"] == []
    return made


def asked(phone: Phone, link: str, **form: Any) -> Any:
    usual = {"stock": "tape-12", "start": "1", "address": "https://book.example.org", "code": "yes", "form": "pdf"}
    sent = {"csrf_token": phone.token, **usual, **form}
    return phone.client.post(f"/office/links/{BOOK}/{link}/labels", data={name: held for name, held in sent.items() if held})


def sizes_mm(data: bytes) -> list[tuple[float, float]]:
    with pikepdf.open(io.BytesIO(data)) as held:
        boxes = [[float(number) * MM_PER_POINT for number in page.mediabox] for page in held.pages]
    return [(round(box[2] - box[0], 1), round(box[3] - box[1], 1)) for box in boxes]


def read_back(data: bytes, dots_per_inch: int) -> list[list[str]]:
    """The codes of each page, as a printer of that resolution would put them down: every dot black or white."""
    found = []
    for page in pypdfium2.PdfDocument(data):
        picture = page.render(scale=dots_per_inch / 72).to_pil().convert("L").point(lambda level: 255 if level > 127 else 0)
        found.append([code.text for code in zxingcpp.read_barcodes(picture)])
    return found


def texts_of(data: bytes) -> list[str]:
    return ["".join(page.get_textpage().get_text_bounded().split()) for page in pypdfium2.PdfDocument(data)]


def test_the_page_shows_every_identifier_and_leads_from_the_link(phone: Phone, sent: FibreLink) -> None:
    assert f'href="/office/links/{BOOK}/{sent.link}/labels"' in phone.client.get(f"/office/links/{BOOK}/{sent.link}").text
    seen = words(phone.client.get(f"/office/links/{BOOK}/{sent.link}/labels").text)
    with engine.opened(BOOK, sent.story.texts) as core:
        for row in core("identifiers", link=sent.link)["rows"]:
            assert row["value"] in seen and row["title"] in seen
    assert "from memory" in seen and "leads to this machine alone" in seen


@pytest.mark.parametrize("dots_per_inch", [180, 203])
@pytest.mark.parametrize("stock", TAPES)
def test_each_label_of_a_tape_is_a_page_of_its_width_with_a_code_that_reads_back(
    phone: Phone, sent: FibreLink, stock: str, dots_per_inch: int
) -> None:
    answer = asked(phone, sent.link, stock=stock, what=["cable", "port:near", "strand:1"])
    assert answer.status_code == 200 and answer.mimetype == "application/pdf"
    sizes = sizes_mm(answer.data)
    assert len(sizes) == 3 and {height for _, height in sizes} == {TAPES[stock]} and all(width < 150 for width, _ in sizes)
    address = f"HTTPS://BOOK.EXAMPLE.ORG/L/{sent.link[-12:].upper()}"
    assert read_back(answer.data, dots_per_inch) == [[address]] * 3
    assert texts_of(answer.data) == ["B1-1A-A01toB2-1A-A01", "B1-1A/B2-1A-1Cable", "B1-1A/B2-1A-1.1Fibre1"]


@pytest.mark.parametrize(("stock", "size"), [("a4-65", (210, 297)), ("letter-80", (215.9, 279.4)), ("single", (50, 62))])
def test_sheets_are_of_their_paper_and_begin_at_the_first_free_label(
    phone: Phone, sent: FibreLink, stock: str, size: tuple[float, float]
) -> None:
    answer = asked(
        phone, sent.link, stock=stock, start="60", what=[f"strand:{number}" for number in (1, 2)] + ["cable", "pathway"] * 1
    )
    pages = read_back(answer.data, 300)
    assert set(sizes_mm(answer.data)) == {size}
    assert [len(codes) for codes in pages] == ([1, 1, 1, 1] if stock == "single" else [4])
    answer = asked(phone, sent.link, stock="a4-65", start="64", what=["strand:1", "strand:2", "cable", "pathway"])
    assert [len(codes) for codes in read_back(answer.data, 300)] == [2, 2]


def test_the_code_says_the_address_in_capitals_at_level_m_or_better() -> None:
    address = labels.address("https://book.example.org:8443/", "0123456789AB")
    assert address == "HTTPS://BOOK.EXAMPLE.ORG:8443/L/0123456789AB"
    drawn = labels.draw(["A"], labels.matrix(address), "tape-24")
    page = pypdfium2.PdfDocument(labels.pdf([drawn], "tape-24"))[0].render(scale=203 / 72).to_pil()
    [code] = zxingcpp.read_barcodes(page)
    assert code.text == address and code.ec_level in ("M", "Q", "H")


@pytest.mark.parametrize(
    "base", ["book.example.org", "https://book.example.org/field", "ftp://x", "https://b\u00fccher.example", "https://a b", ""]
)
def test_an_address_that_no_label_can_carry_is_told(phone: Phone, sent: FibreLink, base: str) -> None:
    answer = asked(phone, sent.link, address=base, what=["cable"])
    if base:
        assert answer.status_code == 400 and "is no address that a label can carry" in words(answer.text)
    with pytest.raises(labels.LabelRefused):
        labels.address(base, "0123456789AB")


def test_svg_files_parse_and_carry_the_identifier(phone: Phone, sent: FibreLink) -> None:
    answer = asked(phone, sent.link, form="svg", stock="tape-18", what=["cable", "port:far"])
    assert answer.mimetype == "application/zip"
    with zipfile.ZipFile(io.BytesIO(answer.data)) as held:
        assert held.namelist() == ["001-B1-1A-B2-1A-1.svg", "002-B2-1A-A01.svg"]
        for name, text in (("001-B1-1A-B2-1A-1.svg", "B1-1A/B2-1A-1"), ("002-B2-1A-A01.svg", "B2-1A-A01")):
            drawn = ElementTree.fromstring(held.read(name))
            assert drawn.attrib["height"] == "18mm"
            shown = "".join(element.text or "" for element in drawn.iter("{http://www.w3.org/2000/svg}text"))
            assert shown.startswith(text)
    assert asked(phone, sent.link, form="svg", stock="tape-18", what=["cable", "port:far"]).data == answer.data


def test_the_same_labels_are_the_same_bytes(phone: Phone, sent: FibreLink) -> None:
    form = {"what": ["cable", "port:near"], "stock": "a4-21"}
    assert asked(phone, sent.link, **form).data == asked(phone, sent.link, **form).data


def test_without_a_code_only_the_text_is_printed(phone: Phone, sent: FibreLink) -> None:
    answer = asked(phone, sent.link, code=None, what=["cable"])
    assert read_back(answer.data, 203) == [[]] and texts_of(answer.data) == ["B1-1A/B2-1A-1Cable"]


def test_a_flag_carries_code_and_text_twice(phone: Phone, sent: FibreLink) -> None:
    answer = asked(phone, sent.link, flag="yes", stock="tape-24", what=["cable", "port:near"])
    assert [len(codes) for codes in read_back(answer.data, 203)] == [1, 2]
    assert texts_of(answer.data)[1] == "B1-1A/B2-1A-1Cable" * 2


def test_a_flag_of_a_cable_of_unknown_thickness_is_told(phone: Phone, sent: FibreLink) -> None:
    sent.story.thing("link", sent.link, outside_diameter=None)
    phone.sync(sent.story.texts[-1:])
    answer = asked(phone, sent.link, flag="yes", what=["cable"])
    assert answer.status_code == 400 and "record the cable's outside diameter" in answer.text.replace("&#39;", "'")


def test_a_hostile_identifier_is_printed_whole_or_refused_and_never_acts(phone: Phone, sent: FibreLink) -> None:
    story = sent.story
    story.thing("identifier", f"{sent.link}:identifier:port:near", link=sent.link, what="port:near", value=HOSTILE)
    story.thing("link", sent.link, name=HOSTILE, outside_diameter=value("7", "mm"))
    assert phone.sync(story.texts[-2:]).get_json()["refused"] == []
    page = phone.client.get(f"/office/links/{BOOK}/{sent.link}/labels").text
    assert "<b>Mill" not in page and "&lt;b&gt;Mill" in page
    printed = texts_of(asked(phone, sent.link, stock="tape-12", what=["port:near"]).data)[0]
    assert '<b>Mill</b>#eval("1")' in printed and printed.count("x") == 260
    answer = asked(phone, sent.link, stock="letter-80", what=["port:near"])
    assert answer.status_code == 400 and "choose a larger label" in answer.text
    assert 'value="port:near" checked' in answer.text  # what was chosen stays chosen


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"what": []}, "No label is chosen"),
        ({"what": ["nothing"]}, "No label is chosen"),
        ({"what": ["cable"], "stock": "a4-21", "start": "22"}, "from 1 to 21"),
        ({"what": ["cable"], "stock": "a4-21", "start": "third"}, "no place on a sheet"),
        ({"what": ["cable"], "stock": "roll"}, "one of tape-12"),
    ],
)
def test_what_can_t_be_printed_is_told_on_the_page(phone: Phone, sent: FibreLink, form: dict[str, Any], said: str) -> None:
    answer = asked(phone, sent.link, **form)
    assert answer.status_code == 400 and said in words(answer.text)


def test_a_link_that_is_not_there_has_no_labels(phone: Phone, sent: FibreLink) -> None:
    assert phone.client.get(f"/office/links/{BOOK}/{BOOK}/labels").status_code == 404
    assert phone.client.get(f"/office/links/{sent.link}/{sent.link}/labels").status_code == 404


@pytest.mark.parametrize("code", ["0123456789AB", "0123456789ab", "000000000000"])
def test_a_scanned_code_is_answered_with_the_start_page_for_anybody(client: Any, code: str) -> None:
    answer = client.get(f"/L/{code}")
    assert answer.status_code == 200 and answer.data == client.get("/").data


@pytest.mark.parametrize("code", ["0123456789A", "0123456789ABC", "0123456789AG", "0123-56789AB", "..%2f..%2fetc"])
def test_a_malformed_code_leads_nowhere(client: Any, code: str) -> None:
    assert client.get(f"/L/{code}").status_code == 404
