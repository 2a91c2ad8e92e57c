"""Formulas for pairs of copper: inside, on and beyond their ranges."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import copper, pairs
from app.core.errors import Refused


@pytest.fixture(autouse=True)
def configured() -> None:
    engine.call("describe")


def calc(name: str, **inputs: str) -> dict[str, object]:
    return {key: held["value"] for key, held in engine.call("calc", name=name, inputs=inputs)["results"].items()}


def refusal(name: str, **inputs: str) -> str:
    with pytest.raises(Refused) as caught:
        calc(name, **inputs)
    return caught.value.sentence()


SET = {"quantity": "next", "category": "6", "setup": "channel"}


@pytest.mark.parametrize(
    ("category", "top"), [("5e", "100"), ("6", "250"), ("6A", "500"), ("D", "100"), ("E", "250"), ("EA", "500")]
)
@pytest.mark.parametrize("quantity", copper.QUANTITIES)
@pytest.mark.parametrize("setup", ["channel", "permanent_link"])
def test_every_limit_is_there_on_both_bounds_and_refused_beyond(category: str, top: str, quantity: str, setup: str) -> None:
    inputs = {"quantity": quantity, "category": category, "setup": setup}
    for frequency in ("1", top):
        assert calc("copper_limit", **inputs, frequency=frequency)["limit"] > 0
    beyond = str(float(top) + 0.5)
    assert "frequency: '" + beyond in refusal("copper_limit", **inputs, frequency=beyond)
    assert "frequency" in refusal("copper_limit", **inputs, frequency="0.9")


def test_a_missing_frequency_is_asked_for_except_for_delay_and_skew() -> None:
    assert refusal("copper_limit", **SET) == (
        "frequency: nothing given; allowed is a frequency in MHz. Give the frequency that the limit is wanted at."
    )
    assert calc("copper_limit", quantity="skew", category="6", setup="channel") == {"limit": 50.0}


def test_an_unknown_category_names_those_there_are() -> None:
    assert "5e, 6, 6A, D, E, EA" in refusal("copper_limit", quantity="next", category="7", setup="channel", frequency="10")


def test_the_limit_of_delay_is_in_nanoseconds_and_names_its_own_edition() -> None:
    answer = engine.call("calc", name="copper_limit", inputs={"quantity": "delay", "category": "E", "setup": "channel"})
    assert answer["results"]["limit"]["unit"] == "ns"
    assert [source["document"] for source in answer["source"]] == ["ISO/IEC 11801-1"]


# Class E insertion loss below 4 MHz: the floor of 4.0 dB (one public place); TIA has none (category 6 channel at 1 MHz 2.1 dB, from memory).
def test_the_floor_of_four_decibels_is_iso_only() -> None:
    assert calc("copper_limit", quantity="insertion_loss", category="E", setup="channel", frequency="1")["limit"] == 4.0
    assert calc("copper_limit", quantity="insertion_loss", category="6", setup="channel", frequency="1")[
        "limit"
    ] == pytest.approx(2.1)


@given(st.floats(1, 249), st.floats(0.01, 1))
def test_insertion_loss_limits_rise_and_next_limits_fall_with_frequency(frequency: float, step: float) -> None:
    for category in ("6", "E"):
        for quantity, sign in (("insertion_loss", 1), ("next", -1), ("return_loss", -1), ("acrf", -1)):
            low, high = (
                copper.copper_limit(quantity, category, "channel", f)["results"]["limit"] for f in (frequency, frequency + step)
            )
            assert sign * (high - low) >= -1e-9


# Table of ANSI/TIA-568.1 for stranded cords (seen in two or more public places): 90 m fixed -> 10 m of 24 AWG, 8 m of 26 AWG.
def test_the_cord_allowance_is_the_printed_one_and_not_the_form_with_105() -> None:
    assert calc("cord_allowance", fixed_length="90", awg="24") == {"cords_total": pytest.approx(10.0)}
    assert calc("cord_allowance", fixed_length="90", awg="26") == {"cords_total": pytest.approx(8.0)}
    assert "from 0 to 90" in refusal("cord_allowance", fixed_length="90.1", awg="24")
    assert "22, 24, 26" in refusal("cord_allowance", fixed_length="80", awg="23")


@given(st.integers(-40, 59), st.booleans())
def test_warmer_cable_is_never_allowed_to_be_longer(temperature: int, screened: bool) -> None:
    cool = copper.length_at_temperature(float(temperature), screened)["results"]["fixed_length_max"]
    warm = copper.length_at_temperature(float(temperature + 1), screened)["results"]["fixed_length_max"]
    assert warm <= cool <= 90.0


def test_cable_above_sixty_degrees_is_refused() -> None:
    assert calc("length_at_temperature", temperature="60", screened="false") == {"fixed_length_max": 75.0}
    assert "-40 to 60" in refusal("length_at_temperature", temperature="60.1", screened="false")


@given(st.floats(1, 5000), st.floats(1.0001, 2))
def test_resistance_grows_with_length(length: float, factor: float) -> None:
    shorter, longer = (copper.conductor_resistance(24, metres)["results"]["pair_loop"] for metres in (length, length * factor))
    assert longer > shorter


def test_feet_and_metres_give_the_same_resistance() -> None:
    assert calc("conductor_resistance", awg="24", length="410ft") == calc("conductor_resistance", awg="24", length="124.968m")


@pytest.mark.parametrize(
    ("inputs", "field"),
    [
        ({"awg": "9", "length": "1"}, "awg"),
        ({"awg": "24", "length": "-1"}, "length"),
        ({"awg": "24", "length": "1", "temperature": "91"}, "temperature"),
        ({"awg": "24", "length": "1 W"}, "length"),
        ({"awg": "24", "length": "abc"}, "length"),
        ({"awg": "24"}, "length"),
    ],
)
def test_what_the_conductor_formula_does_not_take_is_named(inputs: dict[str, str], field: str) -> None:
    assert refusal("conductor_resistance", **inputs).startswith(field + ": ")


def test_a_comma_is_a_decimal_sign() -> None:
    assert calc("electrical_length", delay="100,5", nvp="0,69") == calc("electrical_length", delay="100.5", nvp="0.69")


# Ratios of common practice: up to 1.08 copper, from 1.30 suspected. The loops are 24 AWG copper for 100 m (16.84 ohm) times the ratio.
@pytest.mark.parametrize(
    ("ratio", "finding"),
    [(0.98, "copper"), (1.079, "copper"), (1.09, "query"), (1.29, "query"), (1.301, "not_copper"), (1.59, "not_copper")],
)
def test_the_material_is_told_by_the_loop_against_copper(ratio: float, finding: str) -> None:
    loop = 2 * 8.421322742 * ratio
    assert calc("conductor_material", pair_loop=str(loop), length="100", awg="24")["finding"] == finding


def test_warm_copper_is_not_taken_for_something_else() -> None:
    warm = str(16.8426 * (1 + 0.00393 * 40))  # IEC 60028, 60 degC: ratio 1.157 if taken as 20 degC
    assert calc("conductor_material", pair_loop=warm, length="100", awg="24", temperature="60")["finding"] == "copper"
    assert calc("conductor_material", pair_loop=warm, length="100", awg="24")["finding"] == "query"


@pytest.mark.parametrize(
    ("map", "faults"),
    [
        ("12345678", []),
        ("123-5678", ["open pin 4"]),
        ("21345678", ["reversed pair 1-2"]),
        ("36145278", ["crossed pairs 1-2 and 3-6"]),
        ("63145278", ["crossed pairs 1-2 and 3-6", "reversed pair 1-2 on its way to another pair's pins"]),
        ("32145678", ["miswire 1 to 3, 3 to 1"]),
        ("11345678", ["short: pins 1 and 2 meet at pin 1"]),
        ("--------", [f"open pin {pin}" for pin in range(1, 9)]),
    ],
)
def test_a_wire_map_is_worded_in_trade_terms(map: str, faults: list[str]) -> None:
    assert pairs.map_faults(map) == faults


@pytest.mark.parametrize("map", ["1234567", "123456789", "1234567x", ""])
def test_a_wire_map_of_another_shape_is_refused(map: str) -> None:
    with pytest.raises(Refused) as caught:
        pairs.map_faults(map)
    assert "8 signs" in caught.value.sentence()


@given(st.permutations(list("12345678")))
def test_only_the_right_map_is_without_fault(far: list[str]) -> None:
    assert (pairs.map_faults("".join(far)) == []) == (far == list("12345678"))
