"""The site: office, press house and cellar of an invented vineyard, with the corners that ties are taped from."""

from __future__ import annotations

from dataclasses import dataclass, field

from seed_data.ground import position, taped
from seed_data.people import INSTALLER
from seed_data.writer import Writer, quantity

# Metres east and north of the office's middle.
CORNERS = {
    "office north-east": (9.0, 5.0),
    "office south-east": (9.0, -5.0),
    "press house south-west": (228.0, 147.0),
    "press house south-east": (252.0, 147.0),
    "cellar north-west": (190.0, 99.0),
    "cellar south-west": (190.0, 85.0),
}
_BUILDINGS = {
    "office": ("Office", "Office and tasting room", (0.0, 0.0), "18", "10", "7", "same_around", "TN-S, marked at the service"),
    "press house": (
        "Press house",
        "Presses, tanks, bottling",
        (240.0, 155.0),
        "24",
        "16",
        "11",
        "isolated",
        "TT, own earth rod, marked at the board",
    ),
    "cellar": (
        "Cellar",
        "Barrel cellar with yard and gate",
        (200.0, 92.0),
        "20",
        "14",
        "6",
        "same_around",
        "TT, own earth rod, marked at the board",
    ),
}


@dataclass
class Places:
    """Ids of the buildings and corners, by name."""

    buildings: dict[str, str] = field(default_factory=dict)
    corners: dict[str, str] = field(default_factory=dict)

    def ties(self, first: str, second: str, place: tuple[float, float]) -> list[dict[str, object]]:
        """Taped ties from two corners to a place."""
        return [
            {"corner": self.corners[name], "distance": quantity(taped(CORNERS[name], place), "m")} for name in (first, second)
        ]


def write(writer: Writer) -> Places:
    """Survey day: site, three buildings, six corners, a note."""
    writer.phone(*INSTALLER)
    writer.site(
        name="Three Lanterns Vineyard",
        client="Three Lanterns Vineyard, O. Farrow",
        place="Lanternfell",
        address="1 Candle Lane\nLanternfell",
        job="TL-2026-07",
        installer="Hedgerow and Spool, data cabling",
        flash_density="0.8",
        flash_density_source="Map of the national weather service, ten-year mean (invented)",
        surroundings="rural",
        note="All of this book is invented. Its positions lie in open ocean on purpose.",
    )
    places = Places()
    for name, (title, use, middle, width, depth, height, setting, earthing) in _BUILDINGS.items():
        places.buildings[name] = writer.new(
            "building",
            name=title,
            use=use,
            position=position(*middle, "0.5"),
            width=quantity(width, "m"),
            depth=quantity(depth, "m"),
            height=quantity(height, "m"),
            setting=setting,
            earthing=earthing,
        )
    for name, place in CORNERS.items():
        building, corner = name.rsplit(" ", 1)
        title = f"{corner.capitalize()} corner of the stonework"
        places.corners[name] = writer.new(
            "corner", building=places.buildings[building], name=title, position=position(*place, "0.1")
        )
    writer.note(
        None,
        None,
        "Three services, three earths: the office is fed from the lane, press house and cellar each by their own line "
        "with their own rod. Tractors cross the lane between the second handhole and the press house all year.",
    )
    return places
