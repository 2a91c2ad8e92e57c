"""How wide the columns of a table are: each as wide as what stands in it where that fits, the widest ones narrower where it doesn't."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.core import draw

PAGE_MM = 180.0  # between the margins, on A4 and on letter
TEXT_MM = 7.8 / 72 * 25.4
_PADDING_MM = 2.6 + 0.6
_BOLDER = 1.06
_TOO_WIDE = 0.92  # core's estimate is never less than what words take
_MOST_SPREAD = 1.3  # a table of few short columns stays together instead of running over the whole page
_SHORT_MM = 22.0  # up to this a column is never broken
_FEW_ROWS = 8  # in a longer table one cell in five may wrap
_LINES = re.compile("\n")
_BREAKS = re.compile("[ \n\u200b]")


@dataclass(frozen=True)
class _Column:
    """Widths in mm: of everything in it, of four cells in five, of what can't be broken."""

    whole: float
    usual: float
    least: float


def widths_mm(heads: Sequence[Sequence[str]], rows: Sequence[Sequence[str]]) -> list[float]:
    """Widths of the columns of a table, or of several that share them, in mm; together at most 180.

    heads: a row of heads for each table; rows: all rows. What can break has a blank, a line feed or a zero-width space.
    """
    found = [_column([head[place] for head in heads], [row[place] for row in rows]) for place in range(len(heads[0]))]
    return [round(width, 2) for width in _shared(found)]


def _column(heads: list[str], cells: list[str]) -> _Column:
    cell_widths = sorted(_wide(_LINES.split(cell)) for cell in cells)
    head_mm = _wide([piece for head in heads for piece in _BREAKS.split(head)]) * _BOLDER
    whole = max(_wide(heads) * _BOLDER, *cell_widths)
    usual = max(head_mm, cell_widths[-1 if len(cells) <= _FEW_ROWS else len(cells) * 4 // 5])
    least = max(head_mm, _wide([piece for cell in cells for piece in _BREAKS.split(cell)]))
    if max(head_mm, cell_widths[-1]) <= _SHORT_MM:
        usual = least = max(head_mm, cell_widths[-1] / _TOO_WIDE)
    return _Column(max(whole, usual) + _PADDING_MM, usual + _PADDING_MM, min(least, usual) + _PADDING_MM)


def _wide(pieces: Iterable[str]) -> float:
    return max(draw.width_of(piece[:400], TEXT_MM) for piece in pieces) * _TOO_WIDE


def _shared(held: list[_Column]) -> list[float]:
    """As wide as everything where that fits; else as the usual cell, with what is left shared out; else capped."""
    whole, usual, least = ([getattr(column, name) for column in held] for name in ("whole", "usual", "least"))
    if sum(whole) <= PAGE_MM:
        factor = min(PAGE_MM / sum(whole), _MOST_SPREAD)
        return [width * factor for width in whole]
    if sum(usual) <= PAGE_MM:
        share = (PAGE_MM - sum(usual)) / (sum(whole) - sum(usual))
        return [low + (high - low) * share for low, high in zip(usual, whole, strict=True)]
    if sum(least) >= PAGE_MM:
        return [low * PAGE_MM / sum(least) for low in least]
    return _capped(usual, least, _cap(usual, least))


def _cap(usual: list[float], least: list[float]) -> float:
    """The cap at which the columns fill the page, by halving."""
    low, high = 0.0, max(usual)
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if sum(_capped(usual, least, middle)) > PAGE_MM else (middle, high)
    return low


def _capped(usual: list[float], least: list[float], cap: float) -> list[float]:
    """Columns up to the cap as wide as they are, wider ones less the wider they are, and none narrower than what can't be broken."""
    return [min(width, max(narrow, (width * cap) ** 0.5)) for width, narrow in zip(usual, least, strict=True)]
