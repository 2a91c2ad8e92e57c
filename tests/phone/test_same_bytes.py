"""Core in MicroPython gives the bytes that core in CPython gives."""

from __future__ import annotations

import json

import pytest

from app import engine
from app.core import door
from tests.making import Story
from tests.phone import recorder
from tests.phone.micropython import MicroPython


def without_detail(answer: str) -> str:
    """An internal fault's wording is the interpreter's own; all else must agree."""
    held = json.loads(answer)
    if not held["ok"] and held["error"]["code"] == "internal":
        return "internal fault"
    return answer


def test_every_calculator_and_description_is_the_same(micropython: MicroPython) -> None:
    engine.call("describe")
    for op in ("describe", "calculators"):
        request = json.dumps({"op": op})
        assert micropython.call(request) == door.call(request)


def test_a_book_of_two_thousand_entries_is_the_same(micropython: MicroPython) -> None:
    story = Story()
    link = story.link("fibre", fibre="OS2", strands="12", connections="2", splices="4", mark_unit="ft")
    for place in range(100):
        story.thing("station", link=link, type="handhole", mark=str(1000 + 37 * place), order=str(place), depth={"value": "24", "unit": "in"})
    for number in range(1896):
        loss, strand, wavelength = str(30 + number % 60), str(1 + number % 12), "1310" if number % 2 else "1550"
        marks = {"strand": strand, "wavelength": wavelength, "direction": "near_to_far", "method": "one_cord"}
        story.reading(link, "optical_loss", "0," + loss, "dB", **marks)
    assert len(story.texts) >= 2000
    engine.call("describe")
    requests = [{"op": "open", "book": story.book, "entries": story.texts}]
    requests += [{"op": op, "book": story.book, "link": link} for op in ("link", "checks", "cover", "book")]
    for request in requests:
        text = json.dumps(request, ensure_ascii=False)
        assert micropython.call(text) == door.call(text), request["op"]


@pytest.mark.last
def test_all_that_the_tests_asked_is_answered_the_same(micropython: MicroPython) -> None:
    asked = list(recorder.calls)
    assert asked, "run the other tests with this one: it asks again what they asked"
    for request, answer in asked:
        again = micropython.call(request)
        if again != answer and without_detail(again) != without_detail(answer):
            pytest.fail(f"asked {request[:300]}\nCPython     {answer[:600]}\nMicroPython {again[:600]}")
