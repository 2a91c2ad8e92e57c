"""Small fibre and copper links in entries, for tests of checks: only what a test needs, changed by what it is about."""

from __future__ import annotations

from typing import Any

from app import engine
from tests.making import Story, value

METER = {"name": "Light meter", "serial": "LM-1", "calibrated": "2026-01-10"}


class Link:
    """A link in the making, and its checks by id."""

    def __init__(self, medium: str = "fibre", **fields: Any) -> None:
        self.story = Story()
        usual = {"fibre": "OS2", "strands": "1", "connections": "2", "splices": "0"} if medium == "fibre" else {}
        self.id = self.story.link(medium, **(usual | fields))
        self.order = 0

    def station(self, mark: str | None = None, kind: str = "handhole", **fields: Any) -> str:
        self.order += 1
        marked = {} if mark is None else {"mark": mark}
        return self.story.thing("station", link=self.id, type=kind, order=str(self.order), **marked, **fields)

    def marks(self, *marks: str) -> Link:
        for mark in marks:
            self.station(mark)
        return self

    def end(self, side: str, **fields: Any) -> Link:
        self.story.thing("end", f"{self.id}:{side}", link=self.id, side=side, **fields)
        return self

    def loss(self, number: str, wavelength: str = "1310", **marks: Any) -> str:
        held = {"strand": "1", "direction": "near_to_far", "method": "one_cord", "instrument": METER} | marks
        return self.story.reading(self.id, "optical_loss", number, "dB", wavelength=wavelength, **held)

    def checks(self) -> dict[str, dict[str, Any]]:
        with engine.opened(self.story.book, self.story.texts) as core:
            return {check["id"]: check for check in core("checks", link=self.id)["checks"]}

    def applications(self) -> dict[str, dict[str, Any]]:
        with engine.opened(self.story.book, self.story.texts) as core:
            return {row["application"]: row for row in core("checks", link=self.id)["applications"]}

    def of_rule(self, rule: str) -> list[dict[str, Any]]:
        return [check for check in self.checks().values() if check["rule"] == rule]


def transceiver(sends: str = "1310", hears: str = "1310", **figures: str) -> dict[str, Any]:
    """A 1000BASE-LX10 class pair of figures: -9 to -3 dBm sent, -20 to -3 dBm taken."""
    usual = {"transmit_min": "-9", "transmit_max": "-3", "receive_min": "-20", "receive_max": "-3"} | figures
    held: dict[str, Any] = {name: value(number, "dBm") for name, number in usual.items()}
    return held | {"transmit_wavelength": value(sends, "nm"), "receive_wavelength": value(hears, "nm"), "fibres_used": "two"}
