"""The schedule of stations and the checks of a link as tables for a spreadsheet, a row each."""

from . import kinds
from .checks.base import field
from .handover_text import csv
from .numbers import clean_decimal, text
from .picture_strip import station_words
from .record_words import described, field_text
from .textform import dumps

_STATION_HEAD = (
    "number,station,type,name,chainage_m,chainage_from,mark,mark_out,mark_unit,depth,depth_unit,depth_method,duct,bend_radius,"
    "bend_radius_unit,bend_state,latitude,longitude,accuracy_m,position_source,ties,tie_side,note,notes,photos,not_settled,id"
).split(",")


def stations_csv(link: dict, held: dict, names: object) -> str:
    """Every station in order along the route. held: `handover_places.places`; names: what things are called."""
    placed = {place["subject"]: place for place in held["stations"]}
    rows = []
    for index in range(len(link["stations"])):
        station = link["stations"][index]
        row = [index + 1, station_words(index + 1, station), station["type"], field(station, "name")]
        row += _along(station, link["mark_unit"]) + _typed_pair(station, "depth") + [field(station, "depth_method")]
        row += [field(station, "duct")] + _typed_pair(station, "bend_radius") + [field(station, "bend_state")]
        row += _place(placed.get(station["subject"])) + _tied(station, names) + [field(station, "note")]
        row += _said(station) + [" ".join(_unsettled(station)), station["subject"]]
        rows.append(row)
    return csv(_STATION_HEAD, rows)


def _along(station: dict, unit: str) -> list:
    held = station["chainage"]
    found = [held["text"], held["from"]] if held else [None, None]
    for name in ("mark", "mark_out"):
        typed = field(station, name)
        found.append(None if typed in (None, "") else clean_decimal(typed))
    return found + [unit if station["mark"] else None]


def _typed_pair(thing: dict, name: str) -> list:
    value = field(thing, name)
    return pair_of(value)


def pair_of(value: dict | None) -> list:
    """A typed value -> [number with a point, unit], or two empty cells."""
    return [clean_decimal(value["value"]), value["unit"]] if value else [None, None]


def _place(place: dict | None) -> list:
    if place is None:
        return [None, None, None, None]
    about = {key: value for key, value in place["properties"]}
    accuracy = about.get("accuracy_m")
    return [
        text(place["lat"], 7),
        text(place["lon"], 7),
        None if accuracy is None else dumps(accuracy),
        about.get("source"),
    ]


def _tied(station: dict, names: object) -> list:
    ties = field(station, "ties")
    found = field_text(described(kinds.STATION, "ties"), ties, names) if ties else None
    return [found, field(station, "tie_side")]


def _said(station: dict) -> list:
    """Notes taken at a station, and the hashes of its photos."""
    notes = "\n".join([note["text"] + " (" + note["by"] + ")" for note in station["notes"]])
    return [notes, " ".join([photo["sha256"] for photo in station["photos"]])]


def _unsettled(thing: dict) -> list:
    """Fields in which two values stand that nobody has settled; the newer one is in the row."""
    return [name for name in sorted(thing["fields"]) if thing["fields"][name]["also"]]


_CHECK_HEAD = (
    "id,title,group,required,verdict,measured,unit,limit,limit_unit,sense,margin,margin_unit,uncertainty,uncertainty_unit,decision,"
    "source,seen,deviation,deviation_by,deviation_at,readings"
).split(",")


def checks_csv(checks: list) -> str:
    """Every check with what was measured, its limit, where that is from and how it was seen, and the deviation that was accepted."""
    rows = []
    for check in checks:
        row = [check["id"], check["title"], check["group"], "yes" if check["required"] else "no", check["verdict"]]
        row += _number(check["measured"]) + _number(check["limit"]) + [(check["limit"] or {}).get("sense")]
        row += _number(check["margin"]) + _number(check["uncertainty"]) + [check["decision"]]
        row += [check["source"]["text"], check["source"]["seen"]] if check["source"] else [None, None]
        deviation = check["deviation"] or {}
        row += [deviation.get("reason"), deviation.get("name"), deviation.get("at"), " ".join(check["readings"])]
        rows.append(row)
    return csv(_CHECK_HEAD, rows)


def _number(held: dict | None) -> list:
    return [held["text"], held["unit"]] if held else [None, None]
