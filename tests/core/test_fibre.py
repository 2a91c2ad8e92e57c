"""Fibre formulas: allowance, reference methods, distances, excess. Expected values are worked by hand from the cited limits."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import fibre, limits
from app.core.errors import Refused

SETS = [
    "iso-14763-3-2024",
    "iso-14763-3-2014",
    "iso-14763-3-2006",
    "iso-11801-1-2017",
    "tia-568.3-e",
    "tia-568.3-d",
]


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


def allowance(**changed: Any) -> float:
    inputs = {"fibre": "OS2", "wavelength": "1310", "length_m": 410.0, "connections": 2, "splices": 0, "method": "one_cord"}
    inputs |= {"set_id": "iso-14763-3-2024"} | changed
    return float(fibre.allowance(**inputs)["allowance_db"])


def test_each_mating_beyond_the_ends_adds_a_standard_mating() -> None:
    assert allowance(connections=4) - allowance(connections=2) == pytest.approx(2 * 0.75)  # ISO/IEC 11801-1, two or more places


@pytest.mark.parametrize(("method", "ends", "inner"), [("one_cord", 2, 2), ("two_cord", 1, 2), ("three_cord", 0, 2)])
def test_the_reference_method_decides_which_end_matings_count(method: str, ends: int, inner: int) -> None:
    # IEC 61280-4-1 / TIA-526-14 (two or more public places), four mated pairs.
    assert fibre.matings(4, method) == (ends, inner)


@pytest.mark.parametrize(("connections", "counted"), [(0, (0, 0)), (1, (1, 0)), (2, (2, 0)), (3, (2, 1))])
def test_a_link_with_fewer_than_two_matings_has_no_more_ends_than_matings(connections: int, counted: tuple[int, int]) -> None:
    assert fibre.matings(connections, "one_cord") == counted


def test_three_cord_never_counts_less_than_nothing() -> None:
    assert fibre.matings(1, "three_cord") == (0, 0)


@pytest.mark.parametrize("set_id", SETS)
@pytest.mark.parametrize("kind", ["OM1", "OM3", "OM4", "OS2"])
def test_every_set_has_a_value_at_both_required_wavelengths(set_id: str, kind: str) -> None:
    for wavelength in ("1310", "1550") if kind == "OS2" else ("850", "1300"):
        assert float(fibre.attenuation_row(set_id, kind, wavelength)["value"]) > 0


def test_a_fibre_that_an_edition_does_not_list_is_refused_by_name() -> None:
    with pytest.raises(Refused) as refused:
        allowance(fibre="OS1", set_id="tia-568.3-d")
    assert (refused.value.field, refused.value.given) == ("fibre", "OS1")


def test_a_multimode_wavelength_on_single_mode_is_refused_with_what_fits() -> None:
    with pytest.raises(Refused) as refused:
        allowance(wavelength="850")
    assert refused.value.allowed.startswith("1310 or 1550 nm for OS2")


@given(st.floats(0, 5000), st.floats(0, 5000), st.sampled_from(SETS))
def test_a_longer_link_is_never_allowed_less(first_m: float, second_m: float, set_id: str) -> None:
    short_m, long_m = sorted((first_m, second_m))
    assert allowance(length_m=short_m, set_id=set_id) <= allowance(length_m=long_m, set_id=set_id)


@given(st.integers(2, 20), st.integers(0, 20))
def test_one_cord_allows_most_and_three_cord_least(connections: int, splices: int) -> None:
    one, two, three = (
        allowance(connections=connections, splices=splices, method=method) for method in ("one_cord", "two_cord", "three_cord")
    )
    assert one > two > three


def test_the_set_that_ends_at_a_length_says_so_beyond_it() -> None:
    # ISO/IEC 14763-3:2024 public extract: 2000 m of OM, 5000 m of OS (one public place).
    assert fibre.allowance("OS2", "1310", 5000.0, 2, 0, "one_cord", "iso-14763-3-2024")["notes"] == []
    assert "ends at 5000 m" in fibre.allowance("OS2", "1310", 5001.0, 2, 0, "one_cord", "iso-14763-3-2024")["notes"][0]


def test_a_limit_from_memory_with_a_doubt_carries_its_note() -> None:
    found = fibre.allowance("OS2", "1310", 100.0, 2, 0, "one_cord", "tia-568.3-e")
    assert any("0.5 in other places" in note for note in found["notes"])
    assert "memory" in [source["seen"] for source in found["sources"]]


@pytest.mark.parametrize(("loss_db", "method", "fault"), [
    (0.0, "one_cord", None), (-0.01, "one_cord", "invalid_reference"), (-0.004, "one_cord", None),
    (-0.10, "two_cord", None), (-0.11, "two_cord", "invalid_reference"), (-0.11, "three_cord", "invalid_reference"),
])  # fmt: skip
def test_negative_loss_is_a_bad_reference_at_the_bound_of_its_method(loss_db: float, method: str, fault: str | None) -> None:
    # One-cord: physics, a passive link has no gain. Two- and three-cord, -0.10 dB: common practice. No length is known here.
    found = fibre.loss_fault(loss_db, None, "1310", method)
    assert (found["code"] if found else None) == fault


@pytest.mark.parametrize(("wavelength", "floor_db"), [("850", 2.0), ("1300", 0.35), ("1310", 0.29), ("1550", 0.16)])
def test_glass_itself_loses_something(wavelength: str, floor_db: float) -> None:
    # Floors in dB/km: common practice.
    assert fibre.loss_fault(floor_db, 1000.0, wavelength, "one_cord") is None
    assert fibre.loss_fault(floor_db - 0.01, 1000.0, wavelength, "one_cord")["code"] == "implausible_low"  # type: ignore[index]


def test_a_small_change_of_index_moves_the_end_by_a_third_of_a_metre_a_kilometre() -> None:
    # L_shown = L_true * n_true / n_set: exact; 1 km at 1.4677 shown with 1.4682 is 999.659 m.
    time_ns = 2 * 1000.0 * 1.4677 / 0.299792458
    shown = fibre.optical_distance(time_ns, 1.4682)["results"]["distance"]
    assert shown == pytest.approx(999.659, abs=0.001)


@given(st.floats(1000, 9000), st.floats(1001, 9000))
def test_excess_is_the_same_in_feet_and_metres(near: float, far: float) -> None:
    if abs(far - near) < 1:
        return
    metres = fibre.fibre_excess(near, far, "m", 500.0)["results"]["excess"]
    feet = fibre.fibre_excess(near / 0.3048, far / 0.3048, "ft", 500.0)["results"]["excess"]
    assert feet == pytest.approx(metres, rel=1e-9, abs=1e-9)


def test_excess_beyond_the_usual_is_noted() -> None:
    assert fibre.fibre_excess(1000, 1400, "m", 424.0)["notes"] == []  # 6.0 percent: the bound, common practice
    assert "wrong mark" in fibre.fibre_excess(1000, 1400, "m", 424.1)["notes"][0]
    assert "wrong mark" in fibre.fibre_excess(1000, 1400, "m", 397.9)["notes"][0]


def test_two_equal_marks_have_no_length() -> None:
    with pytest.raises(Refused) as refused:
        fibre.fibre_excess(1000, 1000, "m", 100.0)
    assert refused.value.field == "far_mark"


def test_unequal_lists_of_reflections_are_refused() -> None:
    with pytest.raises(Refused) as refused:
        fibre.return_loss_total([-35.0, -40.0], [0.0])
    assert refused.value.field == "losses_before"


@given(st.floats(-5, 5), st.floats(-5, 5))
def test_two_way_loss_and_step_give_back_both_readings(forward: float, backward: float) -> None:
    found = fibre.two_way_event(forward, backward)["results"]
    assert found["loss"] + found["step"] == pytest.approx(forward, abs=1e-12)
    assert found["loss"] - found["step"] == pytest.approx(backward, abs=1e-12)


def test_the_default_set_is_held() -> None:
    assert limits.sets("fibre")[0][0] == fibre.DEFAULT_SET
