"""Swept results on the phone, without signal: pasted, seen trace by trace, kept at once, drawn; and typed row by row."""

from __future__ import annotations

import itertools
import math
import re
from pathlib import Path

from playwright.sync_api import Locator, expect

from tests.browser import acts
from tests.browser.phone import Phone

SITE = {"Site": "Alder Mill", "Near building": "Mill", "Far building": "Weir house"}
LINK = {
    "Link": "Mill to weir house",
    "Kind": "Balanced copper, to 100 m",
    "Category": "6 / class E",
    "What is tested": "Channel: with its cords",
}
PAIRS = ("1-2", "3-6", "4-5", "7-8")
SWEEP = "Sweep over frequency"


def begin_offline(phone: Phone) -> None:
    phone.may_lose_network = True
    phone.context.set_offline(True)
    acts.make_site(phone, SITE)
    acts.make_link(phone, LINK)
    acts.open_reading(phone, SWEEP)


def next_of_six(points: int = 101) -> str:
    """NEXT of six combinations 6, 7, ... 11 dB above 44.3 - 15 lg(f / 100); with decimal commas, as spreadsheets of half the world write."""
    lines = ["frequency MHz; " + "; ".join(f"{one}/{other}" for one, other in itertools.combinations(PAIRS, 2))]
    for place in range(points):
        frequency = 1 + place * 249 / (points - 1)
        line = [frequency, *[44.3 - 15 * math.log10(frequency / 100) + 6 + more for more in range(6)]]
        lines.append("; ".join(f"{number:.2f}".replace(".", ",") for number in line))
    return "\n".join(lines)


def traces(phone: Phone) -> Locator:
    return phone.page.get_by_role("region", name="Traces found").get_by_role("listitem")


def bring(phone: Phone, text: str) -> None:
    phone.page.get_by_label("Table of numbers").fill(text)


def paste_into(cell: Locator, text: str) -> None:
    cell.evaluate(
        """(element, text) => {
            const clipboardData = new DataTransfer();
            clipboardData.setData("text/plain", text);
            element.dispatchEvent(new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true }));
        }""",
        text,
    )


def cell(phone: Phone, column: str, row: int) -> Locator:
    return phone.page.get_by_role("textbox", name=f"{column}, row {row}", exact=True)


def test_six_traces_are_pasted_seen_with_their_margins_kept_at_once_and_drawn(phone: Phone) -> None:
    begin_offline(phone)
    phone.key("Measured", "NEXT")
    bring(phone, next_of_six())
    expect(traces(phone)).to_have_count(6)
    expect(traces(phone).first).to_contain_text("Choose above at which end it was taken.")
    phone.key("Taken at", "Near end")
    # At 250 MHz the first trace has 38.33 + 6 = 44.3 dB; the limit of class E is 33.1 dB there, and 65.0 dB at 1 MHz against 80.3 dB.
    expect(traces(phone).first).to_contain_text("passes")
    margins = [float(text.split()[0]) for text in phone.page.locator(".sweep-verdict .figure").all_inner_texts()]
    # Each trace lies 1 dB above the one before, at every frequency.
    assert [round(after - before, 1) for before, after in itertools.pairwise(margins)] == [1.0] * 5
    # A reload in between loses nothing.
    phone.page.reload()
    expect(traces(phone)).to_have_count(6)
    phone.key("Measured", "NEXT")
    phone.key("Taken at", "Near end")
    phone.press("Save 6 traces")
    phone.said("6 traces saved on this phone")
    phone.waiting(re.compile(r"\d+ entries on this phone only"))

    phone.follow("Mill to weir house")
    acts.open_checks(phone)
    expect(phone.page.get_by_role("link", name=re.compile("^NEXT over frequency"))).to_have_count(6)
    expect(phone.page.get_by_role("link", name=re.compile("^PSNEXT from NEXT over frequency"))).to_have_count(4)
    phone.page.get_by_role("link", name=re.compile("^NEXT over frequency, pairs 1-2 and 3-6")).click()
    phone.heading("NEXT over frequency, pairs 1-2 and 3-6, near end")
    picture = phone.page.get_by_role("img", name=re.compile("drawn with its limit over frequency"))
    expect(picture).to_be_visible()
    assert phone.figures()["Margin"] == f"{margins[0]:.1f} dB"
    expect(phone.page.locator(".readings")).to_contain_text("101 points")

    phone.context.set_offline(False)
    phone.all_sent()
    phone.page.reload()
    expect(picture).to_be_visible()


def test_a_trace_is_typed_row_by_row_and_its_draft_comes_back(phone: Phone) -> None:
    begin_offline(phone)
    phone.key("Measured", "Return loss")
    phone.key("Pair", "1-2")
    phone.key("Taken at", "Far end")
    cell(phone, "Frequency", 1).fill("10")
    cell(phone, "Value", 1).fill("25")
    cell(phone, "Value", 1).press("Enter")
    expect(cell(phone, "Frequency", 2)).to_be_focused()
    cell(phone, "Frequency", 2).fill("100")
    cell(phone, "Value", 2).fill("11,9")
    trial = phone.page.get_by_role("article", name="Return loss over frequency, pair 1-2, far end")
    expect(trial).to_contain_text("-0.1 dB margin")  # 12.0 dB at 100 MHz, category 6 channel (one public place)
    cell(phone, "Value", 2).fill("12,6")
    expect(trial).to_contain_text("0.6 dB margin")
    phone.page.wait_for_timeout(600)  # the draft is kept shortly after the last key
    phone.page.reload()
    expect(cell(phone, "Value", 2)).to_have_value("12,6")
    phone.press("Save reading")
    phone.said("Saved on this phone")
    expect(cell(phone, "Frequency", 1)).to_have_value("")


def test_what_is_typed_in_two_cells_before_the_form_is_drawn_again_is_kept(phone: Phone) -> None:
    begin_offline(phone)
    phone.key("Measured", "Insertion loss")
    phone.key("Pair", "1-2")
    cell(phone, "Frequency", 1).wait_for()
    phone.page.evaluate(
        """() => {
            for (const [id, text] of [["cell-0-0", "10"], ["cell-0-1", "6,4"]]) {
                const element = document.getElementById(id);
                element.value = text;
                element.dispatchEvent(new InputEvent("input", { bubbles: true }));
            }
        }"""
    )
    expect(phone.page.get_by_role("article", name="Insertion loss over frequency, pair 1-2")).to_be_visible()
    expect(cell(phone, "Frequency", 1)).to_have_value("10")
    expect(cell(phone, "Value", 1)).to_have_value("6,4")


def test_rows_are_pasted_taken_out_and_put_back(phone: Phone) -> None:
    begin_offline(phone)
    paste_into(cell(phone, "Frequency", 1), "MHz\tdB\n1\t2,0\n4\t4,0\n10\t6,5")
    phone.said("3 rows put in, the heading line left out.")
    expect(cell(phone, "Value", 3)).to_have_value("6,5")
    phone.press("Take out row 2")
    expect(cell(phone, "Frequency", 2)).to_have_value("10")
    phone.press("Put it back")
    expect(cell(phone, "Frequency", 2)).to_have_value("4")
    paste_into(cell(phone, "Frequency", 1), "1,2\n3,4")
    phone.said("Part cells by tabs or semicolons.")
    expect(cell(phone, "Value", 1)).to_have_value("2,0")
    paste_into(cell(phone, "Value", 1), "1;2;3")
    phone.said("a pasted line has 3 cells, and from this column there is room for 1")


def test_a_file_is_chosen_and_a_bad_one_is_refused_with_its_line(phone: Phone, tmp_path: Path) -> None:
    begin_offline(phone)
    chooser = phone.page.get_by_label("Choose a file")
    hostile = tmp_path / "sweep.csv"
    for content, said in (
        (b"frequency MHz; <img src=x onerror=alert(1)>\n1; 2", "line 1, column 2"),
        ("frequency MHz; 1-2\n1; 2".encode("utf-16-le"), "signs that are no text"),
        (b"frequency MHz; 1-2\n1; 2\x00", "signs that are no text"),
        (b"frequency MHz; 1-2\n1; two", "line 2"),
    ):
        hostile.write_bytes(content)
        chooser.set_input_files(hostile)
        phone.said(said)
    ports = tmp_path / "pair.s4p"
    ports.write_text("# MHz S RI R 50\n100 0 0 0 0 .8 0 -.1 0\n0 0 0 0 -.1 0 .8 0\n.8 0 -.1 0 0 0 0 0\n-.1 0 .8 0 0 0 0 0\n")
    chooser.set_input_files(ports)
    phone.said("A file of four ports: choose how the analyser was connected.")
    phone.key("Ports", "1 and 2 near, 3 and 4 far")
    expect(traces(phone)).to_have_count(3)
    expect(phone.page.get_by_text("informative, not a certification").first).to_be_visible()
    phone.key("Pair", "4-5")
    # Sdd21 = 0.9, which is 0.915 dB; 21.7 - 0.9 = 20.8 dB (class E channel at 100 MHz).
    expect(traces(phone).first).to_contain_text("20.8 dB")
    phone.press("Save 3 traces")
    phone.said("3 traces saved on this phone")


def test_five_thousand_lines_leave_the_page_alive(phone: Phone, tmp_path: Path) -> None:
    begin_offline(phone)
    phone.key("Measured", "NEXT")
    phone.key("Taken at", "Near end")
    lines = [
        f"{1 + n * 0.1:.1f};{60 - n % 7 - 20 * math.log10(1 + n * 0.1):.1f};{pair}"
        for pair in ("1-2/3-6", "1-2/4-5", "4-5/7-8")
        for n in range(1667)
    ]
    file = tmp_path / "long.csv"
    file.write_text("frequency MHz;value;pair\n" + "\n".join(lines))
    phone.page.get_by_label("Choose a file").set_input_files(file)
    phone.page.get_by_label("Note on this reading").fill("typed while it is read")
    expect(traces(phone)).to_have_count(3, timeout=60_000)
    expect(phone.page.get_by_label("Note on this reading")).to_have_value("typed while it is read")
    phone.press("Drop them")
    field = phone.page.get_by_label("Table of numbers")
    expect(field).to_have_value("")
    paste_into(field, file.read_text())
    phone.page.get_by_label("Note on this reading").fill("and while it is pasted")
    expect(traces(phone)).to_have_count(3, timeout=60_000)
    phone.press("Drop them")
    expect(field).to_have_value("")
