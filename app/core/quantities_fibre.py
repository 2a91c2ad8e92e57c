"""What can be read on optical fibre. The form of a description: quantity_form.py."""

from .kinds import FIBRE
from .quantity_form import described

QUANTITIES = [
    described(
        "optical_loss",
        "Loss",
        ["dB"],
        [FIBRE],
        ["strand", "wavelength", "direction", "method"],
        must=["strand", "wavelength", "direction", "method"],
        low="-5",
        high="60",
        likely_low="0",
        likely_high="20",
        extra=["reference_at", "reference_value", "uncertainty"],
        caution="laser",
    ),
    described(
        "receive_power",
        "Light received",
        ["dBm", "uW", "mW"],
        [FIBRE],
        ["side", "strand", "wavelength"],
        must=["side"],
        low="-60",
        high="30",
        likely_low="-40",
        likely_high="5",
        caution="laser",
    ),
    described(
        "transmit_power",
        "Light sent",
        ["dBm", "uW", "mW"],
        [FIBRE],
        ["side", "strand", "wavelength"],
        must=["side"],
        low="-60",
        high="30",
        likely_low="-30",
        likely_high="8",
        caution="laser",
    ),
    described("end_face", "End face", [], [FIBRE], ["side", "strand"], must=["side", "strand"], form="counts", caution="laser"),
    described(
        "polarity",
        "Polarity",
        [],
        [FIBRE],
        ["strand"],
        must=["strand"],
        form="answer",
        answers=[["right", "Light in at near position A leaves at far position B"], ["wrong", "It does not"]],
        caution="laser",
    ),
]
