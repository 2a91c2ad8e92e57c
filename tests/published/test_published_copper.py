"""Published and hand-computed values for copper, power and traffic, each beside its source and how sure we are of it (copper.json).

A row's confidence: 2+ two or more public places, 1 one, mem from memory, computed or derived a hand calculation.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app import engine
from app.core import copper, limits, pairs, power

ROWS = json.loads((Path(__file__).parent / "copper.json").read_text(encoding="utf-8"))


def _arriving(source_v: float, source_w: float, ohm: float) -> float:
    """The class table gives what the source sends; the load that draws what arrives must ask exactly that of the source."""
    arriving = source_w - (source_w / source_v) ** 2 * ohm
    assert power.source_power(source_v, arriving, ohm) == pytest.approx(source_w, rel=1e-9)
    return arriving


def _percent(pair_a: list[float], pair_b: list[float]) -> float:
    first, second = pairs.parallel_ohm(pair_a[0] + pair_a[1]), pairs.parallel_ohm(pair_b[0] + pair_b[1])
    worst_at = pairs.unbalance_limit_mohm(1.0, 0.0, first + second)  # one percent of the sum
    return abs(first - second) * 1000.0 / worst_at


FUNCTIONS: dict[str, Callable[..., Any]] = {
    "loss_growth": lambda temperature, screened: copper.loss_growth(temperature, screened),
    "copper_growth_times": lambda ohm, temperature: ohm * copper.copper_growth(temperature),
    "pair_set": lambda loop_a, loop_b: pairs.pair_set_ohm(loop_a, loop_b),
    "unbalance_percent": _percent,
    "power_that_arrives": _arriving,
    "load_voltage": lambda source_v, load_w, ohm: power.load_voltage(source_v, load_w, ohm),
    "most_power": lambda source_v, ohm: power.most_power_w(source_v, ohm),
    "class_resistance": lambda source_v, load_w, source_w: power.reach_resistance(source_v, load_w, source_v * 0.75, source_w),
    "wire_map": lambda map: "; ".join(pairs.map_faults(map)),
    "loop_limit": lambda setup: float(limits.row("iso-11801-1-2017-copper", "loop_resistance:" + setup)["value"]),
}


def answer(row: dict[str, Any]) -> Any:
    if row["call"].startswith("calc:"):
        return engine.call("calc", name=row["call"][5:], inputs=row["inputs"])["results"][row["result"]]["value"]
    engine.call("describe")  # limits are configured
    return FUNCTIONS[row["call"]](**row["inputs"])


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['what'][:40]} {row['inputs']} ({row['confidence']})" for row in ROWS])
def test_reproduces_the_published_value(row: dict[str, Any]) -> None:
    given = answer(row)
    if isinstance(row["expected"], str):
        assert given == row["expected"], row["source"]
    else:
        assert given == pytest.approx(row["expected"], abs=row["tolerance"] + 1e-9), row["source"]


def test_every_row_names_its_source_and_confidence() -> None:
    assert [row["what"] for row in ROWS if not (row["source"] and row["confidence"])] == []
