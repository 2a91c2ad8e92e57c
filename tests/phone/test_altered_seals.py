"""What was altered is found on the phone too, whose reader of JSON is less strict: it takes a colon for a comma, and a blank for either."""

from __future__ import annotations

import json
from typing import Any

from app import signing
from tests.core.sealed import PHOTO, SignedLink
from tests.phone.micropython import MicroPython

LOOKS_ALIKE = {",": ":", ":": ",", '"': "'", "{": "[", "}": "]", "[": "(", "]": ")"}


def ask(micropython: MicroPython, op: str, **payload: Any) -> Any:
    answer = json.loads(micropython.call(json.dumps({"op": op, **payload}, ensure_ascii=False)))
    assert answer["ok"], answer
    return answer["result"]


def is_intact(micropython: MicroPython, texts: list[str]) -> bool:
    signatures = signing.checked(ask(micropython, "seals", texts=texts))
    photos = {PHOTO: {"sha256": PHOTO, "where": "trench.jpg"}}
    report = ask(micropython, "verify", texts=[[text, "here"] for text in texts], photos=photos, signatures=signatures)
    return bool(report["intact"])


def test_changed_signs_of_a_seal_and_of_what_it_covers_are_found_on_the_phone(micropython: MicroPython) -> None:
    made = SignedLink()
    made.sign()
    texts = made.story.texts
    assert is_intact(micropython, texts)
    for row, step in ((0, 17), (len(texts) - 1, 397)):
        text = texts[row]
        changes = [(place, chr(ord(text[place]) ^ (1 << place % 7))) for place in range(0, len(text), step)]
        # All that stands between the parts of the entry, before and behind the text that was signed.
        for place, sign in enumerate(text):
            if sign in LOOKS_ALIKE and not 150 < place < len(text) - 400:
                changes.append((place, LOOKS_ALIKE[sign]))
        for place, sign in changes:
            other = text[:place] + sign + text[place + 1 :]
            assert not is_intact(micropython, [*texts[:row], other, *texts[row + 1 :]]), (
                row,
                place,
                other[max(0, place - 20) : place + 20],
            )
