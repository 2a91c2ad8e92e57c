"""Fall of potential, slope method, clamp, soil and rods, bond temperature, the surge that reaches a port.

Outside values: the potential of a hemisphere in uniform soil (true 20 ohm), printed entries of the slope method's table, rod factors of IEEE 142
and a worked rod, each named where it stands.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core import fall_of_potential
from app.core.earthing import ROD_FACTOR
from app.core.kinds import ROD_COUNTS
from tests.core.judged import checks
from tests.making import Story, value

# A hemisphere of 1 m radius in soil of 125.7 ohm metre reads 20 ohm truly; with the current stake at 40 m, at 52, 62 and 72 %:
HEMISPHERE = [("20.8", "19.58"), ("24.8", "20.01"), ("28.8", "20.59")]
# The same with the stake at 10 m only, at 20, 40, 52, 60, 62 and 72 %: R - k (1 + 1/p - 1/(1 - p)) with k = 2 ohm, worked out by hand.
TOO_NEAR = [("2", "10.5"), ("4", "16.333"), ("5.2", "18.321"), ("6", "19.667"), ("6.2", "20.037"), ("7.2", "22.365")]


def readings_of(rows: list[tuple[str, str]], stake: str | None = "40", unit: str = "m", **more: Any) -> dict[str, dict[str, Any]]:
    """The near end's rows after one test. more: fields of the reading; reference: what the electrode is judged by."""
    story = Story()
    link = story.link("copper", electrode_reference=more.pop("reference", "single-rod-25"))
    if stake:
        more["current_stake"] = value(stake, unit)
    table = {"units": [unit, "ohm"], "rows": [list(row) for row in rows]}
    story.reading(link, "fall_of_potential", side="near", table=table, **more)
    return checks(story, link)


def shown(check: dict[str, Any]) -> tuple[str, str]:
    return (check["measured"]["text"] if check["measured"] else "", check["verdict"])


# ---- fall of potential


def test_the_plateau_of_a_hemisphere_gives_its_resistance() -> None:
    found = readings_of(HEMISPHERE, conditions="moist")
    assert shown(found["electrode:side=near"]) == ("20.0", "pass")
    assert (
        "by fall of potential on a plateau: at 62 % of 40 m = 24.8 m it reads 20.01 ohm"
        in found["electrode:side=near"]["working"]
    )
    level = found["earth_plateau:side=near"]
    assert (shown(level), level["required"]) == (("2.9", "pass"), False)  # + 2.9 % at 72 %
    assert "Only 3 places were read; six or more show the curve." in level["notes"]


def test_feet_and_any_order_of_the_rows_give_the_same() -> None:
    feet = [("94.488", "20.59"), ("68.241", "19.58"), ("81.365", "20.01")]
    assert shown(readings_of(feet, stake="131.234", unit="ft")["electrode:side=near"]) == ("20.0", "pass")


def test_between_two_readings_the_62_per_cent_lie_on_a_straight_line() -> None:
    rows = [("20", "19.4"), ("24", "19.9"), ("28", "20.5")]  # 50, 60 and 70 % of 40 m; 72 % is beyond them
    assert "52, 62 and 72 %" in readings_of(rows)["earth_plateau:side=near"]["sentence"]
    rows.append(("32", "21.2"))  # 62 %: 19.9 + 0.2 * 0.6 = 20.02; 72 %: 20.5 + 0.2 * 0.7 = 20.64
    found = readings_of(rows)
    assert "it reads 20.02 ohm" in found["earth_plateau:side=near"]["working"][0]
    assert "72 %: 20.64 ohm" in found["earth_plateau:side=near"]["working"][1]


@pytest.mark.parametrize(("beside", "wanted"), [("10.504", "pass"), ("10.51", "fail"), ("9.50", "pass"), ("9.49", "fail")])
def test_five_per_cent_is_where_a_plateau_ends(beside: str, wanted: str) -> None:
    found = readings_of([("20.8", "10"), ("24.8", "10"), ("28.8", beside)])
    assert found["earth_plateau:side=near"]["verdict"] == wanted  # judged in steps of 0.1 %, and the electrode by the same
    assert found["electrode:side=near"]["verdict"] == ("pass" if wanted == "pass" else "not_measured")


def test_a_stake_too_near_has_no_plateau_and_the_slope_method_finds_the_same_electrode() -> None:
    found = readings_of(TOO_NEAR, stake="10")
    assert found["earth_plateau:side=near"]["verdict"] == "fail"
    assert "move the current stake further out" in found["earth_plateau:side=near"]["notes"][0]
    assert shown(found["electrode:side=near"]) == ("20.0", "pass")
    assert found["electrode:side=near"]["working"][0].startswith("by the slope method")
    assert "the slope method stands in" in " ".join(found["electrode:side=near"]["notes"])
    assert found["earth_slope:side=near"]["measured"]["text"].startswith("20.0 ")


def test_without_plateau_and_slope_the_electrode_is_not_judged() -> None:
    rows = [row for row in TOO_NEAR if row[0] not in ("2", "4")]
    found = readings_of(rows, stake="10")
    assert found["electrode:side=near"]["verdict"] == "not_measured"
    assert "no plateau around 62 %" in found["electrode:side=near"]["sentence"]
    assert found["electrode:side=near"]["form"] == {"quantity": "fall_of_potential", "side": "near"}
    assert "20, 40 and 60 %" in found["earth_slope:side=near"]["sentence"]


# Printed entries of the slope method's table (three decimals, seen in two or more public places): slope coefficient, place of the true reading.
@pytest.mark.parametrize(
    ("r60", "coefficient", "place"), [("19", "0.800", "0.580"), ("19.5", "0.900", "0.562"), ("17", "0.400", "0.643")]
)
def test_the_slope_method_by_its_printed_table(r60: str, coefficient: str, place: str) -> None:
    found = readings_of([("10", "10"), ("20", "15"), ("30", r60)], stake="50")
    working = " ".join(found["earth_slope:side=near"]["working"])
    assert f"= {coefficient}" in working and f"lies at {place} of the distance" in working
    assert found["electrode:side=near"]["verdict"] == "pass"


@pytest.mark.parametrize(("r60", "valid"), [("17", True), ("16.9", False), ("22.95", True), ("23", False), ("14", False)])
def test_the_slope_method_is_never_carried_beyond_its_range(r60: str, valid: bool) -> None:
    # r20 = 10, r40 = 15: valid from 0.40 to 1.59 times 5 ohm of further rise
    found = readings_of([("10", "10"), ("20", "15"), ("30", r60)], stake="50")
    assert found["earth_slope:side=near"]["verdict"] == ("pass" if valid else "fail")
    assert (found["electrode:side=near"]["verdict"] == "not_measured") is not valid


@pytest.mark.parametrize(("place", "taken"), [("10.5", True), ("9.5", True), ("10.6", False)])
def test_a_slope_reading_counts_within_a_hundredth_of_the_distance(place: str, taken: bool) -> None:
    found = readings_of([(place, "10"), ("20", "15"), ("30", "19")], stake="50")
    assert (found["earth_slope:side=near"]["verdict"] == "pass") is taken


@pytest.mark.parametrize(
    ("rows", "stake", "words"),
    [
        (HEMISPHERE, None, "the distance of the current stake"),
        (HEMISPHERE[:2], "40", "three places or more"),
        (HEMISPHERE, "28", "stands beyond the current stake at 28 m"),
    ],
)
def test_a_test_that_says_nothing_says_what_it_lacks(rows: list[tuple[str, str]], stake: str | None, words: str) -> None:
    found = readings_of(rows, stake)
    for name in ("electrode:side=near", "earth_plateau:side=near"):
        assert found[name]["verdict"] == "not_measured" and words in found[name]["sentence"]


@pytest.mark.parametrize(
    ("stake", "size", "wanted", "limit"),
    [("25", None, "pass", "25.0"), ("24.9", None, "fail", "25.0"), ("30", "6", "pass", "30.0"), ("29.9", "6", "fail", "30.0")],
)
def test_the_current_stake_is_far_enough_out(stake: str, size: str | None, wanted: str, limit: str) -> None:
    more = {"electrode_size": value(size, "m")} if size else {}
    found = readings_of([("12", "10"), ("15", "10"), ("18", "10")], stake, **more)["stake_spacing:side=near"]
    assert (found["verdict"], found["limit"]["text"], found["required"]) == (wanted, limit, False)


def test_the_newest_reading_counts_whatever_its_method() -> None:
    story = Story()
    link = story.link("copper", electrode_reference="single-rod-25")
    story.reading(link, "electrode_resistance", "30", "ohm", side="far", conditions="dry", at="2026-03-14T10:00:00.000+01:00")
    table = {"units": ["m", "ohm"], "rows": [list(row) for row in HEMISPHERE]}
    test = {"side": "far", "table": table, "current_stake": value("40", "m"), "conditions": "dry"}
    story.reading(link, "fall_of_potential", at="2026-03-14T11:00:00.000+01:00", **test)
    assert shown(checks(story, link)["electrode:side=far"]) == ("20.0", "pass")
    assert "1 older of the same kept" in checks(story, link)["electrode:side=far"]["notes"][0]
    story.reading(link, "electrode_resistance", "26", "ohm", side="far", conditions="dry", at="2026-03-14T12:00:00.000+01:00")
    assert shown(checks(story, link)["electrode:side=far"]) == ("26.0", "fail")


def test_without_a_reference_the_electrode_is_still_worked_out() -> None:
    found = readings_of(HEMISPHERE, reference=None)["electrode:side=near"]
    assert (found["verdict"], found["required"]) == ("not_measured", False)
    assert "It reads 20.0 \u03a9." in found["notes"]


@given(st.floats(0.5, 500), st.lists(st.floats(0.05, 0.95), min_size=3, max_size=12, unique=True))
def test_a_flat_curve_is_a_plateau_wherever_it_was_read_closely_enough(ohm: float, places: list[float]) -> None:
    points = [[place, ohm] for place in sorted([*places, 0.5, 0.6, 0.7, 0.8])]
    level = fall_of_potential.plateau(points)
    assert level is not None and level["ohm"] == pytest.approx(ohm) and level["percent"] == pytest.approx(0, abs=1e-9)
    assert fall_of_potential.slope(points) is None or not fall_of_potential.slope(points)["valid"]


# ---- clamp


def clamped(*ohms: str, **more: Any) -> dict[str, Any]:
    story = Story()
    link = story.link("fibre", cable_metal="none")
    for hour, ohm in enumerate(ohms):
        story.reading(link, "clamp_resistance", ohm, "ohm", side="near", at=f"2026-03-14T{10 + hour}:00:00.000+01:00", **more)
    return checks(story, link)["clamp_loop:side=near"]


def test_a_clamp_reading_of_six_like_electrodes_is_twelve_tenths_of_one() -> None:
    # Worked in public: six electrodes of 10 ohm joined read 12 ohm.
    found = clamped("12", electrodes=value("6", "1"))
    assert found["working"][0] == "if all 6 electrodes are alike, each is 12 ohm * (6 - 1) / 6 = 10.00 ohm"
    assert found["required"] is False and "For trend only" in found["notes"][0]


@pytest.mark.parametrize(("ohm", "wanted"), [("1", "pass"), ("0.9", "fail")])
def test_a_loop_under_one_ohm_is_metal(ohm: str, wanted: str) -> None:
    found = clamped(ohm)
    assert found["verdict"] == wanted and ("metal" in " ".join(found["notes"])) is (wanted == "fail")


def test_the_clamp_reading_before_is_said_for_the_trend() -> None:
    assert "The reading before was 12 \u03a9." in clamped("12", "15")["notes"]
    assert "With two electrodes the clamp shows their sum." in clamped("12", electrodes=value("2", "1"))["notes"]


# ---- soil and rods

# Soil of 55 ohm metre: at 3 m stake to stake 55 / (2 pi 3) = 2.9178 ohm. One rod of 3 m and 25 mm in it: 17.12 ohm (worked in public).
SOIL = {"units": ["m", "ohm", "m"], "rows": [["1.5", "9", ""], ["3", "2.9178", ""], ["6", "1", ""]]}
ROD = {"rod_length": value("3", "m"), "rod_diameter": value("25", "mm")}


def in_soil(electrode: str | None = None, soil: dict[str, Any] | None = SOIL, **rods: Any) -> dict[str, Any]:
    story = Story()
    link = story.link("copper")
    if rods:
        story.thing("end", f"{link}:near", link=link, side="near", **rods)
    if soil:
        story.reading(link, "soil_resistance", side="near", table=soil)
    if electrode:
        story.reading(link, "electrode_resistance", electrode, "ohm", side="near")
    return checks(story, link)["rod_prediction:side=near"]


def test_rods_in_soil_are_predicted_before_anything_is_driven() -> None:
    found = in_soil(**ROD)
    assert found["verdict"] == "not_measured" and "Predicted: 17.1 \u03a9." in found["notes"]
    assert found["form"] == {"quantity": "electrode_resistance", "side": "near"}


@pytest.mark.parametrize(
    ("ohm", "wanted"), [("17", "pass"), ("34.2", "pass"), ("34.3", "fail"), ("8.6", "pass"), ("8.5", "fail")]
)
def test_an_electrode_against_its_prediction(ohm: str, wanted: str) -> None:
    found = in_soil(ohm, **ROD)
    assert (found["verdict"], found["required"], bool(found["notes"])) == (wanted, False, wanted == "fail")


# IEEE 142 table of rods one length apart (two or more public places): two rods 1.16 / 2, four 1.36 / 4 of one.
@pytest.mark.parametrize(("rods", "ohm"), [("2", "9.9"), ("4", "5.8"), ("24", "1.5")])
def test_several_rods_by_the_printed_factors(rods: str, ohm: str) -> None:
    assert f"Predicted: {ohm} \u03a9." in in_soil(rods=rods, **ROD)["notes"]


def test_every_number_of_rods_on_offer_has_a_factor() -> None:
    assert [int(count) for count, _ in ROD_COUNTS] == sorted(ROD_FACTOR)


def test_soil_of_the_handbook_is_shown_while_the_rods_are_not_known() -> None:
    # MIL-HDBK-419A volume II: 20 ft and 2 ohm are 7662 ohm centimetre.
    found = in_soil(soil={"units": ["ft", "ohm", "ft"], "rows": [["20", "2", ""]]})
    assert "Soil: 76.6 \u03a9m at 6.096 m." in found["notes"]
    assert "the driven length of the earth rod and its diameter" in found["sentence"]


def test_rods_without_soil_ask_for_it_and_a_thick_rod_is_refused_in_words() -> None:
    assert in_soil(soil=None, **ROD)["form"] == {"quantity": "soil_resistance", "side": "near"}
    assert "thin rod" in in_soil(rod_length=value("1", "m"), rod_diameter=value("150", "mm"))["sentence"]


# ---- bonds by temperature; what reaches the port


def test_a_warm_bond_may_read_more() -> None:
    # 6 mm2, 2.4 m at 40 degC: 7.392 * 1.0786 = 7.973 mohm, two joints: 9.973; 1.2 times and 5 = 16.97 mohm (20 degC: 16.27)
    for degrees, wanted in ((None, "fail"), (value("40", "degC"), "pass"), (value("104", "degF"), "pass")):
        story = Story()
        link = story.link("copper")
        bond = story.thing("bond", link=link, side="near", name="Bar", size="6mm2", length=value("2.4", "m"), joints="2")
        story.reading(link, "bond_resistance", "16.9", "mohm", of=bond, **({"temperature": degrees} if degrees else {}))
        assert checks(story, link)[f"bond_conductor:of={bond}"]["verdict"] == wanted


# 5 kA 8/20 adds 625 V a metre; 600 V and the lead against four fifths of 1.5 kV (from memory) or of what is typed.
@pytest.mark.parametrize(
    ("lead", "port", "measured", "wanted"),
    [
        ("0.5", None, "913", "pass"),
        ("0.96", None, "1200", "pass"),
        ("0.97", None, "1206", "fail"),
        ("0.97", "2.5", "1206", "pass"),
    ],
)
def test_the_surge_that_reaches_the_port(lead: str, port: str | None, measured: str, wanted: str) -> None:
    story = Story()
    link = story.link(
        "copper", **({"port_withstand": value(port, "kV"), "port_withstand_source": "Switch sheet"} if port else {})
    )
    fields = {"lead_length": value(lead, "m"), "protection_level": value("0.6", "kV")}
    protector = story.thing("protector", link=link, side="near", name="SP-1", **fields)
    found = checks(story, link)[f"protector_level:of={protector}"]
    assert (shown(found), found["required"]) == ((measured, wanted), True)
    assert found["source"]["seen"] == ("typed" if port else "memory")
    assert ("from memory" in " ".join(found["notes"])) is (port is None)


def test_without_level_or_lead_nothing_is_said_of_the_port() -> None:
    story = Story()
    link = story.link("copper")
    story.thing("protector", link=link, side="near", name="SP-1", protection_level=value("600", "V"))
    assert not [name for name in checks(story, link) if name.startswith("protector_level")]
