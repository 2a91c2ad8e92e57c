"""Outside plant: pulling routes, ducts, ordering, marks. Published values are in tests/published."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import engine
from app.core import plant, pull
from app.core.decision import change, decision
from app.core.errors import Refused


@pytest.fixture(autouse=True, scope="module")
def _configured() -> None:
    engine.call("describe")


def test_a_route_takes_feet_metres_and_blanks() -> None:
    pieces = pull.pieces_of("straight 100 ft; bend 90deg 2m;  straight 30.48 -5 deg")
    assert [piece[0] for piece in pieces] == ["straight", "bend", "straight"]
    assert pieces[0][1] == pytest.approx(30.48)
    assert pieces[2][2] == pytest.approx(-0.0872664626)  # 5 degrees in radians


@pytest.mark.parametrize(
    "route",
    [
        "",
        "loop 5m",
        "straight",
        "straight 5kg",
        "bend 45deg",
        "bend 400deg 1m",
        "straight 0m",
        "straight 5m 100deg",
        "straight x",
        "bend 45deg 1m hump",
        "bend 91deg 1m crest_up",
    ],
)
def test_a_piece_that_makes_no_sense_is_refused(route: str) -> None:
    with pytest.raises(Refused) as refused:
        pull.pieces_of(route)
    assert refused.value.field == "route"


def test_a_runaway_downhill_is_carried_on_as_nothing_and_warned_of() -> None:
    found = plant.pull_tension("straight 50m -30deg; straight 10m", 0.085, 0.35)
    assert any("brake the reel" in note for note in found["notes"])
    # After the runaway only the level 10 m counts: 0.085 kg/m x 9.80665 x 10 m x 0.35 = 2.918 N.
    assert found["results"]["tension"] == pytest.approx(2.918, abs=0.001)


@given(st.floats(1, 300), st.floats(1, 300), st.floats(0.1, 0.9))
def test_a_longer_pull_takes_more(first_m: float, second_m: float, friction: float) -> None:
    short_m, long_m = sorted((first_m, second_m))
    routes = [pull.pieces_of(f"straight {length:.3f}m; bend 90deg 1m") for length in (short_m, long_m)]
    less, more = (pull.pull(pieces, 1.0, friction, 0.0, "exact")["tension_n"] for pieces in routes)
    assert less <= more


@given(st.floats(0, 500), st.floats(0.1, 0.9), st.floats(0.1, 180))
def test_the_exact_bend_is_never_below_the_simple_one(before_n: float, friction: float, angle_deg: float) -> None:
    exact, simple = (pull.bend_tension(before_n, 5.0, 2.0, friction, angle_deg * 0.0174533, form) for form in ("exact", "simple"))
    assert exact >= simple - 1e-9


def test_a_route_pulled_from_its_other_end_turns_slopes_round() -> None:
    route = [["straight", 5.0, 0.1], ["bend", 1.0, 2.0, ""], ["bend", 0.5, 2.0, "dip_up"]]
    assert pull.reversed_pieces(route) == [["bend", 0.5, 2.0, "dip_down"], ["bend", 1.0, 2.0, ""], ["straight", 5.0, -0.1]]


def test_an_eye_that_cannot_pass_is_said_to_need_another() -> None:
    found = plant.eye_clearance(52.0, 241.3, 600.0)
    assert found["results"]["eye_diameter_max"] == 0.0
    assert "flexible eye" in found["notes"][0]


def test_a_bend_tighter_than_the_duct_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        plant.eye_clearance(52.0, 26.0, 300.0)
    assert refused.value.field == "bend_radius"


@pytest.mark.parametrize(("needed_m", "stock_m", "order_m"), [(100.0, 100.0, 100.0), (100.5, 100.0, 200.0), (99.0, 0.0, 99.0)])
def test_an_order_is_rounded_up_to_the_stock_step(needed_m: float, stock_m: float, order_m: float) -> None:
    found = plant.order_length(needed_m, None, None, 0.0, 0.0, stock_m)["results"]
    assert found["order"] == pytest.approx(order_m)


@given(st.floats(0, 99999), st.floats(0, 99999))
def test_feet_marks_are_metres_times_0_3048_whichever_way_they_run(first: float, last: float) -> None:
    assert plant.between_marks(first, last, "ft") == pytest.approx(plant.between_marks(last, first, "m") * 0.3048)


@pytest.mark.parametrize(("marks", "back"), [
    ([100, 140, 120, 180], [2]), ([180, 140, 120, 100], []), ([100, 100, 120], []), ([180, 190, 120], [1]), ([5], []),
])  # fmt: skip
def test_marks_against_the_run_of_the_whole_are_found(marks: list[float], back: list[int]) -> None:
    assert plant.backwards(marks) == back


STATIONS = "1247:0, 1290:43, 1310:43, 1560:288, 1688:414"


@pytest.mark.parametrize(
    ("mark", "chainage", "place"), [(1247, 0.0, "span"), (1300, 43.0, "loop"), (1435, 165.5, "span"), (1688, 414.0, "span")]
)
def test_a_mark_is_placed_between_its_neighbours(mark: float, chainage: float, place: str) -> None:
    # By hand: 43 + (1435 - 1310) / 250 x 245 = 165.5.
    found = plant.mark_to_place(mark, STATIONS)["results"]
    assert (found["chainage"], found["place"]) == (pytest.approx(chainage), place)


def test_marks_that_count_down_are_placed_alike() -> None:
    assert plant.mark_to_place(1700, "1832:0, 1400:432")["results"]["chainage"] == pytest.approx(132.0)


@pytest.mark.parametrize(("mark", "stations", "field"), [
    (1200, STATIONS, "mark"), (1700, STATIONS, "mark"), (1300, "1247:0, 1400:50, 1350:60, 1688:414", "stations"),
    (1300, "1247", "stations"), (1300, "1247:0", "stations"), (1300, "1247:0, 1247:5", "stations"),
])  # fmt: skip
def test_a_mark_that_cannot_be_placed_is_refused(mark: float, stations: str, field: str) -> None:
    with pytest.raises(Refused) as refused:
        plant.mark_to_place(mark, stations)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("measured", "verdict"), [(2.2, "pass"), (2.0, "pass_within_uncertainty"), (1.8, "fail_within_uncertainty"), (1.79, "fail")]
)
def test_the_decision_for_a_lower_limit_is_the_mirror(measured: float, verdict: str) -> None:
    # ILAC-G8:09/2019 4.2.3 mirrored, limit 2.0, guard 0.2.
    assert decision(measured, 2.0, 0.2, "min")["results"]["verdict"] == verdict


def test_without_uncertainty_the_decision_is_simple_acceptance() -> None:
    found = decision(2.0, 2.0, 0.0, "max")
    assert found["results"]["verdict"] == "pass"
    assert "simple acceptance" in found["notes"][0]


@pytest.mark.parametrize(("after", "real"), [(1.28, False), (1.29, True), (0.72, False), (0.71, True)])
def test_a_change_is_real_beyond_both_uncertainties_together(after: float, real: bool) -> None:
    # sqrt(0.2^2 + 0.2^2) = 0.283 dB (ISO/IEC Guide 98-3).
    assert change(1.0, after, 0.2, 0.2)["results"]["real"] is real
