"""Photos for the page: turned upright, at most 1600 pixels long, without the camera's hidden data."""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pillow_heif
from PIL import Image, ImageOps

pillow_heif.register_heif_opener()

LONGEST_PIXELS = 1600
MOST_PIXELS = 100_000_000  # a small file may claim to be huge
FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")


def prepare(record: dict[str, Any], photos_by_hash: Callable[[str], bytes | None], folder: Path) -> dict[str, dict[str, Any]]:
    """Write every photo of a record into the folder. Result: SHA-256 -> {"file": name or None, "note": why there is none, "wide"}."""
    prepared: dict[str, dict[str, Any]] = {}
    for section in record["sections"]:
        for block in section["blocks"]:
            for item in block["items"] if block["form"] == "photos" else []:
                if item["sha256"] not in prepared:
                    prepared[item["sha256"]] = _one(photos_by_hash(item["sha256"]), folder, len(prepared))
    return prepared


def _one(data: bytes | None, folder: Path, number: int) -> dict[str, Any]:
    if data is None:
        return {"file": None, "note": "This photo has not reached the office yet.", "wide": True}
    try:
        image = upright(data)
    except ValueError as reason:
        return {"file": None, "note": str(reason), "wide": True}
    name = f"photo-{number}.jpg"
    image.save(folder / name, "JPEG", quality=80, optimize=True)
    return {"file": name, "note": "", "wide": image.width >= image.height}


def upright(data: bytes) -> Image.Image:
    """Photo bytes -> upright RGB picture of at most 1600 pixels, with nothing but its pixels. Errors: ValueError with a sentence."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    raise ValueError("This photo is larger than 100 million pixels and is not shown.")
                opened.draft("RGB", (LONGEST_PIXELS, LONGEST_PIXELS))
                turned = ImageOps.exif_transpose(opened).convert("RGB")
    except ValueError as reason:
        if "not shown" in str(reason):
            raise
        raise ValueError("This photo cannot be read; its file is kept as it came.") from None
    except (OSError, SyntaxError, Image.DecompressionBombError, Image.DecompressionBombWarning, RuntimeError, EOFError):
        raise ValueError("This photo cannot be read; its file is kept as it came.") from None
    turned.thumbnail((LONGEST_PIXELS, LONGEST_PIXELS))
    bare = Image.new("RGB", turned.size)
    bare.paste(turned)
    return bare
