"""From a row of a limit file to the limit at one frequency. The coefficients are data; each form of curve is one function here."""

import math

from .errors import Refused
from .ranges import between


def limit_at(row: dict, frequency_mhz: float) -> float:
    """The limit of one row at one frequency.

    Takes a row with "value" (the same at every frequency), "table" or "formula"; the row's from_mhz and to_mhz are its range.
    Errors: Refused("range") outside the row's frequencies, Refused("shape") for a form of curve not known here.
    """
    between(
        frequency_mhz, float(row["from_mhz"]), float(row["to_mhz"]), "frequency", "MHz", "This category is not specified there."
    )
    if "value" in row:
        return float(row["value"])
    if "table" in row:
        return root_table(row["table"], frequency_mhz)
    form = row["formula"]["form"]
    if form not in _FORMS:
        raise Refused("shape", "formula", form, ", ".join(sorted(_FORMS)))
    return _FORMS[form](row["formula"], frequency_mhz)


def cable_and_connections(numbers: dict, frequency_mhz: float) -> float:
    """Loss of cable plus connections: k*(a*sqrt f + b*f + c/sqrt f) + n*h*sqrt f + d*f^1.5, not below the floor."""
    root = math.sqrt(frequency_mhz)
    cable = _f(numbers, "root") * root + _f(numbers, "linear") * frequency_mhz + _f(numbers, "inverse_root") / root
    loss = _f(numbers, "cable_share") * cable + _f(numbers, "connections") * _f(numbers, "connection") * root
    loss = loss + _f(numbers, "deviation") * frequency_mhz * root
    return max(loss, _f(numbers, "floor"))


def voltage_sum(numbers: dict, frequency_mhz: float) -> float:
    """Crosstalk of cable and connections added as voltages: -20*lg(10^(-(a-s*L)/20) + n*10^(-(b-20*L)/20)), L = lg(f/100)."""
    for band in numbers.get("bands", []):
        if float(band["from"]) <= frequency_mhz <= float(band["to"]):
            return falling_line(band, frequency_mhz)
    decades = math.log10(frequency_mhz / 100.0)
    cable = 10 ** (-(_f(numbers, "cable") - _f(numbers, "cable_slope") * decades) / 20.0)
    connection = 10 ** (-(_f(numbers, "connection") - 20.0 * decades) / 20.0)
    total = -20.0 * math.log10(cable + _f(numbers, "connections") * connection)
    return min(total, float(numbers["cap"])) if "cap" in numbers else total


def bands(numbers: dict, frequency_mhz: float) -> float:
    """A straight line against lg f in each band; where two bands meet they agree, and the lower one is taken."""
    for band in numbers["bands"]:
        if frequency_mhz <= float(band["to"]):
            return falling_line(band, frequency_mhz)
    raise Refused("range", "frequency", frequency_mhz, "a frequency of the table's bands")


def falling_line(band: dict, frequency_mhz: float) -> float:
    """constant - slope * lg(f / reference) + per_mhz * f."""
    line = float(band["constant"]) - _f(band, "slope") * math.log10(frequency_mhz / float(band.get("reference", "1")))
    return line + _f(band, "per_mhz") * frequency_mhz


def power_of_frequency(numbers: dict, frequency_mhz: float) -> float:
    """factor * f^exponent + inverse / f."""
    return _f(numbers, "factor") * frequency_mhz ** _f(numbers, "exponent") + _f(numbers, "inverse") / frequency_mhz


def delay(numbers: dict, frequency_mhz: float) -> float:
    """Delay of cable and connections: share*(534 + 36/sqrt f) + n*2.5, with the numbers of the row."""
    cable = _f(numbers, "constant") + _f(numbers, "inverse_root") / math.sqrt(frequency_mhz)
    return _f(numbers, "cable_share") * cable + _f(numbers, "connections") * _f(numbers, "connection")


def root_table(table: list, frequency_mhz: float) -> float:
    """A table of [frequency, loss], interpolated in loss/sqrt f, which is nearly flat for a cable."""
    previous = table[0]
    for point in table:
        if float(point[0]) >= frequency_mhz:
            return _between_points(previous, point, frequency_mhz)
        previous = point
    return float(previous[1])


def _between_points(low: list, high: list, frequency_mhz: float) -> float:
    start, end = float(low[0]), float(high[0])
    if end == frequency_mhz or start == end:
        return float(high[1])
    first, last = float(low[1]) / math.sqrt(start), float(high[1]) / math.sqrt(end)
    share = (frequency_mhz - start) / (end - start)
    return (first + (last - first) * share) * math.sqrt(frequency_mhz)


def _f(numbers: dict, name: str) -> float:
    return float(numbers.get(name, "0"))


_FORMS = {
    "cable_and_connections": cable_and_connections,
    "voltage_sum": voltage_sum,
    "bands": bands,
    "delay": delay,
    "power_of_frequency": power_of_frequency,
}
