"""The client's page shows the signed record as it was signed, says so when it isn't, and shows nothing else."""

from __future__ import annotations

import hashlib
import io
import json
import re
from collections.abc import Callable
from html import unescape

import pypdf
import pypdfium2
import pytest
from flask import Flask
from PIL import Image
from sqlite_utils import Database

from app.store import keys, people, shares
from tests import sealing
from tests.client.conftest import OFFICE, Client, Signed
from tests.conftest import Phone, picture
from tests.made_hostile import HOSTILE, hostile_link
from tests.making import BOOK, id_of, new_id

AFTER = "zanzibarquartz"


def words(page: str) -> str:
    """What a reader sees of a page, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def pdf_words(held: bytes) -> str:
    document = pypdfium2.PdfDocument(held)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    return " ".join(text.split())


def test_the_page_says_who_signed_when_and_with_which_key(reader: Client) -> None:
    answer = reader.get()
    seen = words(answer.text)
    assert answer.status_code == 200
    assert "Commissioning record: Office to slip shed" in seen
    assert "Signed, and here as it was signed" in seen
    # The verdict as it was signed stands before everything that has to be scrolled to.
    assert seen.index("Verdict Passes with") < seen.index("Installer Ana Field")
    assert "Installer Ana Field, 2026-03-20 15:00" in seen and "Client Cleo Park, 2026-03-20 15:00" in seen
    assert "Good: the signed list of entries, photos and verdicts is exactly what this key signed." in seen
    # RFC 7638 by the library that the seal was signed with, not by the page's own code.
    from app.signing import thumbprint

    assert thumbprint(sealing.DEVICE.jwk) in seen.replace(" ", "")
    assert "not registered with this office" in seen


def test_a_registered_key_is_named_with_who_registered_it(reader: Client, db: Database) -> None:
    person = people.by_id(db, 2)
    assert person
    keys.register(db, person, new_id(), sealing.DEVICE.jwk)
    assert "registered by Ben Installer on" in words(reader.get().text)


def test_every_section_of_the_signed_record_is_on_the_page(reader: Client, signed: Signed) -> None:
    from app import engine

    seen = words(reader.get().text)
    with engine.opened(BOOK, signed.story.texts) as core:
        checks = core("checks", link=signed.link)["checks"]
        model = core("record", link=signed.link, made_at="2026-03-20T15:00:00.000+01:00")
    for section in model["sections"]:
        assert section["title"] in seen
    for check in checks:
        assert check["verdict"] == "not_measured" or check["measured"] is None or check["measured"]["text"] in seen


def test_answers_are_neither_kept_nor_found_nor_referred_to(reader: Client, signed: Signed) -> None:
    for more in ("", f"/photos/{signed.sha256}", "/record.pdf", "/nothing"):
        answer = reader.get(more)
        assert answer.headers["Cache-Control"] == "no-store"
        assert "noindex" in answer.headers["X-Robots-Tag"]
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert "default-src 'self'" in answer.headers["Content-Security-Policy"]
        assert "Set-Cookie" not in answer.headers
    assert '<meta name="robots" content="noindex' in reader.get().text


def test_nothing_on_the_page_leads_into_the_office_or_the_app(reader: Client) -> None:
    page = reader.get().text
    addresses = re.findall(r'(?:href|src|action)="([^"]+)"', page)
    allowed = (f"/c/{reader.token}/", "/static/css/client.css", "/static/icons/")
    assert addresses and all(address.startswith(allowed) for address in addresses)
    assert "sign-in" not in page and "<form" not in page and "<script" not in page and " style=" not in page


def test_what_came_after_signing_is_neither_on_the_page_nor_in_the_pdf(reader: Client, signed: Signed) -> None:
    story, link = signed.story, signed.link
    story.add("note", {"link": link, "of": link, "text": f"{AFTER} note"})
    story.reading(
        link, "optical_loss", "9.99", "dB", strand="1", wavelength="1310", direction="near_to_far", method="one_cord", note=AFTER
    )
    story.thing("link", link, note=f"{AFTER} in a field", name=f"{AFTER} link")
    story.add("note", {"link": None, "of": BOOK, "text": f"{AFTER} of the site"})
    story.thing("link", name=f"{AFTER} other", medium="copper", near_building=signed.made.near, far_building=signed.made.far)
    after_photo = picture(shade=33)
    signed.add_photo(hashlib.sha256(after_photo).hexdigest(), f"{AFTER} photo")
    signed.send()
    signed.phone.put_photo(after_photo)
    page, pdf = reader.get(), reader.get("/record.pdf")
    assert page.status_code == pdf.status_code == 200
    assert AFTER not in page.text and "9.99" not in words(page.text)
    said = pdf_words(pdf.data)
    assert "Office to slip shed" in said
    # Made of the signed entries alone, it can't say that nothing came later.
    assert "Entries after signing not in this record" in said and "Entries after signing not in this record" in words(page.text)
    assert "Entries now" not in said and "Entries now" not in page.text
    assert AFTER not in said and "9.99" not in said
    for held in attached(pdf.data).values():
        assert AFTER.encode() not in b"".join(held)
    assert reader.get(f"/photos/{hashlib.sha256(after_photo).hexdigest()}").status_code == 404
    assert "Signed, and here as it was signed" in words(page.text)


def attached(pdf: bytes) -> dict[str, list[bytes]]:
    return dict(pypdf.PdfReader(io.BytesIO(pdf)).attachments)


def test_the_pdf_holds_exactly_what_the_seal_covers_and_the_seals(reader: Client, signed: Signed) -> None:
    before = list(signed.story.texts)
    signed.story.add("note", {"link": signed.link, "of": signed.link, "text": AFTER})
    signed.send()
    found = attached(reader.get("/record.pdf").data)
    assert sorted(found) == ["VERIFY.txt", "book.json"]
    covered = json.loads(json.loads(signed.seals[0])["body"]["signed"])["entries"]
    held = json.loads(found["book.json"][0])
    assert (held["spanbook"], held["book"]) == (1, BOOK)
    assert sorted(id_of(text) for text in held["entries"][:-1]) == [row[0] for row in covered]
    assert held["entries"][-1] == signed.seals[0]
    assert set(held["entries"]) <= set(before)
    assert "spanbook verify" in found["VERIFY.txt"][0].decode()


def test_the_pdf_asked_for_again_is_the_same_file_and_comes_on_letter_paper_too(reader: Client) -> None:
    first, again, letter = reader.get("/record.pdf"), reader.get("/record.pdf"), reader.get("/record.pdf?paper=letter")
    assert first.mimetype == letter.mimetype == "application/pdf"
    assert first.data == again.data != letter.data
    width, height = pypdfium2.PdfDocument(letter.data)[0].get_size()
    assert (width, height) == pytest.approx((612, 792))


def test_a_photo_comes_upright_without_hidden_data(reader: Client, signed: Signed) -> None:
    answer = reader.get(f"/photos/{signed.sha256}")
    assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
    shown = Image.open(io.BytesIO(answer.data))
    assert shown.size == (900, 700) and not shown.getexif()
    assert f"/photos/{signed.sha256}" in reader.get().text


def test_a_photo_that_is_sent_later_is_in_the_next_pdf(phone: Phone, db: Database, app: Flask) -> None:
    found = Signed(phone)
    found.sign()
    _, token = shares.make(db, BOOK, found.link, OFFICE)

    def pictures() -> int:
        held = app.test_client().get(f"/c/{token}/record.pdf").data
        return sum(len(page.images) for page in pypdf.PdfReader(io.BytesIO(held)).pages)

    before = pictures()
    assert phone.put_photo(found.photo).status_code == 201
    assert pictures() == before + 1


def test_a_photo_too_large_to_be_shown_is_said_in_its_place(phone: Phone, db: Database, app: Flask) -> None:
    found = Signed(phone, photo=picture("PNG", size=(8000, 7000)))
    found.sign()
    assert phone.put_photo(found.photo).status_code == 201
    _, token = shares.make(db, BOOK, found.link, OFFICE)
    answer = app.test_client().get(f"/c/{token}/photos/{found.sha256}")
    assert (answer.status_code, answer.mimetype) == (200, "image/svg+xml")
    assert "can't be shown here" in answer.text


def test_a_new_revision_takes_the_place_of_the_old_one(reader: Client, signed: Signed) -> None:
    signed.story.add("note", {"link": signed.link, "of": signed.link, "text": f"{AFTER} agreed"})
    signed.send()
    assert AFTER not in reader.get().text
    signed.sign(at="2026-04-02T09:00:00.000+02:00")
    seen = words(reader.get().text)
    assert f"{AFTER} agreed" in seen and "Revision 2" in seen
    assert "Signed, and here as it was signed" in seen


@pytest.mark.parametrize("photos", [0, 1])
def test_a_seal_without_a_device_key_is_never_shown_as_proved(phone: Phone, db: Database, app: Flask, photos: int) -> None:
    from tests.made_links import FibreLink

    made = FibreLink(photos=photos, signed=True)
    assert phone.sync(made.story.texts).get_json()["refused"] == []
    _, token = shares.make(db, BOOK, made.link, OFFICE)
    seen = words(app.test_client().get(f"/c/{token}").text)
    assert "Signed, and here as it was signed" not in seen
    assert "No device key signed this revision, so nothing proves its list of entries and photos." in seen
    assert ("As its list says, but nothing proves the list" in seen) == (not photos)
    # Its one photo was never sent, and the page says that as well.
    assert ("1 signed photo is not here" in seen) == bool(photos)


def test_a_verdict_that_this_version_judges_otherwise_is_said(phone: Phone, db: Database, app: Flask) -> None:
    found = Signed(phone)
    text, accepted = sealing.seal_text(BOOK, found.story.texts, found.link, new_id(), accept=True)
    entry = json.loads(text)
    # As an older version would have signed it: the same key over other verdicts.
    held = json.loads(entry["body"]["signed"])
    row = next(row for row in held["verdicts"] if row[2] == "pass")
    row[2] = "fail"
    signed = json.dumps(held, ensure_ascii=False, separators=(",", ":"))
    entry["body"] |= {"signed": signed, "signature": sealing.DEVICE.sign(signed)}
    texts = [*found.story.texts, *accepted, json.dumps(entry, ensure_ascii=False, separators=(",", ":"))]
    assert phone.sync(texts).get_json()["refused"] == []
    phone.put_photo(found.photo)
    _, token = shares.make(db, BOOK, found.link, OFFICE)
    seen = words(app.test_client().get(f"/c/{token}").text)
    assert "Verdicts that differ from those signed The entries are as they were signed, but this version" in seen
    assert f"{row[1]}: fails is now passes." in seen


def test_an_altered_entry_is_said_and_not_shown(reader: Client, signed: Signed, tamper: Callable[[str, list[str]], None]) -> None:
    victim = next(text for text in signed.story.texts if json.loads(text)["kind"] == "station")
    tamper("UPDATE entries SET text = ? WHERE id = ?", [victim.replace("Office east wall", f"{AFTER} wall"), id_of(victim)])
    page = reader.get()
    seen = words(page.text)
    assert "This is not the record as it was signed" in seen and "1 signed entry is altered" in seen
    assert AFTER not in page.text and "Signed, and here as it was signed" not in seen
    assert AFTER not in pdf_words(reader.get("/record.pdf").data)


def test_a_missing_entry_is_said(reader: Client, signed: Signed, tamper: Callable[[str, list[str]], None]) -> None:
    victim = next(text for text in signed.story.texts if json.loads(text)["kind"] == "reading")
    tamper("DELETE FROM entries WHERE id = ?", [id_of(victim)])
    seen = words(reader.get().text)
    assert "Signed, but not all of it is here" in seen and "1 signed entry is missing here" in seen


@pytest.mark.parametrize("torn", ["", "{}", "[1]", "null", "\x00", '{"id":', "[" * 5000])
def test_a_torn_entry_of_the_link_itself_leaves_a_page_that_says_so(
    reader: Client, signed: Signed, tamper: Callable[[str, list[str]], None], torn: str
) -> None:
    victim = next(text for text in signed.story.texts if json.loads(text)["kind"] == "link")
    tamper("UPDATE entries SET text = ? WHERE id = ?", [torn, id_of(victim)])
    answer = reader.get()
    seen = words(answer.text)
    assert answer.status_code == 200
    assert "This record can't be shown" in seen and re.search(r"1 signed entry is (altered|missing)", seen)
    assert reader.get("/record.pdf").status_code == 404


@pytest.mark.parametrize("part", ["signature", "signed"])
def test_a_seal_that_was_altered_in_the_store_and_its_hash_too_is_not_good(
    reader: Client, signed: Signed, tamper: Callable[[str, list[str]], None], part: str
) -> None:
    entry = json.loads(signed.seals[0])
    if part == "signature":
        entry["body"]["signature"] = entry["body"]["signature"][:-1] + ("0" if entry["body"]["signature"][-1] != "0" else "1")
    else:
        entry["body"]["signed"] = entry["body"]["signed"].replace("Cleo Park", "Cleo Bark")
    text = json.dumps(entry, ensure_ascii=False, separators=(",", ":"))
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    tamper("UPDATE entries SET text = ?, sha256 = ? WHERE id = ?", [text, sha256, entry["id"]])
    seen = words(reader.get().text)
    assert "This is not the record as it was signed" in seen
    assert "Not good: the list of entries, photos and verdicts is not what this key signed." in seen


def test_a_newer_seal_that_was_damaged_is_said_beside_the_one_before(
    reader: Client, signed: Signed, tamper: Callable[[str, list[str]], None]
) -> None:
    signed.sign(at="2026-04-02T09:00:00.000+02:00")
    tamper("UPDATE entries SET text = 'torn' WHERE id = ?", [id_of(signed.seals[1])])
    seen = words(reader.get().text)
    assert "1 signature kept with this site is damaged. There may be a newer one." in seen
    assert "This is not the record as it was signed" in seen and "Revision 1" in seen


def test_an_altered_photo_is_said_and_not_shown(reader: Client, signed: Signed, photos: object) -> None:
    photos.path(signed.sha256).write_bytes(picture(size=(900, 700), shade=1))
    seen = words(reader.get().text)
    assert "1 signed photo is altered" in seen and "This photo is not here as it was signed." in seen
    assert reader.get(f"/photos/{signed.sha256}").status_code == 404


@pytest.mark.parametrize("typed", HOSTILE)
def test_what_was_typed_on_site_can_do_nothing_on_the_page(phone: Phone, db: Database, app: Flask, typed: str) -> None:
    story, link = hostile_link(typed)
    text, accepted = sealing.seal_text(BOOK, story.texts, link, new_id(), accept=True, signers=((typed[:200], "installer"),))
    assert phone.sync([*story.texts, *accepted, text]).get_json()["refused"] == []
    _, token = shares.make(db, BOOK, link, OFFICE)
    page = app.test_client().get(f"/c/{token}")
    assert page.status_code == 200
    assert "Signed, and here as it was signed" in words(page.text)
    for active in ("<script", "<iframe", "<foreignObject", "javascript:", " onload", " onerror", '<a href="http'):
        assert active not in page.text
    # Every tag is one that the templates or the drawings make.
    tags = {tag.lower() for tag in re.findall(r"<([a-zA-Z][\w-]*)", page.text)}
    assert tags <= TAGS


_PAGE = "html head meta title link body main article header section footer h1 h2 h3 p ul li dl div dt dd details summary"
_BLOCKS = "table thead tbody tr th td span a figure figcaption img input label strong svg path text line rect circle g pre"
TAGS = set(f"{_PAGE} {_BLOCKS}".split())
