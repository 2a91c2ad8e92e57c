"""A whole fibre link in entries, for tests of pictures and records: two buildings, eight stations, readings, bonds, photos, a signature."""

from __future__ import annotations

from typing import Any

from tests.making import Story, value

STROKES = [[[10, 60], [40, 20], [70, 80], [110, 30]], [[120, 40]], [[140, 60], [200, 55], [260, 62]]]
METER = {"name": "Light source and meter", "serial": "LS-0815", "calibrated": "2025-11-02", "due": "2026-11-02"}
EARTH_METER = {"name": "Earth tester", "serial": "ET-22", "calibrated": "2025-06-20"}


def position(lat: str, lon: str, accuracy: str = "4") -> dict[str, str]:
    return {"lat": lat, "lon": lon, "accuracy": accuracy, "source": "gnss", "fixes": "14"}


def photo_sha256(number: int) -> str:
    return f"{number:064x}"


class FibreLink:
    """The story and the subjects in it."""

    def __init__(
        self, photos: int = 2, signed: bool = False, note: str = "Shared trench with the water main for the last 20 m"
    ) -> None:
        story = self.story = Story()
        story.thing(
            "site", name="Boatyard", client="Tidewater Boats", place="Westquay", job="B-2026-014", installer="Cable and Quay"
        )
        size = {"width": value("18", "m"), "depth": value("11", "m")}
        self.near = story.thing("building", name="Yard office", position=position("51.2000000", "4.1000000"), **size)
        self.far = story.thing(
            "building",
            name="Slip shed",
            position=position("51.2003500", "4.1020500"),
            width=value("24", "m"),
            depth=value("14", "m"),
        )
        self.corners = [
            story.thing(
                "corner", building=self.near, name="South-east corner", position=position("51.1999550", "4.1001250", "0.5")
            ),
            story.thing(
                "corner", building=self.near, name="North-east corner", position=position("51.2000500", "4.1001250", "0.5")
            ),
        ]
        fields: dict[str, Any] = {
            "fibre": "OS2",
            "strands": "2",
            "connections": "2",
            "splices": "0",
            "limit_set": "iso-14763-3-2024",
        }
        fields |= {
            "cable": "OS2 4F LSZH PE 2026-01",
            "outside_diameter": value("7.2", "mm"),
            "mark_unit": "m",
            "group_index": "1.4677",
            "laying": "duct",
        }
        self.link = story.thing(
            "link",
            name="Office to slip shed",
            medium="fibre",
            near_building=self.near,
            far_building=self.far,
            note=note,
            **fields,
        )
        self._ends()
        self._route()
        self._earthing()
        self._readings()
        for number in range(photos):
            of = self.stations[number % len(self.stations)]
            body = {
                "link": self.link,
                "of": of,
                "sha256": photo_sha256(number),
                "type": "image/jpeg",
                "caption": f"Trench before closing, view {number + 1}",
            }
            story.add("photo", {**body, "taken": "2026-03-14T09:10:00.000+01:00"})
        if signed:
            self._sign()

    def _ends(self) -> None:
        figures = {"transmit_min": value("-9", "dBm"), "transmit_max": value("-3", "dBm"), "receive_min": value("-20", "dBm")}
        figures |= {
            "receive_max": value("-3", "dBm"),
            "transmit_wavelength": value("1310", "nm"),
            "receive_wavelength": value("1310", "nm"),
        }
        for side, panel in (("near", "Wall box A"), ("far", "Wall box B")):
            more = {
                "panel": panel,
                "port": "1 and 2",
                "connector": "LC",
                "polish": "UPC",
                "transceiver": "LX 10 km, serial 77" + side[0],
            }
            self.story.thing(
                "end", f"{self.link}:{side}", link=self.link, side=side, equipment="Switch", fibres_used="two", **more, **figures
            )

    def _route(self) -> None:
        def add(order: str, kind: str, name: str, mark: str, **fields: Any) -> str:
            return self.story.thing("station", link=self.link, type=kind, name=name, order=order, mark=mark, **fields)

        depth = {"depth": value("620", "mm"), "depth_method": "tape from the surface", "duct": "HDPE 40/33"}
        ties = [
            {"corner": self.corners[0], "distance": value("21.40", "m")},
            {"corner": self.corners[1], "distance": value("19.85", "m")},
        ]
        self.stations = [
            add(
                "1",
                "building_entry",
                "Office east wall",
                "1012",
                position=position("51.2000000", "4.1001300"),
                chainage=value("0", "m"),
            ),
            add("2", "handhole", "H1", "1034", mark_out="1040", ties=ties, tie_side="right", **depth),
            add(
                "3",
                "bend",
                "B1",
                "1071",
                bend_radius=value("300", "mm"),
                bend_state="rest",
                position=position("51.2002000", "4.1007500"),
                **depth,
            ),
            add("4", "marker", "M1", "1090"),
            add(
                "5",
                "slack_loop",
                "L1",
                "1103",
                mark_out="1118",
                position=position("51.2002500", "4.1012000"),
                depth=value("0.58", "m"),
            ),
            add("6", "closure", "C1", "1150", position=position("51.2003200", "4.1016500")),
            add("7", "bond", "Earth bar", "1160"),
            add(
                "8",
                "building_entry",
                "Shed west wall",
                "1163",
                position=position("51.2003500", "4.1018700"),
                note="Sealed with mastic, both sides",
            ),
        ]
        self.story.add("note", {"link": self.link, "of": self.stations[1], "text": "Lid is heavy, lift with two"})

    def _earthing(self) -> None:
        end = {"from_point": "Cabinet", "to_point": "Main earth bar", "size": "6mm2", "length": value("2.4", "m"), "joints": "2"}
        self.bond = self.story.thing("bond", link=self.link, side="near", name="Cabinet to bar", **end)
        more = {"category": "D1", "lead_length": value("0.4", "m"), "earthed_to": "Main earth bar"}
        self.story.thing("protector", link=self.link, side="far", name="Arrester 24 V, serial 9", **more)
        self.story.reading(self.link, "bond_resistance", "42", "mohm", of=self.bond, instrument=EARTH_METER)
        self.story.reading(
            self.link, "electrode_resistance", "18.5", "ohm", side="near", conditions="damp, 8 degC", instrument=EARTH_METER
        )

    def _readings(self) -> None:
        reference = {
            "method": "one_cord",
            "reference_at": "2026-03-14T10:05:00.000+01:00",
            "reference_value": value("-10.02", "dBm"),
            "instrument": METER,
        }
        for strand in ("1", "2"):
            for wavelength, number in (("1310", "0.62"), ("1550", "0.55")):
                for direction in ("near_to_far", "far_to_near"):
                    marks = {"strand": strand, "wavelength": wavelength, "direction": direction}
                    self.story.reading(
                        self.link, "optical_loss", number, "dB", uncertainty=value("0.20", "dB"), **marks, **reference
                    )
            counts = {"A": {"scratches": "0", "defects": "0"}, "B": {"scratches": "2", "defects": "0"}}
            self.story.reading(self.link, "end_face", side="near", strand=strand, counts=counts)
        bad = self.story.reading(
            self.link, "optical_loss", "4.81", "dB", strand="2", wavelength="1310", direction="near_to_far", **reference
        )
        self.story.add("void", {"link": self.link, "reading": bad, "reason": "Connector was dirty, cleaned and measured again"})

    def _sign(self) -> None:
        self.seal_id = sign(self.story, self.link)


def sign(story: Story, link: str, revision: int = 1) -> str:
    """Put a seal over what is there, as the phone does: cover from core, two signatures."""
    from app.core import ledger, sealing

    book = ledger.Book(story.book)
    book.take(story.texts)
    covers = sealing.cover(book, link)
    signatures = [
        {
            "name": "A. Installer",
            "role": "Installer",
            "at": "2026-03-14T16:00:00.000+01:00",
            "strokes": STROKES,
            "width": 300,
            "height": 120,
        },
        {
            "name": "C. Client",
            "role": "For the client",
            "at": "2026-03-14T16:02:00.000+01:00",
            "strokes": STROKES[:1],
            "width": 300,
            "height": 120,
        },
    ]
    body = {"link": link, "revision": revision, "covers": covers, "signatures": signatures, "verdicts": []}
    return story.add("seal", body, at="2026-03-14T16:03:00.000+01:00")
