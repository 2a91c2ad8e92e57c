"""What the tests of published values share: rows of value, source and confidence; how a row is worked out; how it is held against the page.

A row: ``what``; ``call``: ``calc:NAME`` for a calculator through core's door, else a function of the test module; ``inputs``; ``result``: the
key of a calculator's result (several keys where ``expected`` is an object); ``expected``, ``unit``, ``tolerance``; ``source`` and
``confidence`` (2+ two or more public places, 1 one, mem from memory, practice custom, computed or derived a calculation outside this program).
A row with ``left_out`` says why the value is not held against this program.

A table (``..._tables.json``) stands for many rows: what its columns and its lines add to the inputs, the printed cells (null where the
page has none; ``[value, confidence]`` where a cell has its own), one source for all.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app import engine

HERE = Path(__file__).parent
Row = dict[str, Any]
Functions = dict[str, Callable[..., Any]]


def rows(subject: str) -> list[Row]:
    """All rows of a subject, those of its tables behind those that stand alone."""
    alone: list[Row] = json.loads((HERE / f"{subject}.json").read_text(encoding="utf-8"))
    tables = json.loads((HERE / f"{subject}_tables.json").read_text(encoding="utf-8"))
    return alone + [row for table in tables for row in _cells(table)]


def _cells(table: Row) -> list[Row]:
    found = []
    for line in table["lines"]:
        for column, cell in zip(table["columns"], line["cells"], strict=True):
            if cell is not None:
                expected, confidence = cell if isinstance(cell, list) else (cell, column.get("confidence", table["confidence"]))
                inputs = {**table.get("inputs", {}), **column.get("inputs", {}), **line["inputs"]}
                kept = {key: table[key] for key in ("what", "call", "result", "unit", "source") if key in table}
                result = {"result": column["result"]} if "result" in column else {}
                tolerance = line.get("tolerance", column.get("tolerance", table["tolerance"]))
                found.append(
                    {**kept, **result, "inputs": inputs, "expected": expected, "tolerance": tolerance, "confidence": confidence}
                )
    return found


def held(subject: str) -> list[Any]:
    """The rows to hold against this program, named for a test's report."""
    kept = [row for row in rows(subject) if "left_out" not in row]
    return [
        pytest.param(row, id=f"{row['what'][:50]} {row.get('result', '')} {row['inputs']} ({row['confidence']})"[:160])
        for row in kept
    ]


def answer(row: Row, functions: Functions) -> Any:
    """What this program gives for a row."""
    engine.call("describe")  # limits are configured
    if not row["call"].startswith("calc:"):
        return functions[row["call"]](**row["inputs"])
    inputs = {name: text if isinstance(text, str) else json.dumps(text) for name, text in row["inputs"].items()}
    answered = engine.call("calc", name=row["call"].removeprefix("calc:"), inputs=inputs)
    results = {key: result["value"] for key, result in answered["results"].items()}
    return {key: results[key] for key in row["expected"]} if isinstance(row["expected"], dict) else results[row["result"]]


def assert_reproduced(row: Row, functions: Functions) -> None:
    """The program's answer is the printed one within the row's tolerance; words are the same words."""
    _compare(answer(row, functions), row["expected"], row["tolerance"] + 1e-9, f"{row['what']}: {row['source']}")


def _compare(given: Any, expected: Any, tolerance: float, where: str) -> None:
    if isinstance(expected, dict):
        assert sorted(given) == sorted(expected), where
        for key in expected:
            _compare(given[key], expected[key], tolerance, f"{key}, {where}")
    elif isinstance(expected, list):
        assert len(given) == len(expected), where
        for one, other in zip(given, expected, strict=True):
            _compare(one, other, tolerance, where)
    elif isinstance(expected, (str, bool)) or expected is None:
        assert given == expected, where
    else:
        assert given == pytest.approx(expected, abs=tolerance), where


def faulty(subject: str) -> list[str]:
    """Rows that lack a source, a confidence or a reason: none may."""
    return [row["what"] for row in rows(subject) if not (row["source"] and row["confidence"] and row.get("left_out", "why"))]
