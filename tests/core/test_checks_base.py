"""Verdicts in whole steps. The decision rules are those of ILAC-G8:09/2019 section 4.2 (seen in two or more public places)."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.checks import base
from app.core.numbers import text

SOURCE = {"document": "Rule book", "edition": "2020", "clause": "clause 4", "seen": "1"}


def judge(measured: float, limit: float, **more: Any) -> dict[str, Any]:
    given_more = {"unit": "dB", "decimals": 2, "sense": "max", "source": SOURCE, **more}
    return base.judge("loss", [["strand", "1"]], "fibre", "Loss", measured, limit, **given_more)


@pytest.mark.parametrize(
    ("measured", "verdict"),
    [(1.80, "pass"), (1.75, "pass"), (1.81, "pass_within_uncertainty"), (2.0, "pass_within_uncertainty"),
     (2.01, "fail_within_uncertainty"), (2.2, "fail_within_uncertainty"), (2.21, "fail")],
)  # fmt: skip
def test_guarded_acceptance_of_an_upper_limit(measured: float, verdict: str) -> None:
    # ILAC-G8 4.2.3, TL 2.0, U = w = 0.2; a value on the bound belongs to the better class.
    assert judge(measured, 2.0, uncertainty=0.2, decision="guarded")["verdict"] == verdict


@pytest.mark.parametrize(
    ("measured", "verdict"), [(2.21, "pass"), (2.0, "pass_within_uncertainty"), (1.9, "fail_within_uncertainty"), (1.7, "fail")]
)
def test_guarded_acceptance_of_a_lower_limit_is_the_mirror(measured: float, verdict: str) -> None:
    assert judge(measured, 2.0, uncertainty=0.2, decision="guarded", sense="min")["verdict"] == verdict


@pytest.mark.parametrize(("measured", "verdict"), [(2.0, "pass"), (2.004, "pass"), (2.005, "fail"), (2.01, "fail")])
def test_simple_acceptance_judges_whole_steps_of_the_limit(measured: float, verdict: str) -> None:
    assert judge(measured, 2.0, uncertainty=0.2)["verdict"] == verdict


def test_equal_passes_only_where_the_limit_says_so() -> None:
    assert judge(2.0, 2.0, equal_passes=False)["verdict"] == "fail"


def test_the_row_says_measured_limit_margin_and_where_the_limit_is_from() -> None:
    row = judge(1.15, 1.573)
    assert row["id"] == "loss:strand=1"
    assert (row["measured"]["text"], row["limit"]["text"], row["margin"]["text"]) == ("1.15", "1.57", "0.42")
    assert row["sentence"] == "Passes, 0.42 dB to spare. Limit 1.57 dB from Rule book:2020, clause 4 (seen in one public place)."
    assert row["working"][-1] == "margin = 1.57 - 1.15 = 0.42 dB; simple acceptance"


def test_a_limit_from_memory_says_so_in_the_sentence() -> None:
    assert "from memory, check your edition" in judge(1.0, 2.0, source={**SOURCE, "seen": "memory"})["sentence"]


def test_a_failure_says_by_how_much() -> None:
    assert judge(1.69, 1.57)["sentence"].startswith("Fails by 0.12 dB.")


@given(st.floats(-50, 50), st.floats(0.1, 50), st.floats(0, 3))
def test_the_bar_stays_on_the_paper_and_agrees_with_the_verdict(measured: float, limit: float, uncertainty: float) -> None:
    row = judge(measured, limit, uncertainty=uncertainty)
    bar = row["bar"]
    assert 0 <= bar["position"] <= 1000 and 0 <= bar["limit"] <= 1000
    if bar["position"] < bar["limit"]:
        assert row["verdict"] == "pass"
    if bar["position"] > bar["limit"]:
        assert row["verdict"] == "fail"


@given(st.floats(0, 100), st.floats(0, 100))
def test_the_margin_is_the_difference_of_the_two_printed_numbers(measured: float, limit: float) -> None:
    row = judge(measured, limit)
    assert text(float(row["limit"]["text"]) - float(row["measured"]["text"]), 2) == row["margin"]["text"]


def _reading(id_: str, at: str, voided: object = None, **body: Any) -> dict[str, Any]:
    return {"id": id_, "at": at, "by": "x", "voided": voided, "body": {"quantity": "optical_loss", "strand": "1", **body}}


def test_the_newest_reading_counts_by_time_across_zones_and_voided_ones_do_not() -> None:
    link = {"readings": [
        _reading("a", "2026-03-14T12:00:00+02:00"),  # 10:00 UTC
        _reading("b", "2026-03-14T10:30:00Z"),
        _reading("c", "2026-03-14T23:00:00Z", voided={"reason": "x"}),
        _reading("d", "2026-03-14T11:00:00Z", strand="2"),
    ]}  # fmt: skip
    rows = base.latest(link, "optical_loss", ["strand"])
    assert [(row["keys"]["strand"], row["reading"]["id"], len(row["others"])) for row in rows] == [("1", "b", 1), ("2", "d", 0)]
