"""Calculators: descriptions from docstrings, typed text to numbers, the object of the contract, and refusals that name the input."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from app import calculators, engine
from app.cli_calc import calc
from app.core import calculator_inputs
from app.core import calculators as core_calculators
from app.core.errors import Refused
from app.quantities_typed import in_unit, input_value

GOOD = {"fibre": "OS2", "wavelength": "1310", "length": "1200", "connections": "2", "splices": "2", "limits": "iso-14763-3-2014"}


def run(name: str, inputs: dict[str, Any]) -> dict[str, Any]:
    answer: dict[str, Any] = engine.call("calc", name=name, inputs=inputs)
    return answer


def command(*words: str) -> Any:
    return CliRunner().invoke(calc, list(words))


def test_every_calculator_is_described_with_inputs_results_and_source() -> None:
    described = {about["name"]: about for about in engine.call("calculators")}
    assert sorted(described) == sorted(core_calculators.NAMES)
    for about in described.values():
        assert about["what"] and about["inputs"] and about["results"] and about["source"] and about["example"], about["name"]


def test_every_calculator_has_a_short_title_of_its_own_and_a_group() -> None:
    described = engine.call("calculators")
    titles = [about["title"] for about in described]
    assert len(set(titles)) == len(titles)
    assert all(0 < len(title) <= 36 for title in titles)
    assert {about["group"] for about in described} == {group for group, _ in core_calculators.GROUPS}


def test_names_ranges_and_words_are_shown_as_a_person_reads_them() -> None:
    inputs = {(about["name"], entry["name"]): entry for about in engine.call("calculators") for entry in about["inputs"]}
    assert inputs["cord_allowance", "fixed_length"]["label"] == "Fixed length"
    assert inputs["cord_allowance", "fixed_length"]["range"] == "from 0 to 90 m"
    assert inputs["rod_resistance", "resistivity"]["range"] == "above 0, not above 100000 Ωm"
    assert ["permanent_link", "Permanent link"] in inputs["copper_limit", "setup"]["choices"]
    assert ["6", "Cat 6"] in inputs["copper_limit", "category"]["choices"]
    assert ["6", "6"] in inputs["tcp_goodput", "ip"]["choices"]
    assert inputs["decision", "measured"]["range"] == ""
    judged = run("decision", {"measured": "2.0", "limit": "2.0", "uncertainty": "0.2"})["results"]["verdict"]
    assert judged == {"value": "pass_within_uncertainty", "unit": "", "text": "Passes within uncertainty"}


@pytest.mark.parametrize(
    ("example", "typed"),
    [
        ("length=410ft route=straight 5m; bend 45deg 1m pairs=2 gives 1 m", {"length": "410ft", "route": "straight 5m; bend 45deg 1m", "pairs": "2"}),
        ("shape([1.0, 2.5], pairs='2', screened=True) gives 1 m", {"lengths": "1,2.5", "pairs": "2", "screened": "true"}),
        ("", {}),
    ],
)  # fmt: skip
def test_an_example_is_read_in_either_form(example: str, typed: dict[str, str]) -> None:
    inputs = [
        {"name": "lengths", "parameter": "lengths_m"},
        {"name": "pairs", "parameter": "pairs"},
        {"name": "screened", "parameter": "screened"},
    ]
    assert calculators.example_inputs("shape", example, inputs, ["lengths_m", "pairs", "screened"]) == typed


def test_every_example_computes() -> None:
    for about in engine.call("calculators"):
        assert run(about["name"], about["example_inputs"])["results"], about["name"]


def test_what_is_wrong_is_said_before_what_is_missing() -> None:
    with pytest.raises(Refused) as refused:
        run("fibre_allowance", {"connections": "many"})
    assert (refused.value.code, refused.value.field) == ("number", "connections")


@pytest.mark.parametrize(
    ("typed", "parts"),
    [
        ("410 feet", ("410", "ft")),
        ("68°F", ("68", "degF")),
        ("9,38Ω", ("9,38", "ohm")),
        ("5 \u03bcs", ("5", "us")),
        ("12 %", ("12", "percent")),
    ],
)
def test_other_ways_to_write_a_unit_are_known(typed: str, parts: tuple[str, str]) -> None:
    assert calculator_inputs.split_unit(typed) == parts


def test_a_result_has_value_unit_and_rounded_text() -> None:
    answer = run("fibre_allowance", GOOD)
    assert answer["results"]["allowance"] == {"value": 2.58, "unit": "dB", "text": "2.58"}
    assert answer["calculator"] == "fibre_allowance"
    assert {source["edition"] for source in answer["source"]} == {"2014", "2017"}


@pytest.mark.parametrize("typed", ["1200", "1200 m", "1.2km", "1,2 km", "3937.0078740157480 ft", "120000 cm"])
def test_one_length_in_any_unit_gives_one_allowance(typed: str) -> None:
    assert run("fibre_allowance", {**GOOD, "length": typed})["results"]["allowance"]["value"] == pytest.approx(2.58, abs=1e-9)


@pytest.mark.parametrize(
    ("inputs", "code", "field", "words"),
    [
        ({"length": "1200 ohm"}, "unit", "length", "a number in m"),
        ({"length": "-1"}, "range", "length", "from 0 to 100000"),
        ({"length": "long"}, "number", "length", "a number in m"),
        ({"length": "1.2.3"}, "number", "length", "one number"),
        ({"length": ""}, "missing", "length", "a number in m"),
        ({"connections": "2.5"}, "number", "connections", "a whole number"),
        ({"fibre": "OS3"}, "word", "fibre", "OS1a"),
        ({"wavelength": "1625"}, "word", "wavelength", "1310 or 1550 nm for OS2"),
        ({"colour": "blue"}, "unknown", "colour", "wavelength"),
    ],
)
def test_bad_input_is_refused_by_name_with_what_is_allowed(inputs: dict[str, str], code: str, field: str, words: str) -> None:
    with pytest.raises(Refused) as refused:
        run("fibre_allowance", {**GOOD, **inputs})
    assert (refused.value.code, refused.value.field) == (code, field)
    assert words in refused.value.allowed


def test_ranges_are_inclusive() -> None:
    assert run("fibre_allowance", {**GOOD, "length": "100000"})["results"]["allowance"]["value"] == pytest.approx(
        42.1
    )  # 40 + 1.5 + 0.6
    with pytest.raises(Refused):
        run("fibre_allowance", {**GOOD, "length": "100000.001"})


def test_a_list_refuses_an_empty_place() -> None:
    with pytest.raises(Refused) as refused:
        run("duct_fill", {"inside_diameter": "26.6", "cables": "6,,6"})
    assert refused.value.field == "cables"


def test_command_line_prints_one_object_and_leaves_with_zero() -> None:
    result = command("fibre_allowance", *[f"{key}={text}" for key, text in GOOD.items()])
    assert result.exit_code == 0
    assert json.loads(result.stdout)["results"]["allowance"]["value"] == 2.58


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["fibre_allowance", "fibre=OS2", "wavelength=1310", "length=5s", "connections=2"], "length: '5s' was given"),
        (["fibre_allowance", "fibre=OS2"], "wavelength: nothing given"),
        (["fibre_allowance", "OS2"], "inputs: 'OS2' was given"),
        (["fibre_alowance"], "calculator: 'fibre_alowance' was given"),
        (["optical_power", "power=0mW"], "power: '0mW' was given; allowed is a power above zero"),
        (["optical_power", "power=3dB"], "power: '3dB' was given"),
        (["two_way_event", "forward=0.1", "forward=0.2", "backward=0.1"], "forward: given twice"),
        (["ground_distance", "from=91,0", "to=0,0"], "from: '91,0' was given"),
    ],
)
def test_bad_input_on_the_command_line_is_one_line_on_stderr_and_status_2(words: list[str], said: str) -> None:
    result = command(*words)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.startswith(said)
    assert result.stderr.count("\n") == 1


def test_help_of_a_calculator_shows_inputs_units_ranges_and_source() -> None:
    shown = command("transceiver_budget", "--help").stdout
    for words in ("transmit_min: least power sent (a number in dBm", "from -60 to 30", "margin_low (dB)", "IEEE 802.3"):
        assert words in shown


def test_the_list_names_every_calculator() -> None:
    shown = command().stdout
    assert all(name in shown for name in core_calculators.NAMES)


ENTRY = {"name": "route", "type": "number", "unit": "m", "low": "0", "high": "100000000", "meaning": "length"}


@settings(deadline=None)
@given(st.decimals(0, 9999, places=3), st.sampled_from(["m", "km", "cm", "mm", "um", "ft", "in", "yd"]))
def test_pint_and_the_phone_agree_on_lengths(number: Decimal, unit: str) -> None:
    by_pint = input_value(ENTRY, f"{number}{unit}")
    assert by_pint == pytest.approx(calculator_inputs.value_of(ENTRY, f"{number}{unit}"), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("typed", "unit", "number"),
    [("68 degF", "degC", 20.0), ("293.15K", "degC", 20.0), ("0.144 lb/ft", "kg/m", 0.0653173012800 / 0.3048), ("25%", "percent", 25.0),
     ("1 Gbit/s", "Mbit/s", 1000.0), ("9.38 ohm", "ohm", 9.38), ("50 mohm", "ohm", 0.05), ("10 us", "ns", 10000.0), ("600 lbf", "N", 2668.9329691563),
    ],
)  # fmt: skip
def test_pint_turns_what_is_typed_into_the_unit_of_the_contract(typed: str, unit: str, number: float) -> None:
    # Exact by definition: 0 degC = 273.15 K, 1 lb = 0.45359237 kg, 1 ft = 0.3048 m, 1 lbf = 4.4482216152605 N.
    assert in_unit(typed, unit, "value", "a number") == pytest.approx(number, rel=1e-12)


@pytest.mark.parametrize("typed", ["0.1mW", "100 uW", "-10dBm", "-10"])
def test_pint_and_the_phone_agree_on_light(typed: str) -> None:
    by_pint = json.loads(command("optical_power", f"power={typed}").stdout)["results"]["microwatt"]["value"]
    assert by_pint == pytest.approx(100.0, rel=1e-9)  # -10 dBm is 100 uW by definition
    assert run("optical_power", {"power": typed})["results"]["microwatt"]["value"] == pytest.approx(100.0, rel=1e-9)


def test_a_docstring_out_of_form_is_named() -> None:
    def crooked(length_m: float) -> dict[str, Any]:
        """What it does.

        Inputs:
            length (m, from 0 up): length
        Result:
            out (m): length
        Source:
            Somewhere | | | 2+
        """
        return {"results": {"out": length_m}}

    with pytest.raises(calculators.DocstringFault, match=r"crooked: length: range 'from 0 up'"):
        calculators.describe("crooked", crooked)


def test_a_parameter_without_a_description_is_named() -> None:
    def silent(length_m: float, hidden: float = 0) -> dict[str, Any]:
        """What it does.

        Inputs:
            length (m, 0 to 5): length
        Result:
            out (m): length
        Source:
            Somewhere | | | 2+
        """
        return {"results": {"out": length_m + hidden}}

    with pytest.raises(calculators.DocstringFault, match="no input describes hidden"):
        calculators.describe("silent", silent)
