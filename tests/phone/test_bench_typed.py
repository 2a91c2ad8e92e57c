"""What the bench makes of typed inputs, run in node: the text for core, the text in a note, an example filled in."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.phone.test_modules import run

LENGTH = {"name": "length", "label": "Length", "type": "number", "unit": "m", "units": ["m", "ft", "km"]}
RISES = {"name": "rises", "label": "Rises", "type": "list", "unit": "m", "units": ["m", "ft"], "optional": True}
PAIRS = {
    "name": "pairs",
    "label": "Pairs",
    "type": "word",
    "unit": "",
    "units": [""],
    "choices": [["2", "Two"], ["4", "Four"]],
    "default": "2",
}


def asked(function: str, *values: Any) -> Any:
    return run("parts/bench_typed.js", f"m.{function}({', '.join(json.dumps(value) for value in values)})")


@pytest.mark.parametrize(
    ("entry", "typed", "text"),
    [
        (LENGTH, {"value": "410", "unit": "m"}, "410"),
        (LENGTH, {"value": " 410,5 ", "unit": "ft"}, "410,5 ft"),
        (LENGTH, {"value": "410ft", "unit": "km"}, "410ft"),
        (LENGTH, {"value": "\u22125", "unit": "ft"}, "\u22125 ft"),
        (LENGTH, None, ""),
        (RISES, {"value": "13, 2m,9.8", "unit": "ft"}, "13 ft, 2m,9.8 ft"),
        (RISES, {"value": "13;9,8", "unit": "ft"}, "13 ft;9,8 ft"),
        (RISES, {"value": "13,", "unit": "ft"}, "13 ft,"),
        (PAIRS, "4", "4"),
    ],
)
def test_a_unit_beside_the_number_goes_with_it_unless_one_is_typed(entry: dict[str, Any], typed: Any, text: str) -> None:
    assert asked("textFor", entry, typed) == text


def test_only_what_is_filled_in_is_sent_and_only_what_is_needed_is_lacking() -> None:
    entries = [LENGTH, RISES, PAIRS]
    assert asked("inputsFor", entries, {"rises": {"value": "2", "unit": "m"}, "length": {"value": "", "unit": "m"}}) == {
        "rises": "2"
    }
    assert [entry["name"] for entry in asked("lacking", entries, {})] == ["length"]


@pytest.mark.parametrize(
    ("entry", "typed", "words"),
    [
        (LENGTH, {"value": "410", "unit": "ft"}, "Length: 410 ft"),
        (LENGTH, {"value": "410 yd", "unit": "m"}, "Length: 410 yd"),
        (PAIRS, None, "Pairs: Two"),
        (RISES, None, ""),
    ],
)
def test_a_note_shows_an_input_as_typed_and_a_default_that_stood(entry: dict[str, Any], typed: Any, words: str) -> None:
    assert asked("shownInput", entry, typed) == words


def test_an_example_chooses_the_unit_that_it_names() -> None:
    assert asked("fromTexts", [LENGTH, PAIRS], {"length": "410ft", "pairs": "4"}) == {
        "length": {"value": "410", "unit": "ft"},
        "pairs": "4",
    }
    assert asked("fromTexts", [LENGTH], {"length": "3yd"}) == {"length": {"value": "3yd", "unit": "m"}}
