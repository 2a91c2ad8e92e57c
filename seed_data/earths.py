"""Bonds, earth electrodes and the potential between the earths: the same three buildings, read for each link."""

from __future__ import annotations

from seed_data.people import EARTH_TESTER, MULTIMETER, OHMMETER
from seed_data.writer import Writer, quantity

_SOIL = "Moist loam, 9 °C, two days after rain"
_STAKES_M = ("8", "16", "20.8", "24.8", "28.8", "32")  # of the potential stake; the current stake stands at 40 m
# Conductor, length in m, joints, what the bond reads in mohm, and the electrode in ohm with the potential stake at each place.
_EARTHS = {
    "office": ("Rack to main earth bar", "16mm2", "6.2", "2", "9.8", ("9.7", "10.9", "11.3", "11.4", "11.6", "12.2")),
    "press house": ("Cabinet to main earth bar", "16mm2", "4.4", "2", "7.9", ("12.8", "14.2", "14.7", "14.9", "15.1", "15.9")),
    "cellar": ("Cabinet to main earth bar", "10mm2", "3.1", "2", "8.4", ("15.6", "17.4", "17.9", "18.2", "18.5", "19.4")),
}


def read(writer: Writer, link: str, near: str, far: str, difference_ac: str, difference_dc: str) -> None:
    """Bond, electrode and earth difference of a link between two of the buildings."""
    for side, building in (("near", near), ("far", far)):
        name, size, length, joints, bond_mohm, electrode_ohms = _EARTHS[building]
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
        _electrode(writer, link, side, electrode_ohms)
    writer.reading(link, "earth_difference_ac", difference_ac, "V", instrument=MULTIMETER)
    writer.reading(link, "earth_difference_dc", difference_dc, "V", instrument=MULTIMETER)


def _electrode(writer: Writer, link: str, side: str, ohms: tuple[str, ...]) -> None:
    table = {"units": ["m", "ohm"], "rows": [list(row) for row in zip(_STAKES_M, ohms, strict=True)]}
    more = {"current_stake": quantity("40", "m"), "electrode_size": quantity("2.4", "m"), "conditions": _SOIL}
    writer.reading(link, "fall_of_potential", side=side, table=table, **more, instrument=EARTH_TESTER)
