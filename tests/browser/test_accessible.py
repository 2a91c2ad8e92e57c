"""Every screen for everyone: no serious fault by axe, and targets that a gloved thumb hits."""

from __future__ import annotations

import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.demo import BEGUN, BOOK, COPPER, EXTENDED, FIBRE, first, link_path
from tests.browser.phone import Phone

LOSS_CHECK = "fibre_loss%3Astrand%3D1%3Awavelength%3D1310%3Adirection%3Dnear_to_far"
WEIGHTY = ("serious", "critical")
LEAST_TARGET_PX = 48
# On an empty page axe finds nothing either.
LEAST_RULES_APPLIED = 10


def edit(kind: str, subject: str, link: str = "") -> str:
    return f"/book/{BOOK}/edit/{kind}/{subject}" + (f"?link={link}" if link else "")


def reading(link: str, query: str = "") -> str:
    return link_path(link, f"reading?{query}" if query else "reading")


# Screen by screen: its address after #, and words that are on it once it is all there.
SCREENS = {
    "sites": ("/", "Three Lanterns"),
    "sign-in": ("/sign-in", "Password"),
    "new site": ("/book/new", "Far building"),
    "site": (f"/book/{BOOK}", "Corners for ties"),
    "form of the site": (edit("site", BOOK), "Client"),
    "form of a building": (edit("building", first("building")), "Position"),
    "form of a corner": (edit("corner", first("corner")), "Position"),
    "form of a new link": (edit("link", "new"), "Far end building"),
    "form of a fibre link": (edit("link", FIBRE), "Mated connections"),
    "form of a copper link": (edit("link", COPPER), "Conductor"),
    "form of an extended link": (edit("link", EXTENDED), "Supply voltage"),
    "form of a new station": (edit("station", "new", FIBRE), "What is here"),
    "form of a station": (edit("station", first("station", FIBRE), FIBRE), "Sheath mark"),
    "form of an end": (edit("end", f"{FIBRE}:near", FIBRE), "Transmit power, least"),
    "form of a bond": (edit("bond", first("bond", FIBRE), FIBRE), "Joints"),
    "form of a protector": (edit("protector", first("protector", COPPER), COPPER), "Earth lead length"),
    "strip map of fibre": (link_path(FIBRE), "Handhole 1"),
    "strip map of copper": (link_path(COPPER), "Cellar"),
    "strip map of extended copper": (link_path(EXTENDED), "Handhole 3"),
    "strip map with two values": (link_path(BEGUN), "two values"),
    "choice of readings": (reading(BEGUN), "Other readings"),
    "reading of loss": (reading(BEGUN, "quantity=optical_loss"), "Instrument"),
    "reading of a wire map": (reading(COPPER, "quantity=wire_map"), "Split pair found"),
    "reading of events along a fibre": (reading(FIBRE, "quantity=fibre_events"), "Launch cord"),
    "reading of what a module says": (reading(FIBRE, "quantity=module_receive"), "Module: type and serial number"),
    "reading of a sweep": (reading(COPPER, "quantity=sweep"), "Paste or choose a file"),
    "reading of an end face": (reading(FIBRE, "quantity=end_face"), "Strand"),
    "checks of fibre": (link_path(FIBRE, "checks"), "What this link can carry"),
    "checks of copper": (link_path(COPPER, "checks"), "Conductor material"),
    "checks not yet measured": (link_path(BEGUN, "checks"), "not measured"),
    "one check": (link_path(FIBRE, f"check?id={LOSS_CHECK}"), "Working"),
    "signing": (link_path(BEGUN, "sign"), "Signatures"),
    "signed": (link_path(FIBRE, "sign"), "Digest"),
    "record": (link_path(FIBRE, "record"), "Print or save as PDF"),
    "labels": (link_path(FIBRE, "labels"), "Cable and route"),
    "label of no link": ("/l/0123456789AB", "has no link with this code"),
    "limits": ("/limits", "Depth of cover"),
    "limit set": ("/limits/iso-11801-1-2017-copper", "Permanent link"),
    "limit of a link": (edit("limit", f"{COPPER}:limit:loop_resistance", COPPER), "Where it is written"),
    "bench": ("/bench", "Loss allowed on a fibre link"),
    "bench of a link": (link_path(FIBRE, "bench"), "Loss allowed on a fibre link"),
    "calculator": ("/bench/lightning_exposure", "Needed for a result"),
    "calculator with words and units": (link_path(FIBRE, "bench/transceiver_budget"), "How it is worked out"),
    "nowhere": (f"/book/{BOOK}/link/none", "could not be shown"),
}
OFFICE = {
    "links": ("/office/", "Links"),
    "search": ("/office/?q=cellar", "Links"),
    "site": (f"/office/sites/{BOOK}", "Three Lanterns"),
    "link": (f"/office/links/{BOOK}/{FIBRE}", "Office to press house"),
    "labels": (f"/office/links/{BOOK}/{FIBRE}/labels", "Labels"),
    "people": ("/office/people", "People"),
    "limits": ("/office/limits", "Limits"),
    "limit set": ("/office/limits/burial", "Depth of cover"),
}


def weighty_faults(page: Page) -> list[str]:
    """What axe finds on the page as it is now: rule, how grave, and where."""
    answer = Axe().run(page).response
    assert len(answer["passes"]) > LEAST_RULES_APPLIED
    found: list[dict[str, Any]] = answer["violations"]
    return [
        f"{fault['impact']} {fault['id']}: {node['html'][:160]} {node['failureSummary'][:200]}"
        for fault in found
        if fault["impact"] in WEIGHTY
        for node in fault["nodes"]
    ]


def small_targets(page: Page) -> list[str]:
    """Buttons and links of the bars at the bottom, and every button on the page, that are lower than a thumb needs."""
    measure = """least => [...document.querySelectorAll("main button, main nav a, main .actions a, main a[class*='action'], dialog button")]
      .filter(one => one.getClientRects().length > 0 && one.getBoundingClientRect().height < least - 0.5)
      .map(one => `${one.getBoundingClientRect().height} px: ${one.outerHTML.slice(0, 160)}`)"""
    found: list[str] = page.evaluate(measure, LEAST_TARGET_PX)
    return found


@pytest.mark.parametrize("name", SCREENS)
def test_a_screen_is_open_to_everyone(demo_phone: Phone, name: str) -> None:
    address, words = SCREENS[name]
    demo_phone.open(address)
    expect(demo_phone.page.get_by_role("main").get_by_text(words).first).to_be_visible()
    assert weighty_faults(demo_phone.page) == []
    assert small_targets(demo_phone.page) == []


SHEETS = {
    "photo": (link_path(BEGUN), "Photo", "Photo"),
    "note": (link_path(BEGUN), "Note on the link", re.compile("^Note")),
    "void": (link_path(BEGUN), re.compile("^Void Loss"), "Void this reading"),
    "two values": (link_path(BEGUN), re.compile("two values: choose", re.IGNORECASE), re.compile("two values")),
    "identifier": (link_path(FIBRE, "labels"), "Change: Port, near end", "Port, near end"),
    "label": (link_path(FIBRE, "labels"), "Label of the cable", "Label: Cable"),
    "deviation": (link_path(BEGUN, "sign"), re.compile("^Accept all"), re.compile("^Accept")),
}


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_open_to_everyone(demo_phone: Phone, name: str) -> None:
    address, button, title = SHEETS[name]
    demo_phone.open(address)
    demo_phone.press(button)
    expect(demo_phone.page.get_by_role("dialog", name=title)).to_be_visible()
    assert weighty_faults(demo_phone.page) == []
    assert small_targets(demo_phone.page) == []


@pytest.mark.parametrize("name", OFFICE)
def test_an_office_page_is_open_to_everyone(demo_phone: Phone, name: str) -> None:
    address, words = OFFICE[name]
    page = demo_phone.context.new_page()
    page.goto(demo_phone.server.base + address)
    expect(page.get_by_role("heading", level=1)).to_contain_text(words)
    found = weighty_faults(page)
    page.close()
    assert found == []


def test_the_office_s_sign_in_is_open_to_everyone(phones: Any, demo_phone: Phone) -> None:
    stranger = phones.fresh(demo_phone.server)
    stranger.page.goto(f"{demo_phone.server.base}/office/")
    expect(stranger.page.get_by_role("heading", level=1)).to_contain_text("Sign in")
    assert weighty_faults(stranger.page) == []


def test_a_calculator_s_result_is_open_to_everyone(demo_phone: Phone) -> None:
    demo_phone.open(link_path(FIBRE, "bench/pull_tension"))
    demo_phone.press("Fill in an example")
    expect(demo_phone.page.get_by_text("160.1 N").first).to_be_visible()
    assert weighty_faults(demo_phone.page) == []
    assert small_targets(demo_phone.page) == []
    demo_phone.put("Weight", "heavy")
    expect(demo_phone.page.get_by_text("Begin with a number")).to_be_visible()
    assert weighty_faults(demo_phone.page) == []


def test_what_keeps_a_link_from_being_signed_is_shown_to_everyone(demo_phone: Phone) -> None:
    """With a caution ticked, everything unfolded, and a signature that is typed."""
    page = demo_phone.page
    demo_phone.open(link_path(BEGUN, "sign"))
    page.get_by_role("checkbox", name="Storm: read and passed on").check()
    demo_phone.press("The installer can't draw: sign by typing")
    demo_phone.press("Sign and seal")
    expect(page.get_by_text("Not signed yet:")).to_be_visible()
    page.evaluate("document.querySelectorAll('main details').forEach(one => (one.open = true))")
    assert weighty_faults(page) == []
    assert small_targets(page) == []
    demo_phone.press("Draw instead")
    page.get_by_role("checkbox", name="Storm: read and passed on").uncheck()


def test_a_seal_is_shown_whole_to_everyone(demo_phone: Phone) -> None:
    demo_phone.open(link_path(FIBRE, "sign"))
    expect(demo_phone.page.get_by_text("Device signature").first).to_be_visible()
    demo_phone.page.evaluate("document.querySelectorAll('main details').forEach(one => (one.open = true))")
    assert weighty_faults(demo_phone.page) == []
    assert small_targets(demo_phone.page) == []


def test_errors_are_shown_to_everyone(demo_phone: Phone) -> None:
    """Alerts have colours and roles of their own, so they are looked at as well."""
    demo_phone.open("/book/new")
    demo_phone.press("Save site")
    expect(demo_phone.page.get_by_text("Site is needed")).to_be_visible()
    assert weighty_faults(demo_phone.page) == []


NARROW = [
    "sites",
    "strip map of fibre",
    "reading of loss",
    "checks of copper",
    "one check",
    "signing",
    "record",
    "bench",
    "calculator",
]


@pytest.mark.parametrize("name", NARROW)
def test_nothing_hangs_over_the_edge_of_a_narrow_screen(demo_phone: Phone, name: str) -> None:
    """320 px, as WCAG 2.2 has it (1.4.10); what is wider by nature moves inside its own box."""
    address, words = SCREENS[name]
    demo_phone.page.set_viewport_size({"width": 320, "height": 640})
    demo_phone.open(address)
    expect(demo_phone.page.get_by_role("main").get_by_text(words).first).to_be_visible()
    wide = demo_phone.page.evaluate("document.documentElement.scrollWidth")
    demo_phone.page.set_viewport_size({"width": 390, "height": 844})
    assert wide <= 320
