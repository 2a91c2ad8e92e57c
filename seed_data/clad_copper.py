"""Press house to cellar: category 6 that passes every radio figure, and whose ohms per metre say copper-clad aluminium."""

from __future__ import annotations

from seed_data import earths, sweeps
from seed_data.ground import position
from seed_data.people import CERTIFIER, INSTALLER, SECOND, TRAFFIC
from seed_data.photos import Album
from seed_data.places import Places
from seed_data.writer import Writer, quantity

_DUCT = "HDPE 32/26, black"
_LOOPS_OHM = {"1-2": "14.7", "3-6": "14.9", "4-5": "14.8", "7-8": "15.0"}
_DELAYS_NS = {"1-2": "343", "3-6": "349", "4-5": "355", "7-8": "346"}
_LENGTHS_M = {"1-2": "71.0", "3-6": "72.2", "4-5": "73.4", "7-8": "71.6"}
_WITHIN_MOHM = {"1-2": "62", "3-6": "88", "4-5": "71", "7-8": "95"}
_BETWEEN_MOHM = {
    ("1-2", "3-6"): "50",
    ("1-2", "4-5"): "25",
    ("1-2", "7-8"): "75",
    ("3-6", "4-5"): "25",
    ("3-6", "7-8"): "25",
    ("4-5", "7-8"): "50",
}


def write(writer: Writer, places: Places, album: Album) -> None:
    """Laid by others last autumn, tested now because it was never tested."""
    writer.day(10, "13:10")
    writer.phone(*SECOND)
    link = _found(writer, places)
    _ends(writer, link)
    earths.read(writer, link, "press house", "cellar", "0.22", "0.01")
    writer.day(10, "15:05")
    writer.phone(*INSTALLER)
    _test(writer, link, album)


def _found(writer: Writer, places: Places) -> str:
    link = writer.new(
        "link",
        name="Press house to cellar",
        medium="copper",
        near_building=places.buildings["press house"],
        far_building=places.buildings["cellar"],
        category="6",
        setup="permanent_link",
        limit_set="iso-11801-1-2017-copper",
        rate=quantity("1", "Gbit/s"),
        cable="4PR 23AWG CAT 6 OUTDOOR",
        gauge="23",
        outside_diameter=quantity("7.4", "mm"),
        mark_unit="m",
        screened="no",
        velocity="0.69",
        laying="duct",
        services_located="nothing_near",
        burial_rule="nec-830-duct",
        electrode_reference="single-rod-25",
        label="TL-PH-CE-01",
        note="Laid last autumn by others. No standard is printed on the jacket.",
    )

    def station(order: int, type: str, **fields: object) -> str:
        return writer.new("station", link=link, type=type, order=str(order), **fields)

    station(1, "other", name="Press house cabinet", mark="812")
    station(
        2,
        "building_entry",
        name="Press house, west wall",
        mark="818",
        chainage=quantity("6.0", "m"),
        depth=quantity("420", "mm"),
        duct=_DUCT,
        position=position(228.0, 150.0, "3.9", "31"),
    )
    station(
        3,
        "bend",
        name="Corner of the crush pad",
        mark="847",
        chainage=quantity("34.7", "m"),
        depth=quantity("380", "mm"),
        duct=_DUCT,
        bend_radius=quantity("120", "mm"),
        bend_state="rest",
        position=position(214.0, 125.0, "3.6", "34"),
    )
    station(
        4,
        "building_entry",
        name="Cellar, north wall",
        mark="875.5",
        chainage=quantity("62.6", "m"),
        depth=quantity("400", "mm"),
        duct=_DUCT,
        position=position(204.0, 99.0, "4.4", "27"),
    )
    station(5, "other", name="Cellar cabinet", mark="883")
    return link


def _ends(writer: Writer, link: str) -> None:
    writer.end(
        link, "near", panel="Panel B, press house", port="B9", equipment="Switch SW-8", equipment_port="3", connector="RJ45"
    )
    writer.end(link, "far", panel="Panel C, cellar", port="C1", equipment="Switch SW-5", equipment_port="1", connector="RJ45")
    for side, serial, earth in (("near", "20119", "press house"), ("far", "20120", "cellar")):
        writer.new(
            "protector",
            link=link,
            side=side,
            name=f"SP-4, serial {serial}",
            category="C2, D1",
            lead_length=quantity("0.30", "m"),
            earthed_to=f"Main earth bar, {earth}",
            protection_level=quantity("600", "V"),
            rated_current=quantity("1", "A"),
        )


def _test(writer: Writer, link: str, album: Album) -> None:
    cable = {"temperature": quantity("13", "degC"), "instrument": CERTIFIER}
    writer.reading(link, "wire_map", map="12345678", split="no", instrument=CERTIFIER)
    for pair, metres in _LENGTHS_M.items():
        writer.reading(link, "instrument_length", metres, "m", pair=pair, instrument=CERTIFIER)
    for pair, nanoseconds in _DELAYS_NS.items():
        writer.reading(link, "propagation_delay", nanoseconds, "ns", pair=pair, instrument=CERTIFIER)
    writer.reading(link, "delay_skew", "12", "ns", instrument=CERTIFIER)
    for pair, ohm in _LOOPS_OHM.items():
        writer.reading(link, "loop_resistance", ohm, "ohm", pair=pair, **cable)
    album.put(writer, "loop", link, link, "Pair 7-8: 15.0 ohm over 71 m. Copper of this gauge would show about 9.2")
    for pair, mohm in _WITHIN_MOHM.items():
        writer.reading(link, "unbalance_within", mohm, "mohm", pair=pair, instrument=CERTIFIER)
    for (pair, pair2), mohm in _BETWEEN_MOHM.items():
        writer.reading(link, "unbalance_between", mohm, "mohm", pair=pair, pair2=pair2, instrument=CERTIFIER)
    sweeps.write(writer, link)
    _worst(writer, link)
    writer.reading(link, "negotiated_rate", "1", "Gbit/s", instrument=TRAFFIC)
    for direction in ("near_to_far", "far_to_near"):
        writer.reading(
            link, "frame_loss", "0", "percent", direction=direction, duration=quantity("10", "min"), instrument=TRAFFIC
        )
    album.put(writer, "conductor", link, link, "Offcut from the cellar end, scraped: silver under the copper skin")
    writer.note(link, link, "Scraped a conductor of the offcut: bright metal under a thin copper skin. Offcut kept in bag 4.")


def _worst(writer: Writer, link: str) -> None:
    """The far end, noted from the certifier's screen: only the worst of each."""

    def worst(name: str, decibels: str, megahertz: str, margin: str, **marks: str) -> None:
        more = {"frequency": quantity(megahertz, "MHz"), "shown_margin": quantity(margin, "dB")}
        writer.reading(link, name, decibels, "dB", **marks, **more, instrument=CERTIFIER)

    worst("next", "42.0", "198", "5.0", pair="1-2", pair2="3-6", side="far")
    worst("return_loss", "13.6", "224", "3.1", pair="7-8", side="far")
