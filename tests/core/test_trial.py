"""A reading on trial, on a link with hundreds of readings: the quick way, which looks only at what is alike, against saving it and judging all."""

from __future__ import annotations

import json
from typing import Any

import pytest

from app import engine
from tests.benchmark.big_book import METERS, BigBook
from tests.making import entry, id_of, value

AT = "2026-04-01T10:00:00.000+02:00"
LOSS: dict[str, Any] = {"quantity": "optical_loss", "wavelength": "1310", "direction": "near_to_far", "method": "one_cord"}
CLEAN = {zone: {"scratches": "0", "defects": "0"} for zone in "ABCD"}


@pytest.fixture(scope="module")
def book() -> BigBook:
    return BigBook(strands=16, entries=600)


@pytest.mark.parametrize(
    "body",
    [
        {**LOSS, "strand": "16", "value": value("0,42", "dB"), "instrument": METERS[0]},
        {**LOSS, "strand": "7", "value": value("0.39", "dB"), "instrument": METERS[1], "reference_at": "2026-04-01T11:00:00.000+02:00"},
        {**LOSS, "strand": "15", "wavelength": "1550", "direction": "far_to_near", "value": value("9", "dB")},
        {**LOSS, "strand": "20", "value": value("0.1", "dB"), "instrument": {"name": "A third meter", "due": "2026-03-01"}},
        {**LOSS, "strand": "12", "wavelength": "1490", "value": value("0.2", "dB"), "uncertainty": value("0.1", "dB")},
        {"quantity": "end_face", "side": "far", "strand": "9", "counts": {**CLEAN, "A": {"scratches": "4", "defects": "1"}}},
        {"quantity": "instrument_length", "strand": "3", "value": value("7300", "ft"), "instrument": METERS[1]},
        {"quantity": "polarity", "strand": "5", "answer": "wrong"},
        {"quantity": "receive_power", "side": "near", "strand": "1", "wavelength": "1310", "value": value("-25", "dBm")},
    ],
    ids=lambda body: f"{body['quantity']}-{body.get('strand')}",
)
def test_a_draft_among_many_readings_is_judged_as_once_it_is_saved(book: BigBook, body: dict[str, Any]) -> None:
    draft = {"link": book.link, **body}
    text = entry("reading", draft, book=book.story.book, at=AT)
    with engine.opened(book.story.book, book.story.texts) as core:
        tried = core("checks", link=book.link, draft=draft, at=AT)["checks"]
        core("add", entries=[text])
        saved = core("checks", link=book.link)["checks"]
    wanted = [check for check in saved if id_of(text) in check.pop("readings")]
    assert [check.pop("readings") for check in tried] == [["draft"]] * len(wanted)
    assert json.dumps(tried) == json.dumps(wanted)
    assert tried
