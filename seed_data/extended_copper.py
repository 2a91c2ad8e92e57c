"""Office to cellar: extended-reach copper with power, well earthed and protected, and too long for its load: 33 V where 37 V are needed."""

from __future__ import annotations

from seed_data import earths
from seed_data.ground import position
from seed_data.people import CERTIFIER, INSTALLER, MULTIMETER, TRAFFIC
from seed_data.photos import Album
from seed_data.places import Places
from seed_data.writer import Writer, quantity

_DUCT = "HDPE 32/26, black"
_CABLE_DEGC = quantity("14", "degC")


def write(writer: Writer, places: Places, album: Album) -> None:
    """The link as it was found, and the readings that show why the camera restarts at night."""
    writer.day(10, "08:20")
    writer.phone(*INSTALLER)
    link = _found(writer, places)
    _ends(writer, link, album)
    _loads(writer, link)
    earths.read(writer, link, "office", "cellar", "0.74", "0.05")
    _test(writer, link, album)


def _found(writer: Writer, places: Places) -> str:
    link = writer.new(
        "link",
        name="Office to cellar, gate camera",
        medium="extended",
        near_building=places.buildings["office"],
        far_building=places.buildings["cellar"],
        category="5e",
        gauge="24",
        cable="OUTDOOR 4 PAIR 24 AWG U/UTP PE CAT 5E",
        outside_diameter=quantity("6.3", "mm"),
        mark_unit="ft",
        screened="no",
        velocity="0.68",
        laying="duct",
        services_located="yes",
        services_reference="LOC-2304: irrigation main at row 9, marked",
        burial_rule="nec-830-duct",
        electrode_reference="single-rod-25",
        reach=quantity("300", "m"),
        reach_source="Leaflet of extender pair EX-300, issue 2, page 3",
        loop_limit=quantity("60", "ohm"),
        power_pairs="2",
        source_voltage=quantity("48", "V"),
        source_power=quantity("35", "W"),
        feeding="passive",
        cable_temperature=quantity("30", "degC"),
        rate=quantity("100", "Mbit/s"),
        label="TL-OF-CE-01",
        note="Laid some years ago by others. The camera restarts on cold nights when its heater comes on.",
    )

    def station(order: int, type: str, **fields: object) -> str:
        return writer.new("station", link=link, type=type, order=str(order), **fields)

    station(1, "other", name="Office rack", mark="2210")
    station(
        2,
        "building_entry",
        name="Office, east wall",
        mark="2250",
        chainage=quantity("12.0", "m"),
        depth=quantity("450", "mm"),
        duct=_DUCT,
        position=position(9.0, -2.0, "3.5", "36"),
    )
    station(
        3,
        "handhole",
        name="Handhole 3",
        mark="2442",
        mark_out="2475",
        chainage=quantity("69.6", "m"),
        depth=quantity("520", "mm"),
        duct=_DUCT,
        bend_radius=quantity("150", "mm"),
        bend_state="rest",
        position=position(66.0, -10.0, "3.2", "47"),
        note="10 m coil, dry. Second duct beside it is empty.",
    )
    station(
        4,
        "bend",
        name="End of row 9",
        mark="2715",
        chainage=quantity("141.7", "m"),
        depth=quantity("480", "mm"),
        duct=_DUCT,
        bend_radius=quantity("300", "mm"),
        bend_state="rest",
    )
    station(
        5,
        "building_entry",
        name="Cellar, west wall",
        mark="3007",
        chainage=quantity("229.4", "m"),
        depth=quantity("430", "mm"),
        duct=_DUCT,
        ties=places.ties("cellar north-west", "cellar south-west", (189.6, 90.0)),
        tie_side="right",
        position=position(189.6, 90.0, "4.6", "29"),
    )
    station(6, "other", name="Cellar, yard cabinet", mark="3060")
    return link


def _ends(writer: Writer, link: str, album: Album) -> None:
    writer.end(
        link,
        "near",
        panel="Panel A, office rack",
        port="A12",
        equipment="Extender EX-300, local unit",
        equipment_port="Line",
        connector="RJ45",
        power_source="48 V injector PI-48, most 35 W",
    )
    writer.end(
        link,
        "far",
        panel="Box in yard cabinet",
        port="1",
        equipment="Extender EX-300, remote unit",
        equipment_port="Line",
        connector="RJ45",
        note="Feeds the gate camera GC-2 through 3 m of cord.",
    )
    common = {
        "category": "C2, D1",
        "protection_level": quantity("600", "V"),
        "rated_current": quantity("1", "A"),
    }
    near = writer.new(
        "protector",
        link=link,
        side="near",
        name="SP-4, serial 20117",
        lead_length=quantity("0.35", "m"),
        earthed_to="Main earth bar, office",
        **common,
    )
    album.put(writer, "protector", link, near, "Near end: protector on the main earth bar, lead 0.35 m")
    writer.new(
        "protector",
        link=link,
        side="far",
        name="SP-4, serial 20118",
        lead_length=quantity("0.85", "m"),
        earthed_to="Earth bar of the yard cabinet",
        note="Lead goes round the cabinet's hinge side. Shorten when the cabinet is next open.",
        **common,
    )


def _loads(writer: Writer, link: str) -> None:
    for name, power, least in (("Gate camera GC-2", "14", "37"), ("Heater of its housing", "8", "36")):
        source = f"Label: {least} to 57 V, {power} W"
        writer.new("load", link=link, name=name, power=quantity(power, "W"), voltage_min=quantity(least, "V"), source=source)


def _test(writer: Writer, link: str, album: Album) -> None:
    writer.day(10, "10:40")
    writer.reading(link, "wire_map", map="12345678", split="no", instrument=CERTIFIER)
    for pair, ohm in (("1-2", "43.5"), ("3-6", "43.7"), ("4-5", "43.4"), ("7-8", "43.9")):
        writer.reading(link, "loop_resistance", ohm, "ohm", pair=pair, temperature=_CABLE_DEGC, instrument=CERTIFIER)
    for pair, mohm in (("1-2", "120"), ("3-6", "180"), ("4-5", "90"), ("7-8", "210")):
        writer.reading(link, "unbalance_within", mohm, "mohm", pair=pair, instrument=CERTIFIER)
    writer.reading(link, "unbalance_between", "50", "mohm", pair="1-2", pair2="3-6", instrument=CERTIFIER)
    writer.reading(link, "instrument_length", "262", "m", pair="1-2", instrument=CERTIFIER)
    writer.reading(link, "source_voltage", "47.6", "V", instrument=MULTIMETER, note="Heater on")
    volts = writer.reading(link, "far_voltage", "33.4", "V", instrument=MULTIMETER, note="Heater on, at the remote unit's input")
    writer.reading(link, "far_power", "21.7", "W", instrument=MULTIMETER, note="0.65 A by clamp on the pair set")
    album.put(writer, "meter", link, link, "Far end under load: 33.4 V, the camera asks for 37 V")
    writer.reading(link, "negotiated_rate", "100", "Mbit/s", instrument=TRAFFIC)
    for direction in ("near_to_far", "far_to_near"):
        writer.reading(
            link, "frame_loss", "0", "percent", direction=direction, duration=quantity("10", "min"), instrument=TRAFFIC
        )
    writer.note(
        link,
        volts,
        "Data runs without loss, the supply does not reach. Told O. Farrow: a fibre in the empty duct and a supply of the "
        "camera's own in the cellar. New link Office to cellar, fibre, opened for it.",
    )
