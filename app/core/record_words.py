"""Fields, readings and moments of a link as final texts for the commissioning record."""

from . import draw, kinds, limits, moments, own_limits
from .checks.base import SEEN_WORDS, VERDICT_WORDS, source_text
from .marks import trace_words
from .numbers import clean_decimal
from .picture_strip import station_words
from .quantities import quantity
from .units_words import unit_word

NONE = "\u2013"
_SIDE_WORDS = {word: label for word, label in kinds.SIDES}
_POSITION_SOURCES = {"gnss": "satellite", "tape": "taped", "map": "from a map", "estimate": "estimated"}


def verdict_word(verdict: str) -> str:
    """'Passes', 'Fails within uncertainty' ..."""
    return VERDICT_WORDS.get(verdict, verdict)


def source_words(source: dict | None) -> str:
    """Document, edition, clause, and how it was seen."""
    return source_text(source) or NONE


def seen_rows(used: list) -> list:
    """[how a limit was seen, what that means] for the ways that are used."""
    rows = []
    for seen in ("2+", "1", "memory", "practice", "typed"):
        if seen in used:
            rows.append([SEEN_WORDS[seen][:1].upper() + SEEN_WORDS[seen][1:], _SEEN_MEANS[seen]])
    return rows


_SEEN_MEANS = {
    "2+": "The figure stands alike in at least two independent public places; the standard itself was not at hand.",
    "1": "The figure stands in one public place; the standard itself was not at hand.",
    "memory": "The figure was written down from memory. Read it in your own copy of the standard before leaning on it.",
    "practice": "No published source: what the trade commonly does.",
    "typed": "The installer typed the figure and where it is written.",
}


def typed_text(value: dict) -> str:
    """A typed value with its unit: '0.42 dB'."""
    return (clean_decimal(value["value"]) + " " + unit_word(value["unit"])).strip(" \n\r\t")


def measure(held: dict | None) -> str:
    """A number of a check with its unit, or a dash."""
    return (held["text"] + " " + held["unit"]).strip(" \n\r\t") if held else NONE


class Names:
    """What things are called in the record: buildings, corners, stations with their number, bonds, protectors, loads, ends.

    identifiers: {what: text} of the link's labels, as far as they are known.
    """

    def __init__(self, book: dict, link: dict, identifiers: dict | None = None):
        self.medium = link["medium"]
        self._identifiers = identifiers or {}
        self._held = {link["id"]: "The link", link["id"] + ":near": "Near end", link["id"] + ":far": "Far end"}
        for thing in book["buildings"] + book["corners"] + link["bonds"] + link["protectors"] + link["loads"]:
            self._held[thing["subject"]] = str(value_of(thing, "name") or "unnamed")
        for index in range(len(link["stations"])):
            self._held[link["stations"][index]["subject"]] = station_words(index + 1, link["stations"][index])

    def identifier(self, what: str) -> str:
        """The identifier on a label, such as of 'port:near' or 'strand:1'; '' where there is none."""
        return self._identifiers.get(what, "")

    def labelled(self, name: str, what: str) -> str:
        """A name with the identifier on its label in a line below, where it has one."""
        label = self.identifier(what)
        return name + ("\n" + label if label and label != name else "")

    def knows(self, subject: object) -> bool:
        """Is there a name for this subject."""
        return bool(subject) and subject in self._held

    def of(self, subject: object) -> str:
        """The name of a subject; a dash for none, 'something not in this link' for what is unknown here."""
        if not subject:
            return NONE
        return self._held.get(subject, "something not in this link")


def value_of(thing: dict, name: str) -> object:
    """The value of a field, or None."""
    held = thing["fields"].get(name)
    return held["value"] if held else None


def shown(thing: dict, description: dict, names: Names) -> str:
    """A field as text, with every other value that still stands beside it; '' when it was never set."""
    held = thing["fields"].get(description["name"])
    if not held:
        return ""
    words = "" if held["value"] is None else field_text(description, held["value"], names)
    for other in held["also"]:
        said = "cleared" if other["value"] is None else field_text(description, other["value"], names)
        words += " [not settled, also: " + said + " by " + str(other.get("by", "")) + "]"
    return words.strip(" \n\r\t")


def field_text(description: dict, value: object, names: Names) -> str:
    """One value of a field as text, by the field's type."""
    kind = description["type"]
    if kind == "word":
        return _word(description, value, names)
    if kind == "quantity":
        return typed_text(value)
    if kind in ("decimal", "count"):
        return clean_decimal(value)
    if kind == "position":
        return position_text(value)
    if kind == "ties":
        return "; ".join([typed_text(tie["distance"]) + " from " + names.of(tie["corner"]) for tie in value])
    if kind == "reference":
        return names.of(value)
    return str(value)


def _word(description: dict, value: object, names: Names) -> str:
    words = description.get("words")
    if words is None:
        words = _words_from(description.get("words_from"), names.medium)
    for word, label in words:
        if word == value:
            return label
    return str(value)


def _words_from(what: str, medium: str) -> list:
    if what == "limit_sets":
        return limits.sets(medium)
    if what == "burial_rules":
        return limits.burial_rules()
    if what == "electrode_references":
        return limits.electrode_references()
    if what == "own_limits":
        return own_limits.WORDS
    return limits.applications()


def position_source(source: str) -> str:
    """Where a position is from, in words."""
    return _POSITION_SOURCES.get(source, str(source))


def position_text(position: dict) -> str:
    """Latitude, longitude, how good, and where from."""
    words = clean_decimal(position["lat"]) + ", " + clean_decimal(position["lon"])
    if position.get("accuracy") not in (None, ""):
        words += " \u00b1 " + clean_decimal(position["accuracy"]) + " m"
    origin = [_POSITION_SOURCES.get(position.get("source"), str(position.get("source") or ""))]
    if position.get("fixes"):
        origin.append(str(position["fixes"]) + " fixes")
    origin = ", ".join([part for part in origin if part])
    return words + (" (" + origin + ")" if origin else "")


def field_rows(thing: dict, descriptions: list, names: Names, leave_out: tuple = ()) -> list:
    """[label, text] of every field that is set."""
    rows = []
    for description in descriptions:
        words = "" if description["name"] in leave_out else shown(thing, description, names)
        if words:
            rows.append([description["label"], words])
    return rows


def described(descriptions: list, name: str) -> dict:
    """The description of a field by its name."""
    for description in descriptions:
        if description["name"] == name:
            return description
    raise KeyError(name)


def side_word(side: object) -> str:
    """'Near end' or 'Far end'."""
    return _SIDE_WORDS.get(side, str(side or NONE))


def when(text: object) -> str:
    """A moment as people read it; what is no moment stays as it came."""
    return moments.shown(text) or str(text or NONE)


_FIGURE_WORDS = (
    ("temperature", "at "),
    ("shown_margin", "instrument shows margin "),
    ("duration", "for "),
    ("current_stake", "current stake at "),
    ("electrode_size", "largest dimension of the electrode "),
    ("stray_voltage", "stray voltage "),
    ("electrodes", "electrodes joined: "),
    ("launch_cord", "launch cord "),
    ("tail_cord", "tail cord "),
    ("pulse_width", "pulse "),
    ("set_index", "group index set "),
)


def figures(body: dict) -> list:
    """The figures typed beside a reading, each with what it is: 'current stake at 40 m'."""
    return [before + typed_text(body[name]) for name, before in _FIGURE_WORDS if body.get(name)]


def reading_title(body: dict, names: Names) -> str:
    """What was measured and where: 'Loss, strand 1, 1310 nm, near to far'."""
    about = quantity(body["quantity"])
    parts = [about["title"] if about else str(body["quantity"])]
    if body["quantity"] == "sweep":
        return parts[0] + ": " + trace_words(body) + (", from S-parameters" if body.get("origin") else "")
    if body.get("side"):
        parts.append(side_word(body["side"]).lower())
    if body.get("of"):
        parts.append(names.of(body["of"]))
    for name, before, after in (
        ("strand", "strand ", ""),
        ("pair", "pair ", ""),
        ("pair2", "to pair ", ""),
        ("wavelength", "", " nm"),
    ):
        if body.get(name):
            parts.append(before + str(body[name]) + after)
    if body.get("direction"):
        parts.append({"near_to_far": "near to far", "far_to_near": "far to near"}.get(body["direction"], str(body["direction"])))
    if body.get("frequency"):
        parts.append("at " + typed_text(body["frequency"]))
    return ", ".join(parts)


def reading_value(reading: dict) -> str:
    """What was read; answers by their words, end faces by counts in each zone."""
    body = reading["body"]
    about = quantity(body["quantity"]) or {}
    if body.get("answer"):
        for word, label in about.get("answers", []):
            if word == body["answer"]:
                return label
    if body.get("counts"):
        return _counts(body["counts"])
    if body.get("map"):
        split = {"yes": ", split pair found", "no": ", no split pair", "not_tested": ", split pairs not tested"}.get(
            body.get("split"), ""
        )
        return "pins 1 to 8 reach " + " ".join(list(body["map"])) + split
    return reading["text"]


def _counts(counts: dict) -> str:
    parts = []
    for zone in sorted(counts):
        found = [
            name.replace("_", " ") + " " + str(counts[zone][name])
            for name in sorted(counts[zone])
            if counts[zone][name] not in (None, "")
        ]
        parts.append("zone " + zone + ": " + (", ".join(found) or "nothing entered"))
    return "; ".join(parts)


def cleaned(value: object) -> object:
    """The whole model with every text harmless and lines ended alike. A drawing's text is so already: `draw` escapes what it is given."""
    if isinstance(value, str):
        return value if draw.is_plain(value) else draw.clean(value).replace("\r\n", "\n").replace("\r", "\n")
    if isinstance(value, list):
        return [cleaned(item) for item in value]
    if isinstance(value, dict):
        drawing = value.get("form") == "svg"
        return {key: value[key] if drawing and key == "text" else cleaned(value[key]) for key in value}
    return value
