"""Which panel and port each end of a link is on, and their short codes: what is recorded, else letters and numbers counted in a room."""

from .identifier_kinds import folded

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
DIGITS = "0123456789"
_SHORT = LETTERS + "abcdefghijklmnopqrstuvwxyz" + DIGITS + "-_."


class Panels:
    """The panels of all rooms. First every end is recorded, so that a letter that somebody wrote down is given to no other panel."""

    def __init__(self):
        self._codes = {}  # room -> {panel: code}
        self._ports = {}  # panel -> {port: True}

    def record(self, room: str, end: str, name: str, port: str) -> str:
        """The panel that an end is on; its code is its short name, or the letter before the port's number.

        The same port again on a panel of that name has to be another panel; so has one without a name.
        """
        panel = room + " panel " + folded(name)
        if not name or (port and port_number(port) in self._ports.get(panel, {})):
            panel = room + " panel of " + end
        ports = self._ports.setdefault(panel, {})
        if port:
            ports[port_number(port)] = True
        code = name if is_code(name, 4) else letters_before(folded(port))
        codes = self._codes.setdefault(room, {})
        if code and panel not in codes and code not in codes.values():
            codes[panel] = code
        return panel

    def code(self, room: str, panel: str) -> str:
        """Its short name where it has one, else the next letter in its room."""
        codes = self._codes[room]
        place = 0
        while panel not in codes:
            if letters(place) not in codes.values():
                codes[panel] = letters(place)
            place += 1
        return codes[panel]

    def port_code(self, room: str, panel: str, port: str) -> str:
        """The port as recorded where that is short, without its panel's letter; else the next number on its panel; numbers have two digits."""
        if letters_before(folded(port)) and letters_before(folded(port)) == self._codes[room].get(panel):
            port = port[len(letters_before(folded(port))) :]
        if not is_short(port, 12):
            port = self._free_port(self._ports[panel])
        return "0" + port if len(port) == 1 and port in DIGITS else port

    def _free_port(self, ports: dict) -> str:
        number = 1
        while str(number) in ports:
            number += 1
        ports[str(number)] = True
        return str(number)


def is_short(words: str, most: int) -> bool:
    """Is it a code rather than a name: up to `most` plain letters, digits, hyphens, points."""
    return 1 <= len(words) <= most and all([character in _SHORT for character in words])


def is_code(words: str, most: int) -> bool:
    """Is a short name a code: in capitals and digits ("HQ", "B1"), not a word ("Shed")."""
    return is_short(words, most) and words == folded(words)


def has_digit(words: str) -> bool:
    """Is any digit in it."""
    return any([character in DIGITS for character in words])


def letters_before(port: str) -> str:
    """'A' of a port that is written with its panel, 'A12': one or two letters, then digits only. Else nothing."""
    count = 0
    while count < len(port) and port[count] in LETTERS:
        count += 1
    rest = port[count:]
    return port[:count] if 1 <= count <= 2 and rest and all([character in DIGITS for character in rest]) else ""


def port_number(port: str) -> str:
    """For comparing ports of one panel: 1, 01 and A1 are the same."""
    words = folded(port)
    return words[len(letters_before(words)) :].lstrip("0")


def letters(place: int) -> str:
    """0 -> A, 25 -> Z, 26 -> AA."""
    words = ""
    while place >= 0:
        words = LETTERS[place % 26] + words
        place = place // 26 - 1
    return words
