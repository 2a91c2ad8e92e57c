"""Pictures: to scale, well formed, harmless with any words in them."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic

from app import engine
from app.core import draw, pictures
from tests.made_checks import all_verdicts
from tests.made_links import STROKES, FibreLink, position
from tests.making import Story, value

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = '</text><script>alert(1)</script> & "\' \u202egnirts \u05e9\u05dc\u05d5\u05dd \U0001f600 #eval("x") $x$'


def opened(story: Story) -> None:
    engine.call("open", book=story.book, entries=story.texts)


def drawn(story: Story, link: str, which: str) -> ElementTree.Element:
    opened(story)
    return ElementTree.fromstring(engine.call("picture", book=story.book, link=link, which=which)["svg"])


def words_in(svg: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in svg.iter(SVG + "text")]


def cable_points(svg: ElementTree.Element) -> list[tuple[float, float]]:
    for element in svg.iter(SVG + "path"):
        if element.attrib["stroke"] == draw.ACCENT:
            numbers = element.attrib["d"].replace("M", "").replace("L", "").split()
            return list(zip(map(float, numbers[::2]), map(float, numbers[1::2]), strict=True))
    raise AssertionError("no cable drawn")


def straight_link(metres: float, azimuth: float) -> tuple[Story, str]:
    """Two stations that far apart, placed by geographiclib (an outside geodesic)."""
    far = Geodesic.WGS84.Direct(51.2, 4.1, azimuth, metres)
    story = Story()
    link = story.link("fibre")
    story.thing("station", link=link, type="building_entry", order="1", position=position("51.2000000", "4.1000000", ""))
    story.thing(
        "station", link=link, type="building_entry", order="2", position=position(f"{far['lat2']:.9f}", f"{far['lon2']:.9f}", "")
    )
    return story, link


@pytest.mark.parametrize(("metres", "azimuth", "scale", "dx", "dy"), [
    (100.0, 90.0, 1000, 100.0, 0.0),
    (70.0, 0.0, 1000, 0.0, -70.0),
    (60.0, 270.0, 500, -120.0, 0.0),
    (1500.0, 90.0, 10000, 150.0, 0.0),
])  # fmt: skip
def test_a_route_is_as_long_on_paper_as_its_scale_says_and_north_is_up(
    metres: float, azimuth: float, scale: int, dx: float, dy: float
) -> None:
    svg = drawn(*straight_link(metres, azimuth), "plan")
    (x1, y1), (x2, y2) = cable_points(svg)
    assert any(f"1:{scale} " in words for words in words_in(svg))
    assert svg.attrib["width"] == "180mm" and svg.attrib["viewBox"] == "0 0 180 120"
    assert x2 - x1 == pytest.approx(dx, abs=0.02) and y2 - y1 == pytest.approx(dy, abs=0.02)


def test_the_scale_bar_measures_what_it_says() -> None:
    svg = drawn(*straight_link(100.0, 90.0), "plan")
    fields = [element for element in svg.iter(SVG + "rect") if element.attrib["height"] == "1.6"]
    assert [float(field.attrib["width"]) for field in fields] == [10.0] * 4  # 10 m at 1:1000
    assert {"0", "20", "40 m"} <= set(words_in(svg))


def test_taped_ties_place_a_station_where_the_two_tapes_meet() -> None:
    """Corners 8 m apart on a wall that runs east, both tapes 5 m: 4 m along and 3 m out (a 3-4-5 triangle)."""
    east = Geodesic.WGS84.Direct(51.2, 4.1, 90.0, 8.0)
    story = Story()
    link = story.link("fibre")
    building = json.loads(story.texts[1])["body"]["subject"]
    first = story.thing("corner", building=building, name="West", position=position("51.2000000", "4.1000000"))
    second = story.thing(
        "corner", building=building, name="East", position=position(f"{east['lat2']:.9f}", f"{east['lon2']:.9f}")
    )
    story.thing("station", link=link, type="bend", order="1", position=position("51.2000000", "4.1000000", ""))
    ties = [{"corner": first, "distance": value("5", "m")}, {"corner": second, "distance": value("5", "m")}]
    story.thing("station", link=link, type="handhole", order="2", ties=ties, tie_side="left", position=position("51.3", "4.2"))
    svg = drawn(story, link, "plan")
    (x1, y1), (x2, y2) = cable_points(svg)
    assert x2 - x1 == pytest.approx(40.0, abs=0.05) and y1 - y2 == pytest.approx(30.0, abs=0.05)  # 1:100


def test_a_station_without_a_position_lies_between_its_neighbours_and_is_hollow() -> None:
    story, link = straight_link(100.0, 90.0)
    story.thing("station", link=link, type="marker", order="1.5")
    svg = drawn(story, link, "plan")
    points = cable_points(svg)
    assert points[1][0] - points[0][0] == pytest.approx(50.0, abs=0.02)
    assert any(element.attrib.get("stroke-dasharray") == "0.7 0.5" for element in svg.iter(SVG + "path"))


def test_a_cable_that_has_not_arrived_is_not_drawn_as_arrived() -> None:
    story = Story()
    story.thing("site", name="Yard")
    near = story.thing("building", name="Office", position=position("51.2000000", "4.1000000"))
    far = story.thing("building", name="Shed", position=position("51.2000000", "4.1020000"))
    link = story.thing("link", name="L", medium="fibre", near_building=near, far_building=far)
    for order, east in (("1", "4.1000000"), ("2", "4.1005000")):
        story.thing("station", link=link, type="handhole", order=order, position=position("51.2000000", east, ""))
    story.thing("station", link=link, type="handhole", order="3")
    svg = drawn(story, link, "plan")
    assert len(cable_points(svg)) == 2
    assert any("no place known: stations 3" in words for words in words_in(svg))


@pytest.mark.parametrize(
    ("type_", "name", "label"),
    [
        ("handhole", "Handhole 1", "1 Handhole 1"),
        ("other", "Office rack", "1 Office rack"),
        ("bend", "Lane", "1 Bend Lane"),
        ("bend", None, "1 Bend"),
    ],
)
def test_a_label_never_says_its_type_twice(type_: str, name: str | None, label: str) -> None:
    story = Story()
    link = story.link("fibre")
    story.thing("station", link=link, type=type_, order="1", chainage=value("0", "m"), **({"name": name} if name else {}))
    assert label in words_in(drawn(story, link, "strip"))


def test_without_two_positions_the_plan_is_unrolled_and_says_so() -> None:
    story = Story()
    link = story.link("fibre")
    story.thing("station", link=link, type="building_entry", order="1", chainage=value("0", "m"))
    story.thing("station", link=link, type="building_entry", order="2", chainage=value("80", "m"))
    assert any("Unrolled, not a map" in words for words in words_in(drawn(story, link, "plan")))


def test_places_on_two_continents_are_not_drawn_to_scale() -> None:
    story, link = straight_link(100.0, 90.0)
    story.thing("station", link=link, type="marker", order="3", position=position("-33.9", "151.2"))
    assert any("check them" in words for words in words_in(drawn(story, link, "plan")))


def test_an_empty_link_still_has_every_picture() -> None:
    story = Story()
    link = story.link("copper")
    for which in ("plan", "strip", "bars", "site"):
        assert words_in(drawn(story, link, which))


def test_the_site_plan_names_every_link() -> None:
    made = FibreLink()
    assert "Office to slip shed" in words_in(drawn(made.story, made.link, "site"))


def test_the_strip_lays_chainage_to_scale() -> None:
    """Marks 1012, 1034/1040, 1071, ...: chainages 0, 22, 53, ... 130 m by hand."""
    made = FibreLink()
    svg = drawn(made.story, made.link, "strip")
    assert {"0.0 m", "22.0 m", "53.0 m", "72.0 m", "85.0 m", "117.0 m", "127.0 m", "130.0 m"} <= set(words_in(svg))
    # the middle of the bend's disc: 12 + 53/130 * 162 mm
    discs = [float(element.attrib["cx"]) for element in svg.iter(SVG + "circle") if element.attrib["r"] == "1"]
    assert discs == [pytest.approx(12 + 53 / 130 * 162, abs=0.01)]


def test_sixty_stations_do_not_overlap_their_words_off_the_strip() -> None:
    story = Story()
    link = story.link("fibre")
    for number in range(60):
        story.thing("station", link=link, type="marker", order=str(number), chainage=value(str(number), "m"))
    svg = drawn(story, link, "strip")
    for element in svg.iter(SVG + "text"):
        assert 0 <= float(element.attrib["x"]) <= 180


def test_bars_show_every_verdict_in_words_and_in_its_own_shape() -> None:
    svg = ElementTree.fromstring(pictures.bars(all_verdicts()))
    words = words_in(svg)
    assert {"Passes", "Passes within uncertainty", "Fails within uncertainty", "Fails"} <= set(words)
    assert {"0.42 dB", "0.07 dB", "-0.03 dB", "-5.8 V"} <= set(words)  # 1.57-1.15, 1.57-1.50, 1.57-1.60, 31.2-37.0
    assert "Loss, strand 4" not in words


def test_hostile_words_stay_words() -> None:
    story = Story()
    near, far = story.site_with_buildings()
    link = story.thing("link", name=HOSTILE, medium="fibre", near_building=near, far_building=far)
    story.thing("building", near, name=HOSTILE, position=position("51.2", "4.1"))
    story.thing("building", far, name="B", position=position("51.2005", "4.101"))
    story.thing("station", link=link, type="other", name=HOSTILE, order="1", position=position("51.2002", "4.1003"))
    for which in ("plan", "strip", "site"):
        svg = drawn(story, link, which)
        names = {element.tag.removeprefix(SVG) for element in svg.iter()}
        assert names <= {"svg", "title", "rect", "line", "path", "circle", "text", "g"}
        assert not any(
            name.startswith("on") or name in ("style", "class", "href") for element in svg.iter() for name in element.attrib
        )
        assert "\u202e" not in ElementTree.tostring(svg, encoding="unicode")


@pytest.mark.parametrize("character", ["\x00", "\x08", "\x7f", "\ud800", "\ufffe", "\u202e", "\u2066"])
def test_characters_that_xml_or_a_reader_cannot_bear_are_replaced(character: str) -> None:
    assert draw.clean("a" + character + "b") == "a\ufffdb"


def test_a_signature_keeps_its_strokes_and_leaves_out_rubbish() -> None:
    signed: dict[str, Any] = {"name": HOSTILE, "strokes": [*STROKES, "x", [[1, None], ["a", 2]], []], "width": 300, "height": 120}
    svg = ElementTree.fromstring(pictures.signature(signed))
    assert [element.attrib["d"] for element in svg.iter(SVG + "path")] == [
        "M2 12 L8 4 L14 16 L22 6",  # a fifth of the pad's pixels: 60 mm for 300
        "M28 12 L40 11 L52 12.4",
    ]
    assert len(list(svg.iter(SVG + "circle"))) == 1  # the dot
