"""Whatever a person gives a calculator wrongly is refused by one line that names it, what was given and what is allowed.

Every input of every calculator: left out, no number, out of its range either way, in a unit of something else, a word that is not on its list.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner

from app import engine
from app.cli_calc import calc
from app.core import calculators
from app.core.calculator_inputs import allowed
from app.core.errors import Refused

ABOUT: dict[str, dict[str, Any]] = {about["name"]: about for about in engine.call("calculators")}
Case = tuple[str, str, str | None]  # calculator, input, what is given in its place (None: nothing)


def step_beyond(bound: str) -> float:
    return max(1.0, abs(float(bound)) * 0.01)


def plain(number: float) -> str:
    return str(int(number)) if number == int(number) else str(number)


def _of_number(name: str, entry: dict[str, Any]) -> list[Case]:
    cases: list[Case] = [(name, entry["name"], "abc"), (name, entry["name"], "1.2.3")]
    if "low" in entry:
        cases.append((name, entry["name"], plain(float(entry["low"]) - step_beyond(entry["low"]))))
    if "above" in entry:
        cases += [(name, entry["name"], entry["above"]), (name, entry["name"], plain(float(entry["above"]) - 1))]
    if "high" in entry:
        cases.append((name, entry["name"], plain(float(entry["high"]) + step_beyond(entry["high"]))))
    other = "kg/m" if entry["unit"] not in ("kg/m", "") else "V"
    cases.append((name, entry["name"], "1" + other))
    cases.append((name, entry["name"], "1 furlongs per moon"))
    if entry["type"] == "count":
        cases.append((name, entry["name"], "2.5"))
    if entry["type"] == "list":
        cases += [(name, entry["name"], "1,,2"), (name, entry["name"], "1,abc")]
    return cases


def _cases() -> list[Case]:
    cases: list[Case] = []
    for name, about in ABOUT.items():
        for entry in about["inputs"]:
            if not entry.get("optional") and "default" not in entry:
                cases.append((name, entry["name"], None))
            if entry["type"] == "word":
                cases += [(name, entry["name"], "nonsense"), (name, entry["name"], "1")] if "1" not in entry["words"] else []
            elif entry["type"] != "text":
                cases += _of_number(name, entry)
    return cases


# Free text has a shape of its own, given here with what its refusal must offer.
TEXTS: list[tuple[str, str, str, str]] = [
    ("bond_resistance", "size", "7AWG", "1.5mm2 to 120mm2"),
    ("lightning_exposure", "near_building", "12x10", "length x width x height"),
    ("lightning_exposure", "far_building", "a x b x c", "number"),
    ("pull_tension", "route", "climb 5m", "straight LENGTH"),
    ("pull_tension", "route", "straight 5kg", "straight LENGTH"),
    ("mark_to_place", "stations", "1247", "pairs such as"),
    ("mark_to_place", "stations", "1247:0", "at least two stations"),
    ("ground_distance", "from", "51.5", "latitude and longitude"),
    ("ground_distance", "to", "91,0", "from -90 to 90"),
    ("tie_position", "corners", "0;0", "x:y pairs"),
]
CASES = _cases()


@pytest.fixture(autouse=True)
def _listed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The command line lists all calculators at each call; for hundreds of calls once is enough."""
    call = engine.call
    monkeypatch.setattr(engine, "call", lambda op, **given: list(ABOUT.values()) if op == "calculators" else call(op, **given))


def asked(name: str, inputs: dict[str, str]) -> Any:
    return CliRunner().invoke(calc, [name, *(f"{key}={text}" for key, text in inputs.items())])


def inputs_of(case: Case) -> dict[str, str]:
    name, field, given = case
    held = {key: text for key, text in ABOUT[name]["example_inputs"].items() if key != field}
    return held if given is None else {**held, field: given}


def entry_of(name: str, field: str) -> dict[str, Any]:
    return next(entry for entry in calculators.description(name)["inputs"] if entry["name"] == field)


def test_every_calculator_has_a_good_example_to_spoil() -> None:
    assert len(CASES) > 400
    for name, about in ABOUT.items():
        result = asked(name, about["example_inputs"])
        assert (result.exit_code, result.stderr) == (0, ""), name


@pytest.mark.usefixtures("unrecorded")
@pytest.mark.parametrize("case", CASES, ids=[f"{name} {field}={given}" for name, field, given in CASES])
def test_bad_input_is_refused_in_one_line_that_names_it(case: Case) -> None:
    name, field, given = case
    result = asked(name, inputs_of(case))
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1 and result.stderr.endswith("\n")
    said = "nothing given" if given is None else f"'{given}' was given"
    assert result.stderr.startswith(f"{field}: {said}; allowed is "), result.stderr
    if given != "1.2.3":  # told how a number is written
        assert " ".join(allowed(entry_of(name, field)).split()) in result.stderr


@pytest.mark.parametrize("case", CASES, ids=[f"{name} {field}={given}" for name, field, given in CASES])
def test_the_phone_refuses_the_same(case: Case) -> None:
    """Through core's door, where the phone asks: so the replay in MicroPython holds every one of these sentences to the byte."""
    with pytest.raises(Refused) as refused:
        engine.call("calc", name=case[0], inputs=inputs_of(case))
    assert refused.value.field == case[1]
    assert refused.value.allowed


@pytest.mark.parametrize(("name", "field", "given", "offered"), TEXTS)
def test_free_text_of_another_shape_is_told_the_right_one(name: str, field: str, given: str, offered: str) -> None:
    result = asked(name, inputs_of((name, field, given)))
    assert (result.exit_code, result.stdout, result.stderr.count("\n")) == (2, "", 1)
    assert result.stderr.startswith(f"{field}: '") and offered in result.stderr


@pytest.mark.parametrize("name", sorted(ABOUT))
def test_an_input_that_is_none_of_its_own_is_refused_with_those_it_has(name: str) -> None:
    result = asked(name, {**ABOUT[name]["example_inputs"], "colour": "red"})
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("colour: 'red' was given; allowed is one of the inputs " + ABOUT[name]["inputs"][0]["name"])


# Two inputs that are good alone and not together.
TOGETHER: list[tuple[str, dict[str, str], str]] = [
    (
        "transceiver_budget",
        {"transmit_min": "5", "transmit_max": "4"},
        "transmit_min: '5' was given; allowed is not above transmit_max, 4",
    ),
    ("transceiver_budget", {"loss": "3", "loss_min": "4"}, "loss_min: '4' was given; allowed is not above loss, 3"),
    ("fibre_allowance", {"fibre": "OS2", "wavelength": "850"}, "wavelength: '850' was given; allowed is 1310 or 1550 nm for OS2"),
    ("return_loss_total", {"losses_before": "0"}, "losses_before: '0' was given; allowed is as many losses as reflectances, 2"),
    ("fibre_excess", {"far_mark": "1247"}, "far_mark: '1247' was given; allowed is a mark unlike the near one"),
    ("copper_limit", {"category": "5e", "frequency": "100.5"}, "frequency: '100.5' was given; allowed is 1 to 100 MHz"),
    ("mark_to_place", {"mark": "1200"}, "mark: '1200' was given; allowed is a mark between the stations, 1247 to 1688"),
    ("rod_resistance", {"rods": "5"}, "rods: '5' was given; allowed is 1, 2, 3, 4, 8, 12, 16, 20 or 24"),
    ("tie_position", {"ties": "5"}, "ties: '5' was given; allowed is one tie for each of the 2 corners"),
    ("eye_clearance", {"bend_radius": "26"}, "bend_radius: '26' was given; allowed is more than half the bore, 26 mm"),
    ("clamp_loop", {"resistances": "10"}, "resistances: '10' was given; allowed is two or more electrodes"),
]


@pytest.mark.parametrize(("name", "spoiled", "said"), TOGETHER)
def test_inputs_that_do_not_go_together_name_the_one_to_mend(name: str, spoiled: dict[str, str], said: str) -> None:
    result = asked(name, {**ABOUT[name]["example_inputs"], **spoiled})
    assert (result.exit_code, result.stdout, result.stderr.count("\n")) == (2, "", 1)
    assert result.stderr.startswith(said)


# A case that physics says no to is an answer, not an error.
IMPOSSIBLE: list[tuple[str, dict[str, str], str]] = [
    ("power_at_far_end", {"source_voltage": "48", "load_power": "30", "pair_loop": "60"}, "feasible"),
    ("power_reach", {"load_voltage_min": "51"}, "feasible"),
    ("power_reach", {"load_power": "31"}, "feasible"),
    ("earth_slope", {"r40": "17"}, "valid"),
    ("earth_slope", {"r60": "19.1"}, "valid"),
    ("earth_slope", {"r60": "25"}, "valid"),
    ("tie_position", {"ties": "2,2"}, "valid"),
    ("tie_position", {"ties": "20,5"}, "valid"),
]


@pytest.mark.parametrize(("name", "spoiled", "key"), IMPOSSIBLE)
def test_what_cannot_be_is_answered_with_a_note_and_status_0(name: str, spoiled: dict[str, str], key: str) -> None:
    result = asked(name, {**ABOUT[name]["example_inputs"], **spoiled})
    assert (result.exit_code, result.stderr) == (0, "")
    answer = json.loads(result.stdout)
    assert answer["results"][key]["value"] is False
    assert answer["notes"] and len(answer["notes"][0]) > 20
