"""What people do with the phone, each act from the screen where it starts to the screen where it ends."""

from __future__ import annotations

import io
import re
from pathlib import Path

from PIL import Image
from playwright.sync_api import expect

from tests.browser.phone import Phone, Value

Values = dict[str, Value]
ORIENTATION_TAG = 0x0112
QUARTER_TURN = 6


def make_site(phone: Phone, values: Values) -> str:
    """From the sites to the new site; gives its book."""
    phone.open("/")
    phone.follow("Add site")
    phone.heading("New site")
    phone.fill(values)
    phone.press("Save site")
    phone.heading(str(values["Site"]))
    return phone.path().split("/")[2]


def make_link(phone: Phone, values: Values) -> str:
    """From the site to the strip map of a new link; gives the link's id."""
    phone.follow("Add link")
    phone.heading("New link")
    phone.fill(values)
    phone.press("Save link")
    phone.heading(re.compile(re.escape(str(values["Link"]))))
    return phone.path().split("/")[4]


def add_station(phone: Phone, values: Values) -> None:
    """From the strip map and back to it, with one more station at the far side."""
    rows = phone.page.get_by_role("list", name="Route, near end to far end").get_by_role("article")
    before = rows.count()
    phone.follow("Station")
    phone.heading("New station")
    phone.fill(values)
    phone.press("Save station")
    expect(rows).to_have_count(before + 1)


def record_end(phone: Phone, side: str, values: Values) -> None:
    """`side`: "Near end" or "Far end"; from the strip map and back."""
    card = phone.page.get_by_role("article", name=side, exact=True)
    card.get_by_role("link").first.click()
    phone.heading(side)
    phone.fill(values)
    phone.press("Save end of the link")
    expect(card).to_be_visible()


def add_to_end(phone: Phone, side: str, thing: str, values: Values) -> None:
    """A bond or a surge protector at an end; `thing` as the button says it: "bond", "surge protector"."""
    phone.follow(f"Add a {thing}, {side.lower()}")
    phone.heading(f"New {thing}")
    phone.fill(values)
    phone.press(f"Save {thing}")
    expect(phone.page.get_by_role("article", name=side, exact=True)).to_contain_text(str(values[thing.capitalize()]))


def open_reading(phone: Phone, quantity: str) -> None:
    """From the strip map to the form of a quantity."""
    phone.follow("Reading")
    phone.heading("Take a reading")
    phone.page.get_by_role("link", name=re.compile(rf"^{re.escape(quantity)}( ?\d|$)")).click()
    phone.heading(quantity)


def type_value(phone: Phone, quantity: str, value: str) -> None:
    phone.page.get_by_role("textbox", name=quantity, exact=True).fill(value)


def save_reading(phone: Phone, quantity: str) -> None:
    """Until the form is ready for the next value."""
    phone.press("Save reading")
    expect(phone.page.get_by_role("textbox", name=quantity, exact=True)).to_have_value("")
    phone.said("Saved on this phone")


def name_instrument(phone: Phone, name: str, serial: str) -> None:
    """Calibrated so that it is in date on any day that the test runs."""
    phone.fill({"Instrument": name, "Serial number": serial, "Calibrated on": "2024-01-15", "Calibration due": "2199-12-31"})


def open_checks(phone: Phone) -> None:
    """From the strip map to the checks, those that pass alike shown one by one too."""
    phone.follow("Checks")
    phone.heading("Checks")
    unfold = phone.page.get_by_role("button", name="Every check on a row of its own")
    if unfold.count():
        unfold.click()


def photo_file(path: Path, size: tuple[int, int] = (640, 480)) -> Path:
    """A picture as a phone held upright writes it: lying on its side, with the turn named in its EXIF data."""
    picture = Image.new("RGB", size, (96, 120, 84))
    picture.paste((200, 90, 30), (0, 0, size[0] // 2, size[1] // 3))
    exif = Image.Exif()
    exif[ORIENTATION_TAG] = QUARTER_TURN
    held = io.BytesIO()
    picture.save(held, "JPEG", exif=exif)
    path.write_bytes(held.getvalue())
    return path


def take_photo(phone: Phone, button: str, path: Path, caption: str) -> None:
    """From the strip map: choose a file through the phone's own picker, and close the sheet."""
    phone.press(button)
    phone.put("Caption", caption)
    with phone.page.expect_file_chooser() as chooser:
        phone.press("Choose photo")
    chooser.value.set_files(path)
    phone.said("1 photo saved on this phone")
    phone.page.get_by_role("dialog", name="Photo").get_by_role("button", name="Close").click()
    expect(phone.page.get_by_role("img", name=caption).first).to_be_visible()


def draw_signature(phone: Phone, who: str) -> None:
    """A line with some turns, drawn on the pad."""
    pad = phone.page.get_by_role("img", name=f"Signature of the {who}: sign here with a finger")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box
    mouse = phone.page.mouse
    mouse.move(box["x"] + 30, box["y"] + box["height"] / 2)
    mouse.down()
    for step in range(1, 12):
        mouse.move(box["x"] + 30 + step * 20, box["y"] + box["height"] * (0.3 + 0.4 * (step % 2)), steps=3)
    mouse.up()
    expect(phone.page.get_by_role("group", name=who.capitalize(), exact=True)).to_contain_text("Signed")


def accept_missing(phone: Phone, reason: str) -> None:
    """On the sign-off screen: all that is missing, with one reason."""
    phone.press(re.compile(r"^Accept all \d+ missing with one reason"))
    phone.page.get_by_label("Reason", exact=True).fill(reason)
    phone.press("Accept as a deviation")
    expect(phone.page.get_by_role("dialog")).to_have_count(0)


def acknowledge(phone: Phone) -> None:
    """On the sign-off screen: each of the cautions that apply."""
    for box in phone.page.get_by_role("checkbox", name=re.compile("read and passed on$")).all():
        box.check()
    expect(phone.page.get_by_text(re.compile("^Acknowledged by")).first).to_be_visible()
