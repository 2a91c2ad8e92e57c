"""Rules for a fall of potential test: its plateau, the slope method, the distance of its stakes; and what it makes of the electrode."""

from .. import limits
from ..fall_of_potential import AT, BESIDE, plateau, slope
from ..numbers import decimals_of, short_text, text, to_steps
from ..ordering import in_order
from ..quantities import quantity
from ..tables import column_numbers
from ..units import typed
from . import base, judging

GROUP = "earthing"
FILE = "earthing"
QUANTITY = "fall_of_potential"
FEWEST, BETTER = 3, 6
_MOVE = "move the current stake further out and repeat"


def newest_at(link: dict) -> dict:
    """The newest fall of potential test of each side: {side: {"reading", "others"}}."""
    return {held["keys"]["side"]: held for held in base.latest(link, QUANTITY, ["side"])}


def newer(one: dict | None, other: dict | None) -> dict | None:
    """Of two readings with their older ones, that with the newer reading; its "others" then hold all the rest."""
    if one is None or other is None:
        return one or other
    first, last = (other, one) if base.when(one["reading"]) > base.when(other["reading"]) else (one, other)
    return {"reading": last["reading"], "others": last["others"] + first["others"] + [first["reading"]]}


def _stake_m(reading: dict) -> float | None:
    stated = reading["body"].get("current_stake")
    return typed(stated, "m", "current_stake") if stated else None


def _rows(reading: dict) -> list:
    """[position in m, ohm] by rising position; of two readings at one place the later typed counts."""
    about, table = quantity(QUANTITY), reading["body"]["table"]
    columns = [column_numbers(about, table, name) for name in ("position", "resistance")]
    found = []
    for row in in_order([list(pair) for pair in zip(columns[0], columns[1])], _position):
        if found and abs(found[-1][0] - row[0]) < 1e-9:
            found[-1] = row
        else:
            found.append(row)
    return found


def rows_as_typed(reading: dict) -> list:
    """The rows of a test as they were typed, by rising position."""
    return [pair[1] for pair in in_order(_typed(reading), _position)]


def places_m(reading: dict) -> list:
    """The positions of a test in metres, rising, one for each row of `rows_as_typed`."""
    return [pair[0] for pair in in_order(_typed(reading), _position)]


def _typed(reading: dict) -> list:
    table = reading["body"]["table"]
    return [list(pair) for pair in zip(column_numbers(quantity(QUANTITY), table, "position"), table["rows"])]


def _position(row: list) -> float:
    return row[0]


def examined(reading: dict) -> dict:
    """What a test says of its electrode.

    {"why": what it lacks, in words} when nothing can be made of it, else {"ohm" (None when neither method holds), "by": "plateau" | "slope" | "",
    "points", "stake_m", "plateau", "slope", "working", "notes"}.
    """
    stake_m, rows = _stake_m(reading), _rows(reading)
    if stake_m is None:
        return {"why": "needs the distance of the current stake"}
    beyond = [row for row in rows if row[0] >= stake_m]
    if beyond:
        return {
            "why": "a potential stake at "
            + short_text(beyond[0][0])
            + " m stands beyond the current stake at "
            + short_text(stake_m)
            + " m"
        }
    if len(rows) < FEWEST:
        return {"why": "needs readings at three places or more, one of them near 62 % of the distance"}
    points = [[row[0] / stake_m, row[1]] for row in rows]
    found = {"points": points, "stake_m": stake_m, "plateau": plateau(points), "slope": slope(points), "notes": []}
    if len(rows) < BETTER:
        found["notes"].append("Only " + str(len(rows)) + " places were read; six or more show the curve.")
    return _by_method(found)


def _by_method(found: dict) -> dict:
    level, row = found["plateau"], limits.row(FILE, "earth_plateau")
    steps = decimals_of(row["step"])
    if level is not None and to_steps(level["percent"], steps) <= to_steps(float(row["value"]), steps):
        found["by"], found["ohm"] = "plateau", level["ohm"]
        found["working"] = ["by fall of potential on a plateau: " + _level_line(found)]
    elif found["slope"] is not None and found["slope"]["valid"]:
        found["by"], found["ohm"] = "slope", found["slope"]["ohm"]
        lines = slope_lines(found)
        found["working"] = ["by the slope method: " + lines[0]] + lines[1:]
        found["notes"].append("No plateau: the slope method stands in. Confirm it in another direction or at another distance.")
    else:
        found["by"], found["ohm"], found["working"] = "", None, []
    return found


def _level_line(found: dict) -> str:
    place = AT * found["stake_m"]
    return (
        "at 62 % of "
        + short_text(found["stake_m"])
        + " m = "
        + short_text(place)
        + " m it reads "
        + text(found["plateau"]["ohm"], 2)
        + " ohm"
    )


def slope_lines(found: dict) -> list:
    """Working lines of the slope method."""
    held = found["slope"]
    r20, r40, r60 = [short_text(one, 6) for one in held["readings"]]
    lines = [
        "mu = ("
        + r60
        + " - "
        + r40
        + ") / ("
        + r40
        + " - "
        + r20
        + ")"
        + (" = " + text(held["mu"], 3) if held["mu"] is not None else "")
    ]
    if held["valid"]:
        place = held["ratio"] * found["stake_m"]
        lines.append("the true reading lies at " + text(held["ratio"], 3) + " of the distance, " + short_text(place) + " m")
        lines.append("resistance there = " + text(held["ohm"], 2) + " ohm")
    return lines


# ---- the rows that show the test itself


def fall_of_potential(link: dict, site: dict) -> list:
    """Of each side's newest test: the plateau, the slope method, the distance of the current stake. For information; the electrode's row decides."""
    held = newest_at(link)
    checks = []
    for side in ("near", "far"):
        if side in held:
            checks += _of_test(side, held[side]["reading"])
    return checks


def _of_test(side: str, reading: dict) -> list:
    found = examined(reading)
    rows = [_plateau_row(side, reading, found)]
    if "why" not in found:
        rows += _slope_rows(side, reading, found) + [_spacing_row(side, reading, found)]
    return rows


def _plateau_row(side: str, reading: dict, found: dict) -> dict:
    rule, keys, row = "earth_plateau", [["side", side]], limits.row(FILE, "earth_plateau")
    title = "Fall of potential, " + side + " end: plateau around 62 %"
    level = found.get("plateau")
    if level is None:
        words = found.get("why") or "needs readings at or around 52, 62 and 72 % of the distance"
        check = judging.waiting(rule, keys, GROUP, title, FILE, row, required=False, missing=words)
        check["readings"] = [reading["id"]]
        return check
    beside = [text(100.0 * place, 0) + " %: " + text(ohm, 2) + " ohm" for place, ohm in zip(BESIDE, level["beside"])]
    working = [
        _level_line(found),
        "; ".join(beside),
        "larger difference = " + text(level["percent"], 1) + " % of the reading at 62 %",
    ]
    notes = [] if found["by"] == "plateau" else ["No plateau: " + _MOVE + ", or read at 20, 40 and 60 % for the slope method."]
    more = {"working": working, "readings": [reading], "notes": notes + found["notes"], "required": False}
    return judging.by_row(rule, keys, GROUP, title, level["percent"], FILE, row, **more)


def _slope_rows(side: str, reading: dict, found: dict) -> list:
    """The slope method where its three readings were taken, and as what is wanted where there is no plateau."""
    rule, keys, title = "earth_slope", [["side", side]], "Fall of potential, " + side + " end: slope method"
    row = limits.row(FILE, "slope_high")
    source, held = base.source_of(FILE, row), found["slope"]
    if held is None:
        if found["by"] == "plateau":
            return []
        words = "needs readings within 1 % of 20, 40 and 60 % of the distance"
        check = base.not_measured(rule, keys, GROUP, title, source=source, required=False, missing=words)
        check["readings"] = [reading["id"]]
        return [check]
    wanted = "slope coefficient from " + limits.row(FILE, "slope_low")["value"] + " to " + row["value"]
    if held["mu"] is None:
        words, notes = "the readings do not rise", ["No valid curve: " + _MOVE + "."]
    elif held["valid"]:
        words, notes = text(held["ohm"], 1) + " \u03a9, slope coefficient " + text(held["mu"], 3), []
    else:
        words, notes = (
            "slope coefficient " + text(held["mu"], 3),
            ["Beyond its range the method is not carried on: " + _MOVE + "."],
        )
    more = {"working": slope_lines(found), "readings": [reading], "notes": notes, "required": False}
    return [base.statement(rule, keys, GROUP, title, held["valid"], words, wanted, source, **more)]


def _spacing_row(side: str, reading: dict, found: dict) -> dict:
    row, keys = limits.row(FILE, "stake_spacing"), [["side", side]]
    title = "Fall of potential, " + side + " end: distance of the current stake"
    stated = reading["body"].get("electrode_size")
    size_m = typed(stated, "m", "electrode_size") if stated else None
    least, notes = float(row["value"]), []
    working = ["at least " + row["value"] + " m"]
    if size_m is None:
        notes.append("The electrode's largest dimension is not noted: judged by " + row["value"] + " m alone.")
    else:
        least = max(least, float(row["factor"]) * size_m)
        working.append(
            "and " + row["factor"] + " * " + short_text(size_m) + " m = " + short_text(float(row["factor"]) * size_m) + " m"
        )
        if found["stake_m"] < 2.0 * float(row["factor"]) * size_m:
            notes.append("For a group ten times its largest dimension is better.")
    more = {"limit": least, "working": working, "readings": [reading], "notes": notes, "required": False}
    return judging.by_row("stake_spacing", keys, GROUP, title, found["stake_m"], FILE, row, **more)


RULES = [fall_of_potential]
