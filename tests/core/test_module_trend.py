"""Readings of transceivers as a trend: never a check, first against latest, and the loss that two modules make with how far it may be off."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core.errors import Refused
from tests.made_fibre import Link

LATER = "2026-09-14T10:30:00.000+02:00"


def read(link: Link, name: str, number: str, unit: str, side: str = "near", **more: Any) -> Link:
    link.story.reading(link.id, f"module_{name}", number, unit, side=side, **more)
    return link


def trend(link: Link, **draft: Any) -> dict[str, Any]:
    with engine.opened(link.story.book, link.story.texts) as core:
        return dict(core("trend", link=link.id, **draft))


def test_what_a_module_says_makes_no_check_and_asks_for_no_instrument() -> None:
    link = Link()
    before = {check["id"]: check["verdict"] for check in link.checks().values()}
    for name, number, unit in (
        ("receive", "-39", "dBm"),
        ("temperature", "80", "degC"),
        ("supply", "3.1", "V"),
        ("bias", "90", "mA"),
    ):
        read(link, name, number, unit)
    assert {check["id"]: check["verdict"] for check in link.checks().values()} == before


def test_each_reading_stands_with_the_accuracy_that_sff_8472_asks_for() -> None:
    link = Link()
    figures = (("transmit", "-5.2", "dBm"), ("receive", "-7", "dBm"), ("temperature", "41", "degC"), ("supply", "3.28", "V"))
    for name, number, unit in (*figures, ("bias", "18.4", "mA")):
        read(link, name, number, unit)
    [module] = trend(link)["modules"]
    shown = [(row["label"], row["latest"], row["accuracy"]) for row in module["rows"]]
    # 3 dB and 3 degrees in two or more public places, 3 % and 10 % in one.
    assert shown == [
        ("Light sent", "-5.20 dBm", "\u00b13 dB"),
        ("Light received", "-7.00 dBm", "\u00b13 dB"),
        ("Temperature", "41.0 \u00b0C", "\u00b13 \u00b0C"),
        ("Supply", "3.28 V", "\u00b13 %"),
        ("Bias current", "18.40 mA", "\u00b110 %"),
    ]


# 1 dB less than at first is a notice, 2 dB service, 3 dB a fault: common practice.
@pytest.mark.parametrize(
    ("now", "word"),
    [("-7.99", ""), ("-8.00", "notice"), ("-9.00", "service"), ("-9.99", "service"), ("-10.00", "fault"), ("-5.00", "")],
)
def test_less_light_than_at_first(now: str, word: str) -> None:
    link = read(read(Link(), "receive", "-7.00", "dBm"), "receive", now, "dBm", at=LATER)
    [row] = trend(link)["modules"][0]["rows"]
    assert (row["first"], row["word"]) == ("-7.00 dBm", word)


def test_another_module_begins_anew() -> None:
    link = read(Link(), "receive", "-7.00", "dBm", module="SFP-1 no. 17")
    read(link, "receive", "-11.00", "dBm", module="SFP-1 no. 18", at=LATER)
    modules = trend(link)["modules"]
    assert [(module["title"], module["rows"][0]["word"]) for module in modules] == [
        ("Near end, SFP-1 no. 17", ""),
        ("Near end, SFP-1 no. 18", ""),
    ]


@pytest.mark.parametrize(("number", "unit"), [("0", "uW"), ("0", "mW"), ("-40.01", "dBm"), ("0.05", "uW")])
def test_no_light_is_said_and_no_sum_is_made_of_it(number: str, unit: str) -> None:
    # 0.05 uW is -43 dBm; the least step of a module is 0.1 uW, which is -40 dBm.
    link = read(read(Link(), "receive", "-7.00", "dBm", "far"), "receive", number, unit, "far", at=LATER)
    found = trend(read(link, "transmit", "-5", "dBm"))
    row = next(row for module in found["modules"] for row in module["rows"] if row["quantity"] == "module_receive")
    assert (row["latest"], row["change"], row["word"]) == ("no light", "", "fault")
    assert [loss["text"] for loss in found["losses"]] == ["no light"]


def test_light_by_a_meter_is_refused_as_zero_and_never_mixed_with_a_modules_own() -> None:
    link = Link()
    link.story.reading(link.id, "receive_power", "0", "uW", side="near")
    with pytest.raises(Refused):
        engine.call("check_entry", text=link.story.texts.pop())
    link.story.reading(link.id, "receive_power", "-7", "dBm", side="near")
    assert trend(link)["modules"] == []


def test_loss_of_two_modules_carries_six_decibels_and_stands_beside_the_metered_one() -> None:
    # Sent -5.2 dBm, heard -7.0 dBm: 1.8 dB. 3 + 3 = 6 dB at worst; sqrt(3^2 + 3^2) = 4.24 dB likely.
    link = Link().marks("1000", "1400").end("near", transmit_wavelength={"value": "1310", "unit": "nm"})
    link.loss("0.60")
    read(read(link, "transmit", "-5.2", "dBm"), "receive", "-7.0", "dBm", "far")
    [loss] = trend(link)["losses"]
    assert (loss["title"], loss["text"]) == (
        "Loss by the modules, near to far",
        "1.80 dB \u00b16 dB at worst, \u00b14.2 dB likely",
    )
    assert loss["notes"] == ["By light source and meter: 0.60 dB, which agrees within what the modules may be off."]


def test_modules_that_cannot_belong_to_the_metered_loss_are_said() -> None:
    link = Link().marks("1000", "1400").end("near", transmit_wavelength={"value": "1310", "unit": "nm"})
    link.loss("0.60")
    read(read(link, "transmit", "-2", "dBm"), "receive", "-9.0", "dBm", "far")  # 7.0 dB against 0.60 + 6
    assert "further apart than both modules may be off" in trend(link)["losses"][0]["notes"][0]


@pytest.mark.parametrize(("now", "said"), [("51", False), ("52", True)])
def test_readings_at_unlike_temperatures_are_not_compared_silently(now: str, said: bool) -> None:
    link = read(read(Link(), "temperature", "41", "degC"), "temperature", now, "degC", at=LATER)
    assert any("apart" in note for note in trend(link)["modules"][0]["notes"]) is said


@pytest.mark.parametrize(("now", "word"), [("30.0", ""), ("30.1", "notice")])
def test_a_bias_current_at_half_again_its_first_reading_is_noticed(now: str, word: str) -> None:
    link = read(read(Link(), "bias", "20", "mA"), "bias", now, "mA", at=LATER)
    assert trend(link)["modules"][0]["rows"][0]["word"] == word


def test_the_last_bit_of_a_division_makes_no_laser_old() -> None:
    link = read(read(Link(), "bias", "18.4", "mA"), "bias", "27.6", "mA", at=LATER)  # 1.5 times exactly; as floats a little more
    [module] = trend(link)["modules"]
    assert module["rows"][0]["word"] == ""


def test_a_draft_shows_what_it_would_do_before_it_is_saved() -> None:
    link = read(Link(), "receive", "-7.00", "dBm")
    body = {"link": link.id, "quantity": "module_receive", "side": "near", "value": {"value": "-9.5", "unit": "dBm"}}
    [module] = trend(link, draft=body, at=LATER)["modules"]
    assert module["rows"][0]["word"] == "service"
    assert module["notes"][0].startswith("2.50 dB less light than at the first reading: service.")
