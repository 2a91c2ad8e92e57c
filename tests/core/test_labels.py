"""Labels as core draws them: the code in modules that a tape printer prints, the text whole beside it, nothing typed that acts."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest
import segno

from app import engine
from app.core.errors import Refused
from tests.making import value

SVG = "{http://www.w3.org/2000/svg}"
ADDRESS = "HTTPS://SPANBOOK.EXAMPLE.COM/L/0123456789AB"
HOSTILE = [
    "<script>alert(1)</script>&\"'",
    '#eval("1") $x$ *b* _i_ \\ [a]',
    "\u202eB1-1A\u202c \u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627",
    "\U0001f469\u200d\U0001f469\u200d\U0001f467 \U0001f44d\U0001f3fd n\u0303",
    "B1-1A/B2-1A-" + "7" * 288,
    "x" * 300,
    "A\nB\tC\x00D",
]
STOCKS = [stock["id"] for stock in engine.call("label_stocks")]
TAPES = [stock for stock in STOCKS if stock.startswith("tape")]


def matrix(text: str = ADDRESS) -> list[str]:
    return ["".join("1" if module else "0" for module in row) for row in segno.make_qr(text, error="m").matrix]


def label(texts: list[str], stock: str, rows: list[str] | None = None, around: Any = None) -> dict[str, Any]:
    found: dict[str, Any] = engine.call("label", texts=texts, matrix=rows, stock=stock, around=around)
    return found


def words(svg: str) -> list[str]:
    return [element.text or "" for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def stock_of(name: str) -> dict[str, Any]:
    return next(stock for stock in engine.call("label_stocks") if stock["id"] == name)


@pytest.mark.parametrize("name", STOCKS)
def test_code_and_quiet_zone_are_on_the_label_and_the_modules_can_be_printed(name: str) -> None:
    rows, stock = matrix(), stock_of(name)
    found = label(["B1-1A/B2-1A-1", "Cable"], name, rows)
    module = found["module_mm"]
    assert module >= 0.25  # two dots of 203 to the inch are 0.2502 mm
    assert len(rows) * module <= stock["printable_mm"]
    assert (len(rows) + 8) * module <= found["height_mm"]  # ISO/IEC 18004 keeps four modules free all around
    drawn = ElementTree.fromstring(found["svg"])
    moved = drawn.find(f"{SVG}path").attrib["transform"]  # type: ignore[union-attr]
    x, y = (float(part) for part in moved.split("translate(")[1].split(")")[0].split())
    assert x >= 4 * module - 0.001 and y >= 4 * module - 0.001
    assert min(float(text.attrib["x"]) for text in drawn.iter(f"{SVG}text")) >= x + (len(rows) + 4) * module - 0.01 or name == "single"


@pytest.mark.parametrize("dots", [2, 3, 4])
def test_modules_are_whole_dots_of_a_printer_of_180_to_the_inch(dots: int) -> None:
    name = {2: "tape-12", 3: "tape-18", 4: "tape-24"}[dots]
    assert label(["A"], name, matrix())["module_mm"] == pytest.approx(dots * 25.4 / 180, abs=1e-9)


def test_a_longer_address_takes_smaller_modules_and_one_that_is_too_long_is_refused() -> None:
    longer = matrix("HTTPS://FIELD-BOOK.OF-A-LONG-NAMED-INSTALLER.EXAMPLE.ORG/L/0123456789AB")
    assert label(["A"], "tape-12", longer)["module_mm"] == 0.25
    longest = matrix("HTTPS://" + "LONG." * 20 + "EXAMPLE.ORG/L/0123456789AB")
    assert "Take a wider label" in said("label", texts=["A"], stock="tape-12", matrix=longest)


def said(op: str, **payload: Any) -> str:
    """What core says when it refuses."""
    with pytest.raises(Refused) as refused:
        engine.call(op, **payload)
    return str(refused.value.as_dict()["message"])


def flat(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize(("name", "text"), list(itertools.product(STOCKS, HOSTILE)))
def test_a_text_is_whole_or_refused_and_never_acts(name: str, text: str) -> None:
    shown = "".join("\ufffd" if ord(one) in (0, 0x202E, 0x202C) else one for one in text)
    try:
        found = label([text, "Cable"], name, matrix())
    except Refused as refused:
        assert "Shorten it, or choose a larger label." in refused.as_dict()["message"] and not name.startswith("tape")
        return
    drawn = ElementTree.fromstring(found["svg"])
    assert {element.tag for element in drawn.iter()} == {f"{SVG}{tag}" for tag in ("svg", "title", "rect", "path", "text")}
    assert flat("".join(words(found["svg"]))) == flat(shown) + "Cable"


@pytest.mark.parametrize("name", STOCKS)
def test_every_default_identifier_fits_every_label(name: str) -> None:
    for text in ("B1-1A-A01", "B12-3B/B7-10C-12", "B1-1A/B2-1A-1.144", "HH12"):
        assert flat("".join(words(label([text, "to B2-1A-A01"], name, matrix())["svg"]))) == flat(text + "to B2-1A-A01")


def test_a_sign_of_several_characters_is_not_parted() -> None:
    family = "\U0001f469\u200d\U0001f469\u200d\U0001f467"
    for line in words(label([family * 20], "a4-65", None)["svg"]):
        assert line.replace(family, "") == ""


def test_a_flag_shows_the_same_twice_with_the_way_around_the_cable_between() -> None:
    plain = label(["B1-1A/B2-1A-1"], "tape-18", matrix())
    flag = label(["B1-1A/B2-1A-1"], "tape-18", matrix(), value("10", "mm"))
    assert words(flag["svg"]) == words(plain["svg"]) * 2
    assert flag["width_mm"] == pytest.approx(2 * plain["width_mm"] + 31.416 + 2, abs=0.001)  # a circle of 10 mm is 31.416 mm around
    assert "from 1 to 100 mm" in said("label", texts=["A"], stock="tape-18", around=value("0", "mm"))


@pytest.mark.parametrize("name", [name for name in STOCKS if stock_of(name)["form"] == "sheet"])
def test_labels_of_a_sheet_lie_on_the_paper_and_not_on_each_other(name: str) -> None:
    stock = stock_of(name)
    across, down = {"a4": (210, 297), "letter": (215.9, 279.4)}[stock["paper"]]
    whole = stock["across"] * stock["down"]
    places = engine.call("label_places", stock=name, start=1, count=whole + 1)
    assert {page for page, _, _ in places[:whole]} == {0} and places[whole] == [1, places[0][1], places[0][2]]
    for _, x, y in places[:whole]:
        assert x >= 0 and y >= 0 and x + stock["width_mm"] <= across + 0.01 and y + stock["height_mm"] <= down + 0.01
    for (_, x, y), (_, other_x, other_y) in itertools.combinations(places[:whole], 2):
        assert abs(x - other_x) >= stock["width_mm"] - 0.001 or abs(y - other_y) >= stock["height_mm"] - 0.001


def test_a_partly_used_sheet_is_begun_at_its_first_free_label() -> None:
    stock = stock_of("a4-24")
    places = engine.call("label_places", stock="a4-24", start=5, count=2)
    assert places[0] == [0, stock["start_mm"][0] + 70, stock["start_mm"][1] + 36]  # second row, second column
    assert engine.call("label_places", stock="a4-24", start=24, count=2)[1][0] == 1
    for start in (0, 25, "1", None, -3):
        assert "from 1 to 24" in said("label_places", stock="a4-24", start=start, count=1)


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"stock": "tape-9"}, "stock"),
        ({"texts": []}, "texts"),
        ({"texts": ["  "]}, "texts"),
        ({"texts": "A"}, "texts"),
        ({"texts": ["a", "b", "c", "d", "e"]}, "texts"),
        ({"matrix": []}, "matrix"),
        ({"matrix": ["01"] * 21}, "matrix"),
        ({"matrix": ["0" * 20 + "x"] * 21}, "matrix"),
        ({"matrix": [7] * 21}, "matrix"),
        ({"around": {"value": "thick", "unit": "mm"}}, "around"),
    ],
)
def test_what_is_no_label_is_refused_by_its_field(given: dict[str, Any], field: str) -> None:
    asked = {"texts": ["A"], "matrix": None, "stock": "tape-12", "around": None, **given}
    with pytest.raises(Refused) as refused:
        engine.call("label", **asked)
    assert refused.value.as_dict()["field"] == field
