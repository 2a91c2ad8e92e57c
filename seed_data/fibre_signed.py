"""Office to press house: OS2 fibre in duct along the lane, tested from both ends and signed with a good margin."""

from __future__ import annotations

from dataclasses import dataclass

from seed_data import earths, traces
from seed_data.ground import position
from seed_data.people import CLIENT, INSTALLER, LIGHT_SET, MICROSCOPE, PULSE_METER, SECOND, TRAFFIC
from seed_data.photos import Album
from seed_data.places import Places
from seed_data.signing import seal
from seed_data.writer import Writer, quantity

_DUCT = "HDPE 40/33, orange stripes, with warning tape 300 mm above"
# Loss in dB of strands 1 to 4 at 1310 and 1550 nm; both ways for the two strands in use.
_LOSS = {
    "near_to_far": {"1": ("0.61", "0.52"), "2": ("0.66", "0.55"), "3": ("0.58", "0.49"), "4": ("0.72", "0.63")},
    "far_to_near": {"1": ("0.64", "0.54"), "2": ("0.63", "0.56")},
}
_CLEAN = {
    "A": {"scratches_small": "0", "defects_small": "0"},
    "B": {"scratches_large": "0", "defects_medium": "1", "defects_large": "0"},
    "D": {"defects_large": "0"},
}
_DIRTY = {**_CLEAN, "A": {"scratches_small": "0", "defects_small": "3"}}
_DEPTH_CHECK = "burial_depth:station="


@dataclass
class Link:
    """The link's id and the station whose depth is accepted as it is."""

    id: str
    bend: str


def write(writer: Writer, places: Places, album: Album) -> None:
    """The whole story of this link, from the trench to the signatures."""
    writer.day(11, "08:05")
    writer.phone(*INSTALLER)
    link = _lay(writer, places, album)
    writer.day(12, "08:30")
    _ends(writer, link.id, album)
    earths.read(writer, link.id, "office", "press house", "0.31", "0.02")
    _test(writer, link.id, album)
    writer.day(13, "14:05")
    _accept(writer, link)
    writer.day(13, "14:30")
    seal(writer, link.id, [(INSTALLER[0], "installer"), (CLIENT, "client")])


def _lay(writer: Writer, places: Places, album: Album) -> Link:
    link = writer.new(
        "link",
        name="Office to press house",
        medium="fibre",
        near_building=places.buildings["office"],
        far_building=places.buildings["press house"],
        fibre="OS2",
        strands="4",
        strands_used="1-2",
        connections="2",
        splices="2",
        limit_set="iso-14763-3-2024",
        application="1000BASE-LX",
        rate=quantity("1", "Gbit/s"),
        cable="OUTDOOR LOOSE TUBE 4 x OS2 METAL-FREE PE 8.2 mm",
        reel="R-1131",
        outside_diameter=quantity("8.2", "mm"),
        mark_unit="m",
        cable_metal="none",
        group_index="1.4677",
        laying="duct",
        services_located="yes",
        services_reference="LOC-2291: water pipe beside the lane, marked the day before digging",
        burial_rule="duct-610",
        electrode_reference="single-rod-25",
        decision_rule="guarded",
        label="TL-OF-PH-01",
    )

    def station(order: int, type: str, **fields: object) -> str:
        return writer.new("station", link=link, type=type, order=str(order), **fields)

    station(1, "other", name="Office rack, splice tray", mark="1204")
    station(
        2,
        "building_entry",
        name="Office, east wall",
        mark="1216",
        chainage=quantity("12.0", "m"),
        depth=quantity("650", "mm"),
        depth_method="Tape to top of duct",
        duct=_DUCT,
        position=position(9.0, 1.0, "3.4", "41"),
        note="Entry sealed with a rubber press seal, drip loop outside.",
    )
    handhole = station(
        3,
        "handhole",
        name="Handhole 1",
        mark="1231.5",
        mark_out="1234.5",
        chainage=quantity("27.1", "m"),
        depth=quantity("700", "mm"),
        depth_method="Tape to top of duct",
        duct=_DUCT,
        bend_radius=quantity("180", "mm"),
        bend_state="rest",
        ties=places.ties("office north-east", "office south-east", (24.0, 3.0)),
        tie_side="left",
        position=position(24.0, 3.0, "3.1", "58"),
    )
    album.put(
        writer, "handhole", link, handhole, "Handhole 1 open: one coil of 3 m, radius 180 mm", position(24.0, 3.0, "3.1", "58")
    )
    bend = station(
        4,
        "bend",
        name="Lane corner",
        mark="1277.5",
        chainage=quantity("69.9", "m"),
        depth=quantity("540", "mm"),
        depth_method="Tape to top of duct",
        duct=_DUCT,
        bend_radius=quantity("450", "mm"),
        bend_state="rest",
        position=position(60.0, -20.0, "3.8", "37"),
        note="Rock under the trench for 4 m. Duct laid under a 6 mm steel plate.",
    )
    album.put(writer, "trench", link, bend, "Lane corner: duct in the trench, 540 mm of cover over rock")
    station(
        5,
        "marker",
        name="Row 14",
        mark="1359",
        chainage=quantity("150.7", "m"),
        depth=quantity("640", "mm"),
        duct=_DUCT,
    )
    writer.day(11, "13:20")
    road = station(
        6,
        "marker",
        name="Lane crossing",
        mark="1424",
        chainage=quantity("214.6", "m"),
        depth=quantity("920", "mm"),
        depth_method="Probe rod, both edges",
        duct="Steel 60 mm sleeve over HDPE 40/33, 7 m",
        position=position(200.0, -10.0, "3.3", "44"),
        note="Marker posts stand at both edges of the lane. Sleeve ends 1 m beyond each edge.",
    )
    album.put(writer, "crossing", link, road, "Lane crossing from the south: marker posts at both edges")
    station(
        7,
        "slack_loop",
        name="Handhole 2",
        mark="1468.5",
        mark_out="1480.5",
        chainage=quantity("258.5", "m"),
        depth=quantity("680", "mm"),
        duct=_DUCT,
        bend_radius=quantity("220", "mm"),
        bend_state="rest",
        position=position(232.0, 20.0, "3.0", "62"),
    )
    station(
        8,
        "bend",
        name="Well house wall",
        mark="1562",
        chainage=quantity("339.0", "m"),
        depth=quantity("660", "mm"),
        duct=_DUCT,
        bend_radius=quantity("600", "mm"),
        bend_state="rest",
        position=position(268.0, 92.0, "4.2", "33"),
    )
    station(
        9,
        "building_entry",
        name="Press house, south wall",
        mark="1620.5",
        chainage=quantity("396.9", "m"),
        depth=quantity("630", "mm"),
        duct=_DUCT,
        bend_radius=quantity("150", "mm"),
        bend_state="rest",
        ties=places.ties("press house south-west", "press house south-east", (247.0, 146.0)),
        tie_side="right",
    )
    station(10, "other", name="Press house rack, splice tray", mark="1629.5")
    writer.note(link, handhole, "Lid is 12.5 t class, two M10 bolts, hex key in the office drawer.")
    writer.note(link, None, "Pulled by hand from handhole 2 both ways, lubricated, highest pull 310 N by the spring scale.")
    return Link(link, bend)


def _ends(writer: Writer, link: str, album: Album) -> None:
    figures = {
        "connector": "LC",
        "polish": "UPC",
        "fibres_used": "two",
        "transmit_wavelength": quantity("1310", "nm"),
        "receive_wavelength": quantity("1310", "nm"),
        "transmit_min": quantity("-11", "dBm"),
        "transmit_max": quantity("-3", "dBm"),
        "receive_min": quantity("-19", "dBm"),
        "receive_max": quantity("-3", "dBm"),
        "penalties": quantity("3.27", "dB"),
        "transceiver_source": "Data sheet OT-1L, revision 4, page 2",
    }
    near = writer.end(
        link,
        "near",
        panel="Panel A, office rack",
        port="A1 and A2",
        equipment="Switch SW-24",
        equipment_port="25",
        transceiver="OT-1L, serial 7K0441",
        **figures,
    )
    writer.end(
        link,
        "far",
        panel="Panel B, press house cabinet",
        port="B1 and B2",
        equipment="Switch SW-8",
        equipment_port="9",
        transceiver="OT-1L, serial 7K0442",
        **figures,
    )
    album.put(writer, "panel", link, near, "Panel A: strands 1 and 2 patched, 3 and 4 capped")


def _test(writer: Writer, link: str, album: Album) -> None:
    for strand in ("1", "2", "3", "4"):
        _end_face(writer, link, "near", strand, _CLEAN)
    for strand in ("1", "3", "4"):
        _end_face(writer, link, "far", strand, _CLEAN)
    reference = {"method": "one_cord", "reference_at": writer.at(), "reference_value": quantity("-6.12", "dBm")}
    tried = _loss(writer, link, "2", "1310", "near_to_far", "2.61", reference)
    writer.phone(*SECOND)
    dirty = _end_face(writer, link, "far", "2", _DIRTY)
    album.put(writer, "end-face", link, f"{link}:far", "Port B2 as found: three specks in zone A. Cleaned, then clean")
    writer.void(link, dirty, "As found, before cleaning; looked at again after.")
    _end_face(writer, link, "far", "2", _CLEAN)
    writer.phone(*INSTALLER)
    writer.void(link, tried, "Dirty connector in port B2 of the press house panel. Cleaned, inspected, taken again.")
    for direction, strands in _LOSS.items():
        for strand, losses in strands.items():
            for wavelength, loss in zip(("1310", "1550"), losses, strict=True):
                _loss(writer, link, strand, wavelength, direction, loss, reference)
    for strand in ("1", "2", "3", "4"):
        writer.reading(link, "polarity", strand=strand, answer="right", instrument=LIGHT_SET)
    writer.reading(link, "instrument_length", "433.1", "m", strand="1", instrument=PULSE_METER, uncertainty=quantity("1.0", "m"))
    traces.write(writer, link)
    writer.reading(link, "receive_power", "-6.9", "dBm", side="near", strand="2", wavelength="1310", instrument=LIGHT_SET)
    writer.reading(link, "receive_power", "-7.1", "dBm", side="far", strand="1", wavelength="1310", instrument=LIGHT_SET)
    writer.reading(link, "negotiated_rate", "1", "Gbit/s", instrument=TRAFFIC)
    for direction in ("near_to_far", "far_to_near"):
        writer.reading(
            link, "frame_loss", "0", "percent", direction=direction, duration=quantity("30", "min"), instrument=TRAFFIC
        )


def _end_face(writer: Writer, link: str, side: str, strand: str, counts: dict[str, dict[str, str]]) -> str:
    return writer.reading(link, "end_face", side=side, strand=strand, counts=counts, instrument=MICROSCOPE)


def _loss(
    writer: Writer, link: str, strand: str, wavelength: str, direction: str, loss: str, reference: dict[str, object]
) -> str:
    marks = {"strand": strand, "wavelength": wavelength, "direction": direction, **reference}
    return writer.reading(link, "optical_loss", loss, "dB", **marks, instrument=LIGHT_SET, uncertainty=quantity("0.20", "dB"))


def _accept(writer: Writer, link: Link) -> None:
    body = {
        "link": link.id,
        "check": _DEPTH_CHECK + link.bend,
        "reason": "Rock for 4 m. Duct lies under a 6 mm steel plate that is marked on the plan; the client knows of it.",
        "name": CLIENT,
    }
    writer.write("deviation", body)
