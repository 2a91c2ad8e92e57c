"""Events of an OTDR typed on the phone without signal: both directions, verdict on their average, picture, record; modules as a trend."""

from __future__ import annotations

import os
import re
from pathlib import Path

from playwright.sync_api import expect

from tests.browser import acts
from tests.browser.phone import Phone

SITE = {"Site": "Alder Mill", "Near building": "Mill", "Far building": "Weir house"}
LINK: acts.Values = {
    "Link": "Mill to weir house",
    "Kind": "Optical fibre",
    "Fibre": "OS2 single-mode, outdoor",
    "Strands to be tested": "48",
    "Strands in use": "1-2",
    "Mated connections": "2",
    "Splices": "2",
    "Must carry": "10GBASE-LR",
}
QUANTITY = "Events along the fibre, OTDR"
# Distance, what it is, loss, reflectance. The splice at 410 m looks like a gain from the near end.
THERE = [
    ("0", "Connector", "0.31", "-48"),
    ("410.2", "Splice", "-0.27", ""),
    ("690.5", "Splice", "0.20", ""),
    ("815", "Connector", "0.25", "-50"),
]
BACK = [
    ("0", "Connector", "0.29", "-50"),
    ("124.4", "Splice", "0.44", ""),
    ("404.8", "Splice", "0.31", ""),
    ("815", "Connector", "0.35", "-48"),
]


def shot(phone: Phone, name: str) -> None:
    """For whoever looks at the screens: SCREENS names the folder."""
    if os.environ.get("SCREENS"):
        phone.page.screenshot(path=Path(os.environ["SCREENS"]) / f"{name}.png", full_page=True)


def begin_offline(phone: Phone, link: acts.Values = LINK) -> None:
    phone.may_lose_network = True
    phone.context.set_offline(True)
    acts.make_site(phone, SITE)
    acts.make_link(phone, link)
    for kind, mark in (("Building entry", "1000"), ("Closure", "1402"), ("Building entry", "1800")):
        acts.add_station(phone, {"What is here": kind, "Sheath mark": mark})


def type_events(phone: Phone, events: list[tuple[str, str, str, str]]) -> None:
    table = phone.page.get_by_role("group", name=QUANTITY, exact=True)
    for row, (distance, kind, loss, reflectance) in enumerate(events, start=1):
        if table.get_by_label(f"Distance, row {row}").count() == 0:
            phone.press("Add row")
        for label, words in (("Distance", distance), ("Loss", loss), ("Reflectance", reflectance)):
            table.get_by_label(f"{label}, row {row}", exact=True).fill(words)
        table.get_by_label(f"What it is, row {row}").select_option(label=kind)


def take_direction(phone: Phone, direction: str, events: list[tuple[str, str, str, str]]) -> None:
    phone.key("Wavelength", "1310 nm")
    phone.key("Direction", direction)
    type_events(phone, events)
    for cord in ("Launch cord", "Tail cord"):
        phone.put(cord, ("150", "m"))


def folded(phone: Phone, words: str | re.Pattern[str]) -> None:
    phone.page.locator("summary").filter(has_text=words).first.click()


def saved(phone: Phone) -> None:
    phone.press("Save reading")
    phone.said("Saved on this phone")


def test_events_from_both_ends_are_judged_on_their_average_without_signal(phone: Phone) -> None:
    begin_offline(phone)
    acts.open_reading(phone, QUANTITY)
    phone.page.get_by_role("textbox", name="Strand of 48").fill("1")
    acts.name_instrument(phone, "Reflectometer RM-1", "RM1-5")
    take_direction(phone, "Near to far", THERE)
    folded(phone, re.compile("not judged"))
    first = phone.page.get_by_role("article", name=re.compile("^Splice at 410.2 m, station 2"))
    expect(first).to_contain_text("one direction only, indicative: -0.27 dB")
    shot(phone, "events-there")
    saved(phone)
    take_direction(phone, "Far to near", BACK)
    # (-0.27 + 0.31) / 2 = 0.02 dB passes its 0.30 dB; (0.20 + 0.44) / 2 = 0.32 dB fails it.
    expect(phone.page.get_by_role("article", name=re.compile("^Splice at 690.6 m"))).to_contain_text("Fails by 0.02 dB")
    shot(phone, "events-back")
    folded(phone, re.compile(r"\d pass"))
    expect(phone.page.get_by_role("article", name=re.compile("^Splice at 410.2 m, station 2"))).to_contain_text("0.28 dB margin")
    saved(phone)

    phone.page.get_by_role("link", name="Mill to weir house").click()
    acts.open_checks(phone)
    phone.page.get_by_role("link", name=re.compile("^Splice at 690.6 m")).click()
    expect(phone.page.get_by_role("img", name=re.compile("^Loss along strand 1, 1310 nm"))).to_be_visible()
    assert phone.figures() == {"Measured": "0.32 dB", "Limit": "at most 0.30 dB", "Margin": "-0.02 dB"}
    shot(phone, "event-check")

    phone.open(phone.path().split("/check?")[0] + "/record")
    phone.heading(re.compile("^Commissioning record"))
    folded(phone, "Events along the fibre, by OTDR")
    events = phone.page.get_by_role("region", name=re.compile("^Events along the fibre, by OTDR.*table"))
    expect(events.get_by_role("row").nth(2)).to_contain_text("410.2 m, station 2 (closure)")
    expect(events.get_by_role("row").nth(2)).to_contain_text("0.02 dB")
    shot(phone, "events-record")
    phone.context.set_offline(False)
    phone.all_sent()


def test_places_of_the_strand_before_are_taken_over_and_never_its_losses(phone: Phone) -> None:
    begin_offline(phone)
    acts.open_reading(phone, QUANTITY)
    phone.page.get_by_role("textbox", name="Strand of 48").fill("1")
    take_direction(phone, "Near to far", THERE)
    saved(phone)
    phone.press("Next strand")
    phone.press("Places as on strand 1, 1310 nm")
    table = phone.page.get_by_role("group", name=QUANTITY, exact=True)
    expect(table.get_by_label("Distance, row 3", exact=True)).to_have_value("690.5")
    expect(table.get_by_label("Loss, row 3", exact=True)).to_have_value("")
    expect(phone.page.get_by_role("textbox", name="Strand of 48")).to_have_value("2")
    expect(phone.page.get_by_label("Launch cord", exact=True)).to_have_value("150")
    shot(phone, "events-places")


def test_what_a_module_says_is_shown_as_a_trend_and_never_judged(phone: Phone) -> None:
    begin_offline(phone)
    for number, words in (("-7", "-7.00 dBm"), ("-9.2", "Asks for service")):
        acts.open_reading(phone, "Module says: light received")
        phone.key("Taken at", "Far end")
        acts.type_value(phone, "Module says: light received", number)
        trend = phone.page.get_by_role("region", name="What it shows")
        expect(trend).to_contain_text(words)
        expect(trend).to_contain_text("Trend, not acceptance")
        expect(phone.page.get_by_role("article")).to_have_count(0)
        shot(phone, f"module-{number}")
        acts.save_reading(phone, "Module says: light received")
        phone.page.get_by_role("link", name="Mill to weir house").click()
    acts.open_checks(phone)
    said = phone.page.get_by_role("region", name="What the modules say")
    expect(said).to_contain_text("2.20 dB less light than at the first reading: service")
    shot(phone, "module-checks")


def test_the_launch_of_a_loss_is_asked_for_on_multimode_and_kept_for_the_next_strand(phone: Phone) -> None:
    begin_offline(phone, LINK | {"Fibre": "OM3", "Strands to be tested": "2", "Must carry": "1000BASE-SX"})
    acts.open_reading(phone, "Loss")
    phone.put("Launch, on multimode", "Encircled flux")
    phone.key("Method", "Three-cord")
    acts.type_value(phone, "Loss", "0.61")
    shot(phone, "loss-multimode")
    acts.save_reading(phone, "Loss")
    launch = phone.page.get_by_role("group", name="Launch, on multimode", exact=True)
    expect(launch.get_by_role("radio", name="Encircled flux")).to_be_checked()
    expect(phone.page.get_by_role("group", name=re.compile("^Method")).get_by_role("button", pressed=True)).to_have_text("Three")
