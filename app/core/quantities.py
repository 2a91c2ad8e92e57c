"""What can be read on site, as data; the reading form on the phone is made from it.

A quantity: name, title, units (first is the default), media it is taken on, per (what tells one reading from another: side, of,
strand, wavelength, direction, pair, pair2, frequency, method), low and high (outside is impossible and refused, with `why`),
likely_low and likely_high (outside is asked back). Bounds are in the first unit. Bounds are common practice unless `why` says physics.
Instead of a value some quantities have an answer (words), a map (wire map) or counts (end face).
"""

from .kinds import COPPER, EXTENDED, FIBRE, METAL_MEDIA

ALL = [COPPER, EXTENDED, FIBRE]


def _q(name: str, title: str, units: list, media: list, per: list, **more: object) -> dict:
    more["name"] = name
    more["title"] = title
    more["units"] = units
    more["media"] = media
    more["per"] = per
    return more


_NOT_BELOW_ZERO = "cannot be below zero"

QUANTITIES = [
    _q("optical_loss", "Loss", ["dB"], [FIBRE], ["strand", "wavelength", "direction", "method"], low="-5", high="60",
       likely_low="0", likely_high="20", extra=["reference_at", "reference_value", "uncertainty"], caution="laser"),
    _q("receive_power", "Light received", ["dBm", "uW", "mW"], [FIBRE], ["side", "strand", "wavelength"], low="-60", high="30",
       likely_low="-40", likely_high="5", caution="laser"),
    _q("transmit_power", "Light sent", ["dBm", "uW", "mW"], [FIBRE], ["side", "strand", "wavelength"], low="-60", high="30",
       likely_low="-30", likely_high="8", caution="laser"),
    _q("end_face", "End face", [], [FIBRE], ["side", "strand"], form="counts", caution="laser"),
    _q("polarity", "Polarity", [], [FIBRE], ["strand"], form="answer",
       answers=[["right", "Light in at near position A leaves at far position B"], ["wrong", "It does not"]], caution="laser"),
    _q("wire_map", "Wire map", [], METAL_MEDIA, [], form="map", caution="poe-test"),
    _q("instrument_length", "Length shown by the instrument", ["m", "ft"], ALL, ["pair", "strand"], low="0", high="100000", why=_NOT_BELOW_ZERO,
       likely_low="1", likely_high="10000", extra=["uncertainty"]),
    _q("propagation_delay", "Propagation delay", ["ns"], METAL_MEDIA, ["pair"], low="0", high="20000", why=_NOT_BELOW_ZERO,
       likely_low="5", likely_high="3000", caution="poe-test"),
    _q("delay_skew", "Delay skew", ["ns"], METAL_MEDIA, [], low="0", high="1000", why=_NOT_BELOW_ZERO, likely_low="0", likely_high="100"),
    _q("loop_resistance", "Pair loop resistance", ["ohm"], METAL_MEDIA, ["pair"], low="0", high="10000", why=_NOT_BELOW_ZERO,
       likely_low="0.2", likely_high="200", extra=["temperature", "uncertainty"], caution="poe-test"),
    _q("unbalance_within", "Resistance unbalance within the pair", ["mohm", "ohm"], METAL_MEDIA, ["pair"], low="0", high="1000000",
       why=_NOT_BELOW_ZERO, likely_low="0", likely_high="2000"),
    _q("unbalance_between", "Resistance unbalance between pairs", ["mohm", "ohm"], METAL_MEDIA, ["pair", "pair2"], low="0",
       high="1000000", why=_NOT_BELOW_ZERO, likely_low="0", likely_high="2000"),
    _q("insertion_loss", "Insertion loss, worst margin", ["dB"], [COPPER], ["pair", "frequency"], low="0", high="100",
       why=_NOT_BELOW_ZERO, likely_low="0.1", likely_high="60", extra=["shown_margin", "uncertainty"]),
    _q("next", "NEXT, worst margin", ["dB"], [COPPER], ["pair", "pair2", "side", "frequency"], low="0", high="120", why=_NOT_BELOW_ZERO,
       likely_low="15", likely_high="90", extra=["shown_margin", "uncertainty"]),
    _q("return_loss", "Return loss, worst margin", ["dB"], [COPPER], ["pair", "side", "frequency"], low="0", high="80", why=_NOT_BELOW_ZERO,
       likely_low="3", likely_high="50", extra=["shown_margin", "uncertainty"]),
    _q("source_voltage", "Voltage at the source, under load", ["V"], METAL_MEDIA, [], low="0", high="100", likely_low="20", likely_high="58",
       caution="poe"),
    _q("far_voltage", "Voltage at the far end, under load", ["V"], METAL_MEDIA, [], low="0", high="100", likely_low="10", likely_high="57",
       extra=["uncertainty"], caution="poe"),
    _q("far_power", "Power drawn at the far end", ["W"], METAL_MEDIA, [], low="0", high="200", likely_low="0.5", likely_high="100", caution="poe"),
    _q("negotiated_rate", "Rate agreed by both ends", ["Mbit/s", "Gbit/s"], ALL, [], low="0", high="400000", why=_NOT_BELOW_ZERO,
       likely_low="10", likely_high="25000"),
    _q("frame_loss", "Frames lost", ["percent", "ppm"], ALL, ["direction"], low="0", high="100", why="a share lies between 0 and 100 percent",
       likely_low="0", likely_high="5", extra=["duration"]),
    _q("electrode_resistance", "Earth electrode resistance", ["ohm"], ALL, ["side"], low="0", high="100000", why=_NOT_BELOW_ZERO,
       likely_low="0.5", likely_high="500", extra=["conditions", "uncertainty"], caution="earth-test"),
    _q("bond_resistance", "Bond resistance", ["mohm", "ohm"], ALL, ["of"], low="0", high="1000000", why=_NOT_BELOW_ZERO, likely_low="0.1",
       likely_high="2000", extra=["uncertainty"], caution="earth-open"),
    _q("earth_difference_ac", "Potential between the two earths, AC", ["V", "mV"], ALL, [], low="0", high="1000", why=_NOT_BELOW_ZERO,
       likely_low="0", likely_high="50", caution="gpd"),
    _q("earth_difference_dc", "Potential between the two earths, DC", ["V", "mV"], ALL, [], low="-1000", high="1000", likely_low="-50",
       likely_high="50", caution="gpd"),
]
NAMES = [quantity["name"] for quantity in QUANTITIES]
_BY_NAME = {quantity["name"]: quantity for quantity in QUANTITIES}

ZONES = ["A", "B", "C", "D"]
EXTRA_UNITS = {
    "frequency": ["MHz", "kHz"],
    "reference_value": ["dBm", "mW", "uW"],
    "temperature": ["degC", "degF"],
    "shown_margin": ["dB"],
    "duration": ["s", "min", "h"],
}


def quantity(name: str) -> dict | None:
    """The description of a quantity by its name, or None."""
    return _BY_NAME.get(name)
