"""The demo's photos, drawn: plain and honest pictures of what the story tells, with no product's look."""

from __future__ import annotations

import math
from collections.abc import Callable

from seed_data.canvas import SIZE, Canvas, Point

__all__ = ["NAMES", "SIZE", "draw"]

_SOIL, _DARK_SOIL, _GRASS, _STONE = (122, 92, 66), (78, 58, 42), (96, 128, 62), (150, 146, 138)
_BLACK, _WHITE, _STEEL, _ORANGE = (28, 29, 31), (244, 243, 238), (172, 176, 180), (232, 112, 24)
_YELLOW, _COPPER, _GREEN, _RED, _INK = (246, 206, 52), (190, 112, 62), (58, 140, 70), (196, 48, 40), (20, 24, 27)


def _arc(x: float, y: float, across: float, down: float, start_deg: float, end_deg: float) -> list[Point]:
    steps = 48
    turns = [math.radians(start_deg + (end_deg - start_deg) * step / steps) for step in range(steps + 1)]
    return [(x + across * math.cos(turn), y + down * math.sin(turn)) for turn in turns]


def _trench(sheet: Canvas) -> None:
    sheet.field([(430, 0), (850, 0), (1060, 960), (220, 960)], _SOIL, 26, 6)
    sheet.field([(520, 0), (760, 0), (900, 960), (380, 960)], _DARK_SOIL, 30, 5)
    for x, y, wide in ((470, 640, 66), (560, 500, 44), (820, 720, 58), (735, 430, 36)):
        sheet.field(_arc(x, y, wide, wide * 0.6, 0, 360), _STONE, 30, 5)
    sheet.cable([(636, 0), (634, 420), (626, 960)], _BLACK, 78)
    for shift in (-20, 16):
        sheet.line([(636 + shift, 0), (634 + shift, 420), (628 + shift, 960)], _ORANGE, 5)
    sheet.polygon([(740, 120), (786, 120), (786, 800), (740, 800)], _YELLOW, _INK)
    for step in range(28):
        tall = 26 if step % 5 == 0 else 14
        sheet.line([(740, 790 - step * 24), (740 + tall, 790 - step * 24)], _INK, 2)
    for step, figure in ((5, "10"), (10, "20"), (15, "30"), (20, "40"), (25, "50")):
        sheet.words(772, 790 - step * 24, figure, 15, _INK)
    sheet.line([(300, 142), (980, 142)], _WHITE, 4)
    sheet.words(1010, 142, "ground line, 54 cm", 30, _WHITE, "lm")


def _handhole(sheet: Canvas) -> None:
    sheet.field([(220, 130), (1060, 130), (1060, 830), (220, 830)], (176, 174, 168), 16, 4)
    sheet.field([(290, 200), (990, 200), (990, 760), (290, 760)], (52, 48, 44), 14, 4)
    for x, y in ((250, 165), (1030, 165), (250, 795), (1030, 795)):
        sheet.disc(x, y, 15, 15, (96, 98, 100))
    for y in (420, 540):
        sheet.cable([(290, y), (400, y)], (44, 44, 46), 60)
        sheet.cable([(880, y), (990, y)], (44, 44, 46), 60)
    sheet.cable([(380, 420), *_arc(640, 480, 200, 150, 200, 340), (900, 540)], _BLACK, 20)
    for turn in range(3):
        sheet.ring(640, 480, 205 + turn * 22, 158 + turn * 18, (64, 64, 66), 20)
        sheet.ring(640, 480, 203 + turn * 22, 156 + turn * 18, (104, 104, 108), 4)
    for degrees in (60, 180, 300):
        x, y = 640 + 226 * math.cos(math.radians(degrees)), 480 + 176 * math.sin(math.radians(degrees))
        sheet.line([(x - 20, y - 24), (x + 20, y + 24)], (232, 230, 222), 9)
    sheet.box(520, 632, 764, 690, _ORANGE, 8)
    sheet.words(642, 661, "TL-OF-PH-01", 32, _INK)


def _panel(sheet: Canvas) -> None:
    sheet.box(60, 250, 1220, 640, (58, 61, 64), 10)
    sheet.box(90, 280, 1190, 610, (84, 88, 92), 6)
    for x in (75, 1205):
        for y in (300, 590):
            sheet.disc(x, y, 8, 8, _STEEL)
    for port in range(8):
        left = 130 + port * 130
        sheet.box(left, 400, left + 96, 490, (34, 80, 150), 6)
        sheet.box(left + 26, 414, left + 70, 476, _INK, 3)
        sheet.box(left, 330, left + 96, 376, _WHITE, 4)
        sheet.words(left + 48, 353, f"A{port + 1}", 28, _INK)
        if port < 2:
            sheet.box(left + 8, 408, left + 88, 530, (40, 96, 178), 8)
            sheet.cable([(left + 48, 525), (left + 54, 690), (left - 30, 830), (left - 60, 960)], (226, 190, 40), 18)
        elif port < 4:
            sheet.box(left + 6, 410, left + 90, 482, (206, 206, 202), 8)
    sheet.words(640, 585, "1 and 2 in use, 3 and 4 spare and capped", 24, _WHITE)


def _end_face(sheet: Canvas) -> None:
    sheet.disc(640, 480, 420, 420, (150, 152, 154))
    sheet.disc(640, 480, 210, 210, (196, 198, 200))
    sheet.disc(640, 480, 46, 46, (222, 224, 226))
    sheet.disc(640, 480, 15, 15, (250, 250, 246))
    for radius in (46, 193, 226, 420):
        sheet.ring(640, 480, radius, radius, (70, 160, 190), 3)
    for x, y, wide in ((616, 468, 10), (660, 500, 7), (634, 514, 6), (742, 420, 5), (538, 610, 6)):
        sheet.disc(x, y, wide, wide * 0.8, _INK)
    for name, radius in (("A", 46), ("B", 193), ("C", 226), ("D", 420)):
        sheet.words(640 + radius * 0.72 + 12, 480 - radius * 0.72 - 14, name, 30, (40, 120, 150))
    sheet.words(60, 900, "Port B2, as found", 34, _WHITE, "lm")


def _crossing(sheet: Canvas) -> None:
    sheet.field([(0, 0), (1280, 0), (1280, 380), (0, 380)], (176, 204, 224), 8, 40)
    sheet.field([(0, 360), (1280, 330), (1280, 960), (0, 960)], _GRASS, 24, 6)
    for row in range(9):
        left = -60 + row * 160
        sheet.line([(640 + (left - 640) * 0.2, 372), (left, 560)], (70, 98, 48), 16)
    sheet.field([(0, 620), (1280, 560), (1280, 760), (0, 840)], (158, 150, 140), 22, 5)
    for x, top, foot in ((300, 380, 650), (880, 330, 570), (420, 640, 930), (1010, 560, 830)):
        sheet.line([(x, top), (x, foot)], _WHITE, 26)
        sheet.line([(x, top), (x, top + (foot - top) * 0.36)], _ORANGE, 26)
        sheet.disc(x, foot, 26, 8, (74, 92, 50))
    for step in range(12):
        x, y = 330 + step * 8, 660 + step * 22
        sheet.line([(x, y), (x + 4, y + 10)], _ORANGE, 6)
    sheet.words(660, 900, "steel sleeve under the lane, 7 m", 30, _WHITE, "lm")


def _protector(sheet: Canvas) -> None:
    sheet.box(180, 640, 1100, 726, _COPPER, 4)
    for x in range(240, 1080, 120):
        sheet.disc(x, 683, 24, 24, (140, 80, 44))
        sheet.disc(x, 683, 15, 15, _STEEL)
    sheet.box(470, 260, 810, 470, (204, 206, 204), 14)
    sheet.box(500, 290, 780, 360, _WHITE, 6)
    sheet.words(640, 325, "LINE   EQUIPMENT", 26, _INK)
    sheet.disc(640, 415, 22, 22, _STEEL)
    sheet.cable([(470, 400), (330, 400), (250, 250), (230, 0)], _BLACK, 30)
    sheet.cable([(810, 400), (930, 400), (1030, 260), (1060, 0)], (70, 110, 170), 26)
    lead: list[Point] = [(640, 470), (636, 560), (600, 683)]
    sheet.cable(lead, _GREEN, 26)
    sheet.line(lead, _YELLOW, 8)
    sheet.words(690, 570, "lead 0.35 m", 32, _INK, "lm")
    sheet.words(640, 790, "main earth bar, office", 34, _INK)


def _display(sheet: Canvas, top: str, figure: str, unit: str, foot: str) -> None:
    sheet.box(330, 90, 950, 900, (66, 70, 74), 46)
    sheet.box(390, 160, 890, 520, (198, 208, 190), 16)
    sheet.words(420, 200, top, 32, _INK, "lm")
    sheet.words(580, 340, figure, 140, _INK)
    sheet.words(872, 385, unit, 46, _INK, "rm")
    sheet.words(420, 485, foot, 30, _INK, "lm")
    for x, colour in ((500, _INK), (780, _RED)):
        sheet.disc(x, 800, 44, 44, (40, 42, 44))
        sheet.disc(x, 800, 26, 26, colour)
        sheet.cable([(x, 800), (x + (x - 640) * 0.3, 960)], colour, 24)
    for index in range(4):
        sheet.box(410 + index * 120, 590, 500 + index * 120, 660, (112, 118, 122), 12)


def _meter(sheet: Canvas) -> None:
    _display(sheet, "VOLTS DC", "33.4", "V", "far end, heater on")


def _loop(sheet: Canvas) -> None:
    _display(sheet, "PAIR 7-8, LOOP", "15.0", "ohm", "71 m, 13 °C")


def _conductor(sheet: Canvas) -> None:
    # To the scale below: 23 AWG is 0.57 mm thick, its insulation about 1 mm.
    sheet.box(0, 320, 560, 570, (70, 110, 170), 30)
    sheet.box(0, 344, 560, 388, (120, 154, 204), 10)
    sheet.box(540, 374, 1180, 517, _COPPER, 8)
    sheet.box(540, 392, 1180, 416, (226, 160, 112), 4)
    scraped: list[Point] = [(760, 374), (1010, 374), (1060, 478), (720, 478)]
    sheet.field(scraped, (206, 210, 214), 20, 3)
    sheet.line([*scraped, scraped[0]], (150, 82, 42), 5)
    sheet.disc(1180, 445, 20, 71, (206, 210, 214))
    sheet.ring(1180, 445, 22, 73, _COPPER, 5)
    sheet.box(120, 700, 1160, 800, _YELLOW, 4)
    for step in range(41):
        sheet.line([(140 + step * 25, 700), (140 + step * 25, 744 if step % 5 == 0 else 726)], _INK, 2)
    for step in range(0, 41, 10):
        sheet.words(140 + step * 25, 772, str(step // 10), 30, _INK)
    sheet.words(890, 330, "scraped", 36, _INK)
    sheet.words(640, 850, "mm", 32, _INK)


def _tight_bend(sheet: Canvas) -> None:
    sheet.field([(0, 560), (1280, 500), (1280, 960), (0, 960)], _DARK_SOIL, 30, 5)
    sheet.cable([(0, 700), (560, 660)], (44, 44, 46), 150)
    sheet.disc(566, 660, 32, 74, (84, 84, 86))
    sheet.disc(568, 660, 24, 60, (18, 18, 20))
    turn = _arc(640, 560, 92, 100, 90, -10)
    sheet.cable([(540, 664), *turn, (716, 420), (700, 120), (690, 0)], _BLACK, 36)
    sheet.ring(640, 560, 74, 82, _ORANGE, 4)
    sheet.line([(640, 560), (704, 602)], _ORANGE, 4)
    sheet.words(550, 510, "60 mm", 40, _WHITE, "rm")


_DRAWN: dict[str, tuple[tuple[int, int, int], Callable[[Canvas], None]]] = {
    "trench": (_GRASS, _trench),
    "handhole": (_GRASS, _handhole),
    "panel": ((196, 194, 188), _panel),
    "end-face": ((34, 36, 38), _end_face),
    "crossing": (_GRASS, _crossing),
    "protector": ((220, 216, 206), _protector),
    "meter": ((134, 112, 88), _meter),
    "loop": ((150, 152, 150), _loop),
    "conductor": ((226, 224, 216), _conductor),
    "tight-bend": (_SOIL, _tight_bend),
}
NAMES = list(_DRAWN)


def draw(name: str) -> bytes:
    """One of the drawn photos as JPEG bytes. name: one of NAMES."""
    ground, strokes = _DRAWN[name]
    sheet = Canvas(name, ground)
    strokes(sheet)
    return sheet.jpeg()
