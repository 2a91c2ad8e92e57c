"""Signing a link: signatures drawn as smooth curves, and the seal over what core says it covers."""

from __future__ import annotations

import hashlib
import math
from typing import Any

from app import engine
from seed_data.writer import Writer

_WIDTH, _HEIGHT = 343, 160


def strokes(name: str) -> list[list[list[int]]]:
    """Loops and an underline that look like a hand's, decided by the name: [[[x, y], ...], ...] in pixels of the pad."""
    parts = name.split(" ")
    across = (_WIDTH - 60) / len(parts)
    drawn = [_word(part, 30 + across * index, across * 0.86) for index, part in enumerate(parts)]
    sweep = [[int(40 + 26 * step), int(128 - 9 * math.sin(step / 3.1))] for step in range(11)]
    return [*drawn, sweep]


def _word(word: str, left: float, width: float) -> list[list[int]]:
    digest = hashlib.sha256(word.encode()).digest()
    letters = len(word)
    points = []
    for step in range(letters * 7 + 1):
        share = step / (letters * 7)
        letter = min(letters - 1, int(share * letters))
        tall = (46 if letter == 0 else 14 + digest[letter] % 16) * (1 - 0.35 * share)
        turn = share * letters * 2 * math.pi
        x = left + width * share + (5 + digest[letter + 8] % 5) * math.cos(turn)
        y = 84 - tall * math.sin(turn) - 8 * share
        points.append([int(x), int(y)])
    return points


def seal(writer: Writer, link: str, revision: int, people: list[tuple[str, str]]) -> str:
    """Sign a link as it stands. people: (name, role) in the order in which they sign."""
    with engine.opened(writer.book, writer.texts) as core:
        covers, checks = core("cover", link=link), core("checks", link=link)["checks"]
    signatures: list[dict[str, Any]] = [
        {"name": name, "role": role, "at": writer.at(), "strokes": strokes(name), "width": _WIDTH, "height": _HEIGHT}
        for name, role in people
    ]
    verdicts = [
        [check["id"], check["verdict"], *[_shown(check[part]) for part in ("measured", "limit", "margin")]] for check in checks
    ]
    body = {"link": link, "revision": revision, "covers": covers, "signatures": signatures, "verdicts": verdicts}
    return writer.write("seal", body)


def _shown(value: dict[str, str] | None) -> str:
    return f"{value['text']} {value['unit']}".strip() if value else ""
