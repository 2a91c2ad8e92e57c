"""What the drawings are made with: a sheet at twice the size, textures without chance, and JPEG bytes."""

from __future__ import annotations

import hashlib
import io

from PIL import Image, ImageDraw, ImageFont

SIZE = (1280, 960)
_DRAWN_AT = 2
_QUALITY = 66

Colour = tuple[int, int, int]
Point = tuple[float, float]


class Canvas:
    """A sheet of 1280 by 960 on which all measures are in its own pixels."""

    def __init__(self, name: str, ground: Colour, grain: int = 18) -> None:
        self.name = name
        self._textures = 0
        self._image = Image.new("RGB", (SIZE[0] * _DRAWN_AT, SIZE[1] * _DRAWN_AT), ground)
        self._pen = ImageDraw.Draw(self._image)
        if grain:
            self.field([(0, 0), (SIZE[0], 0), SIZE, (0, SIZE[1])], ground, grain)

    def field(self, outline: list[Point], colour: Colour, grain: int = 18, coarse: int = 8) -> None:
        """A filled outline with grain like soil, grass or plaster. coarse: size of the grains."""
        mask = Image.new("L", self._image.size, 0)
        ImageDraw.Draw(mask).polygon(self._scaled(outline), fill=255)
        self._image.paste(self._texture(colour, grain, coarse), (0, 0), mask)

    def _texture(self, colour: Colour, grain: int, coarse: int) -> Image.Image:
        self._textures += 1
        width, height = SIZE[0] // coarse, SIZE[1] // coarse
        noise = hashlib.shake_256(f"{self.name} {self._textures}".encode()).digest(width * height)
        layer = Image.frombytes("L", (width, height), noise).resize(self._image.size, Image.Resampling.BICUBIC)
        bands = [layer.point([_clamped(part + (step - 128) * grain // 128) for step in range(256)]) for part in colour]
        return Image.merge("RGB", bands)

    def polygon(self, outline: list[Point], colour: Colour, edge: Colour | None = None) -> None:
        """A plain filled outline."""
        self._pen.polygon(self._scaled(outline), fill=colour, outline=edge, width=3 * _DRAWN_AT if edge else 1)

    def box(self, left: float, top: float, right: float, bottom: float, colour: Colour, round_px: int = 0) -> None:
        """A rectangle, with rounded corners where asked."""
        self._pen.rounded_rectangle(self._scaled([(left, top), (right, bottom)]), round_px * _DRAWN_AT, fill=colour)

    def line(self, points: list[Point], colour: Colour, width: float) -> None:
        """A thick line with round joints and ends, such as a cable."""
        scaled, thick = self._scaled(points), int(width * _DRAWN_AT)
        self._pen.line(scaled, fill=colour, width=thick, joint="curve")
        for x, y in (scaled[0], scaled[-1]):
            self._pen.ellipse((x - thick / 2, y - thick / 2, x + thick / 2, y + thick / 2), fill=colour)

    def cable(self, points: list[Point], colour: Colour, width: float) -> None:
        """A line with a light along it, so that it looks round."""
        self.line(points, colour, width)
        light = (_clamped(colour[0] + 60), _clamped(colour[1] + 60), _clamped(colour[2] + 60))
        self.line([(x - width * 0.16, y - width * 0.18) for x, y in points], light, max(1.0, width * 0.14))

    def ring(self, x: float, y: float, across: float, down: float, colour: Colour, width: float) -> None:
        """An ellipse's line around a middle, with half axes across and down."""
        box = self._scaled([(x - across, y - down), (x + across, y + down)])
        self._pen.ellipse([*box[0], *box[1]], outline=colour, width=int(width * _DRAWN_AT))

    def disc(self, x: float, y: float, across: float, down: float, colour: Colour) -> None:
        """A filled ellipse around a middle."""
        box = self._scaled([(x - across, y - down), (x + across, y + down)])
        self._pen.ellipse([*box[0], *box[1]], fill=colour)

    def words(self, x: float, y: float, text: str, size: float, colour: Colour, anchor: str = "mm") -> None:
        """Words in Pillow's own font, by default with their middle at x, y."""
        font = ImageFont.load_default(size * _DRAWN_AT)
        self._pen.text((x * _DRAWN_AT, y * _DRAWN_AT), text, colour, font, anchor)

    def jpeg(self) -> bytes:
        """The finished sheet as JPEG bytes without metadata."""
        out = io.BytesIO()
        self._image.resize(SIZE, Image.Resampling.LANCZOS).save(out, "JPEG", quality=_QUALITY)
        return out.getvalue()

    def _scaled(self, points: list[Point]) -> list[Point]:
        return [(x * _DRAWN_AT, y * _DRAWN_AT) for x, y in points]


def _clamped(value: int) -> int:
    return max(0, min(255, value))
