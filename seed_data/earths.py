"""Bonds, earth electrodes and the potential between the earths: the same three buildings, read for each link."""

from __future__ import annotations

from seed_data.people import EARTH_TESTER, MULTIMETER, OHMMETER
from seed_data.writer import Writer, quantity

_SOIL = "Moist loam, 9 °C, two days after rain; fall of potential, current stake at 30 m"
# Conductor, length in m, joints, and what the bond and the electrode read, in mohm and ohm.
_EARTHS = {
    "office": ("Rack to main earth bar", "16mm2", "6.2", "2", "9.8", "11.4"),
    "press house": ("Cabinet to main earth bar", "16mm2", "4.4", "2", "7.9", "14.9"),
    "cellar": ("Cabinet to main earth bar", "10mm2", "3.1", "2", "8.4", "18.2"),
}


def read(writer: Writer, link: str, near: str, far: str, difference_ac: str, difference_dc: str) -> None:
    """Bond, electrode and earth difference of a link between two of the buildings."""
    for side, building in (("near", near), ("far", far)):
        name, size, length, joints, bond_mohm, electrode_ohm = _EARTHS[building]
        bond = writer.new(
            "bond",
            link=link,
            side=side,
            name=name,
            from_point=name.split(" ")[0],
            to_point=f"Main earth bar, {building}",
            size=size,
            length=quantity(length, "m"),
            joints=joints,
        )
        writer.reading(link, "bond_resistance", bond_mohm, "mohm", of=bond, instrument=OHMMETER)
        writer.reading(link, "electrode_resistance", electrode_ohm, "ohm", side=side, conditions=_SOIL, instrument=EARTH_TESTER)
    writer.reading(link, "earth_difference_ac", difference_ac, "V", instrument=MULTIMETER)
    writer.reading(link, "earth_difference_dc", difference_dc, "V", instrument=MULTIMETER)
