"""Reads Touchstone version 1.1 files of two and four ports (the open IBIS form of S-parameters) to losses of one pair.

`# unit S form R ohm`, with GHz S MA R 50 where a part is left out; `!` begins a comment. A file of two ports gives each point as S11 S21 S12 S22,
one of four ports row by row over several lines. What comes of it is informative: an analyser with home-made adapters does not certify.
"""

import math

from .errors import Refused
from .numbers import pieces

UNITS_MHZ = {"HZ": 1e-6, "KHZ": 1e-3, "MHZ": 1.0, "GHZ": 1000.0}
FORMS = ("MA", "DB", "RI")
# By the order asked for: which port is the first and the second wire at the near end, then at the far end.
PORT_ORDERS = {"12_34": (0, 1, 2, 3), "13_24": (0, 2, 1, 3)}
_LEAST = 1e-10  # 200 dB: what is less is no signal at all
NUMBER_SIGNS = "0123456789+-.eE"


def looks_like(text: str) -> bool:
    """Does a text have an option line: its first line that is no comment begins with # (or [ in version 2)."""
    for line in text.replace("\ufeff", "").replace("\r", "\n").split("\n"):
        bare = line.strip(" \t")
        if bare and bare[0] != "!":
            return bare[0] in "#["
    return False


def read(text: str, name: str = "") -> dict:
    """The points of a file: {"ports", "ohm", "frequencies" (MHz, rising), "matrices" (each a list of rows of complex numbers)}.

    name: the file's name, whose ending .s2p or .s4p tells the ports; without one the shape of the data does.
    Errors: Refused with the line and what is expected there.
    """
    option, rows = _lines(text)
    ports = _ports(name, rows)
    size = 1 + 2 * ports * ports
    numbers = _stream(rows, ports)
    if not numbers or len(numbers) % size:
        line = numbers[-1][1] if numbers else len(text.split("\n"))
        left = str(len(numbers) % size) + " numbers of a last point"
        wanted = str(size) + " numbers a point: its frequency and " + str(ports * ports) + " pairs for " + str(ports) + " ports"
        raise Refused("shape", "line " + str(line), left, wanted, "The file is torn, or of another number of ports.")
    found = {"ports": ports, "ohm": option["ohm"], "frequencies": [], "matrices": []}
    for start in range(0, len(numbers), size):
        _point(numbers[start : start + size], option, found)
    return found


# ---- lines


def _lines(text: str) -> tuple:
    """The option line read, and [numbers, line number] of each data line."""
    option, rows = None, []
    for place, line in enumerate(text.replace("\ufeff", "").replace("\r\n", "\n").replace("\r", "\n").split("\n")):
        bare = line.split("!")[0].strip(" \t\x0c")
        if bare == "":
            continue
        if bare[0] == "[":
            remedy = "Save it as version 1 with the analyser or its program."
            raise Refused("shape", "line " + str(place + 1), bare, "a file of Touchstone version 1.1", remedy)
        if bare[0] == "#":
            option = option or _option(bare[1:], place + 1)
        else:
            rows.append([_numbers(bare, place + 1), place + 1])
    if option is None:
        raise Refused("missing", "option line", "", "a line such as # MHz S DB R 50", "Choose a Touchstone file, .s2p or .s4p.")
    return option, rows


def _option(text: str, line: int) -> dict:
    found = {"unit": "GHZ", "form": "MA", "ohm": 50.0}
    words = pieces(text.upper())
    place = 0
    while place < len(words):
        word = words[place]
        if word in UNITS_MHZ:
            found["unit"] = word
        elif word in FORMS:
            found["form"] = word
        elif word == "R" and place + 1 < len(words):
            place += 1
            found["ohm"] = number(words[place], line)
        elif word != "S":
            wanted = "unit (Hz kHz MHz GHz), S, form (MA DB RI), R and ohms"
            raise Refused("word", "option line, line " + str(line), word, wanted, "Only S-parameters are read.")
        place += 1
    if not 0 < found["ohm"] < 10000:
        raise Refused("range", "option line, line " + str(line), found["ohm"], "a reference above 0 and below 10000 ohm")
    return found


def _numbers(text: str, line: int) -> list:
    return [number(word, line) for word in pieces(text)]


def number(word: str, line: int) -> float:
    if not [sign for sign in word if sign not in NUMBER_SIGNS] and len(word) <= 30:
        try:
            number = float(word)
            if -1e15 < number < 1e15:
                return number
        except ValueError:
            pass
    raise Refused(
        "number", "line " + str(line), word, "a number such as -0.42 or 1.5e-3", "The file is torn or no Touchstone file."
    )


def _ports(name: str, rows: list) -> int:
    ending = name.lower().rpartition(".")[2]
    if ending in ("s2p", "s4p"):
        return int(ending[1])
    if len(ending) == 3 and ending[0] == "s" and ending[2] == "p":
        raise Refused("word", "file", name, "a file of two or four ports, .s2p or .s4p", "Measure one pair: two ports, or four.")
    lengths = [len(row[0]) for row in rows[:2]]
    if lengths[:1] == [9]:
        return 4 if lengths[1:] == [8] else 2
    line = rows[0][1] if rows else 1
    given = str(lengths[0]) + " numbers" if lengths else "no data"
    raise Refused("shape", "line " + str(line), given, "nine numbers on the first data line, of two or of four ports")


def _stream(rows: list, ports: int) -> list:
    """All numbers with their lines. The noise figures that may follow two-port data begin where the frequency falls."""
    found, highest = [], None
    for numbers, line in rows:
        if ports == 2 and len(numbers) == 5 and highest is not None and numbers[0] <= highest:
            break
        if ports == 2:
            highest = numbers[0]
        found.extend([(number, line) for number in numbers])
    return found


# ---- points


def _point(numbers: list, option: dict, found: dict) -> None:
    frequency, line = numbers[0][0] * UNITS_MHZ[option["unit"]], numbers[0][1]
    if found["frequencies"] and frequency <= found["frequencies"][-1]:
        raise Refused("order", "line " + str(line), numbers[0][0], "a frequency above that of the point before")
    values = []
    for place in range(1, len(numbers), 2):
        values.append(_complex(numbers[place][0], numbers[place + 1][0], option["form"]))
    ports = found["ports"]
    rows = [values[row * ports : (row + 1) * ports] for row in range(ports)]
    if ports == 2:  # the one order that goes by columns
        rows = [[values[0], values[2]], [values[1], values[3]]]
    found["frequencies"].append(frequency)
    found["matrices"].append(rows)


def _complex(first: float, second: float, form: str) -> tuple:
    """A pair of numbers -> (real, imaginary)."""
    if form == "RI":
        return (first, second)
    size = 10.0 ** (min(first, 300.0) / 20.0) if form == "DB" else first
    angle = math.radians(second)
    return (size * math.cos(angle), size * math.sin(angle))


# ---- losses


def losses(held: dict, order: str | None = None) -> dict:
    """Losses of a pair, dB, point by point: {"insertion_loss", "near" and "far" (return loss)}.

    Two ports: taken at 100 ohm, so -20 lg |S21|, |S11|, |S22|. Four ports: mixed mode first, which needs the order of the ports (PORT_ORDERS):
    Sdd21 = (Sca - Scb - Sda + Sdb) / 2 for wires a, b near and c, d far. Errors: Refused("missing") for four ports without an order.
    """
    if held["ports"] == 4 and order not in PORT_ORDERS:
        raise Refused(
            "missing" if not order else "word",
            "ports",
            order,
            "the order of the ports: 1 and 2 near, 3 and 4 far (12_34); or 1 and 3 near, 2 and 4 far (13_24)",
            "Choose how the analyser was connected.",
        )
    found = {"insertion_loss": [], "near": [], "far": []}
    for matrix in held["matrices"]:
        through, near, far = _two(matrix) if held["ports"] == 2 else _differential(matrix, PORT_ORDERS[order])
        found["insertion_loss"].append(loss_db(through))
        found["near"].append(loss_db(near))
        found["far"].append(loss_db(far))
    return found


def _two(matrix: list) -> tuple:
    return matrix[1][0], matrix[0][0], matrix[1][1]


def _differential(matrix: list, order: tuple) -> tuple:
    """Sdd21, Sdd11 and Sdd22 of a pair with wires a, b at the near and c, d at the far end."""
    near, far = order[:2], order[2:]
    return _balanced(matrix, far, near), _balanced(matrix, near, near), _balanced(matrix, far, far)


def _balanced(matrix: list, out: tuple, into: tuple) -> tuple:
    """(S(p,p) - S(p,n) - S(n,p) + S(n,n)) / 2 between two differential ports."""
    parts = [matrix[out[0]][into[0]], matrix[out[0]][into[1]], matrix[out[1]][into[0]], matrix[out[1]][into[1]]]
    signs = (1.0, -1.0, -1.0, 1.0)
    real = imaginary = 0.0
    for sign, part in zip(signs, parts):
        real += sign * part[0] / 2.0
        imaginary += sign * part[1] / 2.0
    return (real, imaginary)


def loss_db(part: tuple) -> float:
    """-20 lg of the size, at most 200 dB."""
    size = math.sqrt(part[0] * part[0] + part[1] * part[1])
    return -20.0 * math.log10(max(size, _LEAST))
