"""What can't be taken is refused in a sentence that says what is allowed, and what was typed stays where it was typed."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Locator, expect

from tests.browser import acts
from tests.browser.demo import BEGUN, BOOK, FIBRE, first, link_path
from tests.browser.phone import Phone
from tests.browser.server import NAME, PASSWORD

GIGABYTE = 1024**3
LOSS = {"quantity": "optical_loss", "strand": "2", "wavelength": "1310", "direction": "near_to_far", "method": "one_cord"}


def open_loss(phone: Phone) -> Locator:
    """The form of one loss reading, with nothing left over in it."""
    return open_form(phone, "Loss", "&".join(f"{name}={value}" for name, value in LOSS.items()))


def open_form(phone: Phone, title: str, query: str) -> Locator:
    phone.open(link_path(BEGUN, f"reading?{query}"))
    phone.heading(title)
    field = phone.page.get_by_role("textbox", name=title, exact=True)
    field.fill("")
    return field


def refused(phone: Phone, field: Locator, typed: str, words: str) -> None:
    """Saving is refused with these words, read out, and the value still stands in its field."""
    field.fill(typed)
    phone.press("Save reading")
    expect(phone.page.get_by_role("alert").first).to_contain_text(re.compile(words, re.IGNORECASE))
    expect(field).to_have_value(typed)
    expect(field).to_have_attribute("aria-invalid", "true")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("0,4x", "0,4x.*number"),
        ("O.42", "O.42.*number"),
        ("0,4.2", "0,4.2.*number"),
        ("1.234,5", "1.234,5.*number"),
        ("0,42 m", "0,42 m.*number"),
        ("99", "99.*60"),
        ("-30", "-30.*-5"),
    ],
)
def test_a_loss_that_cannot_be_is_refused(demo_phone: Phone, typed: str, words: str) -> None:
    refused(demo_phone, open_loss(demo_phone), typed, words)


def test_a_reading_without_a_value_is_refused(demo_phone: Phone) -> None:
    open_loss(demo_phone)
    demo_phone.press("Save reading")
    expect(demo_phone.page.get_by_role("alert")).to_contain_text("Nothing is entered yet")


def test_a_negative_length_is_refused_with_the_reason(demo_phone: Phone) -> None:
    field = open_form(demo_phone, "Length shown by the instrument", "quantity=instrument_length&strand=1")
    refused(demo_phone, field, "-5", "-5.*below zero")


@pytest.mark.parametrize("typed", ["0,42", "0.42", " 0,42 ", ",42"])
def test_a_decimal_comma_is_a_decimal_point(demo_phone: Phone, typed: str) -> None:
    open_loss(demo_phone).fill(typed)
    # 2 x 0.70 dB, no splice, 155.9 m of cable with its 0.4 dB/km are 1.46 dB; 0.42 dB leaves 1.04 dB.
    expect(demo_phone.page.get_by_role("article", name="Loss, strand 2, 1310 nm, near to far")).to_contain_text("1.04 dB margin")
    expect(demo_phone.page.get_by_role("alert")).to_have_count(0)


def test_an_unusual_value_is_asked_back_and_can_be_changed(demo_phone: Phone) -> None:
    field = open_loss(demo_phone)
    field.fill("25")
    demo_phone.press("Save reading")
    asked = demo_phone.page.get_by_role("alertdialog", name="Unusual value")
    expect(asked).to_contain_text("25")
    expect(asked).to_contain_text("Keep it?")
    demo_phone.press("Change it")
    expect(asked).to_have_count(0)
    expect(field).to_have_value("25")
    expect(field).to_be_focused()


def test_the_wrong_unit_makes_an_unusual_value(demo_phone: Phone) -> None:
    """11,4 ohm typed as bond resistance with ohm instead of milliohm chosen."""
    phone = demo_phone
    phone.open(link_path(FIBRE, f"reading?quantity=bond_resistance&of={first('bond', FIBRE)}"))
    phone.heading("Bond resistance")
    phone.page.get_by_role("textbox", name="Bond resistance", exact=True).fill("11,4")
    phone.page.get_by_role("group", name="Unit").get_by_role("button", name="Ω", exact=True).click()
    phone.press("Save reading")
    expect(phone.page.get_by_role("alertdialog", name="Unusual value")).to_be_visible()
    phone.page.get_by_role("textbox", name="Bond resistance", exact=True).fill("")


@pytest.mark.parametrize(
    ("label", "typed", "words"),
    [
        ("Depth of cover", "deep", "number"),
        ("Depth of cover", "-400", "-400"),
        ("Sheath mark", "12;5", "number"),
        ("Bend radius", "1,2,3", "number"),
    ],
)
def test_a_station_s_wrong_figure_is_told_beside_its_field(demo_phone: Phone, label: str, typed: str, words: str) -> None:
    phone = demo_phone
    phone.open(f"/book/{BOOK}/edit/station/new?link={BEGUN}&order=9")
    phone.heading("New station")
    phone.fill({"What is here": "Handhole", "Depth of cover": "", "Sheath mark": "", "Bend radius": ""})
    field = phone.page.get_by_label(label, exact=True)
    field.fill(typed)
    phone.press("Save station")
    expect(field).to_have_accessible_description(re.compile(words))
    expect(field).to_have_value(typed)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_be_focused()


def test_needed_fields_are_named_when_they_are_empty(demo_phone: Phone) -> None:
    phone = demo_phone
    phone.open("/book/new")
    phone.heading("New site")
    phone.fill({"Client": "Point Council"})
    phone.press("Save site")
    for label in ("Site", "Near building", "Far building"):
        expect(phone.page.get_by_label(label, exact=True)).to_have_accessible_description(re.compile(f"{label} is needed"))
    expect(phone.page.get_by_label("Site", exact=True)).to_be_focused()
    expect(phone.page.get_by_label("Client", exact=True)).to_have_value("Point Council")


def offer_photo(phone: Phone, path: Path, caption: str) -> Locator:
    phone.open(link_path(BEGUN))
    phone.press("Photo")
    phone.put("Caption", caption)
    with phone.page.expect_file_chooser() as chooser:
        phone.press("Choose photo")
    chooser.value.set_files(path)
    return phone.page.get_by_role("dialog", name="Photo")


def stays_unsaved(sheet: Locator, words: str, caption: str) -> None:
    expect(sheet.get_by_role("alert")).to_contain_text(re.compile(words))
    expect(sheet.get_by_label("Caption", exact=True)).to_have_value(caption)
    sheet.get_by_role("button", name="Close").click()


def test_a_file_that_is_no_picture_is_refused(demo_phone: Phone, tmp_path: Path) -> None:
    path = tmp_path / "notes.jpg"
    path.write_text("This is a shopping list.")
    stays_unsaved(offer_photo(demo_phone, path, "Lid"), "notes.jpg.*JPEG, PNG", "Lid")
    demo_phone.all_sent()


def test_a_picture_cut_off_in_the_middle_is_refused(demo_phone: Phone, tmp_path: Path) -> None:
    whole = acts.photo_file(tmp_path / "whole.jpg").read_bytes()
    path = tmp_path / "torn.jpg"
    path.write_bytes(whole[:200])
    stays_unsaved(offer_photo(demo_phone, path, "Lid"), "torn.jpg", "Lid")


def test_a_photo_of_ten_gigabytes_is_refused_before_it_is_read(demo_phone: Phone, tmp_path: Path) -> None:
    path = tmp_path / "film.jpg"
    path.touch()
    os.truncate(path, 10 * GIGABYTE)
    stays_unsaved(offer_photo(demo_phone, path, "Lid"), "10240 MB.*up to 40 MB", "Lid")


def test_a_reading_is_not_voided_without_a_reason(demo_phone: Phone) -> None:
    phone = demo_phone
    phone.open(link_path(BEGUN))
    phone.page.get_by_role("button", name=re.compile("^Void Loss")).first.click()
    phone.press("Void reading")
    sheet = phone.page.get_by_role("dialog", name="Void this reading")
    expect(sheet.get_by_role("alert")).to_contain_text("A reason is needed")
    sheet.get_by_role("button", name="Close").click()
    expect(phone.page.get_by_text("Void: ")).to_have_count(0)


def test_signing_says_all_that_stands_in_its_way(demo_phone: Phone) -> None:
    phone = demo_phone
    phone.open(link_path(BEGUN, "sign"))
    phone.heading("Sign off")
    phone.press("Sign and seal")
    told = phone.page.get_by_role("alert")
    for words in ("failing or missing", "Storm: not acknowledged", "installer has not signed"):
        expect(told).to_contain_text(words)
    expect(phone.page.get_by_role("heading", name=re.compile("Signed, revision"))).to_have_count(0)


def test_a_wrong_password_is_told_and_the_name_stays(demo_phone: Phone) -> None:
    phone = demo_phone
    phone.may_lose_network = True
    phone.open("/sign-in")
    phone.heading("Sign in")
    phone.page.get_by_label("Password", exact=True).fill(PASSWORD + "?")
    phone.press("Sign in")
    expect(phone.page.get_by_role("alert")).to_contain_text("don't belong together")
    expect(phone.page.get_by_label("Name", exact=True)).to_have_value(NAME)
    phone.may_lose_network = False


@pytest.mark.parametrize("address", ["/nowhere", "/book/none", f"/book/{BOOK}/link/none", f"/book/{BOOK}/edit/castle/new"])
def test_an_address_that_leads_nowhere_ends_on_a_screen_with_a_way_out(demo_phone: Phone, address: str) -> None:
    demo_phone.open(address)
    main = demo_phone.page.get_by_role("main")
    way_out = main.get_by_role("link", name=re.compile("site", re.IGNORECASE)).or_(main.get_by_role("button", name="To the sites"))
    expect(way_out.first).to_be_visible()
