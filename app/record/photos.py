"""Photos for the page: turned upright, at most 1600 pixels long, without the camera's hidden data."""

from __future__ import annotations

import io
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from PIL import Image

from app.store import images

LONGEST_PIXELS = 1600


def prepare(
    record: dict[str, Any], photos_by_hash: Callable[[str], bytes | None], folder: Path, progress: Callable[[int, int, str], None]
) -> dict[str, dict[str, Any]]:
    """Write every photo of a record into the folder, as many at a time as the machine has processors; progress is told (done, of how many, words).

    Result: SHA-256 -> {"file": name or None, "note": why there is none, "wide"}.
    """
    named = list(dict.fromkeys(item["sha256"] for item in _items(record)))
    prepared: dict[str, dict[str, Any]] = {}
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        made = pool.map(lambda numbered: _one(photos_by_hash(numbered[1]), folder, numbered[0]), enumerate(named))
        for sha256, one in zip(named, made, strict=True):
            prepared[sha256] = one
            progress(len(prepared), len(named), "Photos")
    return prepared


def _items(record: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for section in record["sections"]:
        for block in section["blocks"]:
            if block["form"] == "photos":
                yield from block["items"]


def _one(data: bytes | None, folder: Path, number: int) -> dict[str, Any]:
    if data is None:
        return {"file": None, "note": "This photo has not reached the office yet.", "wide": True}
    try:
        image = upright(data)
    except ValueError as reason:
        return {"file": None, "note": str(reason), "wide": True}
    name = f"photo-{number}.jpg"
    image.save(folder / name, "JPEG", quality=80)
    return {"file": name, "note": "", "wide": image.width >= image.height}


def upright(data: bytes) -> Image.Image:
    """Photo bytes -> upright RGB picture of at most 1600 pixels, with nothing but its pixels. Errors: ValueError with a sentence."""
    try:
        with images.opened(io.BytesIO(data), LONGEST_PIXELS) as picture:
            return images.bare(picture, LONGEST_PIXELS)
    except images.NotShown as reason:
        raise ValueError(str(reason)) from None
