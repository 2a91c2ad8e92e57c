"""A limit that depends on frequency as a person reads it: the formula with its numbers, and a small table at the usual frequencies."""

from .copper_limits import limit_at
from .numbers import decimals_of, text

USUAL_MHZ = ["0.1", "0.5", "1", "4", "10", "16", "20", "31.25", "62.5", "100", "200", "250", "400", "500"]
_TIMES, _ROOT = " \u00d7 ", "\u221af"


def formula_text(row: dict) -> str:
    """The formula of a row in plain text with its numbers, f in MHz; '' for a row without one."""
    if "formula" in row:
        numbers = row["formula"]
        words = _WORDS.get(numbers["form"])
        return words(numbers, row["unit"]) if words else _listed(numbers)
    if "table" in row and "from_mhz" in row:
        return "by the table; between its points loss / " + _ROOT + " is interpolated"
    return ""


def _cable_and_connections(numbers: dict, unit: str) -> str:
    cable = numbers["root"] + " " + _ROOT + " + " + numbers["linear"] + " f + " + numbers["inverse_root"] + " / " + _ROOT
    line = numbers["cable_share"] + _TIMES + "(" + cable + ") + "
    line += numbers["connections"] + _TIMES + numbers["connection"] + " " + _ROOT
    if "deviation" in numbers:
        line += " + " + numbers["deviation"] + " f " + _ROOT
    return line + (", not below " + numbers["floor"] + " " + unit if "floor" in numbers else "")


def _voltage_sum(numbers: dict, unit: str) -> str:
    cable = "10^(-(" + numbers["cable"] + " - " + numbers["cable_slope"] + " lg(f/100)) / 20)"
    connection = "10^(-(" + numbers["connection"] + " - 20 lg(f/100)) / 20)"
    line = "-20 lg(" + cable + " + " + numbers["connections"] + _TIMES + connection + ")"
    line += ", not above " + numbers["cap"] + " " + unit if "cap" in numbers else ""
    for band in numbers.get("bands", []):
        line += "; from " + band["from"] + " to " + band["to"] + " MHz: " + _falling(band)
    return line


def _bands(numbers: dict, unit: str) -> str:
    return "; ".join(["to " + band["to"] + " MHz: " + _falling(band) for band in numbers["bands"]])


def _falling(band: dict) -> str:
    """constant - slope lg(f / reference) + per_mhz f, without the parts that are nothing."""
    line, slope = band["constant"], band.get("slope", "0")
    if float(slope) != 0:
        reference = band.get("reference", "1")
        ratio = "f" if float(reference) == 1 else "(f/" + reference + ")"
        line += (" + " + slope[1:] if slope.startswith("-") else " - " + slope) + " lg" + ("" if ratio[0] == "(" else " ") + ratio
    return line + (" + " + band["per_mhz"] + " f" if "per_mhz" in band else "")


def _delay(numbers: dict, unit: str) -> str:
    cable = "(" + numbers["constant"] + " + " + numbers["inverse_root"] + " / " + _ROOT + ")"
    share = "" if float(numbers["cable_share"]) == 1 else numbers["cable_share"] + _TIMES
    return share + cable + " + " + numbers["connections"] + _TIMES + numbers["connection"]


def _power_of_frequency(numbers: dict, unit: str) -> str:
    return numbers["factor"] + " f^" + numbers["exponent"] + " + " + numbers["inverse"] + " / f"


def _listed(numbers: dict) -> str:
    """A form that has no words here: its name and its numbers."""
    found = [name + " " + numbers[name] for name in sorted(numbers) if name != "form" and isinstance(numbers[name], str)]
    return numbers["form"].replace("_", " ") + ": " + ", ".join(found)


def value_table(row: dict) -> dict | None:
    """{"head", "rows"} at the usual frequencies that a row covers; None for a row that does not depend on frequency."""
    if "from_mhz" not in row or ("formula" not in row and "table" not in row):
        return None
    low, high = float(row["from_mhz"]), float(row["to_mhz"])
    usual = [point[0] for point in row["table"]] if "table" in row else USUAL_MHZ
    wanted = [name for name in usual if low <= float(name) <= high]
    decimals = decimals_of(row["step"])
    return {"head": ["MHz", row["unit"]], "rows": [[name, text(limit_at(row, float(name)), decimals)] for name in wanted]}


_WORDS = {
    "cable_and_connections": _cable_and_connections,
    "voltage_sum": _voltage_sum,
    "bands": _bands,
    "delay": _delay,
    "power_of_frequency": _power_of_frequency,
}
