"""Typed text, whole steps, digits. The independent judge is Python's decimal module."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core import numbers
from app.core.errors import Refused


@pytest.mark.parametrize(
    ("typed", "clean"),
    [
        ("0.42", "0.42"),
        ("0,42", "0.42"),
        (" 1\u00a0234,5 ", "1234.5"),
        ("\u22123", "-3"),
        ("+7", "7"),
        ("007.50", "7.50"),
        (".5", "0.5"),
        ("-0.0", "0.0"),
    ],
)
def test_a_number_is_taken_as_people_type_it(typed: str, clean: str) -> None:
    assert numbers.clean_decimal(typed) == clean


@pytest.mark.parametrize("typed", ["", "abc", "1,234.5", "1.2.3", "--1", "1e3", "12 dB", "NaN", "inf", "٣", "-", ".", None, 5])
def test_what_is_no_single_number_is_refused_with_what_was_given(typed: object) -> None:
    with pytest.raises(Refused) as refused:
        numbers.clean_decimal(typed, "loss")  # type: ignore[arg-type]
    assert refused.value.code == "number"
    assert refused.value.sentence().startswith("loss: ")
    assert "allowed is" in refused.value.sentence()


@given(st.decimals(min_value=-1000000, max_value=1000000, places=4), st.integers(0, 4))
def test_rounding_is_half_away_from_zero_as_decimal_does_it(number: Decimal, decimals: int) -> None:
    wanted = number.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    assert Decimal(numbers.text(float(number), decimals)) == wanted


@given(st.floats(-1e12, 1e12, allow_nan=False))
def test_full_text_holds_twelve_digits(number: float) -> None:
    assert float(numbers.full_text(number)) == pytest.approx(number, rel=1e-11, abs=1e-25)


@pytest.mark.parametrize(
    ("number", "text"), [(0.1 + 0.2, "0.3"), (73248.9, "73248.9"), (1e-7, "0.0000001"), (-0.0, "0"), (2.0, "2")]
)
def test_full_text_is_plain_and_short(number: float, text: str) -> None:
    assert numbers.full_text(number) == text


def test_a_number_that_is_not_finite_is_refused() -> None:
    with pytest.raises(Refused, match="range"):
        numbers.text(float("nan"), 2)
    with pytest.raises(Refused, match="range"):
        numbers.full_text(float("inf"))
