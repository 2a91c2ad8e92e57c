"""What a person reads of a calculator: labels of inputs, results and words, ranges, units to choose from, sources in words.

Most labels are made from the name itself ("fixed_length" -> "Fixed length"); here stand those where that would read badly.
"""

from . import limits
from .calculator_inputs import range_text
from .checks.base import VERDICT_WORDS, source_text

LABELS = {
    "awg": "Conductor size, AWG",
    "nvp": "Velocity factor",
    "mtu": "Packet size (MTU)",
    "ip": "IP version",
    "vlan": "VLAN tag",
    "timestamps": "TCP timestamps",
    "frame_bytes": "Frame size, bytes",
    "method": "Reference method",
    "limits": "Limit set",
    "transmit_min": "Sent, least",
    "transmit_max": "Sent, most",
    "receive_min": "Received, least",
    "receive_max": "Received, most",
    "loss_min": "Loss, lowest",
    "loss_850": "Loss at 850 nm",
    "loss_1300": "Loss at 1300 nm",
    "loss_1310": "Loss at 1310 nm",
    "loss_1550": "Loss at 1550 nm",
    "load_voltage_min": "Load voltage, lowest",
    "source_power_max": "Source power, most",
    "forward": "From the near end",
    "backward": "From the far end",
    "losses_before": "Loss before each event",
    "r20": "Reading at 20 %",
    "r40": "Reading at 40 %",
    "r60": "Reading at 60 %",
    "current_distance": "Current stake distance",
    "stations": "Marks and chainages",
    "sense": "The limit is",
    "excess_u": "Excess, standard uncertainty",
    "index_half_width": "Group index, plus or minus",
    "offset_half_width": "Instrument distance error",
    "mark_scale_half_width": "Sheath marks' scale, plus or minus",
    "gnss_r95": "Satellite fix, 95 % radius",
    "cords_total": "Cords in all",
    "fixed_length_max": "Longest fixed cable",
    "length_max": "Longest cable",
    "resistance_max": "Most resistance",
    "power_max": "Most power at the far end",
    "feasible": "Works",
    "valid": "Usable",
    "dbm": "In dBm",
    "microwatt": "In microwatts",
    "margin_low": "Room at the low side",
    "margin_high": "Room at the overload side",
    "margin_low_attenuated": "Room at the low side with it",
    "attenuator_stock": "Next usual attenuator",
    "mu": "Slope coefficient",
    "direct": "Direct flashes",
    "nearby": "Flashes nearby",
    "eye_diameter_max": "Thickest eye",
    "real": "Real change",
    "expanded": "Expanded uncertainty",
    "x": "x",
    "y": "y",
}
WORDS = {
    "true": "Yes",
    "false": "No",
    "next": "NEXT",
    "psnext": "PSNEXT",
    "acrf": "ACR-F",
    "psacrf": "PSACR-F",
    "one_cord": "One-cord",
    "two_cord": "Two-cord",
    "three_cord": "Three-cord",
    "max": "At most",
    "min": "At least",
    "D": "Class D",
    "E": "Class E",
    "EA": "Class EA",
    "5e": "Cat 5e",
    "6A": "Cat 6A",
    "m": "m",
    "ft": "ft",
    "query": "In doubt",
    "urban_tall": "Urban, tall buildings",
    "fibre_metal": "Fibre with metal",
    "fibre_dielectric": "Metal-free fibre",
    "higher_around": "Higher around it",
    "same_around": "As high around it",
    "hilltop": "On a hilltop",
}
WORDS.update(VERDICT_WORDS)
_OF_ONE = {"copper_limit": {"6": "Cat 6"}}  # a word that means something else elsewhere
_SMALL = "abcdefghijklmnopqrstuvwxyz"
# Units that are offered beside an input; the contract's own comes first.
UNITS = {
    "m": ["m", "ft", "km"],
    "mm": ["mm", "in", "cm"],
    "nm": ["nm"],
    "ohm": ["ohm", "mohm", "kohm"],
    "V": ["V", "mV"],
    "kV": ["kV", "V"],
    "A": ["A", "kA"],
    "ns": ["ns", "us"],
    "MHz": ["MHz", "kHz"],
    "Mbit/s": ["Mbit/s", "Gbit/s"],
    "degC": ["degC", "degF"],
    "N": ["N", "lbf", "kN"],
    "kg/m": ["kg/m", "lb/ft", "g/m"],
    "ohm*m": ["ohm*m", "ohm*cm"],
    "dBm": ["dBm", "uW", "mW"],
}


def worded(about: dict, title: str, group: str, group_title: str) -> dict:
    """A description with title and group, and with label, range and units of each input and label of each result."""
    found = dict(about)
    found.update({"title": title, "group": group, "group_title": group_title, "what": _printed(about["what"])})
    found["inputs"] = [_input(entry, about["name"]) for entry in about["inputs"]]
    found["results"] = [_result(entry) for entry in about["results"]]
    found["source_text"] = [source_text(source) for source in about["source"]]
    return found


def _input(entry: dict, calculator: str) -> dict:
    found = dict(entry)
    found["label"] = label(entry["name"])
    found["meaning"] = _printed(entry["meaning"])
    found["range"] = range_text(entry)
    found["units"] = UNITS.get(entry["unit"], [entry["unit"]])
    if "words" in entry:
        own = _OF_ONE.get(calculator, {})
        found["choices"] = [[word, own.get(word) or word_text(word)] for word in entry["words"]]
    return found


def _printed(words: str) -> str:
    return words.replace("degC", "\u00b0C").replace("_", " ")


def _result(entry: dict) -> dict:
    found = dict(entry)
    found["label"] = label(entry["key"])
    meaning = _printed(entry["meaning"]).replace("true or false", "yes or no")
    found["meaning"] = "no " + meaning[6:] if meaning[:6] == "false " else meaning
    return found


def label(name: str) -> str:
    """The label of an input or a result: 'fixed_length' -> 'Fixed length'."""
    return LABELS.get(name) or _sentence_case(name)


def _sentence_case(name: str) -> str:
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]


def word_text(value: object) -> str:
    """A word of an input or a result as a person reads it: 'permanent_link' -> 'Permanent link', a limit set's title, True -> 'Yes'."""
    if value is None:
        return "None"
    if value is True or value is False:
        return "Yes" if value else "No"
    if value in limits.file_ids():
        return limits.document(value)["title"]
    if value in WORDS:
        return WORDS[value]
    return _sentence_case(value) if value and value[0] in _SMALL else value
