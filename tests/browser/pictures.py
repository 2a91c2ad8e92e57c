"""Takes the README's pictures from the demo book: ``python -m tests.browser.pictures``."""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import sync_playwright

from tests import chromium
from tests.browser import demo
from tests.browser.phone import ARGUMENTS, SCREEN, Phone
from tests.browser.server import Server

FOLDER = Path(__file__).parents[2] / ".pictures"
# Enough for a sharp picture at the width that the README shows it in.
PHONE_WIDTH_PX, PAGE_WIDTH_PX = 520, 730


def keep(picture: Image.Image, name: str, width_px: int) -> None:
    """Write a picture at that width, with few colours, since screens have few."""
    height = picture.height * width_px // picture.width
    small = picture.convert("RGB").resize((width_px, height), Image.Resampling.LANCZOS)
    small.quantize(128).save(FOLDER / name, optimize=True)


def screen(phone: Phone) -> Image.Image:
    return Image.open(io.BytesIO(phone.page.screenshot()))


def take_phone(phone: Phone) -> None:
    phone.open(demo.link_path(demo.FIBRE))
    phone.page.get_by_role("link", name="Handhole 1").first.scroll_into_view_if_needed()
    phone.page.mouse.wheel(0, 330)
    phone.page.wait_for_timeout(1500)  # photos come from the server
    keep(screen(phone), "strip.png", PHONE_WIDTH_PX)
    phone.open(demo.link_path(demo.FIBRE, "reading?quantity=optical_loss&strand=3&wavelength=1310&direction=near_to_far&method=one_cord"))
    phone.page.locator("#reading-value").fill("0,42")
    phone.page.get_by_text("to spare").first.wait_for()
    phone.page.locator("#reading-value").scroll_into_view_if_needed()
    phone.page.mouse.wheel(0, 240)
    phone.page.wait_for_timeout(800)
    keep(screen(phone), "reading.png", PHONE_WIDTH_PX)


def take_record(phone: Phone) -> None:
    answer = phone.page.request.get(f"{phone.server.base}/office/links/{demo.BOOK}/{demo.FIBRE}/record.pdf")
    page = pypdfium2.PdfDocument(answer.body())[0]
    keep(page.render(scale=2).to_pil(), "record.png", PAGE_WIDTH_PX)


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    server = Server(Path(tempfile.mkdtemp()))
    server.import_demo()
    server.start()
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium.find(sys.executable), args=ARGUMENTS)
            phone = Phone(browser.new_context(**SCREEN), server)
            phone.sign_in()
            phone.page.get_by_text("Three Lanterns Vineyard").first.wait_for()
            take_phone(phone)
            take_record(phone)
            browser.close()
    finally:
        server.stop()


if __name__ == "__main__":
    main()
