"""An S-parameter file of a pair as traces of loss."""

from . import sweep_heading as heading
from . import touchstone
from .errors import Refused
from .numbers import short_text, text

MOST_POINTS = 2000


def read(content: str, name: str, ports: str | None, known: dict) -> dict:
    """Text of a Touchstone file -> {"traces", "notes", "form"} as `sweep_text.read` gives them: insertion loss, return loss at both ends."""
    held = touchstone.read(content, name)
    losses = touchstone.losses(held, ports)
    inside = [place for place, frequency in enumerate(held["frequencies"]) if 0.001 <= frequency <= 10000]
    if not 0 < len(inside) <= MOST_POINTS:
        remedy = "Measure again with fewer points between 1 and 500 MHz."
        raise Refused("range", "file", str(len(inside)) + " points", "1 to 2000 points from 0.001 to 10000 MHz", remedy)
    notes = ["From an S-parameter file: informative, not a certification."]
    usual = 100.0 if held["ports"] == 2 else 50.0
    if held["ohm"] != usual:
        notes.append(_ohm_note(held["ohm"], usual))
    traces = []
    for parameter, side, values in (
        ("insertion_loss", "", losses["insertion_loss"]),
        ("return_loss", "near", losses["near"]),
        ("return_loss", "far", losses["far"]),
    ):
        rows = [[short_text(held["frequencies"][place], 9), text(values[place], 3)] for place in inside]
        marks = {"parameter": parameter, "side": side, "pair": known.get("pair")}
        body = heading.body(marks, {}, {"units": ["MHz", "dB"], "rows": rows})
        body["origin"] = "s_parameters"
        traces.append(body)
    return {"form": "s_parameters", "traces": traces, "notes": notes}


def _ohm_note(ohm: float, usual: float) -> str:
    said = "The file's reference is " + short_text(ohm) + " ohm; a pair of 100 ohm asks for " + short_text(usual) + " ohm"
    return said + (" (it is right where adapters match the two)." if usual > 99 else " a port.")
