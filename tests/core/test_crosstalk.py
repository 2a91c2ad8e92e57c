"""Power sums of pairs."""

from __future__ import annotations

import math

import pytest

from app.core import crosstalk
from app.core.errors import Refused


def test_three_equal_disturbers_are_worse_than_one_by_ten_lg_three() -> None:
    assert crosstalk.power_sum_db([44.0] * 3) == pytest.approx(44.0 - 10 * math.log10(3))


def test_one_disturber_is_its_own_power_sum_and_a_far_one_adds_nothing() -> None:
    assert crosstalk.power_sum_db([37.2]) == pytest.approx(37.2)
    assert crosstalk.power_sum_db([37.2, 150.0]) == pytest.approx(37.2, abs=1e-9)


def test_what_is_left_over_the_loss_of_the_pair() -> None:
    # 50 dB of FEXT from each of three pairs: 45.23 dB together, less 20 dB of loss = 25.23 dB
    found = crosstalk.power_sum([50.0, 50.0, 50.0], 20.0)["results"]
    assert found["left_over"] == pytest.approx(25.2288, abs=1e-4)
    assert "left_over" not in crosstalk.power_sum([50.0])["results"]


def test_no_disturber_at_all_is_refused() -> None:
    with pytest.raises(Refused) as caught:
        crosstalk.power_sum([])
    assert caught.value.field == "losses"
