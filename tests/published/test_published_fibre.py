"""Published and hand-computed values for fibre and transceivers, each beside its source and how sure we are of it."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core import diagnostics, fibre, limits, locate, optics
from tests.published import published

OPTICAL = "ieee-802.3-optical"


def _loss_parts(alpha: float, length_km: float, ends: int, inner_db: list[float], splices_db: list[float], limits: str) -> float:
    """End matings by the limit set, the other parts as given."""
    allowed = fibre.allowance("OM3", "850", length_km * 1000.0, ends, 0, "one_cord", limits)
    assert allowed["cable_db"] == pytest.approx(alpha * length_km)
    return float(allowed["allowance_db"]) + sum(inner_db) + sum(splices_db)


def _fit(application: str, fibre: str) -> dict[str, Any]:
    return next(row for row in limits.rows(OPTICAL, kind="fit", application=application, fibre=fibre))


def _least_received(application: str, fibre: str, transmit_dbm: float, **given: float) -> float:
    return transmit_dbm - float(_fit(application, fibre)["value"])


def _supported_of(fibre: str, length_m: float, loss_850_db: float, of: list[str]) -> list[str]:
    found = optics.ethernet_support(fibre, length_m, loss_850_db)["results"]
    return [name for name in of if found[name] == "supported"]


def _fault(measured_db: float, length_m: float, method: str) -> str | None:
    found = fibre.loss_fault(measured_db, length_m, "1310", method)
    return found["code"] if found else None


def _shared_mark(near_mark: float, near_sheath_m: float, far_sheath_m: float, sheath_m: float) -> float:
    return near_mark + float(locate.both_ends(near_sheath_m, far_sheath_m, sheath_m)["results"]["place"])


def _closure(near_sheath_m: float, far_shown_m: float, tail_m: float, excess: float, sheath_m: float) -> float:
    return float(locate.both_ends(near_sheath_m, locate.sheath_m(far_shown_m, tail_m, excess), sheath_m)["results"]["miss"])


def _row(file: str, id: str, key: str = "value") -> float:
    return float(limits.row(file, id)[key])


FUNCTIONS: published.Functions = {
    "loss_parts": _loss_parts,
    "least_received": _least_received,
    "supported_of": _supported_of,
    "module_temperature": diagnostics.temperature_degc,
    "module_supply": diagnostics.supply_v,
    "module_bias": diagnostics.bias_ma,
    "module_power": diagnostics.power_uw,
    "shown_length": lambda true_m, index_true, index_set: locate.corrected_m(true_m, index_true, index_set),
    "shorter_by": locate.shorter_by,
    "closure": _closure,
    "shared_mark": _shared_mark,
    "loss_fault": _fault,
    "fit": lambda application, fibre, key: float(_fit(application, fibre)[key]),
    "row": _row,
    "event_width": locate.event_width_m,
}


@pytest.mark.parametrize("row", published.held("fibre"))
def test_reproduces_the_published_value(row: published.Row) -> None:
    published.assert_reproduced(row, FUNCTIONS)


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
    assert _fault(measured_db, length_m, method) == code


def test_every_row_names_its_source_and_confidence() -> None:
    assert published.faulty("fibre") == []
