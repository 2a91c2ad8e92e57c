"""A start that fails says so, and what is kept can still be taken out."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Route, expect

from tests.browser import acts
from tests.browser.phone import Phone, PhoneMaker
from tests.browser.server import Server

SITE = {"Site": "Gull Stair", "Near building": "Lodge", "Far building": "Pump house"}


@pytest.mark.parametrize(
    ("missing", "words"),
    [("**/static/js/parts/frame.js", "Spanbook could not start"), ("**/static/js/{app,fault}.js", "what is missing could not be loaded")],
    ids=["a module", "even the page that says so"],
)
def test_a_module_that_does_not_load_is_told_in_words(phones: PhoneMaker, server: Server, missing: str, words: str) -> None:
    phone = phones.fresh(server)
    phone.page.route(missing, lambda route: route.abort())
    phone.may_lose_network = True
    phone.page.goto(phone.server.base)
    expect(phone.page.locator("#app")).to_contain_text(words)
    phone.faults.clear()  # the browser's own words about the module


def test_what_is_on_the_phone_can_be_taken_out_when_core_does_not_start(phone: Phone, tmp_path: Path) -> None:
    acts.make_site(phone, SITE)
    phone.all_sent()

    def without_core(route: Route) -> None:
        route.fulfill(status=200, content_type="application/json", body='{"modules": {}, "limits": {}, "calculators": ""}')

    phone.page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => Promise.all(all.map((one) => one.unregister())))")
    phone.page.context.route("**/core.json", without_core)
    phone.page.reload()
    phone.heading("Spanbook could not start")
    with phone.page.expect_download() as download:
        phone.press("Export what is on this phone")
    file = tmp_path / "export.json"
    download.value.save_as(file)
    assert file.read_text(encoding="utf-8").count("Gull Stair") == 1
    phone.faults.clear()
