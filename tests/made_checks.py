"""Check rows for tests of pictures and records: each verdict once, made by the helper that every rule uses."""

from __future__ import annotations

from typing import Any

from app.core.checks import base


def all_verdicts() -> list[dict[str, Any]]:
    source = {"document": "ISO/IEC 14763-3", "edition": "2024", "clause": "9", "seen": "1"}
    maker = base.typed_source("Maker's data sheet, revision 3, page 2")
    rows = [
        base.judge(
            "loss",
            [["strand", "1"]],
            "fibre",
            "Loss, strand 1, 1310 nm, near to far",
            1.15,
            1.57,
            "dB",
            2,
            "max",
            source,
            ["one step"],
        ),
        base.judge(
            "loss",
            [["strand", "2"]],
            "fibre",
            "Loss, strand 2",
            1.50,
            1.57,
            "dB",
            2,
            "max",
            source,
            decision="guarded",
            uncertainty=0.2,
        ),
        base.judge(
            "loss",
            [["strand", "3"]],
            "fibre",
            "Loss, strand 3",
            1.60,
            1.57,
            "dB",
            2,
            "max",
            source,
            decision="guarded",
            uncertainty=0.2,
        ),
        base.judge("far_voltage", [], "power", "Voltage at the far end, under load", 31.2, 37.0, "V", 1, "min", maker),
    ]
    missing = dict(rows[0])
    missing |= {
        "id": "loss:strand=4",
        "title": "Loss, strand 4",
        "measured": None,
        "margin": None,
        "verdict": "not_measured",
        "bar": None,
    }
    missing |= {"working": [], "sentence": "Not measured."}
    return [*rows, missing]


def summary(checks: list[dict[str, Any]]) -> dict[str, Any]:
    from app.core import acceptance

    return acceptance.summarise(checks, {"seals": [], "stations": [1], "readings": [1]})
