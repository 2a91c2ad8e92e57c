"""Power over the pairs: what arrives at the far end, and how far it can be carried."""

import math

from .copper import conductor_ohm_per_m
from .errors import Refused
from .numbers import short_text, text
from .ranges import above_zero, between, one_of


def load_voltage(source_voltage_v: float, load_power_w: float, resistance_ohm: float) -> float | None:
    """Voltage at a load that draws constant power through a resistance: the upper root of V^2 - Vs V + R P = 0, None when it has no root."""
    discriminant = source_voltage_v * source_voltage_v - 4.0 * resistance_ohm * load_power_w
    return None if discriminant < 0 else (source_voltage_v + math.sqrt(discriminant)) / 2.0


def most_power_w(source_voltage_v: float, resistance_ohm: float) -> float:
    """The most that any load can draw through a resistance: Vs^2 / (4 R)."""
    return source_voltage_v * source_voltage_v / (4.0 * resistance_ohm)


def source_power(source_voltage_v: float, load_power_w: float, resistance_ohm: float) -> float:
    """What the source gives when the load draws its power: Vs * P / V at the load. Only for a load that can be fed."""
    return source_voltage_v * load_power_w / load_voltage(source_voltage_v, load_power_w, resistance_ohm)


def reach_resistance(source_voltage_v: float, load_power_w: float, load_voltage_min_v: float, source_power_max_w: float) -> float:
    """The most resistance that still feeds a load: least of (Vs - Vmin) Vmin / P, Vs^2 (1 - P/Pmax) / Pmax, Vs^2 / (4 P)."""
    by_voltage = (source_voltage_v - load_voltage_min_v) * load_voltage_min_v / load_power_w
    by_source = source_voltage_v * source_voltage_v * (1.0 - load_power_w / source_power_max_w) / source_power_max_w
    by_root = source_voltage_v * source_voltage_v / (4.0 * load_power_w)
    if load_voltage_min_v < source_voltage_v / 2.0:
        by_voltage = by_root  # the least voltage lies below the cliff, so the cliff decides
    if source_power_max_w > 2.0 * load_power_w:
        by_source = by_root  # the source could give more than the cliff ever asks
    return min(by_voltage, by_source, by_root)


def power_at_far_end(
    source_voltage_v: float,
    load_power_w: float,
    pair_loop_ohm: float | None = None,
    awg: float | None = None,
    length_m: float | None = None,
    pairs: str = "2",
    temperature_degc: float = 20.0,
) -> dict:
    """Voltage, current and source power when a load draws constant power at the far end of the pairs.

    V = (Vs + sqrt(Vs^2 - 4 R P)) / 2, I = P / V, R = pair loop / 2 over two pairs, pair loop / 4 over four

    Inputs:
        source_voltage (V, above 0 to 100): voltage at the source under load
        load_power (W, 0 to 200): power that the load draws at its terminals
        pair_loop (ohm, 0 to 10000, optional): loop resistance of one pair as measured; or give awg and length
        awg (count, 10 to 30, optional): conductor size, when no loop resistance is given
        length (m, 0 to 10000, optional): cable length, when no loop resistance is given
        pairs (word: 2 4, 2): pairs that carry the power
        temperature (degC, -40 to 90, 20): temperature of the conductor, used with awg and length
    Result:
        feasible (word): false when no voltage feeds this load
        voltage (V): at the load
        current (A): in all pairs together
        source_power (W): given by the source
        cable_loss (W): lost in the cable
        power_max (W): the most that any load could draw here
    Errors: Refused when neither a loop resistance nor gauge and length is given, and outside the ranges.
    Holds: pairs alike and load of constant power; connectors are in a measured loop, not in a calculated one.
    Source: IEEE 802.3 | 2022 | clause 33 and clause 145, power at the end of the link | memory
    Example: power_at_far_end(50.0, 25.5, 25.0) gives feasible true, voltage 42.5 V, current 0.6 A
    """
    above_zero(source_voltage_v, 100, "source_voltage", "V")
    between(load_power_w, 0, 200, "load_power", "W")
    resistance, working = _supply_resistance(pair_loop_ohm, awg, length_m, pairs, temperature_degc)
    most = {"power_max": most_power_w(source_voltage_v, resistance)} if resistance > 0 else {}
    voltage = load_voltage(source_voltage_v, load_power_w, resistance)
    if voltage is None:
        working.append(
            "no root: 4 R P = "
            + short_text(4.0 * resistance * load_power_w)
            + " is above Vs^2 = "
            + short_text(source_voltage_v**2)
        )
        note = "No voltage feeds this load: at most " + short_text(most["power_max"]) + " W can be drawn here."
        return {"results": {"feasible": False} | most, "working": working, "notes": [note]}
    current = load_power_w / voltage
    working += load_lines(source_voltage_v, load_power_w, resistance, voltage)
    results = {"feasible": True, "voltage": voltage, "current": current, "source_power": source_voltage_v * current}
    results["cable_loss"] = current * current * resistance
    return {"results": results | most, "working": working, "notes": _outside(resistance * int(pairs) / 2.0)}


def load_lines(source_voltage_v: float, load_power_w: float, resistance_ohm: float, voltage_v: float) -> list:
    """Working lines of the quadratic with this case's numbers."""
    numbers = [short_text(value) for value in (source_voltage_v, resistance_ohm, load_power_w)]
    line = (
        "V = ("
        + numbers[0]
        + " + sqrt("
        + numbers[0]
        + "^2 - 4 * "
        + numbers[1]
        + " * "
        + numbers[2]
        + ")) / 2 = "
        + text(voltage_v, 2)
        + " V"
    )
    current = load_power_w / voltage_v
    return [
        line,
        "I = P / V = " + text(current, 3) + " A; the source gives Vs * I = " + text(source_voltage_v * current, 2) + " W",
    ]


def _outside(pair_set_ohm: float) -> list:
    return ["Calculated, outside the IEEE 802.3 channel of 12.5 ohm a pair set."] if pair_set_ohm > 12.5 + 1e-9 else []


def _supply_resistance(
    pair_loop_ohm: float | None, awg: float | None, length_m: float | None, pairs: str, temperature_degc: float
) -> tuple:
    """What the supply sees, with its working lines: half a pair loop over two pairs, a quarter over four."""
    one_of(pairs, ["2", "4"], "pairs")
    working = []
    if pair_loop_ohm is None:
        if awg is None or length_m is None:
            raise Refused(
                "missing",
                "pair_loop",
                None,
                "a loop resistance, or awg and length",
                "Give the measured pair loop, or gauge and length.",
            )
        between(temperature_degc, -40, 90, "temperature", "degC")
        pair_loop_ohm = (
            2.0 * conductor_ohm_per_m(between(awg, 10, 30, "awg"), temperature_degc) * between(length_m, 0, 10000, "length", "m")
        )
        working.append(
            short_text(awg)
            + " AWG, "
            + short_text(length_m)
            + " m, "
            + short_text(temperature_degc)
            + " degC: pair loop "
            + short_text(pair_loop_ohm)
            + " ohm"
        )
    resistance = between(pair_loop_ohm, 0, 10000, "pair_loop", "ohm") / float(pairs)
    working.append(
        "R = pair loop / " + pairs + " = " + short_text(pair_loop_ohm) + " / " + pairs + " = " + short_text(resistance) + " ohm"
    )
    return resistance, working


def power_reach(
    source_voltage_v: float,
    load_power_w: float,
    load_voltage_min_v: float,
    source_power_max_w: float,
    pairs: str,
    awg: float,
    temperature_degc: float = 20.0,
) -> dict:
    """How much resistance, and so how much cable, still feeds a load.

    R = least of (Vs - Vmin) Vmin / P, Vs^2 (1 - P / Pmax) / Pmax, Vs^2 / (4 P); length = R / ohm per metre of the pairs used

    Inputs:
        source_voltage (V, above 0 to 100): voltage at the source under load
        load_power (W, above 0 to 200): power that the load draws at its terminals
        load_voltage_min (V, above 0 to 100): lowest voltage that the load accepts
        source_power_max (W, above 0 to 400): the most that the source may give
        pairs (word: 2 4): pairs that carry the power
        awg (count, 10 to 30): conductor size
        temperature (degC, -40 to 90, 20): hottest temperature of the cable
    Result:
        resistance_max (ohm): the most that the supply may see
        length_max (m): cable of that resistance
        feasible (word): false when not even a cable of no length would do
    Errors: Refused outside the ranges.
    Holds: cable alone, solid copper; take connectors and unbalance off the result. Where the least voltage is below half the source's, or
        the source may give more than twice the load, the last term decides: beyond it no voltage feeds the load.
    Source: IEEE 802.3 | 2022 | clause 33 and clause 145, power at the end of the link | memory
    Example: power_reach(50.0, 25.5, 42.5, 30.0, "2", 24) gives resistance_max 12.5 ohm
    """
    above_zero(source_voltage_v, 100, "source_voltage", "V")
    above_zero(load_power_w, 200, "load_power", "W")
    above_zero(load_voltage_min_v, 100, "load_voltage_min", "V")
    above_zero(source_power_max_w, 400, "source_power_max", "W")
    one_of(pairs, ["2", "4"], "pairs")
    per_m = (
        conductor_ohm_per_m(between(awg, 10, 30, "awg"), between(temperature_degc, -40, 90, "temperature", "degC"))
        * 2.0
        / float(pairs)
    )
    if load_voltage_min_v > source_voltage_v or load_power_w > source_power_max_w:
        note = "The source gives less voltage or less power than the load needs, before any cable."
        return {"results": {"feasible": False}, "working": [], "notes": [note]}
    resistance = reach_resistance(source_voltage_v, load_power_w, load_voltage_min_v, source_power_max_w)
    working = [
        "R = " + short_text(resistance) + " ohm, the least of the bounds by voltage, by source power and by the quadratic",
        "length = "
        + short_text(resistance)
        + " ohm / "
        + short_text(per_m * 1000.0)
        + " ohm per km = "
        + text(resistance / per_m, 1)
        + " m",
    ]
    results = {"feasible": True, "resistance_max": resistance, "length_max": resistance / per_m}
    return {"results": results, "working": working, "notes": _outside(resistance * int(pairs) / 2.0)}
