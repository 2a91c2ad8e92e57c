"""A verdict says what its margin says, in whole steps; a lower limit is an upper one in the mirror."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app import engine
from app.core.checks import base
from app.core.decision import change, decision
from app.core.numbers import to_steps
from tests.made_fibre import Link

numbers = st.floats(-500, 500)
widths = st.floats(0, 20)
PASSES = ("pass", "pass_within_uncertainty")
SOURCE = {"document": "A limit of this test", "edition": "", "clause": "", "seen": "practice"}


@given(numbers, numbers, widths)
def test_a_lower_limit_is_an_upper_one_in_the_mirror(measured: float, limit: float, uncertainty: float) -> None:
    upper, lower = decision(measured, limit, uncertainty, "max"), decision(-measured, -limit, uncertainty, "min")
    assert upper["results"] == lower["results"]


@given(numbers, numbers, widths, numbers)
def test_a_verdict_does_not_change_with_the_zero_of_the_scale(
    measured: float, limit: float, uncertainty: float, shift: float
) -> None:
    margin = limit - measured
    assume(all(abs(abs(margin) - bound) > 1e-6 for bound in (0.0, uncertainty)))  # the last bit of a sum decides nothing else
    moved = decision(measured + shift, limit + shift, uncertainty)["results"]["verdict"]
    assert moved == decision(measured, limit, uncertainty)["results"]["verdict"]


@given(numbers, numbers, widths)
def test_pass_and_fail_are_the_sign_of_the_margin_and_the_band_its_size(
    measured: float, limit: float, uncertainty: float
) -> None:
    found = decision(measured, limit, uncertainty)["results"]
    assert (found["verdict"] in PASSES) == (to_steps(found["margin"], 9) >= 0)
    if "within" in found["verdict"]:
        assert to_steps(abs(found["margin"]), 9) <= to_steps(uncertainty, 9)
    if uncertainty == 0:
        assert found["verdict"] in ("pass", "fail")


@given(numbers, numbers, widths, st.floats(0, 5))
def test_a_wider_uncertainty_never_turns_a_pass_into_a_fail(
    measured: float, limit: float, uncertainty: float, wider: float
) -> None:
    narrow, wide = (decision(measured, limit, width)["results"]["verdict"] for width in (uncertainty, uncertainty + wider))
    assert (narrow in PASSES) == (wide in PASSES)


@given(numbers, numbers, widths, widths)
def test_a_change_is_as_real_backwards_as_forwards(before: float, after: float, first: float, second: float) -> None:
    there, back = change(before, after, first, second)["results"], change(after, before, second, first)["results"]
    assert there["real"] is back["real"]
    assert there["difference"] == -back["difference"]


def judged(measured: float, limit: float, decimals: int, sense: str, uncertainty: float, rule: str) -> dict[str, Any]:
    return base.judge(
        "loss", [], "fibre", "Loss", measured, limit, "dB", decimals, sense, SOURCE, decision=rule, uncertainty=uncertainty
    )


@given(
    st.floats(0, 60),
    st.floats(0, 60),
    st.integers(0, 3),
    st.sampled_from(["max", "min"]),
    st.floats(0, 2),
    st.sampled_from(["simple", "guarded"]),
)
def test_a_check_judges_the_very_digits_that_it_shows(
    measured: float, limit: float, decimals: int, sense: str, uncertainty: float, rule: str
) -> None:
    """The margin shown is the limit shown less the measured value shown, and its sign is the verdict."""
    row = judged(measured, limit, decimals, sense, uncertainty, rule)
    steps = {key: to_steps(float(row[key]["text"]), decimals) for key in ("measured", "limit", "margin")}
    sign = 1 if sense == "max" else -1
    assert steps["margin"] == sign * (steps["limit"] - steps["measured"])
    assert (row["verdict"] in PASSES) == (steps["margin"] >= 0)
    if rule == "simple":
        assert row["verdict"] in ("pass", "fail")


@given(st.floats(0, 60), st.floats(0, 60), st.integers(0, 3), st.floats(0, 2))
def test_a_check_of_a_least_value_is_one_of_a_most_in_the_mirror(
    measured: float, limit: float, decimals: int, uncertainty: float
) -> None:
    upper = judged(measured, limit, decimals, "max", uncertainty, "guarded")
    lower = judged(limit, measured, decimals, "min", uncertainty, "guarded")
    assert (upper["verdict"], upper["margin"]) == (lower["verdict"], lower["margin"])


@pytest.mark.usefixtures("unrecorded")
def test_every_verdict_of_a_fibre_link_has_the_sign_of_its_margin() -> None:
    @given(st.decimals(0, 4, places=3), st.sampled_from(["simple", "guarded"]))
    def drawn(loss: object, rule: str) -> None:
        link = Link(decision_rule=rule).marks("1000", "1400")
        link.loss(str(loss), uncertainty={"value": "0.2", "unit": "dB"})
        for check in link.checks().values():
            if check["margin"] and check["verdict"] != "not_measured":
                assert (check["verdict"] in PASSES) == (float(check["margin"]["text"]) >= 0), check["sentence"]

    drawn()


@pytest.mark.parametrize("loss", ["1.359", "1.36", "1.364", "1.365", "1.56", "1.565", "1.76", "1.77"])
def test_verdicts_of_a_fibre_link_on_its_bounds(loss: str) -> None:
    engine.call("describe")
    link = Link(decision_rule="guarded").marks("1000", "1400")  # limit 1.56 dB, guard 0.20 dB
    link.loss(loss, uncertainty={"value": "0.2", "unit": "dB"})
    check = link.checks()["fibre_loss:strand=1:wavelength=1310:direction=near_to_far"]
    hundredths = int(Decimal(loss).quantize(Decimal("0.01"), ROUND_HALF_UP) * 100)
    wanted = (
        "pass"
        if hundredths <= 136
        else "pass_within_uncertainty"
        if hundredths <= 156
        else "fail_within_uncertainty"
        if hundredths <= 176
        else "fail"
    )
    assert check["verdict"] == wanted
