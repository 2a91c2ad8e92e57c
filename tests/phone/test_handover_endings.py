"""A photo's ending in the package, told by its bytes as the office tells it."""

from __future__ import annotations

import json

import pytest

from app.store.images import ENDINGS, kind_of
from tests.conftest import picture
from tests.phone.test_modules import run

STARTS = {
    "JPEG": picture(),
    "PNG": picture("PNG"),
    "WEBP": picture("WEBP"),
    "HEIF": picture("HEIF"),
    "sound": b"RIFF\x24\x00\x00\x00WAVEfmt ",
    "film": b"\x00\x00\x00\x18ftypmp42",
    "text": b"no picture",
    "nothing": b"",
}


@pytest.mark.parametrize("name", STARTS)
def test_the_ending_is_the_office_s(name: str) -> None:
    kind = kind_of(STARTS[name][:32])
    bytes_ = json.dumps(list(STARTS[name][:32]))
    assert run("endings.js", f"m.endingOf(Uint8Array.from({bytes_}))") == (ENDINGS[kind] if kind else "bin")
