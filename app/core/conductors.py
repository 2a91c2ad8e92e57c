"""Sizes of bonding conductors: resistance and choice, as printed in the tables named."""

from .errors import Refused
from .numbers import trimmed

# NFPA 70 chapter 9 table 8, uncoated copper, ohm per 1000 ft at 75 degC; 14 to 8 solid, the rest stranded; seen in two or more public places
_OHM_PER_KFT = {
    "14": 3.07, "12": 1.93, "10": 1.21, "8": 0.764, "6": 0.491, "4": 0.308, "3": 0.245, "2": 0.194, "1": 0.154, "1/0": 0.122, "2/0": 0.0967,
    "3/0": 0.0766, "4/0": 0.0608, "250": 0.0515, "300": 0.0429, "350": 0.0367, "500": 0.0258, "600": 0.0214, "750": 0.0171,
}  # fmt: skip
_PER_DEGC_AT_75 = 0.00323
_METRIC_PER_DEGC = 0.004  # IEC 60228's own table of temperature factors, 1 / (1 + 0.004 (T - 20)); seen in one public place
# IEC 60228 class 1 and 2, plain copper, largest milliohm per metre at 20 degC; seen in two or more public places
_MOHM_PER_M = {
    "1.5": 12.1, "2.5": 7.41, "4": 4.61, "6": 3.08, "10": 1.83, "16": 1.15, "25": 0.727, "35": 0.524, "50": 0.387, "70": 0.268, "95": 0.193,
    "120": 0.153,
}  # fmt: skip
# ANSI/TIA-607 backbone table, length up to m and ft as both are printed; rule seen in two or more public places, table from memory
BACKBONE = [
    [4, 13, "6"], [6, 20, "4"], [8, 26, "3"], [10, 33, "2"], [13, 41, "1"], [16, 52, "1/0"], [20, 66, "2/0"], [26, 84, "3/0"], [32, 105, "4/0"],
    [38, 125, "250 kcmil"], [46, 150, "300 kcmil"], [53, 175, "350 kcmil"], [76, 250, "500 kcmil"], [91, 300, "600 kcmil"],
]  # fmt: skip
BACKBONE_LARGEST = "750 kcmil"


def metric_or_gauge(size: str) -> tuple:
    """A conductor size as typed -> ("mm2", "16") or ("gauge", "1/0"). Takes 6, 6AWG, 1/0, 250kcmil, 16mm2. Errors: Refused("word")."""
    plain = trimmed(size).lower().replace(" ", "").replace("\u00b2", "2").replace(",", ".")
    if plain.endswith("mm2"):
        number = plain[:-3]
        if number in _MOHM_PER_M:
            return "mm2", number
    else:
        for ending in ("awg", "kcmil"):
            if plain.endswith(ending):
                plain = plain[: -len(ending)]
        if plain in _OHM_PER_KFT:
            return "gauge", plain
    allowed = "AWG 14 to 1 even sizes and 3, 1/0 to 4/0, 250 to 750 kcmil, or 1.5mm2 to 120mm2"
    raise Refused("word", "size", size, allowed, "Give the size as printed on the conductor, such as 6, 1/0 or 16mm2.")


def ohm_per_m(size: str, temperature_degc: float = 20.0) -> float:
    """Resistance of a bonding conductor per metre: table at 75 degC brought down (AWG), or largest of its class at 20 degC (mm2)."""
    kind, name = metric_or_gauge(size)
    if kind == "mm2":
        return _MOHM_PER_M[name] / 1000.0 * (1.0 + _METRIC_PER_DEGC * (temperature_degc - 20.0))
    return _OHM_PER_KFT[name] / 304.8 * (1.0 + _PER_DEGC_AT_75 * (temperature_degc - 75.0))
