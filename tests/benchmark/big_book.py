"""A book of 2,000 entries, most of them on one fibre link of 144 strands: what a long job leaves on a phone. The same at each run."""

from __future__ import annotations

import hashlib
import io
import random
from datetime import datetime, timedelta, timezone
from typing import Any

from PIL import Image

from tests.making import Story, value

ENTRIES = 2000
STRANDS = 144
STATIONS = 60
PHOTOS = 120
NOTES = 80
SEED = 20260314
METERS = [
    {"name": "Light source and meter", "serial": "LS-1", "calibrated": "2026-01-10", "due": "2027-01-10"},
    {"name": "Light source and meter", "serial": "LS-2", "calibrated": "2025-11-02"},
]


class BigBook:
    """`story` with all texts, `link` with most of them, `copper` the small one, `photos` {sha256: bytes}, `open` what was not measured yet."""

    def __init__(self, strands: int = STRANDS, entries: int = ENTRIES) -> None:
        self.strands = strands
        self.open = {"strand": str(strands), "wavelength": "1310", "direction": "near_to_far"}
        self.random = random.Random(SEED)
        self.story = Story()
        self.photos: dict[str, bytes] = {}
        self._minute = 0
        figures = {"strands": str(strands), "connections": "2", "splices": "12", "group_index": "1.4677", "mark_unit": "m"}
        self.link = self.story.link("fibre", fibre="OS2", laying="duct", application="1000BASE-LX10", **figures)
        near, far = self._buildings()
        self.copper = self.story.thing(
            "link", name="Gate", medium="copper", category="6A", near_building=near, far_building=far, velocity="0.69"
        )
        self._ends()
        self.stations = [self._station(place) for place in range(STATIONS)]
        self._pictures_and_notes()
        self._losses()
        self._other_readings()
        self._copper_readings()
        self._repeats(entries)
        assert len(self.story.texts) == entries

    def _buildings(self) -> tuple[str, str]:
        return self.story.thing("building", name="Gatehouse"), self.story.thing("building", name="Pump house")

    def _at(self) -> str:
        self._minute += 1
        zone = timezone(timedelta(hours=1))
        return (datetime(2026, 3, 14, 7, tzinfo=zone) + timedelta(minutes=self._minute)).isoformat(timespec="milliseconds")

    def _ends(self) -> None:
        figures = {"transmit_min": value("-9", "dBm"), "transmit_max": value("-3", "dBm"), "receive_min": value("-20", "dBm")}
        figures |= {"receive_max": value("-3", "dBm"), "transmit_wavelength": value("1310", "nm")}
        for side in ("near", "far"):
            more = {"connector": "LC", "polish": "UPC", "transceiver": "LX 10 km", "fibres_used": "two"}
            self.story.thing("end", f"{self.link}:{side}", link=self.link, side=side, **more, **figures)

    def _station(self, place: int) -> str:
        kind = "building_entry" if place in (0, STATIONS - 1) else self.random.choice(["handhole", "bend", "marker", "closure"])
        mark = str(1000 + 37 * place)
        subject = self.story.thing("station", link=self.link, type=kind, order=str(place), mark=mark)
        depth = {"depth": value(str(self.random.randint(450, 900)), "mm"), "depth_method": "tape from the surface"}
        self.story.thing("station", subject, link=self.link, duct="HDPE 40/33", **depth)
        return subject

    def _pictures_and_notes(self) -> None:
        for number in range(PHOTOS):
            held = io.BytesIO()
            Image.new("RGB", (64, 48), (number, 120, 84)).save(held, "JPEG")
            sha256 = hashlib.sha256(held.getvalue()).hexdigest()
            self.photos[sha256] = held.getvalue()
            body = {"link": self.link, "of": self.random.choice(self.stations), "sha256": sha256, "type": "image/jpeg"}
            self.story.add("photo", {**body, "caption": f"Trench before closing, view {number + 1}"}, at=self._at())
        for number in range(NOTES):
            body = {"link": self.link, "of": self.random.choice(self.stations), "text": f"Crossing {number + 1}, 30 cm apart"}
            self.story.add("note", body, at=self._at())

    def _loss(self, strand: str, wavelength: str, direction: str) -> str:
        loss = 40 + self.random.randint(0, 30) if wavelength == "1310" else 35 + self.random.randint(0, 25)
        marks = {"strand": strand, "wavelength": wavelength, "direction": direction, "method": "one_cord"}
        reference = {"reference_at": "2026-03-14T06:30:00.000+01:00", "reference_value": value("-10.02", "dBm")}
        return self._read("optical_loss", f"0,{loss}", "dB", uncertainty=value("0.20", "dB"), **marks, **reference)

    def _read(self, quantity: str, number: str | None = None, unit: str | None = None, **marks: Any) -> str:
        link = marks.pop("link", self.link)
        return self.story.reading(link, quantity, number, unit, at=self._at(), instrument=self.random.choice(METERS), **marks)

    def _losses(self) -> None:
        for strand in range(1, self.strands):
            for wavelength in ("1310", "1550"):
                for direction in ("near_to_far", "far_to_near"):
                    self._loss(str(strand), wavelength, direction)

    def _other_readings(self) -> None:
        clean = {zone: {"scratches": "0", "defects": "0"} for zone in "ABCD"}
        for strand in range(1, self.strands + 1):
            for side in ("near", "far"):
                self._read("end_face", side=side, strand=str(strand), counts=clean)
            self._read("instrument_length", str(2180 + self.random.randint(0, 9)), "m", strand=str(strand))
            self._read("polarity", strand=str(strand), answer="right")
        for side in ("near", "far"):
            self._read("receive_power", "-9.8", "dBm", side=side, strand="1", wavelength="1310")
            self._read("transmit_power", "-6.1", "dBm", side=side, strand="1", wavelength="1310")

    def _copper_readings(self) -> None:
        self._read("wire_map", link=self.copper, map="12345678")
        for pair in ("1-2", "3-6", "4-5", "7-8"):
            self._read("loop_resistance", "6.1", "ohm", link=self.copper, pair=pair)
            self._read("instrument_length", "42.3", "m", link=self.copper, pair=pair)

    def _repeats(self, entries: int) -> None:
        """Readings taken again and, every third time, the one before voided: until the book is full."""
        while len(self.story.texts) < entries:
            again = self._loss(str(self.random.randint(1, self.strands - 1)), "1310", "near_to_far")
            if len(self.story.texts) % 3 == 0 and len(self.story.texts) < entries:
                self.story.add("void", {"link": self.link, "reading": again, "reason": "Connector was dirty"}, at=self._at())

    def one_more(self) -> str:
        """The text of one more reading on the link, as the phone would keep it."""
        self._loss(**self.open)
        return self.story.texts.pop()

    def draft(self, number: str) -> dict[str, Any]:
        """The body of a reading that is being typed."""
        body = {"link": self.link, "quantity": "optical_loss", "value": value(number, "dB"), "method": "one_cord", **self.open}
        return body | {"reference_at": "2026-03-14T06:30:00.000+01:00", "instrument": METERS[0], "visit": "install"}


