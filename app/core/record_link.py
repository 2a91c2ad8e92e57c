"""Record sections on what was built: the link, its route, its ends."""

from . import kinds, pictures
from .identifiers import PAIR_WORDS
from .picture_strip import MOST_STATIONS, station_words
from .record_blocks import drawing, filled_table, rows, section, table, text
from .record_power import POWER_FIELDS
from .record_words import NONE, described, field_rows, measure, position_text, shown, side_word, value_of, when

_ON_COVER = ("name", "medium", "near_building", "far_building", "cable", "note")


def link_section(link: dict, names: object) -> dict:
    """The link as specified: kind, limits chosen, cable, and what stands on the labels of cable, pathway and pairs."""
    found = field_rows(link, kinds.LINK, names, _ON_COVER + POWER_FIELDS) + _labels(link, names)
    note = shown(link, described(kinds.LINK, "note"), names)
    return section(
        "link",
        "Link, cable and duct",
        [rows(found) or text(["Nothing more was recorded about the link."]), text([note] if note else [])],
    )


def _labels(link: dict, names: object) -> list:
    """The cable's too, unless it was typed: then it stands among the link's fields."""
    asked = [("Identifier of the pathway", "pathway")]
    if not value_of(link, "label"):
        asked = [("Identifier of the cable", "cable")] + asked
    pairs = [[title, names.identifier(what)] for title, what in asked if names.identifier(what)]
    found = [names.identifier("pair:" + str(number)) for number in range(1, 5)]
    named = [PAIR_WORDS[place] + ": " + found[place] for place in range(4) if found[place]]
    return pairs + ([["Identifiers of the pairs", "\n".join(named)]] if named else [])


def plan_section(book: dict, link: dict) -> dict:
    """The plan drawn to scale, and the places behind it."""
    alternative = (
        "Plan of the route with its buildings and "
        + str(len(link["stations"]))
        + " stations; places are in the tables of stations."
    )
    return section("plan", "Plan", [drawing(pictures.plan(book, link), alternative)])


def stations_section(link: dict, names: object) -> dict:
    """The strip drawings, the schedule of stations, their places, what lies between them."""
    stations = link["stations"]
    if not stations:
        return section("stations", "Stations along the route", [text(["No station was recorded along the route."])])
    blocks = []
    for first in range(0, len(stations), MOST_STATIONS):
        last = min(first + MOST_STATIONS, len(stations))
        alternative = "Strip of stations " + str(first + 1) + " to " + str(last) + ", as in the table below."
        blocks.append(drawing(pictures.strip(link, first), alternative))
    return section(
        "stations", "Stations along the route", blocks + [_schedule(link, names), _places(link, names), _spans(link, names)]
    )


_SCHEDULE_HEAD = ["No.", "Station", "Chainage", "Taken by", "Sheath mark", "Depth of cover", "Duct", "Bend", "Notes"]


def _schedule(link: dict, names: object) -> dict | None:
    body = []
    for index in range(len(link["stations"])):
        station = link["stations"][index]
        held = station["chainage"]
        origin = {"typed": "tape or wheel", "marks": "sheath marks"}.get(held["from"], "") if held else ""
        body.append(
            [
                str(index + 1),
                names.labelled(station_words(index + 1, station)[len(str(index + 1)) + 1 :], "station:" + station["subject"]),
                measure(held),
                origin,
                measure(station["mark"]),
                shown(station, described(kinds.STATION, "depth"), names),
                shown(station, described(kinds.STATION, "duct"), names),
                _bend(station, names),
                _station_notes(station, link, names),
            ]
        )
    return filled_table(_SCHEDULE_HEAD, "rlrlrrlll", body)


def _bend(station: dict, names: object) -> str:
    radius = shown(station, described(kinds.STATION, "bend_radius"), names)
    state = shown(station, described(kinds.STATION, "bend_state"), names)
    return ", ".join([part for part in (radius, state[:1].lower() + state[1:]) if part])


def _station_notes(station: dict, link: dict, names: object) -> str:
    parts = []
    method = shown(station, described(kinds.STATION, "depth_method"), names)
    if method:
        parts.append("Depth taken: " + method)
    note = shown(station, described(kinds.STATION, "note"), names)
    if note:
        parts.append(note)
    for held in station["notes"]:
        parts.append(held["text"] + " (" + held["by"] + ", " + when(held["at"]) + ")")
    return "\n".join(parts)


def _places(link: dict, names: object) -> dict | None:
    body = []
    for index in range(len(link["stations"])):
        station = link["stations"][index]
        position = shown(station, described(kinds.STATION, "position"), names)
        ties = shown(station, described(kinds.STATION, "ties"), names)
        side = shown(station, described(kinds.STATION, "tie_side"), names)
        if ties and side:
            ties += "; seen from the first corner to the second it lies " + side.lower()
        if position or ties:
            body.append([str(index + 1), station_words(index + 1, station)[len(str(index + 1)) + 1 :], position, ties])
    return filled_table(["No.", "Station", "Position, WGS84", "Taped ties"], "rlll", body)


def _spans(link: dict, names: object) -> dict | None:
    body = []
    for span in link["spans"]:
        if span["length"] or span["cable"]:
            body.append([names.of(span["from"]) + " to " + names.of(span["to"]), measure(span["length"]), measure(span["cable"])])
    return table(["Between", "Along the route", "Cable by its marks"], "lrr", body)


_LABELS_OF_AN_END = (
    ("building", "building"),
    ("room or space", "space"),
    ("socket or panel", "panel"),
    ("port", "port"),
    ("bonding bar", "bar"),
)


def ends_section(link: dict, names: object) -> dict:
    """Both ends side by side: what is there, then what stands on its labels."""
    body = []
    for description in kinds.END:
        near, far = shown(link["ends"]["near"], description, names), shown(link["ends"]["far"], description, names)
        if near or far:
            body.append([description["label"], near or NONE, far or NONE])
    for title, what in _LABELS_OF_AN_END:
        near, far = names.identifier(what + ":near"), names.identifier(what + ":far")
        if near or far:
            body.append(["Identifier of the " + title, near or NONE, far or NONE])
    found = table(["At the", "Near end", "Far end"], "lll", body)
    return section("ends", "Ends and terminations", [found or text(["Nothing was recorded about the two ends."])])


def photos_section(link: dict, names: object) -> dict | None:
    """Photos by number with what they show and where, and whether they came after signing; None without photos."""
    after = link["seals"][-1]["after"] if link["seals"] else []
    items = []
    for photo in link["photos"]:
        place = names.of(photo["of"]) if photo["of"] else "The link"
        words = "Photo " + str(len(items) + 1) + ", " + place + _taken(photo)
        items.append({"sha256": photo["sha256"], "caption": words + (" Not under the seal: it came after." if photo["id"] in after else "")})
    return section("photos", "Photos", [{"form": "photos", "items": items}]) if items else None


def _taken(photo: dict) -> str:
    """': what it shows. Taken when by whom at where.'"""
    words = ": " + photo["caption"] if photo["caption"] else ""
    words += (" " if words[-1:] in (".", "!", "?") else ". ") + "Taken " + when(photo["taken"] or photo["at"]) + " by " + photo["by"]
    return words + (" at " + position_text(photo["position"]) if photo["position"] else "") + "."


def site_section(photos: list, notes: list, names: object) -> dict | None:
    """Photos and notes of the site that name no link: no seal of a link covers them. None without any."""
    items = []
    for photo in photos:
        place = names.of(photo["of"]) if names.knows(photo["of"]) else "The site"
        items.append({"sha256": photo["sha256"], "caption": place + _taken(photo)})
    body = [[_about_site(note, names), note["text"], note["by"], when(note["at"])] for note in notes]
    if not items and not body:
        return None
    said = text(["These belong to the site and not to one of its links: the signatures of this record do not cover them."])
    shown = {"form": "photos", "items": items} if items else None
    return section("site", "Of the site, not under the seal", [said, shown, table(["About", "Note", "By", "At"], "llll", body)])


def _about_site(note: dict, names: object) -> str:
    return names.of(note["of"]) if names.knows(note["of"]) else "The site"


def notes_section(link: dict, names: object) -> dict | None:
    """Notes about the link and its ends; those of a station stand in the schedule. None without such notes."""
    stations = [station["subject"] for station in link["stations"]]
    body = []
    for note in link["notes"]:
        if note["of"] not in stations:
            body.append([names.of(note["of"]) if note["of"] else "The link", note["text"], note["by"], when(note["at"])])
    found = table(["About", "Note", "By", "At"], "llll", body)
    return section("notes", "Notes", [found]) if found else None


def identity(book: dict, link: dict, names: object) -> list:
    """Who, where, what: the head of the record."""
    site = book["site"]
    found = []
    for name in ("name", "client", "place", "address", "job", "installer"):
        found.append(described(kinds.SITE, name))
    pairs = field_rows(site, found, names)
    for name in ("name", "medium", "cable"):
        pairs += field_rows(link, [described(kinds.LINK, name)], names)
    for side, field in (("near", "near_building"), ("far", "far_building")):
        place = shown(link, described(kinds.LINK, field), names)
        end = link["ends"][side]
        parts = [place] + [str(value_of(end, name) or "") for name in ("panel", "port")]
        pairs.append([side_word(side), ", ".join([part for part in parts if part]) or NONE])
    days = [reading["at"][:10] for reading in link["readings"] if not reading["voided"]]
    if days:
        pairs.append(["Measured", min(days) + (" to " + max(days) if max(days) != min(days) else "")])
    note = shown(site, described(kinds.SITE, "note"), names)
    return pairs + ([["Note", note]] if note else [])
