"""What the pulse meter and the transceivers of the signed fibre show: events from both ends, return loss, module readings."""

from __future__ import annotations

from seed_data.people import LIGHT_SET, PULSE_METER
from seed_data.writer import Writer, quantity

_LENGTH_M = 433.1
_LOOP_M = 275.0
_CORDS = {"launch_cord": quantity("150", "m"), "tail_cord": quantity("150", "m"), "pulse_width": quantity("10", "ns")}
# Strand and wavelength: losses in dB at near connector, loop in handhole 2 and far connector, seen from the near end and from the far end.
_SEEN = {
    ("1", "1310"): (("0.23", "0.04", "0.25"), ("0.21", "0.02", "0.23")),
    ("1", "1550"): (("0.20", "0.04", "0.21"), ("0.19", "0.02", "0.20")),
    ("2", "1310"): (("0.26", "0.05", "0.24"), ("0.27", "-0.01", "0.22")),
    ("2", "1550"): (("0.22", "0.05", "0.21"), ("0.23", "0.00", "0.19")),
}
_MODULES = {
    "near": {"transmit": "-6.2", "receive": "-7.0", "temperature": "34.5", "supply": "3.29", "bias": "18.2"},
    "far": {"transmit": "-6.4", "receive": "-6.9", "temperature": "29.8", "supply": "3.31", "bias": "17.6"},
}
_UNITS = {"transmit": "dBm", "receive": "dBm", "temperature": "degC", "supply": "V", "bias": "mA"}


def write(writer: Writer, link: str) -> None:
    """The two strands in use, looked at from both ends, and what the transceivers say of themselves."""
    for (strand, wavelength), (there, back) in _SEEN.items():
        marks = {"strand": strand, "wavelength": wavelength}
        _events(writer, link, there, (0.0, _LOOP_M, _LENGTH_M), direction="near_to_far", **marks)
        _events(writer, link, back[::-1], (0.0, _LENGTH_M - _LOOP_M, _LENGTH_M), direction="far_to_near", **marks)
    for strand, decibels in (("1", "36.9"), ("2", "37.4")):
        marks = {"strand": strand, "wavelength": "1310", "direction": "near_to_far"}
        writer.reading(link, "link_return_loss", decibels, "dB", **marks, instrument=LIGHT_SET)
    for side, figures in _MODULES.items():
        for name, number in figures.items():
            writer.reading(link, f"module_{name}", number, _UNITS[name], side=side)


def _events(writer: Writer, link: str, losses: tuple[str, ...], places_m: tuple[float, ...], **marks: str) -> None:
    kinds = (("connector", "-52"), ("loss_point", ""), ("connector", "-53"))
    rows = [
        [f"{place:.1f}", kind, loss, reflectance, ""]
        for place, loss, (kind, reflectance) in zip(places_m, losses, kinds, strict=True)
    ]
    table = {"units": ["m", "", "dB", "dB", ""], "rows": rows}
    writer.reading(link, "fibre_events", **marks, table=table, **_CORDS, instrument=PULSE_METER)
