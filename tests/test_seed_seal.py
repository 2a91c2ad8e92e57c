"""The demo's signed link is sealed by the phone of the story, the same at every making."""

from __future__ import annotations

import json

from app import engine, signing
from seed_data import drawings, make
from seed_data.signing import demo_key


def test_the_demo_s_seal_is_good_and_the_same_at_every_making() -> None:
    first, second = (make.tell({name: name.encode() for name in drawings.NAMES})[0] for _ in range(2))
    assert first.texts == second.texts
    (seal,) = engine.call("seals", texts=first.texts)
    assert signing.checked([seal]) == {seal["id"]: "good"}
    assert seal["key"] == signing.jwk_of(demo_key().public_key())
    signed = json.loads(seal["text"])
    assert [stop[0] for stop in signed["stops"]] == ["storm"]
    assert {row[2] for row in signed["list"]} == {"done", "accepted"}
