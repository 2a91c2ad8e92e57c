"""What bounds power through a cable: how much may be drawn, and how much resistance may lie between, each bound by its name.

Names: "voltage" (the lowest that the load accepts), "source" (the most that the source may give), "current" (the most through the pairs),
"root" (beyond it no voltage feeds the load). Source: IEEE 802.3:2022, clauses 33 and 145, power at the end of the link (from memory).
"""

VOLTAGE, SOURCE, CURRENT, ROOT = "voltage", "source", "current", "root"


def draw_bounds(source_v: float, ohm: float, least_v: float | None, source_most_w: float | None, most_a: float | None) -> list:
    """The most that may be drawn at the far end by each bound that is known: [[name, W]...].

    source_v (V, above 0), ohm (above 0, seen by the source), least_v (V), source_most_w (W), most_a (A, through all pairs together).
    By voltage (Vs - Vmin) Vmin / R; by source Vs I - I^2 R with I = Pmax / Vs; by current the same with the most current; at the root Vs^2 / (4 R).
    A bound that lies beyond the root counts as the root does.
    """
    root_w, root_a = source_v * source_v / (4.0 * ohm), source_v / (2.0 * ohm)
    found = [[ROOT, root_w]]
    if least_v is not None and least_v > source_v / 2.0:
        found.append([VOLTAGE, max((source_v - least_v) * least_v / ohm, 0.0)])
    for name, current in ((SOURCE, None if source_most_w is None else source_most_w / source_v), (CURRENT, most_a)):
        if current is not None and current < root_a:
            found.append([name, current * (source_v - current * ohm)])
    return found


def reach_bounds(
    source_v: float, load_w: float, least_v: float | None, source_most_w: float | None, most_a: float | None
) -> list:
    """The most resistance that still feeds a load, by each bound that is known: [[name, ohm]...]; zero or less where nothing would do.

    Units as above, load_w above 0. By voltage (Vs - Vmin) Vmin / P; by current (Vs I - P) / I^2, for the source with I = Pmax / Vs; at the root
    Vs^2 / (4 P).
    """
    root_a = 2.0 * load_w / source_v
    found = [[ROOT, source_v * source_v / (4.0 * load_w)]]
    if least_v is not None and least_v > source_v / 2.0:
        found.append([VOLTAGE, (source_v - least_v) * least_v / load_w])
    for name, current in ((SOURCE, None if source_most_w is None else source_most_w / source_v), (CURRENT, most_a)):
        if current is not None and current < root_a:
            found.append([name, (source_v * current - load_w) / (current * current)])
    return found


def governing(bounds: list) -> list:
    """The least of the bounds; of equal ones the first."""
    least = bounds[0]
    for bound in bounds[1:]:
        if bound[1] < least[1]:
            least = bound
    return least
