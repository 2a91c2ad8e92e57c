"""Published and hand-computed values for fibre and transceivers, each beside its source and how sure we are of it (fibre.json).

Confidence: [2+] two or more public places, [1] one, [mem] from memory, derived or exact a hand calculation, [practice] custom with no source.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from app import engine
from app.core import fibre

ROWS = json.loads((Path(__file__).parent / "fibre.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['what'][:60]} ({row['confidence'][:12]})" for row in ROWS])
def test_reproduces_the_published_value(row: dict[str, Any]) -> None:
    given = engine.call("calc", name=row["calculator"], inputs=row["inputs"])["results"][row["result"]]["value"]
    if isinstance(row["expected"], str):
        assert given == row["expected"], row["source"]
    else:
        assert given == pytest.approx(row["expected"], abs=row["tolerance"] + 1e-9), row["source"]


@pytest.mark.parametrize(
    ("measured_db", "length_m", "method", "code"),
    [
        (-0.12, 100.0, "one_cord", "invalid_reference"),  # a passive link cannot amplify: physics
        (-0.10, 100.0, "three_cord", "implausible_low"),  # not below -0.10 dB (practice), but below the glass of 100 m
        (-0.11, 100.0, "three_cord", "invalid_reference"),  # practice
        (0.30, 2000.0, "one_cord", "implausible_low"),  # floor 0.29 dB/km x 2 km = 0.58 dB (practice)
        (0.58, 2000.0, "one_cord", None),
    ],
)
def test_an_impossible_loss_is_named_for_what_it_is(measured_db: float, length_m: float, method: str, code: str | None) -> None:
    engine.call("describe")
    fault = fibre.loss_fault(measured_db, length_m, "1310", method)
    assert (fault["code"] if fault else None) == code
