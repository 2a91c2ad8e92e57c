"""A phone as a person holds it: what is seen by its words, what is pressed by its label. Tests say what is done, not where it stands in the page."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Locator, Playwright, expect

from tests.browser.server import NAME, PASSWORD, Server

SCREEN = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "is_mobile": True, "has_touch": True}
PLACE = {"latitude": 44.0005, "longitude": -29.001, "accuracy": 4}
ARGUMENTS = ["--no-sandbox"]
# The first calculation on a busy machine starts the interpreter; later ones take far less.
PATIENCE_MS = 15_000
# What the browser itself writes when an answer does not come or is a refusal; the app has to cope, and tests look at how.
_NETWORK_WORDS = re.compile(r"Failed to load resource|net::ERR_|An SSL certificate error")

expect.set_options(timeout=PATIENCE_MS)

Value = str | tuple[str, str]


class Phone:
    """One browser with one page, its faults noted as they come."""

    def __init__(self, context: BrowserContext, server: Server) -> None:
        self.server = server
        self.faults: list[str] = []
        self.may_lose_network = False
        self.take(context)

    def take(self, context: BrowserContext) -> None:
        """Use this browser from here on."""
        self.context = context
        context.set_default_timeout(PATIENCE_MS)
        context.on("weberror", lambda fault: self.faults.append(f"page: {fault.error}"))
        context.on("console", self._note)
        self.page = context.pages[0] if context.pages else context.new_page()

    def _note(self, message: ConsoleMessage) -> None:
        if message.type == "error" and not (self.may_lose_network and _NETWORK_WORDS.search(message.text)):
            self.faults.append(f"console: {message.text}")

    # ---- getting about

    def open(self, path: str = "/") -> None:
        """Go to an address after #, and wait until its screen is there instead of the one before."""
        address = f"{self.server.base}/#{path}"
        if self.page.url == address:
            self.page.reload()
        else:
            self.page.evaluate("document.querySelector('main .screen')?.setAttribute('data-left', '')")
            self.page.goto(address)
        expect(self.page.locator("main .screen:not([data-left])")).to_be_visible()

    def heading(self, words: str | re.Pattern[str] | None = None) -> Locator:
        """The screen's title, by the whole of it: "Site: Tern Point" is the form, "Tern Point" the site."""
        found = self.page.get_by_role("heading", level=1, name=words, exact=isinstance(words, str))
        expect(found).to_be_visible()
        return found

    def sign_in(self) -> None:
        self.open("/sign-in")
        self.enter_password()
        self.heading("Sites")

    def enter_password(self) -> None:
        self.page.get_by_label("Name", exact=True).fill(NAME)
        self.page.get_by_label("Password", exact=True).fill(PASSWORD)
        self.press("Sign in")

    def wait_until_kept_offline(self) -> None:
        """The service worker has every file and answers for this page."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => null)")
        self.page.wait_for_function("navigator.serviceWorker.controller !== null")

    def press(self, words: str | re.Pattern[str]) -> None:
        self.page.get_by_role("button", name=words, exact=isinstance(words, str)).click()

    def follow(self, words: str | re.Pattern[str]) -> None:
        self.page.get_by_role("link", name=words, exact=isinstance(words, str)).click()

    def path(self) -> str:
        return self.page.url.split("#", 1)[1]

    # ---- filling in

    def fill(self, values: dict[str, Value]) -> None:
        """Each field by its label: text, a word to choose, or (number, unit)."""
        for label, value in values.items():
            self.put(label, value)

    def put(self, label: str, value: Value) -> None:
        if isinstance(value, tuple):
            self.page.get_by_label(label, exact=True).fill(value[0])
            self.choose_unit(label, value[1])
            return
        group = self.page.get_by_role("group", name=label, exact=True)
        field = self.page.get_by_label(label, exact=True)
        expect(group.or_(field).first).to_be_visible()
        if group.count():
            group.get_by_role("radio", name=value, exact=True).check()
        elif field.evaluate("element => element.tagName") == "SELECT":
            field.select_option(label=value)
        else:
            field.fill(value)

    def choose_unit(self, label: str, unit: str) -> None:
        name = f"Unit of {label}"
        group = self.page.get_by_role("radiogroup", name=name, exact=True)
        choice = self.page.get_by_role("combobox", name=name, exact=True)
        if group.count():
            group.get_by_role("radio", name=unit, exact=True).check()
        elif choice.count():
            choice.select_option(label=unit)

    def key(self, group: str, words: str) -> None:
        """A big button of a reading: which strand, which wavelength."""
        self.page.get_by_role("group", name=re.compile(rf"^{re.escape(group)}\b")).get_by_role("button", name=words, exact=True).click()

    def said(self, words: str | re.Pattern[str]) -> None:
        """A notice, a result or an alert that is read out says this."""
        expect(self.page.locator("[role=status], [role=alert], [aria-live]").filter(has_text=words).first).to_be_visible()

    # ---- what waits

    def waiting(self, words: str | re.Pattern[str]) -> None:
        """The line at the top says this of what is on this phone only."""
        expect(self.page.locator("header").first).to_contain_text(words)

    def all_sent(self) -> None:
        self.waiting("All on the server")

    # ---- reading off

    def figures(self) -> dict[str, str]:
        """Measured, limit and margin of the check on the screen."""
        return pairs(self.page.locator("main dl.figures").first)


def pairs(listing: Locator) -> dict[str, str]:
    """The words of a list of terms and what is said of them."""
    expect(listing).to_be_visible()
    terms, texts = listing.locator("dt").all_inner_texts(), listing.locator("dd").all_inner_texts()
    return dict(zip(terms, texts, strict=True))


class PhoneMaker:
    """Phones for one test: fresh ones, or ones that keep what they hold when the browser is closed."""

    def __init__(self, playwright: Playwright, browser: Browser, executable: str, folder: Path) -> None:
        self.playwright, self.browser, self.executable, self.folder = playwright, browser, executable, folder
        self.made: list[Phone] = []

    def fresh(self, server: Server, **options: Any) -> Phone:
        phone = Phone(self.browser.new_context(**SCREEN, **options), server)
        self.made.append(phone)
        return phone

    def lasting(self, server: Server) -> Phone:
        phone = Phone(self._launch(), server)
        self.made.append(phone)
        return phone

    def _launch(self) -> BrowserContext:
        return self.playwright.chromium.launch_persistent_context(
            self.folder / "profile",
            executable_path=self.executable,
            args=ARGUMENTS,
            geolocation=PLACE,
            permissions=["geolocation"],
            **SCREEN,
        )

    def restart(self, phone: Phone, offline: bool) -> None:
        """Close the browser and start it cold with what it has kept."""
        phone.context.close()
        phone.take(self._launch())
        phone.context.set_offline(offline)

    def kill(self, phone: Phone, offline: bool) -> None:
        """End the browser at once, as an empty battery does, and start it cold."""
        for number in self._processes():
            os.kill(number, signal.SIGKILL)
        with suppressed():
            phone.context.close()
        (self.folder / "profile" / "SingletonLock").unlink(missing_ok=True)
        phone.take(self._launch())
        phone.context.set_offline(offline)

    def _processes(self) -> Iterator[int]:
        """The browser over our own profile folder, not its helpers (they end with it)."""
        wanted = f"--user-data-dir={self.folder / 'profile'}".encode()
        for entry in Path("/proc").glob("[0-9]*"):
            try:
                words = (entry / "cmdline").read_bytes().split(b"\0")
            except OSError:
                continue
            if wanted in words and not any(word.startswith(b"--type=") for word in words):
                yield int(entry.name)

    def close(self) -> None:
        for phone in self.made:
            with suppressed():
                phone.context.close()


@contextmanager
def suppressed() -> Iterator[None]:
    """A browser that is gone already needs no closing."""
    try:
        yield
    except Exception as error:
        if "closed" not in str(error).lower():
            raise


