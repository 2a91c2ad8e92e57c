"""Names and notes of any kind: they stay what was typed, nothing of them runs, and the record comes."""

from __future__ import annotations

from functools import cache

import pytest

from app import record
from app.record import faces, fitting
from tests.core.test_record import record_of
from tests.made_links import FibreLink
from tests.record.pdfs import boxes_of, dictionaries, fonts, no_photo, opened, squeezed, text_of

MARKUP = "<b>Yard</b><svg onload=alert(1)></svg><script>alert(1)</script>&amp;"
TYPST = '#panic("no") #read("/etc/passwd") #import "x.typ": y $x^2$ `raw` *bold* _it_ @ref <label> \\ // no'
HEBREW = "\u05e9\u05dc\u05d5\u05dd \u05e2\u05d5\u05dc\u05dd"
ARABIC = "\u0645\u0631\u062d\u0628\u0627 \u0628\u0627\u0644\u0639\u0627\u0644\u0645"
POINTED = "\u05e9\u05b8\u05c1\u05dc\u05d5\u05b9\u05dd \u0627\u0644\u0639\u064e\u0631\u064e\u0628\u0650\u064a\u0651\u0629"
EMOJI = "\U0001f600 \U0001f468\u200d\U0001f469\u200d\U0001f467 \U0001f3f3\ufe0f\u200d\U0001f308 \U0001f44d\U0001f3fd"
STRANGE = "e\u0301\u0302\u0303\u0304 \ufeff\u200b\u00ad\u2028 \u202egnirts a\u200db\u200cc \u0000"
UNBROKEN, LONG = "x" * 300, "a long note that goes on " * 400

HOSTILE = {
    "markup": MARKUP, "typst": TYPST, "hebrew": HEBREW, "arabic": ARABIC, "pointed": POINTED, "emoji": EMOJI, "strange": STRANGE,
    "unbroken": UNBROKEN, "long": LONG,
}  # fmt: skip
PLAIN = {"markup": "<script>alert(1)</script>&amp;", "typst": '#read("/etc/passwd")', "unbroken": UNBROKEN, "long": LONG[:500]}


@cache
def pdf_of(words: str) -> bytes:
    """The words as every kind of name, in the drawings too, and as notes."""
    made = FibreLink(note=words)
    made.story.thing("station", link=made.link, type="other", name=words[:200], order="9", mark="1170", note=words)
    made.story.thing("building", made.far, name=words[:200])
    made.story.thing("bond", link=made.link, side="far", name=words[:200], from_point=words[:200], to_point="Bar", size="6mm2")
    made.story.add("note", {"link": made.link, "of": None, "text": words})
    return record.pdf(record_of(made.story, made.link), no_photo)


@pytest.mark.parametrize("kind", HOSTILE)
def test_words_of_any_kind_stay_words(kind: str) -> None:
    pdf = pdf_of(HOSTILE[kind])
    assert squeezed(PLAIN.get(kind, "Office to slip shed")) in text_of(pdf)
    assert "root:" not in text_of(pdf)
    assert not opened(pdf).check_pdf_syntax()


@pytest.mark.parametrize("kind", HOSTILE)
def test_nothing_runs_on_being_opened(kind: str) -> None:
    """No script, action, launched program or address is in the file, whatever was typed."""
    pdf = opened(pdf_of(HOSTILE[kind]))
    for one in dictionaries(pdf):
        assert not {"/JS", "/JavaScript", "/OpenAction", "/AA", "/Launch", "/URI", "/RichMedia"} & set(one.keys())


def test_nothing_runs_off_the_page() -> None:
    """Every character of 300 without a blank lies between the margins of 15 mm, in points of 1/72 in."""
    boxes = boxes_of(pdf_of(UNBROKEN), "x")
    assert len(boxes) > 600
    assert all(left >= 15 / 25.4 * 72 - 1 and right <= 195 / 25.4 * 72 + 1 for left, right in boxes)


@pytest.mark.parametrize(
    ("words", "family"),
    [(HEBREW, "NotoSansHebrew"), (ARABIC, "NotoSansArabic"), (EMOJI, "NotoEmoji"), (POINTED, "NotoSansArabic")],
)
def test_what_the_main_face_lacks_is_set_by_a_face_that_has_it(words: str, family: str) -> None:
    assert family in " ".join(fonts(opened(pdf_of(words))))
    assert "[U+" not in text_of(pdf_of(words))


@pytest.mark.parametrize(
    "words", [HEBREW, ARABIC, POINTED, EMOJI, STRANGE], ids=["hebrew", "arabic", "pointed", "emoji", "strange"]
)
def test_no_face_but_ours_is_in_the_record(words: str) -> None:
    """The typesetter brings faces of its own, and takes them in drawings for what the named one lacks."""
    ours = [family.name.replace(" ", "") for family in faces.FAMILIES] + ["DejaVuSansMono"]
    for name in fonts(opened(pdf_of(words))):
        assert any(own in name for own in ours), name


def test_a_text_from_right_to_left_is_tagged_as_such() -> None:
    pdf = opened(pdf_of(HEBREW))
    held = [str(one.Lang) for one in dictionaries(pdf) if "/S" in one and "/Lang" in one]
    assert any(lang.startswith("he") for lang in held)


def test_what_no_face_shows_is_written_by_its_code_point() -> None:
    """U+4E95 is a Chinese character; no Chinese face comes with the record."""
    assert fitting.fit({"a": ["\u4e95 \u03a9 \u2264"]}, fitting.on_page) == {"a": ["[U+4E95] \u03a9 \u2264"]}
    made = FibreLink(note="Well \u4e95 on site")
    assert "Well[U+4E95]onsite" in text_of(record.pdf(record_of(made.story, made.link), no_photo))


def test_only_the_words_that_no_face_shows_are_changed() -> None:
    said = text_of(pdf_of("\u4e95 \u03a9 \u0639 a\ufe0f\u05b8"))
    assert "[U+4E95]\u03a9" in said and "\u2264" in said


def test_the_main_face_holds_what_core_prints() -> None:
    assert set(map(ord, "\u03a9\u2264\u2265\u00b1\u00b2\u00b0\u2013\u00b5\u2026\u00d7\u2020")) <= faces.covered()
