"""The client's page and the office's pages around it, in a real browser: on a phone, on paper, for everyone."""

from __future__ import annotations

import io
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from app import create_app, serving
from app.office import making, orders
from app.office.jobs import Order
from app.store import database, entries, people, shares
from app.store.database import writing
from app.sync.checking import check
from tests import sealing
from tests.browser.demo import BOOK, FIBRE
from tests.browser.phone import SCREEN
from tests.browser.server import NAME, PASSWORD
from tests.browser.test_accessible import small_targets, weighty_faults
from tests.making import new_id

LEAST_CONTRAST = 7
NARROW_PX = 320


@dataclass
class Place:
    """A server of this module's own, in this process, so that work can be held up."""

    base: str
    token: str
    go: threading.Event


def _sign(db: database.Database) -> str:
    """The demo's fibre link signed once more, by a device with a key."""
    text, accepted = sealing.seal_text(
        BOOK, entries.texts_of(db, BOOK), FIBRE, new_id(), at="2026-11-20T15:00:00.000+01:00", accept=True
    )
    with writing(db):
        for one in [*accepted, text]:
            entries.add(db, check(one), None, "test")
    person = people.by_name(db, NAME)
    assert person
    return shares.make(db, BOOK, FIBRE, person.id, "The client's engineer")[1]


@pytest.fixture(scope="module")
def place(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Place]:
    import shutil

    folder = Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("client") / "data"))
    db = database.connect(folder / "spanbook.db")
    token = _sign(db)
    db.close()
    server = serving.make_server(create_app(folder), "127.0.0.1", 0)
    thread = threading.Thread(target=server.serve, daemon=True)
    thread.start()
    yield Place(serving.address_of(server), token, threading.Event())
    server.stop()
    thread.join(20)


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A phone that nobody signed in with; at the end it has had no fault."""
    context = browser.new_context(**SCREEN)
    found, faults = context.new_page(), []
    found.on("console", lambda message: faults.append(message.text) if message.type in ("error", "warning") else None)
    yield found
    context.close()
    assert faults == []


@pytest.fixture
def office(place: Place, page: Page) -> Page:
    """The same, signed in, on the page of the link."""
    page.goto(f"{place.base}/office/links/{BOOK}/{FIBRE}")
    page.get_by_label("Name").fill(NAME)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Show the client")).to_be_visible()
    return page


def width(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollWidth"))


def unfold(page: Page) -> None:
    page.evaluate("for (const part of document.querySelectorAll('details')) part.open = true")


def test_the_client_s_page_is_open_to_everyone_and_fits_a_phone(place: Place, page: Page) -> None:
    page.goto(f"{place.base}/c/{place.token}")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Office to press house")
    expect(page.get_by_role("heading", name="Signed, and here as it was signed")).to_be_visible()
    unfold(page)
    assert weighty_faults(page) == []
    assert small_targets(page) == []
    assert width(page) <= SCREEN["viewport"]["width"]  # type: ignore[index]
    page.set_viewport_size({"width": NARROW_PX, "height": 640})
    assert width(page) <= NARROW_PX


def test_every_word_of_the_client_s_page_has_a_contrast_of_seven(place: Place, page: Page) -> None:
    page.goto(f"{place.base}/c/{place.token}")
    unfold(page)
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(
        page, options={"runOnly": ["color-contrast-enhanced"], "rules": {"color-contrast-enhanced": {"enabled": True}}}
    )
    assert found.response["passes"] and found.response["violations"] == []


def test_photos_and_drawings_of_the_record_are_shown_without_a_script(place: Place, browser: Browser) -> None:
    context = browser.new_context(**SCREEN, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{place.base}/c/{place.token}")
    page.locator("summary", has_text="Photos").click()
    photo = page.locator(".photos img").first
    photo.scroll_into_view_if_needed()
    expect(photo).to_be_visible()
    assert page.request.get(f"{place.base}{photo.get_attribute('src')}").headers["content-type"] == "image/jpeg"
    plan = page.locator(".drawing").first
    before = plan.locator("svg").bounding_box()
    plan.get_by_role("checkbox", name=re.compile("^Larger")).check()
    after = plan.locator("svg").bounding_box()
    assert before and after and after["width"] > 2 * before["width"]
    context.close()


def test_the_page_on_paper_holds_every_part_though_it_was_folded(place: Place, page: Page) -> None:
    page.goto(f"{place.base}/c/{place.token}")
    document = pypdfium2.PdfDocument(page.pdf(format="A4"))
    said = " ".join(" ".join(sheet.get_textpage().get_text_range() for sheet in document).split())
    for words in ("Cautions for whoever works on it next", "Do not work on this cable", "Signed, and here as it was signed"):
        assert words in said
    assert "Larger" not in said and "PDF, US letter" not in said


def test_what_is_no_longer_open_is_a_plain_page(place: Place, browser: Browser) -> None:
    # A page of its own: a browser notes each 404 as a fault.
    context = browser.new_context(**SCREEN)
    page = context.new_page()
    answer = page.goto(f"{place.base}/c/{'A' * 32}")
    assert answer and answer.status == 404
    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing is shown here")
    assert weighty_faults(page) == []
    context.close()


def test_the_phone_s_own_worker_leaves_the_client_s_page_to_the_server(place: Place, page: Page) -> None:
    page.goto(place.base)
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    page.goto(f"{place.base}/c/{place.token}")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Office to press house")


def test_the_link_s_page_fits_a_phone_and_is_open_to_everyone(office: Page) -> None:
    unfold(office)
    assert weighty_faults(office) == []
    assert width(office) <= SCREEN["viewport"]["width"]  # type: ignore[index]


def test_the_address_for_the_client_is_copied_and_its_code_read_by_another_program(office: Page, place: Place) -> None:
    office.get_by_label("For whom").fill("Clerk of works")
    office.get_by_role("button", name="Make a link for the client").click()
    address = office.get_by_label("Address for the client").input_value()
    assert address.startswith(f"{place.base}/c/")
    office.context.grant_permissions(["clipboard-read", "clipboard-write"], origin=place.base)
    office.get_by_role("button", name="Copy").click()
    expect(office.get_by_role("button", name="Copied")).to_be_visible()
    assert office.evaluate("navigator.clipboard.readText()") == address
    shot = office.locator(".code img").screenshot()
    assert [code.text for code in zxingcpp.read_barcodes(Image.open(io.BytesIO(shot)))] == [address]
    assert weighty_faults(office) == [] and width(office) <= SCREEN["viewport"]["width"]  # type: ignore[index]


def test_a_client_s_link_is_revoked_with_one_button(office: Page, place: Place) -> None:
    office.get_by_label("For whom").fill("Somebody who left")
    office.get_by_role("button", name="Make a link for the client").click()
    address = office.get_by_label("Address for the client").input_value()
    office.get_by_role("button", name="Revoke the link for Somebody who left").click()
    expect(office.get_by_role("status")).to_contain_text("The client's link is revoked")
    assert office.request.get(address).status == 404


@pytest.fixture
def held_up(place: Place, monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Records wait at their twelfth photo of forty until the event is set."""
    true_order, go = orders.record, threading.Event()

    def slow(*asked: Any) -> Order:
        order = true_order(*asked)

        def work(path: Path, progress: Any) -> None:
            progress(12, 40, "Photo 12 of 40")
            assert go.wait(60)
            order.work(path, progress)

        return Order(order.key, order.title, order.file_name, order.media_type, work)

    monkeypatch.setattr(orders, "record", slow)
    monkeypatch.setattr(making, "_AT_ONCE_SECONDS", 0.05)
    yield go
    go.set()


def test_long_work_shows_how_far_it_is_and_then_downloads(office: Page, held_up: threading.Event) -> None:
    office.get_by_role("button", name="Commissioning record (PDF)").click()
    expect(office.get_by_role("status")).to_have_text("Photo 12 of 40")
    bar = office.get_by_role("progressbar", name="Commissioning record, A4")
    assert (bar.get_attribute("max"), bar.evaluate("element => element.value")) == ("40", 12)
    assert weighty_faults(office) == [] and small_targets(office) == []
    with office.expect_download() as fetched:
        held_up.set()
    assert fetched.value.suggested_filename == "record-Office-to-press-house-revision-2.pdf"
    assert Path(fetched.value.path()).read_bytes().startswith(b"%PDF-")
    expect(office.get_by_role("status")).to_contain_text("Done: record-Office-to-press-house-revision-2.pdf")
    assert weighty_faults(office) == []


def test_long_work_can_be_followed_without_a_script(place: Place, browser: Browser, held_up: threading.Event) -> None:
    context = browser.new_context(**SCREEN, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{place.base}/office/links/{BOOK}/{FIBRE}")
    page.get_by_label("Name").fill(NAME)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("button", name="Commissioning record (PDF)").click()
    expect(page.get_by_text(re.compile("Photo 12 of 40|Begun"))).to_be_visible()
    held_up.set()
    with page.expect_download() as fetched:
        page.get_by_role("link", name="Download the PDF").click()
    assert fetched.value.suggested_filename == "record-Office-to-press-house-revision-2.pdf"
    context.close()


def test_long_work_is_stopped_with_one_button(office: Page, held_up: threading.Event) -> None:
    office.get_by_role("button", name="Commissioning record (PDF)").click()
    office.get_by_role("button", name="Stop").click()
    expect(office.get_by_role("heading", name="Hand out")).to_be_visible()
