"""S-parameter files against scikit-rf: networks that it makes and writes are read here, and its own figures are the expected ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import skrf
from skrf.media import DefinedGammaZ0

from app.core import touchstone

FREQUENCY = skrf.Frequency(1, 250, 51, unit="MHz")
LENGTH_M = 90.0


def cable(ohm: float, db_per_m_at_100_mhz: float, velocity: float = 0.66) -> DefinedGammaZ0:
    """A lossy line: attenuation with the root of frequency, a constant velocity."""
    nepers = db_per_m_at_100_mhz / 8.685889638 * np.sqrt(FREQUENCY.f / 1e8)
    return DefinedGammaZ0(FREQUENCY, z0=ohm, gamma=nepers + 2j * np.pi * FREQUENCY.f / (velocity * 299_792_458.0))


def two_ports() -> skrf.Network:
    """A line of 108 ohm between ports of 100 ohm, so that there is some return loss."""
    medium = cable(108.0, 0.2)
    line = medium.line(LENGTH_M, "m")
    line.renormalize(100.0)
    return line


def coupled_lines() -> skrf.Network:
    """Four ports of 50 ohm: a differential and a common mode of different impedance, loss and velocity, and some unbalance.

    Ports 0 and 1 near, 2 and 3 far.
    """
    odd, even = cable(105.0, 0.2, 0.66).line(LENGTH_M, "m"), cable(40.0, 0.35, 0.6).line(LENGTH_M, "m")
    odd.renormalize(100.0)
    even.renormalize(25.0)
    mixed = np.zeros((len(FREQUENCY), 4, 4), dtype=complex)
    mixed[:, :2, :2], mixed[:, 2:, 2:] = odd.s, even.s
    mixed[:, 0, 2] = mixed[:, 2, 0] = 0.01 + 0.02j
    modes = np.array([[1, -1, 0, 0], [0, 0, 1, -1], [1, 1, 0, 0], [0, 0, 1, 1]]) / np.sqrt(2)
    return skrf.Network(frequency=FREQUENCY, s=modes.T @ mixed @ modes, z0=50.0)


def written(network: skrf.Network, folder: Path, form: str, **more: Any) -> str:
    network.write_touchstone("network", dir=str(folder), form=form, **more)
    return (folder / f"network.s{network.nports}p").read_text()


def db(values: Any) -> Any:
    return pytest.approx(-20 * np.log10(np.abs(values)), abs=1e-6)


@pytest.mark.parametrize("form", ["ri", "ma", "db"])
def test_losses_of_a_two_port_file_are_those_of_scikit_rf(form: str, tmp_path: Path) -> None:
    network = two_ports()
    held = touchstone.read(written(network, tmp_path, form))
    found = touchstone.losses(held)
    assert held["ports"] == 2
    assert held["frequencies"] == pytest.approx(network.f / 1e6)
    assert found["insertion_loss"] == db(network.s[:, 1, 0])
    assert found["near"] == db(network.s[:, 0, 0])
    assert found["far"] == db(network.s[:, 1, 1])


@pytest.mark.parametrize("form", ["ri", "ma", "db"])
@pytest.mark.parametrize(("order", "places"), [("12_34", [0, 1, 2, 3]), ("13_24", [0, 2, 1, 3])])
def test_a_four_port_file_becomes_mixed_mode_as_in_scikit_rf(form: str, order: str, places: list[int], tmp_path: Path) -> None:
    network = coupled_lines()
    connected = network.subnetwork(places)  # as the analyser was connected
    held = touchstone.read(written(connected, tmp_path, form))
    found = touchstone.losses(held, order)
    expected = network.copy()
    expected.se2gmm(p=2)
    assert held["ports"] == 4
    assert found["insertion_loss"] == db(expected.s[:, 1, 0])
    assert found["near"] == db(expected.s[:, 0, 0])
    assert found["far"] == db(expected.s[:, 1, 1])


def test_a_file_is_read_in_any_unit_of_frequency(tmp_path: Path) -> None:
    network = two_ports()
    for unit in ("Hz", "kHz", "MHz", "GHz"):
        network.frequency.unit = unit
        held = touchstone.read(written(network, tmp_path, "ri"))
        assert held["frequencies"] == pytest.approx(network.f / 1e6)


def test_two_ports_go_by_columns(tmp_path: Path) -> None:
    """A network that isn't the same both ways shows which of the two middle pairs is S21."""
    s = np.array([[[0.1, 0.5], [0.25, 0.2]]])
    network = skrf.Network(frequency=skrf.Frequency(10, 10, 1, unit="MHz"), s=s, z0=100.0)
    found = touchstone.losses(touchstone.read(written(network, tmp_path, "ri")))
    assert found["insertion_loss"] == [pytest.approx(12.0412, abs=1e-4)]  # -20 lg 0.25


def test_the_hand_check_of_an_ideal_pair_with_a_little_coupling() -> None:
    # Sca = Sdb = 0.8 and Scb = Sda = -0.1: Sdd21 = (0.8 + 0.1 + 0.1 + 0.8) / 2 = 0.9, -20 lg 0.9 = 0.915 dB.
    text = "# MHz S RI R 50\n100 0 0 0 0 .8 0 -.1 0\n0 0 0 0 -.1 0 .8 0\n.8 0 -.1 0 0 0 0 0\n-.1 0 .8 0 0 0 0 0\n"
    found = touchstone.losses(touchstone.read(text), "12_34")
    assert found["insertion_loss"] == [pytest.approx(0.915, abs=5e-4)]
