"""Colours of fibres and tubes."""

from __future__ import annotations

import pytest

from app.core import strands


@pytest.mark.parametrize(
    ("number", "tube_size", "fibre", "tube", "tube_number"),
    [(1, 12, "blue", "blue", 1), (12, 12, "aqua", "blue", 1), (13, 12, "blue", "orange", 2), (144, 12, "aqua", "aqua", 12),
     (24, 24, "aqua, 1 black tracer", "blue", 1), (157, 12, "blue", "orange, 1 black tracer", 14), (25, 48, "blue, 2 black tracers", "blue", 1)],
)  # fmt: skip
def test_the_colour_of_a_fibre_and_of_its_tube(number: int, tube_size: int, fibre: str, tube: str, tube_number: int) -> None:
    # ANSI/TIA-598 order of twelve, then with black tracers (seen in two or more public places)
    found = strands.strand_colour(number, tube_size)["results"]
    assert found == {"fibre": fibre, "tube": tube, "tube_number": tube_number}
