"""What kind of picture bytes are, told by the bytes themselves, and small JPEG renditions for pages and records."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import pillow_heif
from PIL import Image

from app.config import JPEG_PIXEL_LIMIT, PIXEL_LIMIT

JPEG = "image/jpeg"
HEIC = "image/heic"
ENDINGS = {JPEG: "jpg", "image/png": "png", "image/webp": "webp", HEIC: "heic"}
# Enough of a file's start to tell its kind.
MAGIC_BYTES = 32
_FORMATS = ["JPEG", "PNG", "WEBP", "HEIF"]
_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")

pillow_heif.register_heif_opener()
# Pillow's own limit counts pixels before it is known whether they are decoded smaller; `opened` holds ours before any is decoded.
Image.MAX_IMAGE_PIXELS = None


class NotShown(Exception):
    """A picture that can't be rendered; its text says why. The kept bytes stay as they are."""


def kind_of(start: bytes) -> str | None:
    """The media type by a file's first bytes, or None when it is no photo we keep."""
    if start.startswith(b"\xff\xd8\xff"):
        return JPEG
    if start.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return "image/webp"
    if start[4:8] == b"ftyp" and start[8:12] in _HEIF_BRANDS:
        return HEIC
    return None


@contextmanager
def opened(file: Path | IO[bytes], long_edge_px: int) -> Iterator[Image.Image]:
    """A picture, decoded at about that size where its kind allows. NotShown when it is damaged or has too many pixels."""
    try:
        with Image.open(file, formats=_FORMATS) as picture:
            most = JPEG_PIXEL_LIMIT if picture.format == "JPEG" else PIXEL_LIMIT
            if picture.width * picture.height > most:
                raise NotShown(
                    f"The picture has more than {most // 1_000_000} million pixels and isn't shown; its bytes are kept."
                )
            picture.draft("RGB", (long_edge_px, long_edge_px))
            if picture.width * picture.height > PIXEL_LIMIT:
                raise NotShown("The picture is too large to be shown; its bytes are kept.")
            picture.load()
            yield picture
    except (OSError, SyntaxError, ValueError, EOFError, RuntimeError) as error:
        raise NotShown("The picture is damaged and can't be shown; its bytes are kept as they came.") from error


def rendition(path: Path, long_edge_px: int) -> bytes:
    """A picture as JPEG, upright, without metadata, no longer than `long_edge_px`.

    NotShown when it is damaged or has too many pixels.
    """
    with opened(path, long_edge_px) as picture:
        return _as_jpeg(picture, long_edge_px)


def _as_jpeg(picture: Image.Image, long_edge_px: int) -> bytes:
    out = io.BytesIO()
    bare(picture, long_edge_px).save(out, "JPEG", quality=82)
    return out.getvalue()


def bare(picture: Image.Image, long_edge_px: int) -> Image.Image:
    """A picture upright, no longer than that, with nothing but its pixels; transparent parts are shown as paper."""
    small = (
        picture if picture.mode in ("RGB", "RGBA") else picture.convert("RGBA" if picture.mode in ("LA", "PA", "P") else "RGB")
    )
    # Made small first, since turning a large one copies all of it.
    small.thumbnail((long_edge_px, long_edge_px), Image.Resampling.BILINEAR)
    upright = _upright(small)
    if upright.mode == "RGBA":
        upright = Image.alpha_composite(Image.new("RGBA", upright.size, "white"), upright)
    return Image.frombytes("RGB", upright.size, upright.convert("RGB").tobytes())


_ORIENTATION = 0x0112  # the tag of EXIF 2.3, and what turns a picture upright for each of its values
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def _upright(picture: Image.Image) -> Image.Image:
    """Only the one tag is read: the library's own turning writes all of them anew, and fails where any of them is damaged."""
    try:
        turn = _TURNS.get(picture.getexif().get(_ORIENTATION, 1))
    except Exception:  # damaged hidden data make the library raise errors of many kinds; the picture itself is whole
        turn = None
    return picture.transpose(turn) if turn is not None else picture
