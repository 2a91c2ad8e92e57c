"""The record's sections on the sign-off list and on what was acknowledged; deviations on what is not written down."""

from __future__ import annotations

from typing import Any

from app import engine
from app.core import record_sign_off, record_signing
from tests.handover.sealed import seal
from tests.making import Story


def sections(story: Story, link: str) -> tuple[dict[str, Any] | None, dict[str, Any] | None]:
    with engine.opened(story.book, story.texts) as core:
        view, off = core("link", link=link), core("sign_off", link=link)
    return record_sign_off.list_section(view, off), record_sign_off.stops_section(view, off)


def rows(section: dict[str, Any]) -> list[list[str]]:
    return section["blocks"][0]["rows"]


def fibre() -> tuple[Story, str]:
    story = Story()
    return story, story.link("fibre", cable="OUTDOOR 4 x OS2 PE", cable_metal="none", laying="aerial")


def test_before_signing_the_list_stands_as_it_is_and_nothing_is_acknowledged():
    story, link = fibre()
    listed, stopped = sections(story, link)
    assert listed["title"] == "Sign-off list, as it stands"
    assert ["Cable, as printed on the jacket", "Done", "OUTDOOR 4 x OS2 PE"] in rows(listed)
    assert ["Equipment at the far end", "Missing", "Not written down"] in rows(listed)
    assert stopped["title"] == "Not acknowledged yet"
    assert [row[0] for row in rows(stopped)] == ["Storm"]


def test_after_signing_list_and_stops_are_those_that_were_signed_with_name_and_time():
    story, link = fibre()
    seal(story, link)
    story.thing("end", f"{link}:far", link=link, side="far", equipment="Switch SW-8")
    listed, stopped = sections(story, link)
    assert listed["title"] == "Sign-off list, as signed in revision 1"
    assert ["Equipment at the far end", "Accepted as deviation", "Not written down"] in rows(listed)
    assert listed["blocks"][1]["lines"] == ["With what came after signing nothing on the list is open."]
    assert stopped["title"] == "Acknowledged before signing, revision 1"
    ((words, name, at),) = rows(stopped)
    assert "thunderstorm" in words
    assert "Local code and licensed practice govern." in words
    assert (name, at) == ("A. Installer", "2026-03-14 16:03 (+01:00)")


def test_what_is_open_again_after_signing_is_said_below_the_signed_list():
    story, link = fibre()
    seal(story, link)
    story.reading(link, "earth_difference_ac", "0.2", "V", at="2026-03-20T09:00:00.000+01:00")
    listed, _ = sections(story, link)
    assert listed["blocks"][1]["lines"] == [
        "With what came after signing this is open: Instruments, by name and serial: Not given with 1 of 1 readings."
    ]


def test_a_deviation_on_an_item_shows_its_title_and_state_in_the_deviations_section():
    story, link = fibre()
    for item in ("far_equipment", "cable", "far_termination", "no_such"):
        story.add("deviation", {"link": link, "check": f"item:{item}", "reason": "Agreed", "name": "C. Client"})
    with engine.opened(story.book, story.texts) as core:
        view, checks = core("link", link=link), core("checks", link=link)["checks"]
    section = record_signing.deviations_section(view, checks)
    assert [row[:2] for row in rows(section)] == [
        ["Equipment at the far end", "Not written down"],
        ["Cable, as printed on the jacket", "Written down, no longer needed or replaced"],
        ["Termination at the far end", "Not written down"],
        ["item:no_such", "no longer applies, no longer needed or replaced"],
    ]


def test_a_deviation_on_an_item_that_does_not_apply_any_more_keeps_its_title():
    story, link = fibre()
    story.add("deviation", {"link": link, "check": "item:services", "reason": "Agreed", "name": "C. Client"})
    with engine.opened(story.book, story.texts) as core:
        section = record_signing.deviations_section(core("link", link=link), core("checks", link=link)["checks"])
    assert rows(section)[0][:2] == ["Services of others on the route", "no longer applies, no longer needed or replaced"]
