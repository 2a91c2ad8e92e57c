"""What can be read on the pairs of a copper cable. The form of a description: quantity_form.py."""

from .kinds import COPPER, METAL_MEDIA, PARAMETERS
from .quantity_form import NOT_BELOW_ZERO, column, described

# What tells one trace from another, by what was measured: of ACR-F `pair` is the disturbing one and `pair2` the one disturbed.
SWEEP_MARKS = {
    "insertion_loss": ["pair"],
    "next": ["pair", "pair2", "side"],
    "psnext": ["pair", "side"],
    "acrf": ["pair", "pair2", "side"],
    "psacrf": ["pair", "side"],
    "return_loss": ["pair", "side"],
}
# Name, impossible outside of, unlikely outside of, in dB: the worst margin of each parameter as it is typed without its trace.
_WORST_MARGINS = [
    ["insertion_loss", "0", "100", "0.1", "60"],
    ["next", "0", "120", "15", "90"],
    ["psnext", "0", "120", "12", "90"],
    ["acrf", "-40", "120", "3", "100"],
    ["psacrf", "-40", "120", "0", "100"],
    ["return_loss", "0", "80", "3", "50"],
]


def _worst_margin(name: str, low: str, high: str, likely_low: str, likely_high: str) -> dict:
    """One parameter at its worst margin: told apart by what tells its traces apart, and by the frequency."""
    title = next(pair[1] for pair in PARAMETERS if pair[0] == name)
    return described(
        name,
        title + ", worst margin",
        ["dB"],
        [COPPER],
        SWEEP_MARKS[name] + ["frequency"],
        must=[mark for mark in SWEEP_MARKS[name] if mark != "side"],
        low=low,
        high=high,
        likely_low=likely_low,
        likely_high=likely_high,
        extra=["shown_margin", "uncertainty"],
        **({"why": NOT_BELOW_ZERO} if low == "0" else {}),
    )


_OF_PAIRS = [
    described("wire_map", "Wire map", [], METAL_MEDIA, [], form="map", caution="poe-test"),
    described(
        "propagation_delay",
        "Propagation delay",
        ["ns"],
        METAL_MEDIA,
        ["pair"],
        low="0",
        high="20000",
        why=NOT_BELOW_ZERO,
        likely_low="5",
        likely_high="3000",
        extra=["uncertainty"],
        caution="poe-test",
    ),
    described(
        "delay_skew",
        "Delay skew",
        ["ns"],
        METAL_MEDIA,
        [],
        low="0",
        high="1000",
        why=NOT_BELOW_ZERO,
        likely_low="0",
        likely_high="100",
        extra=["uncertainty"],
    ),
    described(
        "loop_resistance",
        "Pair loop resistance",
        ["ohm"],
        METAL_MEDIA,
        ["pair"],
        must=["pair"],
        low="0",
        high="10000",
        why=NOT_BELOW_ZERO,
        likely_low="0.2",
        likely_high="200",
        extra=["temperature", "uncertainty"],
        caution="poe-test",
    ),
    described(
        "unbalance_within",
        "Resistance unbalance within the pair",
        ["mohm", "ohm"],
        METAL_MEDIA,
        ["pair"],
        must=["pair"],
        low="0",
        high="1000000",
        why=NOT_BELOW_ZERO,
        likely_low="0",
        likely_high="2000",
        extra=["uncertainty"],
    ),
    described(
        "unbalance_between",
        "Resistance unbalance between pairs",
        ["mohm", "ohm"],
        METAL_MEDIA,
        ["pair", "pair2"],
        must=["pair", "pair2"],
        low="0",
        high="1000000",
        why=NOT_BELOW_ZERO,
        likely_low="0",
        likely_high="2000",
        extra=["uncertainty"],
    ),
]

_SWEEP = described(
    "sweep",
    "Sweep over frequency",
    [],
    [COPPER],
    ["parameter", "pair", "pair2", "side"],
    must=["parameter"],
    form="table",
    columns=[
        column("frequency", "Frequency", ["MHz", "kHz", "GHz", "Hz"], low="0.001", high="10000"),
        column("value", "Value", ["dB"], low="-40", high="200"),
    ],
    rising="frequency",
    most="2000",
    marks=SWEEP_MARKS,
    uncertain="value",
    extra=["uncertainty", "accuracy_level"],
    extra_labels={"uncertainty": "Accuracy of the instrument (\u00b1)"},
    caution="poe-test",
)

QUANTITIES = _OF_PAIRS + [_worst_margin(*one) for one in _WORST_MARGINS] + [_SWEEP]
