"""The decision rule of the link holds in every rule that takes a reading: inside the stated uncertainty a verdict says so.

Each case has a limit (beside it, where that is from), and two readings half of the stated uncertainty to either side of it. Simple acceptance
takes them as they are; guarded by the uncertainty (ILAC-G8:09/2019, 4.2) they become the two verdicts between.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.core.judged import checks, near_and_far_marks
from tests.making import Story, value

PAIRS = ("1-2", "3-6", "4-5", "7-8")
CHANNEL = {"category": "6", "setup": "channel", "limit_set": "iso-11801-1-2017-copper"}
FIBRE = {"fibre": "OS2", "connections": "2", "splices": "0", "limit_set": "iso-14763-3-2024"}

Readings = Callable[[Story, str, str], None]


def reading(quantity: str, unit: str, unsure: str, unsure_unit: str = "", **marks: Any) -> Readings:
    """One reading of the quantity with its uncertainty."""

    def add(story: Story, link: str, number: str) -> None:
        story.reading(link, quantity, number, unit, uncertainty=value(unsure, unsure_unit or unit), **marks)

    return add


def pairs_apart(quantity: str, unit: str, unsure: str, base: str) -> Readings:
    """All four pairs alike but one, which has the number asked for."""

    def add(story: Story, link: str, number: str) -> None:
        for pair in PAIRS:
            story.reading(link, quantity, number if pair == "7-8" else base, unit, pair=pair, uncertainty=value(unsure, unit))

    return add


def bond(story: Story, link: str, number: str) -> None:
    of = story.thing("bond", link=link, side="near", name="Bar", size="6AWG", length=value("2", "m"), joints="2")
    story.reading(link, "bond_resistance", number, "mohm", of=of, uncertainty=value("2", "mohm"))


def two_ways(story: Story, link: str, number: str) -> None:
    for direction, loss in (("near_to_far", "0.50"), ("far_to_near", number)):
        marks = {"strand": "1", "wavelength": "1310", "direction": direction, "method": "one_cord"}
        reading("optical_loss", "dB", "0.10", **marks)(story, link, loss)


def two_wavelengths(story: Story, link: str, number: str) -> None:
    for wavelength, loss in (("1310", "0.50"), ("1550", number)):
        marks = {"strand": "1", "wavelength": wavelength, "direction": "near_to_far", "method": "one_cord"}
        reading("optical_loss", "dB", "0.10", **marks)(story, link, loss)


def light_through(story: Story, link: str, number: str) -> None:
    """Sent at least -9 dBm, needed -20 dBm: 11 dB may be lost."""
    for side in ("near", "far"):
        figures = {
            "transmit_min": value("-9", "dBm"),
            "receive_min": value("-20", "dBm"),
            "transmit_wavelength": value("1310", "nm"),
        }
        story.thing("end", f"{link}:{side}", link=link, side=side, **figures)
    loss = reading("optical_loss", "dB", "0.20", strand="1", wavelength="1310", direction="near_to_far", method="one_cord")
    loss(story, link, number)


def light_received(story: Story, link: str, number: str) -> None:
    story.thing("end", f"{link}:far", link=link, side="far", receive_min=value("-20", "dBm"), receive_max=value("-3", "dBm"))
    reading("receive_power", "dBm", "0.4", "dB", side="far")(story, link, number)


def marked_length(quantity: str, unsure: str, **marks: Any) -> Readings:
    def add(story: Story, link: str, number: str) -> None:
        near_and_far_marks(story, link, "0", "80")
        reading(quantity, "m", unsure, **marks)(story, link, number)

    return add


# [check, medium, link fields, readings, number that passes by half the uncertainty, number that fails by it]
CASES: dict[str, list[Any]] = {
    # 0.4 km x 0.4 dB/km is not needed: the project's own limit of 2.00 dB decides
    "fibre_loss:strand=1:wavelength=1310:direction=near_to_far": [
        "fibre", {**FIBRE, "project_loss_limit": value("2.00", "dB"), "project_limit_source": "Specification"},
        reading("optical_loss", "dB", "0.20", strand="1", wavelength="1310", direction="near_to_far", method="one_cord"), "1.90", "2.10",
    ],
    "two_directions:strand=1:wavelength=1310": ["fibre", FIBRE, two_ways, "0.65", "0.75"],  # 0.20 dB apart, common practice; U = 0.14
    "bend_sign:strand=1:direction=near_to_far": ["fibre", FIBRE, two_wavelengths, "0.65", "0.75"],  # 0.2 dB more at 1550 nm, practice
    "light_low:direction=near_to_far": ["fibre", FIBRE, light_through, "10.90", "11.10"],
    "light_received:side=far:bound=least": ["fibre", FIBRE, light_received, "-19.8", "-20.2"],
    # between reference cords 0.20 dB single-mode, two or more public places
    "reference_cord:wavelength=1310": ["fibre", FIBRE, reading("reference_cord_loss", "dB", "0.04", wavelength="1310"), "0.18", "0.22"],
    # channel: 25 ohm, ISO/IEC 11801-1, from memory
    "loop_resistance:pair=1-2": ["copper", CHANNEL, reading("loop_resistance", "ohm", "0.4", pair="1-2"), "24.8", "25.2"],
    # 200 mohm where 3 % of the loop is less, from memory
    "unbalance_within:pair=1-2": ["copper", CHANNEL, reading("unbalance_within", "mohm", "20", pair="1-2"), "190", "210"],
    "unbalance_between:pair=1-2:pair2=3-6": [
        "copper", CHANNEL, reading("unbalance_between", "mohm", "20", pair="1-2", pair2="3-6"), "90", "110",
    ],
    # 7 % of the sum: (x - 4) / 4 = 0.07 (x + 4) / 4 at x = 4.60 ohm; U of the difference = sqrt(2) x 0.2 / 4 ohm = 71 mohm
    "unbalance_between": ["copper", CHANNEL, pairs_apart("loop_resistance", "ohm", "0.2", "4.00"), "4.50", "4.70"],
    # 534 + 36 / sqrt 10 + 4 x 2.5 = 555 ns at 10 MHz, from memory
    "delay:pair=1-2": ["copper", CHANNEL, reading("propagation_delay", "ns", "6", pair="1-2"), "552", "558"],
    "skew": ["copper", CHANNEL, reading("delay_skew", "ns", "6"), "47", "53"],  # 50 ns, two or more public places
    # 10 MHz insertion loss of a class E channel: 1.05 (1.82 sqrt 10 + 0.169 + 0.25 / sqrt 10) + 4 x 0.02 sqrt 10 = 6.6 dB
    "insertion_loss:pair=1-2": [
        "copper", CHANNEL, reading("insertion_loss", "dB", "0.4", pair="1-2", frequency=value("10", "MHz")), "6.4", "6.8",
    ],
    # 100 MHz NEXT of a class E channel: 39.9 dB
    "next:pair=1-2:pair2=3-6:side=near": [
        "copper", CHANNEL, reading("next", "dB", "0.8", pair="1-2", pair2="3-6", side="near", frequency=value("100", "MHz")), "40.3", "39.5",
    ],
    # 100 MHz return loss of a class E channel: 12.0 dB
    "return_loss:pair=1-2:side=near": [
        "copper", CHANNEL, reading("return_loss", "dB", "0.8", pair="1-2", side="near", frequency=value("100", "MHz")), "12.4", "11.6",
    ],
    # 110 m by the velocity factor, ANSI/TIA-1152-A, one public place
    "instrument_length": ["copper", CHANNEL, reading("instrument_length", "m", "2", pair="1-2"), "109", "111"],
    # instrument and marks within 10 % of 80 m, common practice
    "length_agreement:pair=1-2": ["copper", CHANNEL, marked_length("instrument_length", "2", pair="1-2"), "87", "89"],
    "far_voltage": [
        "extended", {"load_voltage_min": value("37", "V"), "load_source": "Leaflet"}, reading("far_voltage", "V", "0.4"), "37.2", "36.8",
    ],
    # NEC 250.53(A)(2), two or more public places
    "electrode:side=near": [
        "copper", {**CHANNEL, "electrode_reference": "single-rod-25"}, reading("electrode_resistance", "ohm", "1", side="near"), "24.5", "25.5",
    ],
    "bond_total": ["copper", CHANNEL, bond, "99", "101"],  # 0.1 ohm, ANSI/TIA-607, one public place
    "bond_conductor": ["copper", CHANNEL, bond, "9.6", "11.6"],  # 1.2 (2 x 1.325 + 2 x 1) + 5 = 10.58 mohm, common practice
    "earth_difference_ac": ["copper", CHANNEL, reading("earth_difference_ac", "V", "0.10"), "0.95", "1.05"],  # 1 V, practice
}  # fmt: skip


def _verdict(case: str, number: str, decision: str) -> dict[str, Any]:
    medium, fields, add, *_ = CASES[case]
    story = Story()
    link = story.link(medium, **fields, decision_rule=decision)
    add(story, link, number)
    found = checks(story, link)
    name = next(held for held in found if held == case or held.startswith(case + ":"))
    return found[name]


@pytest.mark.parametrize("case", CASES)
def test_guarded_acceptance_says_within_uncertainty_on_either_side_of_the_limit(case: str) -> None:
    passing, failing = CASES[case][3:]
    within = _verdict(case, passing, "guarded")
    assert within["verdict"] == "pass_within_uncertainty", within["working"]
    assert _verdict(case, failing, "guarded")["verdict"] == "fail_within_uncertainty"
    assert within["decision"].startswith("guarded by the stated uncertainty of ")
    assert within["working"][-1].endswith(within["decision"])


@pytest.mark.parametrize("case", CASES)
def test_simple_acceptance_takes_the_same_readings_as_they_are(case: str) -> None:
    passing, failing = CASES[case][3:]
    simple = _verdict(case, passing, "simple")
    assert (simple["verdict"], simple["decision"]) == ("pass", "simple acceptance")
    assert _verdict(case, failing, "simple")["verdict"] == "fail"


def test_without_a_stated_uncertainty_nothing_is_guarded_and_that_is_said() -> None:
    story = Story()
    link = story.link("copper", **CHANNEL, decision_rule="guarded")
    story.reading(link, "loop_resistance", "24.9", "ohm", pair="1-2")
    check = checks(story, link)["loop_resistance:pair=1-2"]
    assert (check["verdict"], check["decision"]) == ("pass", "simple acceptance, since no uncertainty is stated")


def test_a_difference_of_readings_is_guarded_only_when_every_one_states_its_uncertainty() -> None:
    story = Story()
    link = story.link("copper", **CHANNEL, decision_rule="guarded")
    for pair in PAIRS:
        more = {} if pair == "7-8" else {"uncertainty": value("0.2", "ohm")}
        story.reading(link, "loop_resistance", "4.3" if pair == "7-8" else "4.0", "ohm", pair=pair, **more)
    assert checks(story, link)["unbalance_between"]["verdict"] == "pass"


def test_an_optical_power_states_its_uncertainty_in_decibels() -> None:
    from app import engine
    from app.core.errors import Refused
    from tests.making import entry, new_id

    body = {"link": new_id(), "quantity": "receive_power", "side": "far", "value": value("10", "uW")}
    assert engine.call("check_entry", text=entry("reading", {**body, "uncertainty": value("0.2", "dB")}))["known"]
    with pytest.raises(Refused):
        engine.call("check_entry", text=entry("reading", {**body, "uncertainty": value("1", "uW")}))


@pytest.mark.parametrize("stated", ["0.2", {"value": "0.2"}, {"unit": "ohm"}, ["0.2", "ohm"]])
def test_an_uncertainty_without_its_number_or_unit_is_refused_by_name(stated: Any) -> None:
    from app import engine
    from app.core.errors import Refused
    from tests.making import entry, new_id

    body = {"link": new_id(), "quantity": "loop_resistance", "pair": "1-2", "value": value("3", "ohm"), "uncertainty": stated}
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=entry("reading", body))
    assert refused.value.field == "uncertainty"
