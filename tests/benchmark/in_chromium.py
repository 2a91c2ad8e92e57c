"""The app in a real Chromium with the big book on it: keypresses on the reading screen, and core's door called directly."""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from playwright.sync_api import Browser, Page, sync_playwright

from app import exchange
from app.parcel import BOOK_FILE, FORM
from tests import chromium
from tests.benchmark.big_book import BigBook
from tests.browser.phone import ARGUMENTS, SCREEN, Phone
from tests.browser.server import Server

PROBE = Path(__file__).with_name("probe.js").read_text(encoding="utf-8")
PATIENCE_MS = 300_000
# A person types two to eight keys a second; the gaps are the same at each run.
GAPS_MS = (120, 450)
Times = dict[str, float]


@contextmanager
def served(book: BigBook, folder: Path) -> Iterator[Server]:
    """A server of our own with the book in it."""
    parcel, data = folder / "parcel", folder / "data"
    (parcel / "photos").mkdir(parents=True)
    data.mkdir()
    held = {"spanbook": FORM, "book": book.story.book, "entries": book.story.texts}
    (parcel / BOOK_FILE).write_text(json.dumps(held, ensure_ascii=False), encoding="utf-8")
    for sha256, content in book.photos.items():
        (parcel / "photos" / f"{sha256}.jpg").write_bytes(content)
    server = Server(data)
    server.change(lambda db, photos: exchange.import_file(db, photos, parcel))
    server.start()
    try:
        yield server
    finally:
        server.stop()


@contextmanager
def launched() -> Iterator[Browser]:
    """A Chromium."""
    found = chromium.find(sys.executable)
    if not found:
        raise SystemExit("No Chromium was found: set CHROMIUM to its path.")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=ARGUMENTS)
        yield browser
        browser.close()


def phone_with_book(browser: Browser, server: Server, throttle: int) -> Phone:
    """A phone that has fetched the whole book. Throttled, core runs on the page's own thread, which is the one that Chromium slows down."""
    phone = Phone(browser.new_context(**SCREEN), server)
    phone.context.add_init_script(f"window.__mainThread = {json.dumps(throttle > 1)};\n{PROBE}")
    phone.sign_in()
    phone.all_sent()
    phone.page.set_default_timeout(PATIENCE_MS)
    if throttle > 1:
        phone.context.new_cdp_session(phone.page).send("Emulation.setCPUThrottlingRate", {"rate": throttle})
    return phone


def keypresses(phone: Phone, book: BigBook, count: int) -> list[Times]:
    """Type a loss on the strand that is not measured yet; each key changes the margin. Times in ms of key, asked, answered, drawn, shown."""
    page = phone.page
    page.goto(f"{phone.server.base}/#/book/{book.story.book}/link/{book.link}/reading?{urlencode({'quantity': 'optical_loss', **book.open})}")
    field = page.locator("#reading-value")
    field.fill("0.4")
    page.locator(".trial-margin").first.wait_for()
    field.press("End")
    gaps = random.Random(1)
    return [_press(page, "Backspace" if number % 2 else str(1 + number // 2 % 9), gaps.randint(*GAPS_MS)) for number in range(count)]


def _press(page: Page, key: str, gap_ms: int) -> Times:
    page.wait_for_timeout(gap_ms)
    page.evaluate("window.__probe.arm()")
    page.keyboard.press(key)
    return page.evaluate("window.__result")


_ASK = """async ([op, payload]) => {
  const { core } = await import("/static/js/core.js");
  const start = performance.now();
  await core(op, payload);
  return performance.now() - start;
}"""


def door_times(phone: Phone, requests: list[tuple[str, str, dict[str, Any]]]) -> dict[str, float]:
    """How long core takes from a question to its parsed answer, by name, in ms."""
    times: dict[str, list[float]] = {}
    for name, op, payload in requests:
        times.setdefault(name, []).append(phone.page.evaluate(_ASK, [op, payload]))
        phone.page.wait_for_timeout(400)
    return {name: sorted(found)[len(found) // 2] for name, found in times.items()}
