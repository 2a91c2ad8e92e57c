"""A long route on a small screen: what is well is folded, what is not stands first, and paper shows everything."""

from __future__ import annotations

import io
import re

import pypdf
from playwright.sync_api import expect

from tests.browser.demo import BEGUN, BOOK, FIBRE, link_path
from tests.browser.phone import Phone

# By hand, from ISO/IEC 14763-3:2024 as published: 2 x 0.70 dB at the ends, 2 x 0.30 dB for two splices and 0.4255 km x 0.4 dB/km make
# 2.17 dB; of the twelve losses in the demo book the highest is 0.72 dB.
TIGHTEST_LOSS = "12 pass, tightest 1.45 dB to spare"


def test_checks_of_one_rule_that_pass_are_one_row_with_the_tightest(demo_phone: Phone) -> None:
    demo_phone.open(link_path(FIBRE, "checks"))
    page = demo_phone.page
    fold = page.locator("summary").filter(has_text=re.compile(r"^\s*Loss:"))
    expect(fold).to_contain_text(TIGHTEST_LOSS)
    row = page.get_by_role("link", name=re.compile("^Loss, strand 4, 1310 nm, near to far"))
    expect(row).to_have_count(0)
    fold.click()
    expect(row).to_be_visible()


def test_what_fails_is_not_folded_and_stands_first_in_its_group(demo_phone: Phone) -> None:
    """540 mm of cover where 610 mm are asked for."""
    demo_phone.open(link_path(FIBRE, "checks"))
    group = demo_phone.page.get_by_role("region", name="Cable and route")
    expect(group.get_by_role("link").first).to_contain_text("Depth of cover, Lane corner")
    demo_phone.page.get_by_role("navigation", name="Groups of checks").get_by_role(
        "button", name=re.compile("^Cable and route 1 fail")
    ).click()
    expect(group.get_by_role("heading")).to_be_in_viewport()


def test_a_record_is_folded_on_the_screen_and_whole_on_paper(demo_phone: Phone) -> None:
    demo_phone.open(link_path(FIBRE, "record"))
    page = demo_phone.page
    instruments = page.get_by_text("LS4-00317").first
    expect(page.get_by_role("heading", name="Readings", exact=True)).to_be_visible()
    expect(instruments).to_be_hidden()
    printed = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4"))).pages
    assert "LS4-00317" in "".join(sheet.extract_text() for sheet in printed)
    expect(instruments).to_be_hidden()
    # On paper no title hangs out of the page's edge beside a triangle that isn't printed.
    page.emulate_media(media="print")
    begins = page.evaluate(
        """[...document.querySelectorAll(".record-section summary h2")].map((title) => {
          const words = document.createRange();
          words.selectNodeContents(title);
          return words.getBoundingClientRect().left - title.closest(".record-section").getBoundingClientRect().left;
        })"""
    )
    page.emulate_media(media="screen")
    assert len(begins) > 10 and min(begins) >= 0


def test_a_drawing_fits_the_screen_and_opens_larger(demo_phone: Phone) -> None:
    demo_phone.open(link_path(FIBRE, "record"))
    plan = demo_phone.page.get_by_role("region", name="Plan, part 1, drawing")
    picture = plan.get_by_role("img", name=re.compile("^Plan"))
    narrow = picture.bounding_box()
    assert narrow and narrow["x"] >= 0 and narrow["x"] + narrow["width"] <= 390
    demo_phone.press("Enlarge: Plan, part 1")
    large = picture.bounding_box()
    assert large and large["width"] > 2 * narrow["width"]
    assert demo_phone.page.evaluate("document.documentElement.scrollWidth") == 390


def test_a_station_begun_at_one_place_does_not_turn_up_at_another(demo_phone: Phone) -> None:
    page = demo_phone.page
    demo_phone.open(link_path(FIBRE))
    demo_phone.follow("Add a station between Lane corner and Row 14")
    demo_phone.heading("New station")
    begun = demo_phone.path()
    demo_phone.put("Name", "Kerb box")
    # A draft is kept a third of a second after the last key.
    page.wait_for_timeout(600)
    demo_phone.open(link_path(FIBRE))
    demo_phone.follow("Station")
    demo_phone.heading("New station")
    expect(page.get_by_label("Name", exact=True)).to_have_value("")
    demo_phone.open(link_path(FIBRE))
    notice = page.get_by_role("complementary").filter(has_text="Not saved yet: a new station, Kerb box")
    notice.get_by_role("link", name="Go on with it").click()
    demo_phone.heading("New station")
    assert demo_phone.path() == begun
    expect(page.get_by_label("Name", exact=True)).to_have_value("Kerb box")
    demo_phone.open(link_path(FIBRE))
    notice.get_by_role("button", name="Drop it").click()
    expect(notice).to_have_count(0)


def test_a_photo_that_was_being_taken_is_offered_at_the_start(demo_phone: Phone) -> None:
    """The phone closes the page while its camera is open; the app comes up at its start."""
    demo_phone.open(link_path(FIBRE))
    demo_phone.press("Photo of Handhole 1")
    with demo_phone.page.expect_file_chooser():
        demo_phone.press("Take photo")
    demo_phone.open("/")
    demo_phone.page.reload()
    notice = demo_phone.page.get_by_role("complementary").filter(
        has_text="A photo of Handhole 1 was being taken: choose it from the gallery"
    )
    notice.get_by_role("link", name="Go there").click()
    demo_phone.heading(re.compile("Office to press house"))
    demo_phone.press("It is not missing")
    demo_phone.open("/")
    expect(notice).to_have_count(0)


def test_two_values_lead_to_the_form_where_one_is_chosen(demo_phone: Phone) -> None:
    """From the site with one tap, and from the check; never to a reading."""
    choice = demo_phone.page.get_by_role("complementary", name="Depth of cover: two values")
    demo_phone.open(f"/book/{BOOK}")
    demo_phone.follow("Depth of cover of Handhole 3, Office to cellar, fibre")
    demo_phone.heading("Station: Handhole 3")
    expect(choice).to_be_in_viewport()
    expect(choice.get_by_role("button")).to_have_text([re.compile(r"^\s*Use 460 mm"), re.compile(r"^\s*Use 520 mm")])
    demo_phone.open(link_path(BEGUN, "checks"))
    demo_phone.follow(re.compile("^Two values stand: depth of cover of Handhole 3"))
    demo_phone.follow("Choose the value")
    demo_phone.heading("Station: Handhole 3")
    expect(choice).to_be_in_viewport()
