"""Pictures of swept results: to scale, told apart without colour, harmless, and in the record."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest

from app import engine
from app.core import draw
from app.core.errors import Refused
from tests.core.test_checks_sweep import copper, near, sweep
from tests.making import Story

SVG = "{http://www.w3.org/2000/svg}"
CHECK = "next_sweep:pair=1-2:pair2=3-6:side=near"


def picture(story: Story, link: str, check: str = CHECK) -> ElementTree.Element:
    with engine.opened(story.book, story.texts) as core:
        return ElementTree.fromstring(core("picture", link=link, which="sweep", check=check)["svg"])


def words_in(svg: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in svg.iter(SVG + "text")]


def paths(svg: ElementTree.Element, stroke: str) -> list[ElementTree.Element]:
    return [element for element in svg.iter(SVG + "path") if element.attrib["stroke"] == stroke]


def points(path: ElementTree.Element) -> list[tuple[float, float]]:
    numbers = path.attrib["d"].replace("M", "").replace("L", "").replace("Z", "").split()
    return list(zip(map(float, numbers[::2]), map(float, numbers[1::2]), strict=True))


def test_frequencies_lie_by_their_logarithm_and_the_worst_margin_is_named() -> None:
    story, link = copper()
    sweep(story, link, "next", {"1": "70", "10": "60", "100": "40.9"}, **near("1-2", "3-6"))
    svg = picture(story, link)
    (limit,) = paths(svg, draw.BAD)
    first, middle, last = [x for x, _ in points(limit)]
    assert middle - first == pytest.approx(last - middle, abs=0.02)  # a decade each
    assert {"1", "10", "100", "dB", "Frequency, MHz", "Measured", "Limit"} <= set(words_in(svg))
    assert "Worst margin 1.0 dB at 100 MHz" in words_in(svg)
    assert limit.attrib["stroke-dasharray"]  # not by colour alone
    title = svg.find(SVG + "title")
    assert title is not None
    assert title.text == "NEXT over frequency, pairs 1-2 and 3-6, near end: value and limit over frequency"


def test_values_and_limit_stand_in_the_same_scale() -> None:
    # 65.0 dB is the limit at 1 MHz (cap), -20 lg(10^-2.215 + 2 x 10^-2.7) = 39.93 dB that at 100 MHz: a trace that equals it lies on it.
    story, link = copper()
    sweep(story, link, "next", {"1": "65.0", "100": "39.93"}, **near("1-2", "3-6"))
    svg = picture(story, link)
    (limit,) = paths(svg, draw.BAD)
    value = next(path for path in paths(svg, draw.INK) if len(points(path)) == 2)
    for drawn, wanted in zip(points(value), points(limit), strict=True):
        assert drawn == pytest.approx(wanted, abs=0.05)


def test_points_for_information_are_dotted() -> None:
    story, link = copper()
    sweep(story, link, "next", {"1": "60", "16": "50", "100": "45", "200": "41"}, **near("1-2", "3-6"))
    sweep(story, link, "insertion_loss", {"1": "1", "16": "3", "100": "10", "200": "15"}, pair="1-2")
    svg = picture(story, link)
    assert "For information" in words_in(svg)
    dotted = [path for path in paths(svg, draw.INK) if path.attrib.get("stroke-dasharray")]
    assert [len(points(path)) for path in dotted] == [3]  # 1 and 16 MHz, and on to where it counts


def test_a_long_trace_is_thinned_but_keeps_its_worst_point() -> None:
    story, link = copper()
    many = {f"{1 + place * 0.124:.3f}": "70" for place in range(2000)}
    many["100.200"] = "40.0"
    table = dict(sorted(many.items(), key=lambda pair: float(pair[0])))
    table.pop("1.000")
    sweep(story, link, "next", table, **near("1-2", "3-6"))
    svg = picture(story, link)
    lows = [y for path in paths(svg, draw.INK) if path.attrib["stroke-width"] == "0.5" for _, y in points(path)]  # no axis
    assert len(ElementTree.tostring(svg)) < 30_000
    assert "Worst margin 0.1 dB at 100.2 MHz" in words_in(svg)
    assert sorted(lows)[-1] > sorted(lows)[-2] + 10  # the one low value is drawn


def test_one_point_has_a_picture_too() -> None:
    story, link = copper()
    sweep(story, link, "next", {"100": "45"}, **near("1-2", "3-6"))
    assert "100" in words_in(picture(story, link))


def test_a_trace_outside_the_category_says_so_instead_of_a_drawing() -> None:
    story, link = copper()
    sweep(story, link, "next", {"300": "45"}, **near("1-2", "3-6"))
    assert words_in(picture(story, link)) == ["No point of this trace has a limit."]


@pytest.mark.parametrize("check", [None, "wire_map", "next_sweep:pair=4-5", "<svg/>"])
def test_a_check_that_has_no_picture_is_refused(check: Any) -> None:
    story, link = copper()
    sweep(story, link, "next", {"100": "45"}, **near("1-2", "3-6"))
    with engine.opened(story.book, story.texts) as core, pytest.raises(Refused) as refused:
        core("picture", link=link, which="sweep", check=check)
    assert refused.value.field == "check"


def test_the_record_draws_of_each_parameter_the_trace_with_the_least_margin() -> None:
    story, link = copper()
    for pair, pair2, typed in (("1-2", "3-6", "45"), ("1-2", "4-5", "40.4"), ("1-2", "7-8", "44")):
        sweep(story, link, "next", {"10": "70", "100": typed}, **near(pair, pair2))
    sweep(story, link, "return_loss", {"10": "25", "100": "13"}, **near("1-2"))
    with engine.opened(story.book, story.texts) as core:
        model = core("record", link=link, made_at="2026-03-14T12:00:00+01:00")
    blocks = next(section for section in model["sections"] if section["id"] == "sweeps")["blocks"]
    # 45, 40.4 and 44 dB sum to 37.89 dB, 0.8 dB above the 37.1 dB of PSNEXT.
    assert [block["form"] for block in blocks] == ["text", "svg"] * 3
    assert blocks[0]["lines"][0].startswith(
        "NEXT over frequency, pairs 1-2 and 4-5, near end: the least margin of 3 traces. Passes, 0.5 dB"
    )
    assert -10 * math.log10(10**-4.5 + 10**-4.04 + 10**-4.4) == pytest.approx(37.89, abs=0.005)
    assert blocks[2]["lines"][0].startswith("PSNEXT from NEXT over frequency, pair 1-2, near end: the only trace. Passes, 0.8 dB")
    assert blocks[1]["alt"].startswith(
        "NEXT over frequency, pairs 1-2 and 4-5, near end, drawn with its limit over frequency. Passes, 0.5 dB"
    )
    readings = next(section for section in model["sections"] if section["id"] == "readings")
    rows = next(block["rows"] for block in readings["blocks"] if block["form"] == "table")
    assert rows[0][:2] == ["Sweep over frequency: NEXT, pairs 1-2 and 3-6, near end", "2 points"]
