"""Cable and route: length by sheath marks, marks that run one way, bends, depth of cover."""

from .. import limits
from ..errors import Refused
from ..numbers import parse_decimal, short_text, text
from ..optics import ETHERNET
from ..plant import backwards
from . import base, judging, lengths, own

GROUP = "route"


def route_ends(link: dict, book: dict) -> list:
    """The route runs from building entry to building entry: until then no length of it is the whole one."""
    title, wanted = "Route from entry to entry", "a building entry at both ends"
    gap = lengths.route_gap(link)
    if gap:
        return [base.not_measured("route_ends", [], GROUP, title, missing=gap)]
    entries = [station for station in link["stations"] if station["type"] == "building_entry"]
    found = lengths.bare_name(entries[0]) + " to " + lengths.bare_name(entries[-1])
    source = base.practice_source("the whole run recorded")
    return [base.statement("route_ends", [], GROUP, title, True, found, wanted, source)]


def cable_length(link: dict, book: dict) -> list:
    """Cable length by its marks against what the medium allows: 90 or 100 m of copper, the application's reach on fibre."""
    if link["medium"] == "copper":
        return [_copper_length(link)]
    return [_fibre_length(link)] if link["medium"] == "fibre" else []


_LENGTH = "Cable length by its sheath marks"
_NO_MARKS = "needs sheath marks at two stations or more"


def _copper_length(link: dict) -> dict:
    setup = base.field(link, "setup")
    if setup is None and own.held_for("cable_length"):
        return _by_own_length(link)
    if setup is None:
        return base.not_measured("cable_length", [], GROUP, _LENGTH, missing="choose what is tested, channel or permanent link")
    row = limits.row("lengths", "copper:" + setup)
    source = limits.source("lengths", row)
    found = lengths.sheath(link)
    if found is None:
        return base.not_measured("cable_length", [], GROUP, _LENGTH, None, row["value"], "m", "max", source, missing=_NO_MARKS)
    return _length_row(found, row["value"], source, found["working"])


def _fibre_length(link: dict) -> dict:
    application, fibre = base.field(link, "application"), base.field(link, "fibre")
    if (application is None or fibre is None) and own.held_for("cable_length"):
        return _by_own_length(link)
    if application is None or fibre is None:
        missing = "choose the fibre and what it must carry"
        return base.not_measured("cable_length", [], GROUP, _LENGTH, required=False, missing=missing)
    rows = limits.rows(ETHERNET, kind="fit", application=application, fibre=fibre)
    if not rows or rows[0].get("reach") is None:
        found_text = application + " has no reach on " + fibre
        return base.statement("cable_length", [], GROUP, _LENGTH, False, found_text, "an application made for this fibre", None)
    row = rows[0]
    source = limits.source(ETHERNET, row)
    source["seen"] = row["reach_seen"]
    found = lengths.sheath(link)
    if found is None:
        return base.not_measured("cable_length", [], GROUP, _LENGTH, None, row["reach"], "m", "max", source, missing=_NO_MARKS)
    working = found["working"] + ["reach of " + application + " on " + fibre + " = " + row["reach"] + " m"]
    return _length_row(found, row["reach"], source, working)


def _by_own_length(link: dict) -> dict:
    """Judged by the limit typed for this link alone."""
    found = lengths.sheath(link)
    more = {"working": found["working"], "notes": found["notes"]} if found else {"missing": _NO_MARKS}
    return judging.by_own("cable_length", [], GROUP, _LENGTH, found["m"] if found else None, "m", 1, "max", **more)


def _length_row(found: dict, limit: str, source: dict, working: list) -> dict:
    limit_m, notes = parse_decimal(limit), found["notes"]
    return base.judge("cable_length", [], GROUP, _LENGTH, found["m"], limit_m, "m", 1, "max", source, working, notes=notes)


def length_agreement(link: dict, book: dict) -> list:
    """Length by marks against length by instrument: a warning of a wrong mark, index, velocity, or slack that is not recorded."""
    found = lengths.sheath(link)
    rows = lengths.instrument_rows(link)
    if found is None or found["m"] == 0:
        return []
    if not rows:
        missing, form = "needs the length shown by an instrument", {"quantity": "instrument_length"}
        return [base.not_measured("length_agreement", [], GROUP, _AGREEMENT, form, required=False, missing=missing)]
    compare = _fibre_agreement if link["medium"] == "fibre" else _copper_agreement
    return [compare(found, row) for row in rows]


_AGREEMENT = "Sheath length against instrument length"


def _agreement_keys(row: dict) -> list:
    return [[name, row["keys"][name]] for name in ("pair", "strand") if row["keys"][name]]


def _agreement_title(row: dict) -> str:
    return _AGREEMENT + "".join([", " + name + " " + value for name, value in _agreement_keys(row)])


def _fibre_agreement(found: dict, row: dict) -> dict:
    shown_m = base.reading_number(row["reading"], "m")
    percent = (shown_m / found["m"] - 1.0) * 100.0
    limit = lengths.excess_row(percent)
    working = found["working"] + [
        "fibre over sheath = " + text(shown_m, 2) + " / " + text(found["m"], 2) + " - 1 = " + text(percent, 2) + " percent"
    ]
    notes = ["Outside -0.5 to +6 percent: a wrong mark, a wrong group index, or slack that is not recorded."]
    source = limits.source("lengths", limit)
    check = base.judge(
        "length_agreement",
        _agreement_keys(row),
        GROUP,
        _agreement_title(row),
        percent,
        parse_decimal(limit["value"]),
        "percent",
        1,
        limit["sense"],
        source,
        working,
        [row["reading"]],
        uncertainty=_percent_unsure(row["reading"], found["m"]),
        required=False,
    )
    check["notes"] = (notes if check["verdict"] in base.FAILING else []) + found["notes"]
    return check


def _percent_unsure(reading: dict, sheath_m: float) -> float | None:
    stated = base.reading_uncertainty(reading, "m")
    return None if stated is None else stated / sheath_m * 100.0


def _copper_agreement(found: dict, row: dict) -> dict:
    shown_m = base.reading_number(row["reading"], "m")
    share, least = limits.row("lengths", "copper_difference:share"), limits.row("lengths", "copper_difference:least")
    allowed_m = max(parse_decimal(least["value"]), found["m"] * parse_decimal(share["value"]) / 100.0)
    working = found["working"] + [
        "difference = |" + text(shown_m, 1) + " - " + text(found["m"], 1) + "| = " + text(abs(shown_m - found["m"]), 1) + " m",
        "allowed = the larger of " + least["value"] + " m and " + share["value"] + " percent = " + text(allowed_m, 1) + " m",
    ]
    return base.judge(
        "length_agreement",
        _agreement_keys(row),
        GROUP,
        _agreement_title(row),
        abs(shown_m - found["m"]),
        allowed_m,
        "m",
        1,
        "max",
        limits.source("lengths", share),
        working,
        [row["reading"]],
        uncertainty=base.reading_uncertainty(row["reading"], "m"),
        notes=found["notes"],
        required=False,
    )


def marks_one_way(link: dict, book: dict) -> list:
    """Sheath marks that run backwards along the order of stations: a mark misread, a station out of order, or another reel."""
    marks, owners = [], []
    for station in link["stations"]:
        for name in ("mark", "mark_out"):
            mark = base.decimal(station, name)
            if mark is not None:
                marks.append(mark)
                owners.append(station)
    if len(marks) < 3:
        return []
    back = backwards(marks)
    working = ["marks in route order: " + ", ".join([short_text(mark, 8) for mark in marks])]
    if back:
        places = ", ".join([short_text(marks[index], 8) + " (" + lengths.station_name(owners[index]) + ")" for index in back])
        words = "marks turn back at " + places
    else:
        words = "all " + str(len(marks)) + " marks run one way"
    return [
        base.statement(
            "marks_one_way",
            [],
            GROUP,
            "Sheath marks run one way",
            not back,
            words,
            "one direction on one piece of cable",
            base.practice_source("printed marks count one way"),
            working,
        )
    ]


def bend_radius(link: dict, book: dict) -> list:
    """Radius of every recorded bend against the multiple of the cable's outside diameter that its medium and state ask for."""
    return [_bend(link, station) for station in link["stations"] if base.number(station, "bend_radius", "mm") is not None]


def _bend(link: dict, station: dict) -> dict:
    state = base.field(station, "bend_state") or "rest"
    keys, title = [["station", station["subject"]]], "Bend radius, " + lengths.station_name(station)
    row = limits.row("bending", str(link["medium"]) + ":" + state)
    source = limits.source("bending", row)
    diameter_mm = base.number(link, "outside_diameter", "mm")
    radius_mm = base.number(station, "bend_radius", "mm")
    if diameter_mm is None and own.held_for("bend_radius"):
        return judging.by_own("bend_radius", keys, GROUP, title, radius_mm, "mm", 1, "min")
    if diameter_mm is None:
        return base.not_measured("bend_radius", keys, GROUP, title, source=source, missing="needs the cable's outside diameter")
    limit_mm = parse_decimal(row["value"]) * diameter_mm
    working = [
        "least radius = "
        + row["value"]
        + " x "
        + short_text(diameter_mm)
        + " mm = "
        + text(limit_mm, 1)
        + " mm, "
        + _STATES[state]
    ]
    notes = [] if base.field(station, "bend_state") else ["Taken as at rest."]
    notes.append("The cable's data sheet overrides this multiple.")
    return base.judge("bend_radius", keys, GROUP, title, radius_mm, limit_mm, "mm", 1, "min", source, working, notes=notes)


_STATES = {"rest": "at rest", "load": "under pulling load"}


def burial_depth(link: dict, book: dict) -> list:
    """Depth of cover at every station that has one, against the chosen rule or the project's own least depth."""
    deep = [station for station in link["stations"] if base.number(station, "depth", "mm") is not None]
    buried = base.field(link, "laying") in ("duct", "direct")
    if not deep and not buried:
        return []
    limit_mm, source, words = _depth_limit(link)
    if not deep:
        limit_text = "" if limit_mm is None else text(limit_mm, 0)
        missing = "no station has its depth of cover yet"
        return [
            base.not_measured("burial_depth", [], GROUP, "Depth of cover", None, limit_text, "mm", "min", source, missing=missing)
        ]
    published = _published_depth(link)
    return [_depth(station, limit_mm, source, words, published) for station in deep]


def _depth_limit(link: dict) -> tuple:
    """(least depth mm, source, words for the working); (None, None, reason) when there is none to judge by."""
    own_mm = base.number(link, "project_depth", "mm")
    if own_mm is not None:
        written = base.field(link, "project_depth_source") or "Project's own least depth"
        return own_mm, base.typed_source(written), "project's own least depth"
    return _chosen_depth(link)


def _published_depth(link: dict) -> dict | None:
    """The rule that the project's own least depth stands in for, where one is chosen."""
    limit_mm, source, _ = _chosen_depth(link)
    own_set = base.number(link, "project_depth", "mm") is not None
    return {"limit": limit_mm, "source": source} if own_set and limit_mm is not None else None


def _chosen_depth(link: dict) -> tuple:
    rule = base.field(link, "burial_rule")
    if rule is None:
        return None, None, "choose the rule that depth is judged by"
    try:
        file_id, row = limits.chosen("burial_rule", rule)
    except Refused:
        return None, None, "this version does not know the chosen rule " + rule
    return parse_decimal(row["value"]), limits.source(file_id, row), row["label"]


def _depth(station: dict, limit_mm: float | None, source: dict | None, words: str, published: dict | None) -> dict:
    keys, title = [["station", station["subject"]]], "Depth of cover, " + lengths.station_name(station)
    if limit_mm is None:
        return base.not_measured("burial_depth", keys, GROUP, title, missing=words)
    depth_mm = base.number(station, "depth", "mm")
    working = ["least depth = " + text(limit_mm, 0) + " mm, " + words]
    notes = ["Local code decides; frost depth is another matter."]
    more = {"notes": notes, "published": published}
    return base.judge("burial_depth", keys, GROUP, title, depth_mm, limit_mm, "mm", 0, "min", source, working, **more)


RULES = [route_ends, cable_length, length_agreement, marks_one_way, bend_radius, burial_depth]
