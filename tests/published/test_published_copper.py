"""Published and hand-computed values for copper, power and traffic, each beside its source and how sure we are of it."""

from __future__ import annotations

from typing import Any

import pytest

from app.core import copper, limits, pairs, power, touchstone
from app.core.decision import decision
from app.core.numbers import to_steps
from tests.published import published


def _arriving(source_v: float, source_w: float, ohm: float) -> float:
    """The class table gives what the source sends; the load that draws what arrives must ask exactly that of the source."""
    arriving = source_w - (source_w / source_v) ** 2 * ohm
    assert power.source_power(source_v, arriving, ohm) == pytest.approx(source_w, rel=1e-9)
    return arriving


def _percent(pair_a: list[float], pair_b: list[float]) -> float:
    first, second = pairs.parallel_ohm(pair_a[0] + pair_a[1]), pairs.parallel_ohm(pair_b[0] + pair_b[1])
    worst_at = pairs.unbalance_limit_mohm(1.0, 0.0, first + second)  # one percent of the sum
    return abs(first - second) * 1000.0 / worst_at


def _work_area_cord(fixed_length: float, awg: str, at_equipment: float) -> float:
    return float(copper.cord_allowance(fixed_length, awg)["results"]["cords_total"]) - at_equipment


def _velocity(delay_ns_per_100m: float) -> float:
    """The velocity factor at which 100 m take that long: the length of one velocity of light, turned round."""
    return 100.0 / float(copper.electrical_length(delay_ns_per_100m, 1.0)["results"]["length"])


def _length_verdict(setup: str, length_m: float) -> str:
    row = limits.row("tia-1152-a", "instrument_length:" + setup)
    return "pass" if to_steps(length_m, 1) <= to_steps(float(row["value"]), 1) else "fail"


def _star(margin_db: float, accuracy_db: float) -> str:
    verdict = decision(10.0 - margin_db, 10.0, accuracy_db)["results"]["verdict"]
    return {"pass": "PASS", "pass_within_uncertainty": "PASS*", "fail_within_uncertainty": "FAIL*", "fail": "FAIL"}[verdict]


def _within_pair(first_ohm: float, second_ohm: float) -> str:
    row = limits.row("iso-11801-1-2017-copper", "unbalance_within:channel")
    allowed = pairs.unbalance_limit_mohm(float(row["percent"]), float(row["floor"]), first_ohm + second_ohm)
    return "pass" if abs(first_ohm - second_ohm) * 1000.0 <= allowed else "fail"


def _loop_of(awg: float, length_m: float, resistivity_ratio: float) -> float:
    return float(copper.conductor_resistance(awg, length_m)["results"]["pair_loop"]) * resistivity_ratio


def _class_load(power_class: str) -> dict[str, Any]:
    """A class at its worst, from the limit file: what arrives at the end of its own resistance, and the voltage there."""
    row = limits.row("ieee-802.3-power", "class_power:" + power_class)
    source_v, source_w, ohm = float(row["source_voltage_min"]), float(row["value"]), float(row["resistance"])
    arriving = _arriving(source_v, source_w, ohm)
    return {"current": source_w / source_v, "voltage": power.load_voltage(source_v, arriving, ohm), "arriving": arriving}


def _power_row(id: str, key: str = "value") -> float:
    return float(limits.row("ieee-802.3-power", id)[key])


def _losses(ca: float, db: float, cb: float, da: float) -> float:
    """Insertion loss of wires a, b near and c, d far, ports 1 to 4 in that order; what is not given is nothing."""
    far = [[(ca, 0.0), (cb, 0.0)], [(da, 0.0), (db, 0.0)]]
    nothing = [(0.0, 0.0)] * 2
    matrix = [nothing * 2, nothing * 2, far[0] + nothing, far[1] + nothing]
    return float(touchstone.losses({"ports": 4, "matrices": [matrix]}, "12_34")["insertion_loss"][0])


FUNCTIONS: published.Functions = {
    "loss_growth": lambda temperature, screened: copper.loss_growth(temperature, screened),
    "copper_growth_times": lambda ohm, temperature: ohm * copper.copper_growth(temperature),
    "pair_set": lambda loop_a, loop_b: pairs.pair_set_ohm(loop_a, loop_b),
    "unbalance_percent": _percent,
    "power_that_arrives": _arriving,
    "load_voltage": lambda source_v, load_w, ohm: power.load_voltage(source_v, load_w, ohm),
    "most_power": lambda source_v, ohm: power.most_power_w(source_v, ohm),
    "class_resistance": lambda source_v, load_w, source_w: power.reach_resistance(source_v, load_w, source_v * 0.75, source_w),
    "wire_map": lambda map: "; ".join(pairs.map_faults(map)),
    "loop_limit": lambda setup: float(limits.row("iso-11801-1-2017-copper", "loop_resistance:" + setup)["value"]),
    "work_area_cord": _work_area_cord,
    "velocity_of_delay": _velocity,
    "length_verdict": _length_verdict,
    "star": _star,
    "within_pair": _within_pair,
    "loop_of": _loop_of,
    "class_load": lambda power_class, of: _class_load(power_class)[of],
    "power_row": _power_row,
    "differential": lambda **parts: 10 ** (-_losses(**parts) / 20),
    "loss_of_ratio": lambda ratio: _losses(ratio, ratio, 0.0, 0.0),
    "ohm_per_km": lambda awg: copper.conductor_ohm_per_m(awg) * 1000.0,
    "loop_per_100_m": lambda awg: copper.conductor_ohm_per_m(awg) * 200.0,
    "whole_cords": lambda fixed_length, awg: int(copper.cord_allowance(fixed_length, awg)["results"]["cords_total"] + 1e-9),
}


@pytest.mark.parametrize("row", published.held("copper"))
def test_reproduces_the_published_value(row: published.Row) -> None:
    published.assert_reproduced(row, FUNCTIONS)


def test_every_row_names_its_source_and_confidence() -> None:
    assert published.faulty("copper") == []
