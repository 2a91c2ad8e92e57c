"""Outside plant: pulling, ducts, ordering, sheath marks and where a mark lies."""

import math

from . import limits
from .constants import FEET_M, GRAVITY
from .errors import Refused
from .numbers import parse_decimal, short_text, text, trimmed
from .pull import pieces_of, pull, reversed_pieces

# sqrt(-2 ln 0.05): radius of a round normal error that holds 95 percent, in standard deviations of one axis
ONE_AXIS_OF_R95 = 2.447747


def pull_tension(
    route: str, weight_kg_m: float, friction: float = 0.5, back_tension_n: float = 0.0, bend_form: str = "exact"
) -> dict:
    """Highest tension and sidewall force while a cable is pulled through a route, both ways.

    straight: T + w L (sin slope + mu cos slope); bend: T cosh(mu a) + sinh(mu a) sqrt(T^2 + (w R)^2), simple form T e^(mu a); sidewall: T / R
    bend up or down: T e^(mu a) with the cable's weight along the arc

    Inputs:
        route (text): pieces with semicolons between, such as straight 100ft; bend 45deg 10ft; straight 20m 5deg (slope, up is plus);
            a bend up or down has its shape behind it: crest_up, crest_down, dip_up, dip_down, as in bend 30deg 2m dip_up
        weight (kg/m, above 0 to 100): mass of the cable per length
        friction (ratio, above 0 to 2, 0.5): coefficient of friction, 0.5 dry, 0.35 lubricated
        back_tension (N, 0 to 100000, 0): tension at the reel
        bend_form (word: simple exact, exact): simple leaves the cable's weight in bends out
    Result:
        tension (N): highest tension, pulled in the order given
        sidewall (N/m): highest sidewall force, in that order
        reverse_tension (N): highest tension, pulled from the other end
        reverse_sidewall (N/m): highest sidewall force, from the other end
        better (word): forward or reverse, the one with the lower tension
    Errors: a piece that is not a straight or a bend with its lengths.
    Holds: for one cable in steady motion; starting again after a stop takes more.
    Source:
        IEEE 525 | annex J | pulling tension, simple forms | 2+
        IEEE 1185 | 2019 | horizontal bend with the cable's weight | 1
        Balance of forces along the arc | | bends up and down, derived | memory
    Example: route=straight 500ft weight=0.144lb/ft gives 36 lbf, 160.1 N
    """
    pieces = pieces_of(route)
    weight_n_m = weight_kg_m * GRAVITY
    there = pull(pieces, weight_n_m, friction, back_tension_n, bend_form)
    back = pull(reversed_pieces(pieces), weight_n_m, friction, back_tension_n, bend_form)
    better = "reverse" if back["tension_n"] < there["tension_n"] - 1e-6 else "forward"
    results = {
        "tension": there["tension_n"],
        "sidewall": there["sidewall_n_m"],
        "reverse_tension": back["tension_n"],
        "reverse_sidewall": back["sidewall_n_m"],
        "better": better,
    }
    working = [
        "w = "
        + short_text(weight_kg_m)
        + " kg/m x 9.80665 = "
        + short_text(weight_n_m)
        + " N/m; friction "
        + short_text(friction)
    ]
    working += ["forward: " + line for line in there["working"]] + ["reverse: " + line for line in back["working"]]
    return {
        "results": results,
        "working": working,
        "notes": there["notes"] + [note for note in back["notes"] if note not in there["notes"]],
    }


def duct_fill(inside_diameter_mm: float, cables_mm: list) -> dict:
    """Share of a duct's bore that cables take, and the share allowed.

    fill = sum of cable diameters squared / bore squared; allowed 53 percent for 1 cable, 31 for 2, 40 for 3 or more

    Inputs:
        inside_diameter (mm, above 0 to 2000): bore of the duct
        cables (list of mm, above 0 to 500): outside diameter of each cable
    Result:
        fill (percent): share of the bore
        allowed (percent): share allowed for that many cables
    Errors: none but out of range.
    Holds: as advice; the NEC exempts communications and non-conductive fibre cable alone in a duct from its fill table.
    Source:
        NFPA 70 (NEC) | | chapter 9 table 1 | 2+
    Example: inside_diameter=26.6 cables=6,6,6,6 gives 20.35 percent, allowed 40
    """
    squares = 0.0
    for diameter in cables_mm:
        squares += diameter * diameter
    fill = 100.0 * squares / (inside_diameter_mm * inside_diameter_mm)
    allowed = float(limits.row("ducts", "fill:" + str(min(len(cables_mm), 3)))["value"])
    line = (
        "fill = "
        + short_text(squares, 6)
        + " mm2 / "
        + short_text(inside_diameter_mm * inside_diameter_mm, 6)
        + " mm2 = "
        + text(fill, 1)
        + " percent"
    )
    notes = ["Advice: for communications cable alone in a duct the fill table is a design rule, not a code limit."]
    if fill > 100.0:
        notes.append("More than the duct holds.")
    return {
        "results": {"fill": fill, "allowed": allowed},
        "working": [line, "allowed = " + text(allowed, 0) + " percent"],
        "notes": notes,
    }


def eye_clearance(inside_diameter_mm: float, bend_radius_mm: float, eye_length_mm: float) -> dict:
    """Thickest rigid pulling eye of a given length that passes a bend.

    diameter = sqrt((R + D / 2)^2 - (length / 2)^2) - (R - D / 2)

    Inputs:
        inside_diameter (mm, above 0 to 2000): bore of the duct
        bend_radius (mm, above 0 to 100000): radius of the bend's centre line
        eye_length (mm, above 0 to 5000): length of the rigid part
    Result:
        eye_diameter_max (mm): thickest eye that passes, 0 when none does
    Errors: a bend radius under half the bore.
    Holds: for a straight rigid eye in a round bend; leave clearance.
    Source:
        Plane geometry | | chord in a bent duct | practice
    Example: inside_diameter=52 bend_radius=241.3 eye_length=300 gives 5.94 mm
    """
    half = inside_diameter_mm / 2.0
    if bend_radius_mm <= half:
        raise Refused(
            "range",
            "bend_radius",
            short_text(bend_radius_mm),
            "more than half the bore, " + short_text(half) + " mm",
            "Give the centre line's radius.",
        )
    inside = (bend_radius_mm + half) * (bend_radius_mm + half) - eye_length_mm * eye_length_mm / 4.0
    passes = max(0.0, math.sqrt(inside) - (bend_radius_mm - half)) if inside > 0 else 0.0
    line = (
        "diameter = sqrt("
        + short_text(bend_radius_mm + half)
        + "^2 - "
        + short_text(eye_length_mm / 2.0)
        + "^2) - "
        + short_text(bend_radius_mm - half)
    )
    notes = [] if passes > 0 else ["No rigid eye of this length passes: use a flexible eye or a wider bend."]
    return {"results": {"eye_diameter_max": passes}, "working": [line + " = " + text(passes, 2) + " mm"], "notes": notes}


def order_length(
    route_m: float,
    rises_m: list | None = None,
    loops_m: list | None = None,
    end_spare_m: float = 3.0,
    allowance_percent: float = 10.0,
    stock_m: float = 0.0,
) -> dict:
    """How much cable to order for a route.

    needed = (route + rises + loops + 2 * end spare) * (1 + allowance / 100); order = needed rounded up to the stock length

    Inputs:
        route (m, above 0 to 200000): length along the route
        rises (list of m, 0 to 1000, optional): rises and drops
        loops (list of m, 0 to 1000, optional): slack loops, and three quarters of each handhole's perimeter
        end_spare (m, 0 to 1000, 3): spare at each end
        allowance (percent, 0 to 100, 10): for snaking and waste
        stock (m, 0 to 20000, 0): step in which cable is sold, 0 when cut to length
    Result:
        needed (m): with the allowance
        order (m): rounded up to the stock step
        subtotal (m): before the allowance
    Errors: none but out of range.
    Holds: for a route measured along the ground; steep ground by slope length.
    Source:
        MIL-HDBK-1012/3 | superseded | 3 m an end, loops, 10 percent in all | 1
    Example: route=120 rises=4,3 loops=8,8,1.8 allowance=10 stock=10 gives 165.88 m, order 170 m
    """
    parts = [route_m] + list(rises_m or []) + list(loops_m or []) + [end_spare_m, end_spare_m]
    subtotal = 0.0
    for part in parts:
        subtotal += part
    needed = subtotal * (1.0 + allowance_percent / 100.0)
    order = needed if stock_m == 0 else stock_m * math.ceil(needed / stock_m - 1e-9)
    working = [
        "subtotal = " + " + ".join([short_text(part, 6) for part in parts]) + " = " + text(subtotal, 2) + " m",
        "needed = " + text(subtotal, 2) + " m + " + short_text(allowance_percent) + " percent = " + text(needed, 2) + " m",
        "order = " + text(order, 2) + " m",
    ]
    return {"results": {"needed": needed, "order": order, "subtotal": subtotal}, "working": working, "notes": []}


def sheath_length(start_mark: float, end_mark: float, mark_unit: str) -> dict:
    """Length of cable between two sheath marks, whichever way they count.

    length = |end mark - start mark| * unit

    Inputs:
        start_mark (ratio, 0 to 10000000): mark at one place
        end_mark (ratio, 0 to 10000000): mark at the other
        mark_unit (word: m ft): what the marks count
    Result:
        length (m): length of sheath between them
    Errors: none but out of range.
    Holds: on one piece of cable; printed marks are good to about 1 percent.
    Source:
        Definition | | 1 ft = 0.3048 m | 2+
    Example: start_mark=14392 end_mark=11867 mark_unit=ft gives 769.62 m
    """
    length_m = between_marks(start_mark, end_mark, mark_unit)
    line = (
        "length = |"
        + short_text(end_mark, 8)
        + " - "
        + short_text(start_mark, 8)
        + "| "
        + mark_unit
        + " = "
        + text(length_m, 2)
        + " m"
    )
    return {"results": {"length": length_m}, "working": [line], "notes": []}


def between_marks(first: float, last: float, mark_unit: str) -> float:
    """Metres of sheath between two marks."""
    return abs(last - first) * (FEET_M if mark_unit == "ft" else 1.0)


def mark_to_place(mark: float, stations: str) -> dict:
    """Where along the route a sheath mark lies, between the two nearest recorded marks.

    chainage = c1 + (mark - m1) / (m2 - m1) * (c2 - c1)

    Inputs:
        mark (ratio, 0 to 10000000): sheath mark looked for
        stations (text): mark:chainage pairs in route order with commas between, such as 1247:0, 1290:43, 1310:43, 1688:414
    Result:
        chainage (m): distance along the route
        place (word): span, or loop when it lies in a coil
    Errors: a mark beyond the stations; marks that run backwards.
    Holds: on one piece of cable whose marks run one way.
    Source:
        Linear interpolation | | between recorded marks | practice
    Example: mark=1300 stations=1247:0,1290:43,1310:43,1688:414 gives 43 m, loop
    """
    table = _stations(stations)
    down = table[-1][0] < table[0][0]
    for index in range(1, len(table)):
        (mark_1, chainage_1), (mark_2, chainage_2) = table[index - 1], table[index]
        low, high = (mark_2, mark_1) if down else (mark_1, mark_2)
        if low <= mark <= high:
            share = (mark - mark_1) / (mark_2 - mark_1)
            loop = chainage_1 == chainage_2
            chainage_m = chainage_1 + share * (chainage_2 - chainage_1)
            line = (
                "between "
                + short_text(mark_1, 8)
                + " at "
                + short_text(chainage_1, 6)
                + " m and "
                + short_text(mark_2, 8)
                + " at "
                + short_text(chainage_2, 6)
            )
            notes = ["In the slack loop at " + text(chainage_m, 2) + " m."] if loop else []
            return {
                "results": {"chainage": chainage_m, "place": "loop" if loop else "span"},
                "working": [line + " m: " + text(chainage_m, 2) + " m"],
                "notes": notes,
            }
    ends = short_text(min(table[0][0], table[-1][0]), 8) + " to " + short_text(max(table[0][0], table[-1][0]), 8)
    raise Refused(
        "range",
        "mark",
        short_text(mark, 8),
        "a mark between the stations, " + ends,
        "Read the mark again or record more stations.",
    )


def _stations(stations: str) -> list:
    table = []
    for piece in stations.split(","):
        mark, colon, chainage = piece.partition(":")
        if not colon:
            raise Refused(
                "shape", "stations", trimmed(piece), "pairs such as 1247:0, 1688:414", "Put a colon between mark and chainage."
            )
        table.append([parse_decimal(mark, "stations"), parse_decimal(chainage, "stations")])
    if len(table) < 2:
        raise Refused("shape", "stations", stations, "at least two stations", "Give one more.")
    back = backwards([row[0] for row in table])
    if back:
        raise Refused(
            "range",
            "stations",
            short_text(table[back[0]][0], 8),
            "marks that run one way along the route",
            "Read that mark again.",
        )
    for index in range(1, len(table)):
        if table[index][0] == table[index - 1][0]:
            raise Refused("range", "stations", short_text(table[index][0], 8), "each mark once", "Take the second one out.")
    return table


def backwards(marks: list) -> list:
    """Indexes of the marks that run against the direction of the whole: [100, 140, 120, 180] -> [2]."""
    if len(marks) < 2:
        return []
    sign = -1 if marks[-1] < marks[0] else 1
    return [index for index in range(1, len(marks)) if (marks[index] - marks[index - 1]) * sign < 0]


def locate_budget(
    distance_m: float,
    offset_half_width_m: float,
    index_half_width: float,
    group_index: float,
    excess: float,
    excess_u: float,
    mark_scale_half_width: float,
    gnss_r95_m: float,
    resolution_m: float = 0.0,
) -> dict:
    """Uncertainty of a place on the ground that was found from an optical distance.

    u = sqrt(sum of (sensitivity * standard uncertainty)^2), U = 2 u; half widths divided by sqrt 3, resolution by sqrt 12, the satellite
    radius by 2.447747

    Inputs:
        distance (m, above 0 to 200000): optical distance
        offset_half_width (m, 0 to 1000): the instrument's fixed distance error
        index_half_width (ratio, 0 to 0.1): how far the group index may be off
        group_index (ratio, 1.4 to 1.6): group index used
        excess (ratio, -0.05 to 0.2): fibre over sheath
        excess_u (ratio, 0 to 0.1): standard uncertainty of the excess
        mark_scale_half_width (ratio, 0 to 0.1): how far the sheath marks' scale may be off, 0.01 is one percent
        gnss_r95 (m, 0 to 1000): satellite fix, radius that holds 95 percent
        resolution (m, 0 to 100, 0): step of the distance that the instrument shows
    Result:
        standard_uncertainty (m): one standard deviation along the route
        expanded (m): twice that
        sheath_distance (m): distance along the sheath
    Errors: none but out of range.
    Holds: for independent terms.
    Source:
        ISO/IEC Guide 98-3 | 2008 | combined and expanded uncertainty | 2+
    Example: distance=412 offset_half_width=1 index_half_width=0.001 group_index=1.4677 excess=0.015 excess_u=0.0029
        mark_scale_half_width=0.01 gnss_r95=5 gives 3.37 m, expanded 6.74 m
    """
    sheath_m = distance_m / (1.0 + excess)
    root_3 = math.sqrt(3.0)
    terms = [
        ["offset", offset_half_width_m / root_3],
        ["index", distance_m / group_index * index_half_width / root_3],
        ["excess", sheath_m / (1.0 + excess) * excess_u],
        ["marks", sheath_m * mark_scale_half_width / root_3],
        ["satellite fix", gnss_r95_m / ONE_AXIS_OF_R95],
    ]
    if resolution_m:
        terms.append(["resolution", resolution_m / math.sqrt(12.0)])
    squares = 0.0
    for term in terms:
        squares += term[1] * term[1]
    standard_m = math.sqrt(squares)
    working = [label + ": " + text(size, 2) + " m" for label, size in terms] + [
        "u = " + text(standard_m, 2) + " m, U = " + text(2.0 * standard_m, 2) + " m"
    ]
    return {
        "results": {"standard_uncertainty": standard_m, "expanded": 2.0 * standard_m, "sheath_distance": sheath_m},
        "working": working,
        "notes": ["Dig between the two marks this far either side, not at a point."],
    }


def slope(horizontal_m: float, rise_m: float) -> dict:
    """Length along a slope and its angle, from what a map and a level give.

    length = sqrt(horizontal^2 + rise^2); angle = atan(rise / horizontal)

    Inputs:
        horizontal (m, above 0 to 200000): length on the map
        rise (m, -9000 to 9000): height gained, negative downhill
    Result:
        length (m): along the ground
        angle (deg): up is plus, as a pulling route takes it
    Errors: none but out of range.
    Holds: for an even slope.
    Source:
        Plane geometry | | right triangle | practice
    Example: horizontal=120 rise=3 gives length 120.04 m, angle 1.43 deg
    """
    length_m = math.sqrt(horizontal_m * horizontal_m + rise_m * rise_m)
    angle_deg = math.degrees(math.atan2(rise_m, horizontal_m))
    squares = "sqrt(" + short_text(horizontal_m, 6) + "^2 + " + short_text(rise_m) + "^2)"
    line = squares + " = " + text(length_m, 2) + " m, at " + text(angle_deg, 2) + " degrees"
    return {"results": {"length": length_m, "angle": angle_deg}, "working": [line], "notes": []}
