"""What an entry may be, and what is refused with a sentence."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest

from app.core import entries
from app.core.errors import Refused
from tests.making import BOOK, entry, new_id, value

LINK = new_id()


def refusal(text: str) -> Refused:
    with pytest.raises(Refused) as refused:
        entries.check(text)
    return refused.value


def reading(**body: Any) -> str:
    return entry("reading", {"link": LINK, "quantity": "instrument_length", **body})


def test_a_good_entry_gives_its_hash_over_the_exact_bytes() -> None:
    text = entry("site", {"subject": BOOK, "name": "Werft Süd"})
    checked = entries.check(text)
    assert checked["known"] is True
    assert checked["sha256"] == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize("text", ["", "{", "[]", '"x"', "null", "{}", '{"id": 5}'])
def test_torn_text_is_refused(text: str) -> None:
    assert refusal(text).code in ("shape", "missing")


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("id", "x"),
        ("book", 7),
        ("kind", ""),
        ("v", 0),
        ("v", "1"),
        ("body", []),
        ("at", "today"),
        ("by", None),
        ("replaces", "x"),
        ("replaces", [1]),
    ],
)
def test_a_bad_header_names_the_part_that_is_wrong(name: str, bad: object) -> None:
    held = json.loads(entry("site", {"subject": BOOK, "name": "Yard"}))
    held[name] = bad
    assert refusal(json.dumps(held)).field == name


@pytest.mark.parametrize(("kind", "version"), [("site", 2), ("tide_table", 1)])
def test_an_unknown_kind_or_version_is_known_as_unknown_and_not_refused(kind: str, version: int) -> None:
    assert entries.check(entry(kind, {"whatever": 1}, v=version))["known"] is False


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        (value("12", "m"), None),
        (value("12,5", "ft"), None),
        (value("12", "ohm"), "unit"),
        (value("twelve", "m"), "number"),
        (value("-3", "m"), "range"),
        (value("", "m"), "missing"),
        (None, "missing"),
        (value("200000", "m"), "range"),
        ("12 m", "missing"),
    ],
)
def test_a_reading_is_taken_or_refused_by_what_is_possible(typed: object, code: str | None) -> None:
    text = reading(value=typed)
    if code is None:
        assert entries.check(text)["link"] == LINK
    else:
        assert refusal(text).code == code


def test_a_reading_needs_the_marks_that_tell_it_apart() -> None:
    body = {
        "link": LINK,
        "quantity": "optical_loss",
        "value": value("0.4", "dB"),
        "strand": "1",
        "wavelength": "1310",
        "method": "one_cord",
    }
    assert refusal(entry("reading", body)).field == "direction"
    assert entries.check(entry("reading", {**body, "direction": "near_to_far"}))["known"]


@pytest.mark.parametrize("pins", ["1234567", "12345679", "", None, "123456789"])
def test_a_wire_map_has_eight_signs(pins: object) -> None:
    assert refusal(entry("reading", {"link": LINK, "quantity": "wire_map", "map": pins})).field == "map"


@pytest.mark.parametrize(
    ("kind", "body", "field"),
    [
        ("site", {"subject": new_id(), "name": "Yard"}, "subject"),
        ("site", {"subject": BOOK, "name": "  "}, "name"),
        ("site", {"subject": BOOK, "name": None}, "name"),
        ("site", {"subject": BOOK, "colour": "red"}, "colour"),
        ("link", {"subject": LINK, "medium": "string"}, "medium"),
        ("link", {"subject": LINK, "reach": value("-1", "m")}, "reach"),
        ("link", {"subject": LINK, "strands": "2.5"}, "strands"),
        ("link", {"subject": LINK, "group_index": "14"}, "group_index"),
        ("end", {"subject": LINK + ":near", "link": LINK, "side": "far"}, "subject"),
        ("station", {"subject": new_id(), "type": "bend"}, "link"),
        ("station", {"subject": new_id(), "link": LINK, "position": {"lat": "91", "lon": "0"}}, "lat"),
        ("void", {"link": LINK, "reading": new_id(), "reason": " "}, "reason"),
        ("deviation", {"link": LINK, "check": "x", "reason": "as agreed", "name": ""}, "name"),
        ("photo", {"link": LINK, "sha256": "abc"}, "sha256"),
        ("seal", {"link": LINK, "covers": {"entries": [], "digest": "x"}, "signatures": []}, "signatures"),
        ("seal", {"link": LINK, "covers": {}, "signatures": []}, "covers"),
    ],
)
def test_a_bad_body_names_the_field(kind: str, body: dict[str, Any], field: str) -> None:
    assert refusal(entry(kind, body)).field == field


def test_a_text_that_is_too_long_is_refused_with_the_bound() -> None:
    assert "4000" in refusal(entry("site", {"subject": BOOK, "name": "x" * 4001})).sentence()


@pytest.mark.parametrize("depth", [13, 500, 200000])
def test_brackets_nested_too_deep_are_refused_and_crash_nothing(depth: int) -> None:
    text = entry("tide_table", {"x": "NEST"}).replace('"NEST"', "[" * depth + "]" * depth)
    assert refusal(text).code == "shape"


def test_an_unknown_kind_may_nest_as_deep_as_a_seal_does() -> None:
    assert entries.check(entry("tide_table", {"x": [{"y": [[[1, 2]]]}]}))["known"] is False
