"""The default identifiers of a whole book, worked out at once, since each has to differ from all others.

By the scheme of ANSI/TIA-606 for several buildings: a space is building-room (B1-1A), a panel and its port follow (B1-1A-A01), a cable between
buildings names both ends and a running number (B1-1A/B2-1A-1), each of its fibres or pairs follows after a point (.1). Those forms are from
memory; the names of the bonding bars (PBB, in the first room of a building; SBB) were seen in one public place. The short words for what lies
along the route (HH, CL, MK, BP), for pathway (P), bonding conductor (BC) and surge protector (SP) are our own.

What is recorded comes first (a building's code, a room, a panel's or port's short name); what is not is counted in the order in which it was
written down, taken-off things included, so that a later entry does not move a number that is on a label already.
"""

from .checks.base import field
from .identifier_kinds import SIDES, folded
from .identifier_panels import DIGITS, Panels, has_digit, is_code, is_short
from .numbers import trimmed
from .ordering import in_order

ROOM = "1A"
ALONG = {"handhole": "HH", "closure": "CL", "marker": "MK", "bond": "BP"}


class Scheme:
    """After making: `default` and `value` by (link, what), `typed` likewise, `same` the key of the real thing that an identifier is of."""

    def __init__(self, book: object):
        self.book = book
        self.links = _by_age(book, "link")
        self.typed = _typed(book, self.links)
        self.default = {}
        self.value = {}
        self.same = {}
        self.code, self.code_default = building_codes(_by_age(book, "building"))
        self._owners = {}
        for key in self.typed:
            self._owners.setdefault(folded(self.typed[key]), []).append(key)
        self._given = set()
        self._counts = {}
        self._main_rooms = {}
        self._panels = Panels()
        for link in self.links:
            for side in SIDES:
                self._place(link, side)
        self._shared = self._typed_for_shared()
        for link in self.links:
            self._link(link)

    def recorded(self, link: dict, side: str, name: str) -> str:
        """A text of an end, without blanks around it."""
        end = self.book.things.get("end", {}).get(link["subject"] + ":" + side)
        return trimmed((field(end, name) if end else "") or "")

    def building(self, link: dict, side: str) -> str:
        """The subject of the building at an end, or nothing."""
        return field(link, side + "_building") or ""

    def _place(self, link: dict, side: str) -> None:
        """In which room an end is, on which panel, beside which bonding bar."""
        subject, building = link["subject"], self.building(link, side)
        room = self.recorded(link, side, "space") or ROOM
        space = "space " + building + " " + folded(room)
        self.put((subject, "space:" + side), self.code.get(building, "B0") + "-" + room, space)
        name, port = self.recorded(link, side, "panel"), self.recorded(link, side, "port")
        self.same[(subject, "panel:" + side)] = self._panels.record(space, subject + ":" + side, name, port)
        self.same[(subject, "bar:" + side)] = "bar " + space
        self._main_rooms.setdefault(building, space)

    def _typed_for_shared(self) -> dict:
        """What was typed for a panel or bar: {the real thing: [[key, text]...]}, oldest link first."""
        found = {}
        for link in self.links:
            for what in ("panel:near", "panel:far", "bar:near", "bar:far"):
                key = (link["subject"], what)
                if key in self.typed:
                    found.setdefault(self.same[key], []).append([key, self.typed[key]])
        return found

    def _typed_elsewhere(self, key: tuple) -> str:
        """What was typed for the same panel or bar on another link: it is the default here."""
        for other, text in self._shared.get(self.same[key], []):
            if other != key:
                return text
        return ""

    def _link(self, link: dict) -> None:
        subject = link["subject"]
        near, far = [self.value[(subject, "space:" + side)] for side in SIDES]
        # Cables between the same two rooms are counted together, whichever of the two was called the near end.
        pair = min(folded(near), folded(far)) + " " + max(folded(near), folded(far))
        self._counted((subject, "cable"), near + "/" + far + "-", "cable " + subject, "cable " + pair)
        self._counted((subject, "pathway"), near + "/" + far + "-P", "pathway " + subject, "pathway " + pair)
        for side in SIDES:
            self._end(link, side)
        for kind, sign in (("bond", "-BC"), ("protector", "-SP")):
            for thing in _by_age(self.book, kind, subject):
                space = self.value[(subject, "space:" + ("far" if field(thing, "side") == "far" else "near"))]
                self._counted((subject, kind + ":" + thing["subject"]), space + sign, kind + " " + thing["subject"])
        for station in _by_age(self.book, "station", subject):
            self._station((subject, "station:" + station["subject"]), station)

    def _end(self, link: dict, side: str) -> None:
        subject = link["subject"]
        space, room = self.value[(subject, "space:" + side)], self.same[(subject, "space:" + side)]
        key = (subject, "panel:" + side)
        panel = self.same[key]
        value = self.put(key, self._typed_elsewhere(key) or space + "-" + self._panels.code(room, panel), panel)
        port = self._panels.port_code(room, panel, self.recorded(link, side, "port"))
        joint = "" if port[:1] in DIGITS and value[-1:] not in DIGITS else "-"
        self.put((subject, "port:" + side), value + joint + port, "port " + subject + ":" + side)
        key = (subject, "bar:" + side)
        name = "-PBB" if self._main_rooms[self.building(link, side)] == room else "-SBB"
        self.put(key, self._typed_elsewhere(key) or space + name, self.same[key])

    def _station(self, key: tuple, station: dict) -> None:
        sign = ALONG.get(field(station, "type"))
        same, name = "station " + station["subject"], trimmed(field(station, "name") or "")
        if sign is None:
            return
        if is_short(name, 12) and has_digit(name) and not self._is_taken(name, key):
            self._given.add(folded(name))
            self.put(key, name, same)
        else:
            self._counted(key, sign, same)

    def _counted(self, key: tuple, start: str, same: str, family: str = "") -> None:
        """`start` and the next number of its family that nobody else has."""
        family = family or start
        number = self._counts.get(family, 0) + 1
        while self._is_taken(start + str(number), key):
            number += 1
        self._counts[family] = number
        self._given.add(folded(start + str(number)))
        self.put(key, start + str(number), same)

    def _is_taken(self, words: str, key: tuple) -> bool:
        held = folded(words)
        return held in self._given or any([owner != key for owner in self._owners.get(held, [])])

    def put(self, key: tuple, default: str, same: str) -> str:
        """Keep a default, and give what stands: what was typed, else the default. `same` is the key of the real thing."""
        self.default[key] = default
        self.value[key] = self.typed.get(key) or default
        self.same[key] = same
        return self.value[key]


def building_codes(buildings: list) -> tuple:
    """Buildings by age -> ({subject: code}, {subject: default code}): typed, else a name that is a short code, else B and a number."""
    codes, defaults, taken = {}, {}, set()
    for building in buildings:
        name = trimmed(field(building, "name") or "")
        short = name if is_code(name, 5) and folded(name) not in taken else ""
        defaults[building["subject"]] = short
        codes[building["subject"]] = trimmed(field(building, "code") or "") or short
        taken.add(folded(codes[building["subject"]]))
    number = 0
    for building in buildings:
        subject = building["subject"]
        if not defaults[subject]:
            number += 1
            while "B" + str(number) in taken and folded(codes[subject]) != "B" + str(number):
                number += 1
            defaults[subject] = "B" + str(number)
            codes[subject] = codes[subject] or defaults[subject]
    return codes, defaults


def _by_age(book: object, kind: str, link: str | None = None) -> list:
    """Things of a kind, those taken off too, in the order in which they were first written down."""
    found = [thing for thing in book.things.get(kind, {}).values() if link is None or thing["link"] == link]
    return in_order(found, _age)


def _age(thing: dict) -> tuple:
    return (thing["created"]["at"][:19], thing["created"]["id"])


def _typed(book: object, links: list) -> dict:
    """(link, what) -> what somebody typed: identifiers, and the links' own cable identifiers."""
    found = {}
    for link in links:
        label = trimmed(field(link, "label") or "")
        if label:
            found[(link["subject"], "cable")] = label
    for thing in _by_age(book, "identifier"):
        value = trimmed(field(thing, "value") or "")
        if value and thing["withdrawn"] is None:
            found[(thing["link"], thing["subject"].partition(":identifier:")[2])] = value
    return found
