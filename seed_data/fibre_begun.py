"""Office to cellar: the fibre that is to replace the copper, half recorded; two phones typed two depths for one handhole."""

from __future__ import annotations

from seed_data.ground import position
from seed_data.people import INSTALLER, LIGHT_SET, SECOND
from seed_data.photos import Album
from seed_data.places import Places
from seed_data.writer import Writer, quantity

_DUCT = "HDPE 32/26, black, the second of two"


def write(writer: Writer, places: Places, album: Album) -> None:
    """Pulled to the end of row 9 before the light went; the cellar side is still on the reel."""
    writer.day(19, "13:30")
    writer.phone(*INSTALLER)
    link = writer.new(
        "link",
        name="Office to cellar, fibre",
        medium="fibre",
        near_building=places.buildings["office"],
        far_building=places.buildings["cellar"],
        fibre="OS2",
        strands="2",
        connections="2",
        limit_set="iso-14763-3-2024",
        application="1000BASE-LX",
        cable="OUTDOOR LOOSE TUBE 4 x OS2 METAL-FREE PE 8.2 mm",
        reel="R-1140",
        outside_diameter=quantity("8.2", "mm"),
        mark_unit="m",
        cable_metal="none",
        group_index="1.4677",
        laying="duct",
        burial_rule="nec-830-duct",
        label="TL-OF-CE-02",
    )
    handhole, bend = _stations(writer, link, album)
    _two_depths(writer, link, handhole)
    writer.phone(*INSTALLER)
    writer.end(link, "near", panel="Panel A, office rack", port="A5 and A6", connector="LC", polish="UPC")
    writer.reading(
        link,
        "optical_loss",
        "0.47",
        "dB",
        strand="1",
        wavelength="1310",
        direction="near_to_far",
        method="one_cord",
        reference_at=writer.at(),
        reference_value=quantity("-6.09", "dBm"),
        instrument=LIGHT_SET,
        note="To the open end on the reel, with a field connector for the day",
    )
    body = {
        "link": link,
        "check": f"bend_radius:station={bend}",
        "reason": "For the night only. A sweep of 300 mm goes in before the cellar side is pulled.",
        "name": INSTALLER[0],
    }
    writer.write("deviation", body)
    writer.note(link, None, "115 m still on the reel at the end of row 9, capped and under a bucket. Go on from here.")


def _stations(writer: Writer, link: str, album: Album) -> tuple[str, str]:
    def station(order: int, type: str, **fields: object) -> str:
        return writer.new("station", link=link, type=type, order=str(order), **fields)

    station(1, "other", name="Office rack, splice tray", mark="5310")
    station(
        2, "building_entry", name="Office, east wall", mark="5298", chainage=quantity("12.0", "m"), depth=quantity("450", "mm")
    )
    handhole = station(
        3,
        "handhole",
        name="Handhole 3",
        mark="5239.5",
        mark_out="5227",
        chainage=quantity("69.6", "m"),
        duct=_DUCT,
        position=position(66.0, -10.0, "3.2", "47"),
    )
    bend = station(
        4,
        "bend",
        name="End of row 9",
        mark="5154",
        chainage=quantity("141.7", "m"),
        duct=_DUCT,
        bend_radius=quantity("60", "mm"),
        bend_state="rest",
        position=position(118.0, 40.0, "3.7", "35"),
        note="Cable kinks over the duct's edge. Needs a sweep before it is left like this.",
    )
    album.put(writer, "tight-bend", link, bend, "End of row 9: the cable turns too tightly over the duct's edge")
    return handhole, bend


def _two_depths(writer: Writer, link: str, handhole: str) -> None:
    """Both phones were without signal: neither saw what the other typed."""
    seen = [handhole]
    writer.change("station", handhole, seen, link=link, depth=quantity("520", "mm"), depth_method="Tape to top of duct")
    writer.phone(*SECOND)
    writer.change("station", handhole, seen, link=link, depth=quantity("460", "mm"))
