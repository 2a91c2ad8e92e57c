"""The two kinds of copper link, made and measured without signal."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser import acts
from tests.browser.phone import Phone, pairs

SITE = {"Site": "Alder Mill", "Near building": "Mill", "Far building": "Weir house"}
PAIRS = ("1-2", "3-6", "4-5", "7-8")


def begin_offline(phone: Phone, link: acts.Values) -> None:
    phone.may_lose_network = True
    phone.context.set_offline(True)
    acts.make_site(phone, SITE)
    acts.make_link(phone, link)


def take_loops(phone: Phone, ohms: str) -> None:
    acts.open_reading(phone, "Pair loop resistance")
    acts.name_instrument(phone, "Ohmmeter OM-1", "OM1-77")
    for pair in PAIRS:
        phone.key("Pair", pair)
        acts.type_value(phone, "Pair loop resistance", ohms)
        acts.save_reading(phone, "Pair loop resistance")


def figures_of(phone: Phone, title: str) -> dict[str, str]:
    return pairs(phone.page.get_by_role("link", name=re.compile(f"^{re.escape(title)}")).locator("dl"))


def send(phone: Phone) -> None:
    phone.waiting(re.compile(r"\d+ entries on this phone only"))
    phone.context.set_offline(False)
    phone.all_sent()


def test_balanced_copper_is_judged_by_wire_map_and_loops(phone: Phone) -> None:
    begin_offline(
        phone,
        {
            "Link": "Mill to weir house",
            "Kind": "Balanced copper, to 100 m",
            "Category": "6 / class E",
            "What is tested": "Permanent link: socket to socket",
            "Conductor": "23 AWG",
        },
    )
    acts.open_reading(phone, "Wire map")
    phone.page.get_by_label(re.compile("eight signs")).fill("12645378")
    trial = phone.page.get_by_role("article", name="Wire map")
    expect(trial).to_contain_text("fails")
    phone.press("All eight straight through")
    phone.key("Split pair found", "No")
    expect(trial).to_contain_text("passes")
    phone.press("Save reading")
    phone.said("Saved on this phone")

    phone.follow("Mill to weir house")
    take_loops(phone, "9,3")
    phone.follow("Mill to weir house")
    acts.open_checks(phone)
    # The largest loop of a class E permanent link is 21 ohm in ISO/IEC 11801-1: 21 - 9.3 = 11.7.
    for pair in PAIRS:
        found = figures_of(phone, f"Pair loop resistance, pair {pair}")
        assert found == {"Measured": "9.30 Ω", "Limit": "at most 21.00 Ω", "Margin": "11.70 Ω"}
    assert figures_of(phone, "Wire map")["Measured"] == "all eight pins right"
    send(phone)


def test_extended_copper_fails_on_the_voltage_that_arrives(phone: Phone) -> None:
    begin_offline(
        phone,
        {
            "Link": "Mill to weir camera",
            "Kind": "Extended-reach copper with power",
            "Category": "5e / class D",
            "Conductor": "24 AWG",
            "Maker's stated reach": ("300", "m"),
            "Where the maker states it": "Leaflet, issue 2",
            "Power over": "Two pairs",
            "Supply voltage": ("48", "V"),
            "Load at the far end": ("22", "W"),
            "Lowest voltage the load accepts": ("37", "V"),
            "Hottest cable temperature": ("20", "°C"),
        },
    )
    take_loops(phone, "43,6")
    phone.follow("Mill to weir camera")
    acts.open_reading(phone, "Voltage at the far end, under load")
    acts.type_value(phone, "Voltage at the far end, under load", "33,4")
    # 33.4 - 37 = -3.6, told before anything is saved.
    trial = phone.page.get_by_role("article", name="Voltage at the far end, measured under load")
    expect(trial).to_contain_text("-3.6 V margin")
    expect(trial).to_contain_text("fails")
    acts.save_reading(phone, "Voltage at the far end, under load")
    phone.follow("Mill to weir camera")
    acts.open_checks(phone)
    # Two pairs of 43.6 ohm loops, each pair's wires side by side, are 43.6 / 2 = 21.8 ohm out and back;
    # V = (48 + sqrt(48 x 48 - 4 x 21.8 x 22)) / 2 = 33.82 V, 3.18 V short of 37 V.
    calculated = figures_of(phone, "Voltage at the far end, calculated at full load")
    assert (calculated["Measured"], calculated["Limit"], calculated["Margin"]) == ("33.8 V", "at least 37.0 V", "-3.2 V")
    phone.page.get_by_role("button", name=re.compile("^Failing")).click()
    expect(phone.page.get_by_role("link", name=re.compile("^Voltage at the far end"))).to_have_count(2)
    send(phone)
