"""The bench on the phone gives the digits that ``spanbook calc`` prints: the same typed inputs, pint and CPython there, MicroPython here."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner

from app import engine
from app.cli_calc import calc
from tests.phone.micropython import MicroPython

EXAMPLES: dict[str, dict[str, str]] = {about["name"]: about["example_inputs"] for about in engine.call("calculators")}
SWEEP_POINTS = 40

# Typed as people type them: blanks, decimal commas, units of both systems, levels and lists.
TYPED: list[tuple[str, dict[str, str]]] = [
    ("cord_allowance", {"fixed_length": "262.5ft"}),
    ("length_at_temperature", {"temperature": "99 degF", "screened": "true"}),
    ("conductor_resistance", {"length": "984ft", "temperature": "104degF"}),
    ("conductor_resistance", {"length": "300 feet", "temperature": "-4,5 °C"}),
    ("conductor_material", {"length": "410ft", "pair_loop": "33 500 mohm"}),
    ("electrical_length", {"delay": "0,555 us"}),
    ("power_at_far_end", {"source_voltage": "48V", "load_power": "12.95W", "pair_loop": "26,3 Ω"}),
    ("power_at_far_end", {"source_voltage": "53500mV", "load_power": "25500 mW"}),
    ("fibre_allowance", {"length": "410ft"}),
    ("fibre_allowance", {"length": "1,37 km", "wavelength": "1.31 um"}),
    ("optical_power", {"power": "0.0371 mW"}),
    ("optical_power", {"power": "371 µW"}),
    ("optical_distance", {"round_trip_time": "12.3456789 μs"}),
    ("transceiver_budget", {"transmit_min": "0.34mW", "loss": "1,17dB"}),
    ("return_loss_total", {"reflectances": "-51.7,-44.2,-38.9", "losses_before": "0,0.7,1.3"}),
    ("rod_resistance", {"resistivity": "12345 ohm*cm", "length": "8ft", "diameter": "0.625in", "rods": "3"}),
    ("bond_resistance", {"size": "16mm2", "length": "41 ft", "temperature": "86degF"}),
    ("lead_voltage", {"current": "5kA", "length": "18in"}),
    ("lightning_exposure", {"length": "820 ft", "withstand": "2500 V"}),
    (
        "pull_tension",
        {"weight": "0.144 lb/ft", "back_tension": "25 lbf", "route": "straight 100ft; bend 45deg 10ft; straight 80ft 3deg"},
    ),
    ("duct_fill", {"inside_diameter": "1.049in", "cables": "0.25in, 6.35mm, 0.6 cm"}),
    ("order_length", {"route": "393.7ft", "rises": "13ft;9,8ft", "allowance": "12 %", "stock": "500ft"}),
    ("tie_position", {"corners": "0:0,8.53:0", "ties": "17.4ft,5.31"}),
    ("locate_budget", {"distance": "1351.7ft", "gnss_r95": "9 ft"}),
]


def on_the_command_line(name: str, inputs: dict[str, str]) -> dict[str, Any]:
    done = CliRunner().invoke(calc, [name, *[f"{key}={typed}" for key, typed in inputs.items()]])
    assert done.exit_code == 0, done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def on_the_phone(micropython: MicroPython, name: str, inputs: dict[str, str]) -> dict[str, Any]:
    answer = json.loads(micropython.call(json.dumps({"op": "calc", "name": name, "inputs": inputs}, ensure_ascii=False)))
    assert answer["ok"], answer
    assert answer["result"].pop("source_text")
    result: dict[str, Any] = answer["result"]
    return result


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_example_of_a_calculator_gives_the_same_digits(micropython: MicroPython, name: str) -> None:
    assert on_the_phone(micropython, name, EXAMPLES[name]) == on_the_command_line(name, EXAMPLES[name])


@pytest.mark.parametrize(("name", "changed"), TYPED)
def test_inputs_with_units_give_the_same_digits(micropython: MicroPython, name: str, changed: dict[str, str]) -> None:
    inputs = {**EXAMPLES[name], **changed}
    assert on_the_phone(micropython, name, inputs) == on_the_command_line(name, inputs)


def test_logarithms_and_powers_over_a_sweep_give_the_same_digits(micropython: MicroPython) -> None:
    """The interpreters' own log and pow may differ in the last bit; 12 significant digits of ``value`` and ``text`` may not."""
    for point in range(SWEEP_POINTS):
        power = {"power": f"{-40 + 1.7321 * point:.4f}dBm"}
        assert on_the_phone(micropython, "optical_power", power) == on_the_command_line("optical_power", power)
        level = {"power": f"{0.0137 * (point + 1):.4f}mW"}
        assert on_the_phone(micropython, "optical_power", level) == on_the_command_line("optical_power", level)
        limit = {**EXAMPLES["copper_limit"], "frequency": f"{1 + 6.173 * point:.3f}"}
        assert on_the_phone(micropython, "copper_limit", limit) == on_the_command_line("copper_limit", limit)


@pytest.mark.parametrize(
    ("name", "changed", "field"),
    [
        ("fibre_allowance", {"length": "410 ohm"}, "length"),
        ("fibre_allowance", {"length": "410 parsnips"}, "length"),
        ("optical_power", {"power": "0mW"}, "power"),
        ("duct_fill", {"cables": "6,,6"}, "cables"),
        ("power_reach", {"pairs": "3"}, "pairs"),
    ],
)
def test_what_one_refuses_the_other_refuses_by_the_same_name(
    micropython: MicroPython, name: str, changed: dict[str, str], field: str
) -> None:
    inputs = {**EXAMPLES[name], **changed}
    done = CliRunner().invoke(calc, [name, *[f"{key}={typed}" for key, typed in inputs.items()]])
    assert done.exit_code == 2
    assert done.stderr.startswith(f"{field}: '{changed[field]}' was given")
    answer = json.loads(micropython.call(json.dumps({"op": "calc", "name": name, "inputs": inputs})))
    assert (answer["ok"], answer["error"]["field"]) == (False, field)
