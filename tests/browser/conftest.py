"""What browser tests share: one Chromium, servers of their own, phones that note every fault."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests import chromium
from tests.browser.phone import ARGUMENTS, SCREEN, Phone, PhoneMaker
from tests.browser.server import Server


@pytest.fixture(scope="session")
def executable() -> str:
    found = chromium.find(sys.executable)
    assert found, "No Chromium was found. Run the tests with `python3 tests/run.py`, which installs one, or set CHROMIUM to its path."
    return found


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="session")
def browser(playwright: Playwright, executable: str) -> Iterator[Browser]:
    found = playwright.chromium.launch(executable_path=executable, args=ARGUMENTS)
    yield found
    found.close()


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory, _quick_passwords: None) -> Path:
    """The demo book, imported once."""
    folder = tmp_path_factory.mktemp("demo")
    Server(folder).import_demo()
    return folder


def _serve(folder: Path) -> Iterator[Server]:
    server = Server(folder)
    server.start()
    yield server
    server.stop()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """An empty server with one person."""
    (tmp_path / "data").mkdir()
    yield from _serve(tmp_path / "data")


@pytest.fixture
def stocked_server(demo_folder: Path, tmp_path: Path) -> Iterator[Server]:
    """A test's own server with the demo book in it, as an office has it that has worked for a while."""
    yield from _serve(Path(shutil.copytree(demo_folder, tmp_path / "data")))


@pytest.fixture(scope="module")
def demo_server(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with the demo book, the same one for all tests of a module: they only read."""
    folder = Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("served") / "data"))
    yield from _serve(folder)


@pytest.fixture
def phones(playwright: Playwright, browser: Browser, executable: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[PhoneMaker]:
    """Makes phones; at the end none may have had a fault, and of a failed test their last screens are kept."""
    maker = PhoneMaker(playwright, browser, executable, tmp_path)
    yield maker
    if _failed(request.node):
        for place, phone in enumerate(maker.made):
            _keep_screen(phone, tmp_path / f"screen-{place}.png")
    faults = [fault for phone in maker.made for fault in phone.faults]
    maker.close()
    assert not faults, faults


@pytest.fixture
def phone(phones: PhoneMaker, server: Server) -> Phone:
    """A fresh phone, signed in to an empty server and ready to go offline."""
    found = phones.fresh(server)
    found.sign_in()
    found.wait_until_kept_offline()
    return found


@pytest.fixture(scope="module")
def _kept_phone(browser: Browser, demo_server: Server) -> Iterator[Phone]:
    found = Phone(browser.new_context(**SCREEN), demo_server)
    found.sign_in()
    found.all_sent()
    yield found
    found.context.close()


@pytest.fixture
def demo_phone(_kept_phone: Phone, request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Phone]:
    """A phone with the demo book on it, the same one for all tests of a module."""
    _kept_phone.faults.clear()
    yield _kept_phone
    if _failed(request.node):
        _keep_screen(_kept_phone, tmp_path / "screen.png")
    assert not _kept_phone.faults, _kept_phone.faults


def _failed(node: Any) -> bool:
    return bool(getattr(node, "failed_call", False))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: Any, call: Any) -> Any:
    report = yield
    if report.when == "call" and report.failed:
        item.failed_call = True
    return report


def _keep_screen(phone: Phone, path: Path) -> None:
    try:
        phone.page.screenshot(path=path, full_page=True, timeout=5000)
        print(f"\nLast screen: {path} at {phone.page.url}\n{phone.page.inner_text('body', timeout=5000)[:3000]}\n{phone.faults}")
    except Exception as error:
        print(f"No screen of {phone.page.url}: {error}")
