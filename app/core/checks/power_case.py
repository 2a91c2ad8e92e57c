"""Supply, cable and loads of a link that carries power: what the rules of power and of surge protectors reckon with."""

from .. import limits, pairs
from ..copper import conductor_ohm_per_m, copper_growth
from ..kinds import COPPER, METAL_MEDIA
from ..numbers import short_text, text
from ..power import load_voltage
from ..units import typed
from . import base, judging

FILE = "ieee-802.3-power"
_OWN = "the load"


def fed(link: dict) -> bool:
    """Is power carried over this link's pairs."""
    return link["medium"] in METAL_MEDIA and judging.carries_power(link)


# ---- what is fed


def loads(link: dict) -> list:
    """What is fed at the far end: [{"of", "name", "power_w", "least_v", "source"}]; the load typed on the link itself comes first.

    A link with nothing recorded has the load that its own fields wait for. "source" is where a load's figures are written.
    """
    found = []
    own_w, own_v = base.number(link, "load_power", "W"), base.number(link, "load_voltage_min", "V")
    if own_w is not None or own_v is not None or not link["loads"]:
        source = base.typed_source(base.field(link, "load_source") or "Load as typed on the link")
        found.append({"of": link["id"], "name": _OWN, "power_w": own_w, "least_v": own_v, "source": source})
    for load in link["loads"]:
        name = base.field(load, "name") or "load without a name"
        found.append(
            {
                "of": load["subject"],
                "name": name,
                "power_w": base.number(load, "power", "W"),
                "least_v": base.number(load, "voltage_min", "V"),
                "source": base.typed_source(base.field(load, "source") or name + " as typed"),
            }
        )
    return found


def load_title(load: dict) -> str:
    """A load's name for a title."""
    return "Load typed on the link" if load["name"] == _OWN else load["name"]


def demand(link: dict) -> dict:
    """All loads together: {"power_w": sum, or None where one is not known, "missing", "working"}."""
    held = loads(link)
    missing = ["the power of " + load["name"] for load in held if load["power_w"] is None]
    if missing:
        return {"power_w": None, "missing": missing, "working": []}
    total = 0.0
    for load in held:
        total += load["power_w"]
    parts = [load_title(load) + " " + short_text(load["power_w"]) + " W" for load in held]
    working = ["loads: " + " + ".join(parts) + " = " + short_text(total) + " W"] if len(held) > 1 else []
    return {"power_w": total, "missing": [], "working": working}


def least_voltage(link: dict) -> dict:
    """The highest of the lowest voltages that the loads accept: {"v" or None, "source", "missing", "working"}."""
    held = loads(link)
    missing = ["the lowest voltage that " + load["name"] + " accepts" for load in held if load["least_v"] is None]
    strictest = held[0]
    for load in held[1:]:
        if load["least_v"] is not None and (strictest["least_v"] is None or load["least_v"] > strictest["least_v"]):
            strictest = load
    if missing:
        return {"v": None, "source": strictest["source"], "missing": missing, "working": []}
    parts = [short_text(load["least_v"]) + " V " + load_title(load) for load in held]
    working = ["least voltage = the highest of " + ", ".join(parts)] if len(held) > 1 else []
    return {"v": strictest["least_v"], "source": strictest["source"], "missing": [], "working": working}


# ---- what feeds it


def passive(link: dict) -> bool:
    """Is power always on, without the detection and classes of IEEE 802.3."""
    return base.field(link, "feeding") == "passive"


def class_for(load_w: float) -> dict | None:
    """The lowest class of IEEE 802.3 that a load of this power belongs to (class 0 stands for class 3), or None above class 8."""
    found = None
    for row in limits.rows(FILE, quantity="class_power"):
        if row["class"] != "0" and load_w <= float(row["load_power"]) + 1e-9:
            if found is None or float(row["load_power"]) < float(found["load_power"]):
                found = row
    return found


def class_of(link: dict, load_w: float | None) -> dict | None:
    """The class that feeds this load over copper to 100 m; None for maker-specific and for passive power."""
    if load_w is None or link["medium"] != COPPER or passive(link):
        return None
    return class_for(load_w)


def largest_class(link: dict) -> dict | None:
    """The largest class over the pairs that carry power, for copper to 100 m fed by IEEE 802.3."""
    if link["medium"] != COPPER or passive(link):
        return None
    largest = None
    for row in limits.rows(FILE, quantity="class_power"):
        if row["pairs"] == str(2 * sets_of(link)) and (largest is None or float(row["value"]) > float(largest["value"])):
            largest = row
    return largest


def sets_of(link: dict) -> int:
    """Pair sets that carry power."""
    return 2 if base.field(link, "power_pairs") == "4" else 1


def source_voltage(link: dict) -> tuple:
    """(V or None, reading or None): measured under load where it was, else as typed on the link."""
    reading = base.newest(link, "source_voltage")
    if reading is not None:
        return base.reading_number(reading, "V"), reading
    return base.number(link, "source_voltage", "V"), None


# ---- what lies between


def cable(link: dict) -> dict:
    """Resistance of a pair set at the hottest cable temperature: from the loops read, else from gauge and length.

    {"missing"}, or {"pair_set_ohm", "working", "readings", "notes"}.
    """
    hottest = base.number(link, "cable_temperature", "degC")
    held, length = judging.loops(link), judging.cable_length(link)
    if held:
        return _from_loops(held, hottest)
    gauge = base.decimal(link, "gauge")
    if not gauge or not length:
        return {"missing": ["pair loop resistances (or conductor gauge and cable length)"]}
    temperature = 20.0 if hottest is None else hottest
    per_m = conductor_ohm_per_m(gauge, temperature)
    line = (
        short_text(gauge) + " AWG copper at " + short_text(temperature) + " degC: pair set = one conductor = "
        + short_text(per_m * length["m"]) + " ohm"
    )  # fmt: skip
    notes = (
        ["No pair loop was read: resistance from gauge and length, without connectors."] + length["notes"] + cold_notes(hottest)
    )
    return {
        "pair_set_ohm": per_m * length["m"],
        "working": [length["line"], line],
        "readings": length["readings"],
        "notes": notes,
    }


def cold_notes(hottest: float | None) -> list:
    """A note where the hottest temperature of the cable is not said."""
    return [] if hottest is not None else ["The hottest cable temperature is not set: resistance is not raised for warm cable."]


def _from_loops(held: dict, hottest: float | None) -> dict:
    names = sorted(held)
    ohms = []
    for pair in names:
        stated = held[pair]["reading"]["body"].get("temperature")
        at = typed(stated, "degC", "temperature") if stated else 20.0
        growth = 1.0 if hottest is None else copper_growth(hottest) / copper_growth(at)
        ohms.append(held[pair]["ohm"] * growth)
    pair_set = pairs.supply_ohm(ohms, 1)
    at_words = "" if hottest is None else ", brought to " + short_text(hottest) + " degC"
    listed = ", ".join([short_text(ohm) for ohm in ohms])
    return {
        "pair_set_ohm": pair_set,
        "working": ["loops " + listed + " ohm" + at_words + "; pair set = mean loop / 2 = " + short_text(pair_set) + " ohm"],
        "readings": [held[pair]["reading"] for pair in names],
        "notes": cold_notes(hottest),
    }


def ohm_of(link: dict, path: dict) -> float:
    """What `cable` found, as the source sees it: its pair sets side by side."""
    return path["pair_set_ohm"] / sets_of(link)


def ohm_line(link: dict, path: dict) -> str:
    """The working line of `ohm_of`."""
    ohms = short_text(path["pair_set_ohm"]) + " ohm / " + str(sets_of(link)) + " = " + short_text(ohm_of(link, path)) + " ohm"
    return "R = pair set " + ohms


def per_metre(link: dict) -> dict:
    """A metre of a pair set at the hottest cable temperature: from the loops read over the length, else from the gauge.

    {"missing"}, or {"ohm_per_m", "working", "readings"}.
    """
    path, length, gauge = cable(link), judging.cable_length(link), base.decimal(link, "gauge")
    if judging.loops(link) and length:
        per_m = path["pair_set_ohm"] / length["m"]
        line = (
            short_text(path["pair_set_ohm"])
            + " ohm / "
            + short_text(length["m"])
            + " m = "
            + short_text(per_m * 1000.0)
            + " ohm per km"
        )
        working = path["working"] + [length["line"], line]
        return {"ohm_per_m": per_m, "working": working, "readings": path["readings"] + length["readings"]}
    if not gauge:
        return {"missing": ["pair loop resistances and cable length (or conductor gauge)"]}
    hottest = base.number(link, "cable_temperature", "degC")
    temperature = 20.0 if hottest is None else hottest
    per_m = conductor_ohm_per_m(gauge, temperature)
    line = (
        short_text(gauge) + " AWG copper at " + short_text(temperature) + " degC: " + short_text(per_m * 1000.0) + " ohm per km"
    )
    return {"ohm_per_m": per_m, "working": [line], "readings": []}


# ---- all of it


def case_of(link: dict) -> dict:
    """Supply, cable and loads of a link: {"missing"}, or {"source_v", "load_w", "ohm", "sets", "pair_set_ohm", "working", "readings", "notes"}."""
    source_v, reading = source_voltage(link)
    asked, path = demand(link), cable(link)
    missing = ([] if source_v else ["the voltage at the source"]) + asked["missing"] + path.get("missing", [])
    if missing:
        return {"missing": missing}
    return {
        "source_v": source_v,
        "load_w": asked["power_w"],
        "ohm": ohm_of(link, path),
        "sets": sets_of(link),
        "pair_set_ohm": path["pair_set_ohm"],
        "working": asked["working"] + path["working"] + [ohm_line(link, path)],
        "readings": path["readings"] + ([reading] if reading else []),
        "notes": _case_notes(link, path),
    }


def _case_notes(link: dict, path: dict) -> list:
    notes = [] if base.field(link, "power_pairs") else ["Pairs that carry power are not set on the link: taken as two pairs."]
    most = float(limits.row(FILE, "pair_set_resistance")["value"])
    if passive(link):
        notes.append("Always on and not detected: outside IEEE 802.3. Plug in nothing that was not made for it.")
    elif path["pair_set_ohm"] > most:
        notes.append("Calculated, outside the IEEE 802.3 channel of " + short_text(most) + " ohm a pair set.")
    return notes + path["notes"]


def drawn_current(link: dict) -> dict:
    """Current in a pair set at full load: {"missing"}, or {"a", "load_w", "sets", "working", "readings", "notes"}."""
    case = case_of(link)
    if "missing" in case:
        return case
    voltage = load_voltage(case["source_v"], case["load_w"], case["ohm"])
    if voltage is None:
        return {"missing": ["a load that this supply can feed"]}
    sets, load_w = case["sets"], case["load_w"]
    current = load_w / voltage / sets
    shares = " / " + str(sets) + " pair sets = " if sets > 1 else " = "
    line = "I = " + short_text(load_w) + " W / " + text(voltage, 2) + " V" + shares + text(current, 3) + " A"
    return {
        "a": current,
        "load_w": load_w,
        "sets": sets,
        "working": case["working"] + [line],
        "readings": case["readings"],
        "notes": case["notes"],
    }
