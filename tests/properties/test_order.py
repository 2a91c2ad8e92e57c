"""What is given in another order is the same thing: inputs that are lists, and readings of a book."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DataObject

from app import engine
from app.core import crosstalk, earthing, fibre, pairs, plant, ties
from tests.made_fibre import Link
from tests.making import Story, value


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


def shuffled(data: DataObject, things: list[Any]) -> list[Any]:
    return list(data.draw(st.permutations(things)))


events = st.lists(st.tuples(st.floats(-80, -14), st.floats(0, 30)), min_size=1, max_size=8)
sizes = st.lists(st.floats(1, 60), min_size=1, max_size=8)


@given(events, st.data())
def test_events_of_a_link_return_the_same_in_any_order(held: list[tuple[float, float]], data: DataObject) -> None:
    first, second = (
        fibre.return_loss_total([one[0] for one in order], [one[1] for one in order])["results"]["return_loss"]
        for order in (held, shuffled(data, held))
    )
    assert first == pytest.approx(second, abs=1e-9)


@given(st.floats(1, 100), sizes, st.data())
def test_the_electrodes_beside_the_clamped_one_may_come_in_any_order(
    clamped: float, others: list[float], data: DataObject
) -> None:
    first, second = (earthing.clamp_loop([clamped, *order])["results"]["reading"] for order in (others, shuffled(data, others)))
    assert first == pytest.approx(second, rel=1e-12)


@given(sizes, st.data())
def test_cables_fill_a_duct_the_same_in_any_order(cables: list[float], data: DataObject) -> None:
    first, second = (plant.duct_fill(100.0, order)["results"] for order in (cables, shuffled(data, cables)))
    assert first["fill"] == pytest.approx(second["fill"], rel=1e-12)
    assert first["allowed"] == second["allowed"]


@given(sizes, st.data())
def test_disturbing_pairs_add_up_the_same_in_any_order(losses: list[float], data: DataObject) -> None:
    assert crosstalk.power_sum_db(losses) == pytest.approx(crosstalk.power_sum_db(shuffled(data, losses)), abs=1e-9)


@given(st.lists(st.floats(0, 40), max_size=6), st.lists(st.floats(0, 40), max_size=6), st.data())
def test_rises_and_loops_order_the_same_cable_in_any_order(rises: list[float], loops: list[float], data: DataObject) -> None:
    first = plant.order_length(100.0, rises, loops)["results"]["needed"]
    assert first == pytest.approx(
        plant.order_length(100.0, shuffled(data, rises), shuffled(data, loops))["results"]["needed"], rel=1e-12
    )
    assert first == pytest.approx(plant.order_length(100.0, loops, rises)["results"]["needed"], rel=1e-12)


@given(st.lists(st.floats(0.1, 40), min_size=4, max_size=4), st.data())
def test_the_pairs_of_a_supply_may_come_in_any_order(loops: list[float], data: DataObject) -> None:
    assert pairs.supply_ohm(loops, 2) == pytest.approx(pairs.supply_ohm(shuffled(data, loops), 2), rel=1e-12)


@given(st.floats(2, 20), st.floats(-5, 25), st.floats(1, 30))
def test_the_first_two_corners_turned_with_the_side_give_the_same_place(base: float, x: float, y: float) -> None:
    corners, held = [(0.0, 0.0), (base, 0.0)], [math.dist((x, y), (0, 0)), math.dist((x, y), (base, 0))]
    one = ties.place_by_ties(corners, held, "left")
    other = ties.place_by_ties(list(reversed(corners)), list(reversed(held)), "right")
    assert (one["x"], one["y"]) == pytest.approx((other["x"], other["y"]), abs=1e-6)
    assert (one["x"], one["y"]) == pytest.approx((x, y), abs=1e-3)


def fibre_story() -> tuple[Story, str]:
    link = Link(strands="2", connections="3", splices="1", mark_unit="m").marks("1000", "1410")
    for strand, loss in (("1", "0.81"), ("2", "1.44")):
        for wavelength in ("1310", "1550"):
            for direction in ("near_to_far", "far_to_near"):
                link.loss(loss, wavelength, strand=strand, direction=direction)
    link.story.reading(link.id, "instrument_length", "415", "m", strand="1")
    return link.story, link.id


def copper_story() -> tuple[Story, str]:
    story = Story()
    link = story.link("copper", category="6", setup="channel", gauge="24")
    for pair, ohm in (("1-2", "12.1"), ("3-6", "12.4"), ("4-5", "12.2"), ("7-8", "12.9")):
        story.reading(link, "loop_resistance", ohm, "ohm", pair=pair, temperature=value("20", "degC"))
        story.reading(link, "delay", "410", "ns", pair=pair)
    story.reading(link, "next", "38.2", "dB", pair="1-2", pair2="3-6", side="near", frequency=value("100", "MHz"))
    story.reading(link, "instrument_length", "82", "m", pair="1-2")
    return story, link


STORIES = {"fibre": fibre_story(), "copper": copper_story()}


def asked(story: Story, texts: list[str], link: str) -> dict[str, Any]:
    with engine.opened(story.book, texts) as core:
        return {op: core(op, link=link) for op in ("checks", "cover")}


@pytest.mark.parametrize("medium", sorted(STORIES))
def test_entries_that_came_backwards_give_the_same_verdicts_and_the_same_cover(medium: str) -> None:
    story, link = STORIES[medium]
    assert asked(story, story.texts, link) == asked(story, list(reversed(story.texts)), link)


@pytest.mark.usefixtures("unrecorded")
@pytest.mark.parametrize("medium", sorted(STORIES))
def test_entries_that_came_in_any_order_give_the_same_verdicts_and_the_same_cover(medium: str) -> None:
    story, link = STORIES[medium]
    wanted = asked(story, story.texts, link)

    @settings(max_examples=15)
    @given(st.integers(0, 2**32))
    def in_any_order(seed: int) -> None:
        texts = list(story.texts)
        random.Random(seed).shuffle(texts)
        assert asked(story, texts, link) == wanted

    in_any_order()
