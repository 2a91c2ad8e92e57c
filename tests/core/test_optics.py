"""Transceivers and Ethernet reach: both sides of the budget, and each way that a link may fail an application."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import optics
from app.core.errors import Refused


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


def verdict(application: str, kind: str, length_m: float | None, **losses: float) -> tuple[str, str]:
    found = optics.support(application, kind, length_m, {name[1:]: [loss, loss] for name, loss in losses.items()})
    return found["verdict"], found["reason"]


@pytest.mark.parametrize(("length_m", "loss_db", "expected"), [
    (300.0, 2.60, "supported"), (300.1, 2.60, "no"), (300.0, 2.61, "no"), (2.0, 2.6, "supported"), (1.9, 2.6, "no"),
])  # fmt: skip
def test_10gbase_sr_on_om3_at_its_bounds(length_m: float, loss_db: float, expected: str) -> None:
    # IEEE 802.3 clause 52: 300 m and 2.6 dB (two or more public places), least length 2 m (from memory).
    assert verdict("10GBASE-SR", "OM3", length_m, w850=loss_db)[0] == expected


def test_a_loss_that_passes_does_not_help_a_link_that_is_too_long() -> None:
    word, reason = verdict("10GBASE-SR", "OM3", 320.0, w850=1.2)
    assert word == "no"
    assert "320 m is over its reach of 300 m" in reason


def test_a_wavelength_that_was_not_measured_is_not_a_no() -> None:
    assert verdict("1000BASE-LX", "OS2", 400.0, w1550=0.5) == ("not_proven", "loss at 1310 nm not measured")


def test_a_measured_fault_outweighs_what_is_not_measured() -> None:
    # Downstream of 1000BASE-BX10 takes the worse of 1310 and 1550 nm, 5.5 dB (one public place).
    assert verdict("1000BASE-BX10", "OS2", 400.0, w1550=5.6)[0] == "no"


def test_single_fibre_applications_take_the_worse_of_the_two_wavelengths() -> None:
    assert verdict("1000BASE-BX10", "OS2", 400.0, w1310=5.5, w1550=5.5)[0] == "supported"
    assert verdict("1000BASE-BX10", "OS2", 400.0, w1310=5.6, w1550=5.0)[0] == "no"


def test_multimode_applications_are_not_made_for_single_mode() -> None:
    assert verdict("1000BASE-SX", "OS2", 100.0, w1310=0.4) == ("no", "not made for OS2")


def test_extended_reach_optics_on_a_short_link_need_an_attenuator() -> None:
    # 10GBASE-ER needs 5 dB between full-power ends: +4 dBm sent, -1 dBm taken (IEEE 802.3 clause 52, one and two places).
    word, reason = verdict("10GBASE-ER", "OS2", 1200.0, w1550=0.9)
    assert word == "no"
    assert "attenuator of 4.10 dB" in reason
    assert verdict("10GBASE-ER", "OS2", 1200.0, w1550=5.0)[0] == "supported"


def test_where_no_loss_limit_is_known_nothing_is_promised() -> None:
    assert verdict("10GBASE-BR10", "OS2", 400.0, w1310=0.4, w1550=0.4)[0] == "not_proven"
    assert verdict("10GBASE-LRM", "OM4", 100.0, w1300=0.4)[0] == "not_proven"


def test_without_a_length_nothing_is_proven() -> None:
    assert verdict("1000BASE-LX", "OS2", None, w1310=0.4) == ("not_proven", "length not known")


@given(st.floats(0, 6), st.floats(0, 6))
def test_more_loss_leaves_less_room_below_and_more_above(first_db: float, second_db: float) -> None:
    low, high = sorted((first_db, second_db))
    less, more = (optics.budget(-9.0, -3.0, -20.0, -3.0, loss, loss, 0.0) for loss in (low, high))
    assert less["margin_low_db"] >= more["margin_low_db"]
    assert less["margin_high_db"] <= more["margin_high_db"]


@pytest.mark.parametrize(
    ("needed_db", "pad_db"), [(0.0, 0.0), (-2.0, 0.0), (0.1, 1.0), (1.0, 1.0), (4.1, 5.0), (20.0, 20.0), (21.5, 21.5)]
)
def test_the_next_usual_attenuator_is_chosen(needed_db: float, pad_db: float) -> None:
    # Steps 1, 2, 3, 5, 7, 10, 15, 20 dB: trade sizes, common practice.
    assert optics.stock_pad(needed_db) == pad_db


def test_least_above_most_is_refused_by_name() -> None:
    with pytest.raises(Refused) as refused:
        optics.transceiver_budget(-3.0, -9.0, -20.0, -3.0, 1.0)
    assert refused.value.field == "transmit_min"


@pytest.mark.parametrize(("kind", "wavelength_nm", "stands_for"), [
    ("OM3", 850, ["850"]), ("OM3", 1310, ["1300"]), ("OS2", 1270, ["1310"]), ("OS2", 1310, ["1310"]),
    ("OS2", 1490, ["1310", "1550"]), ("OS2", 1550, ["1550"]),
])  # fmt: skip
def test_a_transceiver_is_judged_at_the_measured_wavelength_that_stands_for_it(
    kind: str, wavelength_nm: float, stands_for: list[str]
) -> None:
    assert optics.nearest_wavelength(kind, wavelength_nm) == stands_for


@pytest.mark.parametrize(("method", "extra_db"), [("one_cord", 0.0), ("two_cord", 0.75), ("three_cord", 1.5)])
def test_end_matings_that_the_method_left_out_come_back_for_the_channel(method: str, extra_db: float) -> None:
    assert optics.channel_extra(method, "OS2") == extra_db  # 0.75 dB a mating, ISO/IEC 11801-1
