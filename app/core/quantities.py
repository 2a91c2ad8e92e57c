"""What can be read on site, as data, gathered from the files of each subject. The form of a description: quantity_form.py."""

from . import quantities_copper, quantities_earth, quantities_fibre, quantities_service

QUANTITIES = (
    quantities_fibre.QUANTITIES + quantities_copper.QUANTITIES + quantities_service.QUANTITIES + quantities_earth.QUANTITIES
)
NAMES = [quantity["name"] for quantity in QUANTITIES]
_BY_NAME = {quantity["name"]: quantity for quantity in QUANTITIES}

ZONES = ["A", "B", "C", "D"]
EXTRA_UNITS = {
    "frequency": ["MHz", "kHz"],
    "reference_value": ["dBm", "mW", "uW"],
    "temperature": ["degC", "degF"],
    "shown_margin": ["dB"],
    "duration": ["s", "min", "h"],
    "launch_cord": ["m", "ft"],
    "tail_cord": ["m", "ft"],
    "pulse_width": ["ns", "us"],
    "set_index": ["1"],
    "current_stake": ["m", "ft"],
    "electrode_size": ["m", "ft"],
    "stray_voltage": ["V", "mV"],
    "electrodes": ["1"],
}


def quantity(name: str) -> dict | None:
    """The description of a quantity by its name, or None."""
    return _BY_NAME.get(name)
