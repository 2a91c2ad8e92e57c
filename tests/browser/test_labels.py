"""Identifiers and labels on the phone: changed with a thumb, read back from the screen, and a scanned label that finds its link without signal."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Locator, expect

from tests.browser import acts
from tests.browser.phone import Phone, PhoneMaker
from tests.browser.server import Server

SITE = {"Site": "Heron Farm", "Near building": "Dairy", "Far building": "Calf barn"}
LINK = {"Link": "Dairy to calf barn", "Kind": "Optical fibre", "Strands to be tested": "4"}
HOSTILE = '<img src=x onerror="document.title=1"> \u05d1\u05d3\u05d9\u05e7\u05d4 \U0001f600 #let x = 1; ' + "m" * 230


@pytest.fixture
def linked(phone: Phone) -> tuple[Phone, str]:
    """A phone with one link, sent to the server; and the link's id."""
    acts.make_site(phone, SITE)
    link = acts.make_link(phone, LINK)
    phone.all_sent()
    return phone, link


def open_labels(phone: Phone) -> None:
    """From the strip map."""
    phone.follow("Labels")
    phone.heading("Labels")


def row(phone: Phone, title: str) -> Locator:
    """What the list says of one identifier."""
    key = phone.page.get_by_role("button", name=f"Change: {title}", exact=True)
    return phone.page.locator(".label-rows > li").filter(has=key)


def change(phone: Phone, title: str, text: str) -> None:
    phone.press(f"Change: {title}")
    phone.page.get_by_role("dialog", name=title).get_by_role("textbox").fill(text)
    phone.press("Save")
    phone.said("Saved on this phone")
    expect(phone.page.get_by_role("dialog")).to_have_count(0)


def code_of(place: Locator) -> list[str]:
    """What a reader reads from the screen."""
    return [code.text for code in zxingcpp.read_barcodes(Image.open(io.BytesIO(place.screenshot())))]


def code_address(phone: Phone, link: str) -> str:
    return f"{phone.server.base}/L/{link[-12:]}".upper()


def test_an_identifier_is_changed_and_goes_back_to_its_default_without_signal(linked: tuple[Phone, str]) -> None:
    phone, _ = linked
    phone.may_lose_network = True
    phone.context.set_offline(True)
    open_labels(phone)
    expect(row(phone, "Port, near end")).to_contain_text("B1-1A-A01")
    expect(row(phone, "Port, near end")).to_contain_text("default")
    change(phone, "Port, near end", "RACK-7")
    expect(row(phone, "Port, near end")).to_contain_text("RACK-7")
    expect(row(phone, "Port, near end")).not_to_contain_text("default")
    change(phone, "Room or space, far end", "2B")
    expect(row(phone, "Cable")).to_contain_text("B1-1A/B2-2B-1")
    change(phone, "Building, near end: Dairy", "DY")
    expect(row(phone, "Cable")).to_contain_text("DY-1A/B2-2B-1")
    phone.page.reload()
    phone.heading("Labels")
    expect(row(phone, "Port, near end")).to_contain_text("RACK-7")
    phone.press("Change: Port, near end")
    phone.press("Back to the default: DY-1A-A01")
    expect(row(phone, "Port, near end")).to_contain_text("default")
    expect(row(phone, "Port, near end")).to_contain_text("DY-1A-A01")
    phone.context.set_offline(False)
    phone.all_sent()


def test_an_emptied_identifier_is_told_and_a_double_one_is_pointed_out(linked: tuple[Phone, str]) -> None:
    phone, _ = linked
    open_labels(phone)
    phone.press("Change: Pathway")
    phone.page.get_by_role("dialog").get_by_role("textbox").fill("  ")
    phone.press("Save")
    phone.said("Type an identifier, or go back to the default.")
    phone.page.get_by_role("dialog").get_by_role("textbox").fill("b1-1a-a01")
    phone.press("Save")
    expect(row(phone, "Pathway")).to_contain_text("The same as Port, near end (Dairy to calf barn)")
    expect(row(phone, "Port, near end")).to_contain_text("The same as Pathway (Dairy to calf barn)")


def test_half_typed_text_comes_back(linked: tuple[Phone, str]) -> None:
    phone, _ = linked
    open_labels(phone)
    phone.press("Change: Pathway")
    phone.page.get_by_role("dialog").get_by_role("textbox").fill("B1-1A/B2-1A-P1-north")
    phone.page.wait_for_timeout(500)  # drafts are kept a moment after the last key
    phone.page.reload()
    phone.heading("Labels")
    phone.press("Change: Pathway")
    expect(phone.page.get_by_role("dialog").get_by_role("textbox")).to_have_value("B1-1A/B2-1A-P1-north")


def test_all_identifiers_can_be_kept_as_they_are(linked: tuple[Phone, str]) -> None:
    phone, _ = linked
    open_labels(phone)
    phone.page.get_by_text("Where these come from").click()
    phone.press("Keep them as they are")
    phone.said("Kept as they are")
    for title in ("Building, near end: Dairy", "Room or space, near end", "Port, far end", "Cable", "Pathway"):
        expect(row(phone, title)).not_to_contain_text("default")
    expect(row(phone, "Cable")).to_contain_text("B1-1A/B2-1A-1")
    phone.all_sent()


def test_the_code_on_the_screen_reads_back_as_the_address_of_the_link(linked: tuple[Phone, str]) -> None:
    phone, link = linked
    open_labels(phone)
    picture = phone.page.get_by_role("img", name=re.compile("^Code that opens this link"))
    assert code_of(picture) == [code_address(phone, link)]
    expect(phone.page.locator(".label-address")).to_have_text(code_address(phone, link))


@pytest.mark.parametrize("stock", ["Tape 12 mm", "Tape 24 mm", "Single label 50 x 62 mm"])
def test_a_label_is_saved_as_svg_without_signal(linked: tuple[Phone, str], tmp_path: Path, stock: str) -> None:
    phone, link = linked
    phone.may_lose_network = True
    phone.context.set_offline(True)
    open_labels(phone)
    phone.press("Label of the cable")
    dialog = phone.page.get_by_role("dialog", name="Label: Cable")
    dialog.get_by_role("radio", name=stock, exact=True).check()
    picture = dialog.get_by_role("img", name=re.compile("^Label with B1-1A.B2-1A-1"))
    expect(picture).to_be_visible()
    with phone.page.expect_download() as download:
        phone.press("Save as SVG")
    file = tmp_path / "label.svg"
    download.value.save_as(file)
    drawn = ElementTree.parse(file).getroot()
    shown = "".join(element.text or "" for element in drawn.iter("{http://www.w3.org/2000/svg}text"))
    assert shown == "B1-1A/B2-1A-1Cable"
    assert drawn.attrib["height"] == {"Tape 12 mm": "12mm", "Tape 24 mm": "24mm"}.get(stock, "62mm")
    assert code_of(picture) == [code_address(phone, link)]


@pytest.mark.parametrize("code_in", [str.upper, str.lower])
def test_a_scanned_label_opens_its_link_with_the_network_off(linked: tuple[Phone, str], code_in: object) -> None:
    phone, link = linked
    phone.may_lose_network = True
    phone.context.set_offline(True)
    phone.page.goto(f"{phone.server.base}/L/{code_in(link[-12:])}")  # type: ignore[operator]
    phone.heading(re.compile("Dairy to calf barn"))
    assert phone.path().endswith(f"/link/{link}")
    phone.page.go_back()
    phone.page.go_forward()
    phone.heading(re.compile("Dairy to calf barn"))


def test_the_same_phone_started_cold_by_a_scan_without_signal_opens_the_link(phones: PhoneMaker, server: Server) -> None:
    phone = phones.lasting(server)
    phone.sign_in()
    phone.wait_until_kept_offline()
    acts.make_site(phone, SITE)
    link = acts.make_link(phone, LINK)
    phones.restart(phone, offline=True)
    phone.may_lose_network = True
    phone.page.goto(f"{phone.server.base}/L/{link[-12:].upper()}")
    phone.heading(re.compile("Dairy to calf barn"))


def test_another_phone_signs_in_fetches_and_is_at_the_link(linked: tuple[Phone, str], phones: PhoneMaker, server: Server) -> None:
    _, link = linked
    other = phones.fresh(server)
    other.page.goto(f"{server.base}/L/{link[-12:].upper()}")
    other.heading("This link is not on this phone")
    other.page.get_by_role("link", name="Sign in", exact=True).first.click()
    other.enter_password()
    other.heading(re.compile("Dairy to calf barn"))


def test_an_unknown_code_says_what_to_do(phone: Phone) -> None:
    phone.page.goto(f"{phone.server.base}/L/0123456789AB")
    phone.heading("This link is not on this phone")
    host = phone.server.base.removeprefix("http://")
    expect(phone.page.get_by_text(f"The server {host} has no link with this code.")).to_be_visible()
    expect(phone.page.get_by_text("label is of another server")).to_be_visible()
    expect(phone.page.get_by_text("0123456789AB")).to_be_visible()
    phone.may_lose_network = True
    phone.context.set_offline(True)
    phone.press("Look again")
    expect(phone.page.get_by_text("There is no connection")).to_be_visible()
    phone.follow("To the sites")
    phone.heading("Sites")


def test_a_code_that_is_none_is_told(phone: Phone) -> None:
    phone.open("/l/nonsense%3Cb%3E")
    phone.heading("This is no code of a link")
    expect(phone.page.get_by_text("NONSENSE<B>")).to_be_visible()


def test_hostile_names_stay_text_and_the_code_is_shown_all_the_same(phone: Phone) -> None:
    acts.make_site(phone, {**SITE, "Near building": HOSTILE})
    link = acts.make_link(phone, {**LINK, "Link": HOSTILE})
    open_labels(phone)
    assert phone.page.title() == "Labels · Spanbook"
    change(phone, "Port, near end", HOSTILE)
    expect(row(phone, "Port, near end")).to_contain_text("<img src=x onerror=")
    change(phone, "Cable", HOSTILE)
    picture = phone.page.get_by_role("img", name=re.compile("^Code that opens this link"))
    assert code_of(picture) == [code_address(phone, link)]
    phone.press("Label: Port, near end")
    dialog = phone.page.get_by_role("dialog")
    expect(dialog.get_by_role("img")).to_be_visible()
    dialog.get_by_role("radio", name="Single label 50 x 62 mm", exact=True).check()
    phone.said("choose a larger label")
    assert phone.page.title() == "Labels · Spanbook"
    assert phone.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
