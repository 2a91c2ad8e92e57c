"""The record of loads, of earth tests with every place that was read, and of expected surges."""

from __future__ import annotations

from tests.core.test_checks_storms import FAR, NEAR, SITE
from tests.core.test_record import cells, record_of, rows, section, tables
from tests.making import Story, value


def wired(**fields: object) -> tuple[Story, str]:
    story = Story()
    story.thing("site", name="Yard", **SITE, flash_density_source="National map 2024")
    near, far = story.thing("building", name="Office", **NEAR), story.thing("building", name="Shed", **FAR)
    ends = {"near_building": near, "far_building": far}
    link = story.thing("link", name="Office to shed", medium="copper", laying="aerial", **ends, **fields)
    for order, mark in (("1", "0"), ("2", "80")):
        story.thing("station", link=link, type="building_entry", order=order, mark=mark)
    return story, link


def test_loads_cases_and_what_the_cable_allows_are_there() -> None:
    story, link = wired(source_voltage=value("50", "V"), power_pairs="2", feeding="ieee", source_power=value("30", "W"))
    for pair in ("1-2", "3-6"):
        story.reading(link, "loop_resistance", "20", "ohm", pair=pair, temperature=value("20", "degC"))
    camera = {"name": "Yard camera", "power": value("20", "W"), "voltage_min": value("42.5", "V"), "source": "Its label"}
    story.thing("load", link=link, **camera)
    story.thing("load", link=link, name="Radio", power=value("5.5", "W"), voltage_min=value("47", "V"), port="Port 2")
    model = record_of(story, link)
    loads, cases, room = tables(model, "power")
    assert rows(model, "power")["How it is fed"] == "Detected and classified (IEEE 802.3)"
    # 25.5 W over 10 ohm from 50 V: (50 + sqrt(2500 - 1020)) / 2 = 44.2 V
    assert loads["rows"] == [
        ["Yard camera", "20 W", "42.5 V", "Passes", "", "Its label"],
        ["Radio", "5.5 W", "47 V", "Fails", "Port 2", ""],
    ]
    assert cells(cases, "Comes to")[0] == "44.2 V"
    # Class 4 over 12.5 ohm ends at 30 W and 25.5 W; here 47 V bounds it: (50 - 47) 47 / 10 = 14.1 W
    assert cells(room, "At most")[0] == "14.1 W" and "lowest voltage" in cells(room, "Why")[0]


def test_every_place_of_a_fall_of_potential_is_there_with_its_share() -> None:
    story, link = wired(electrode_reference="single-rod-25")
    table = {"units": ["ft", "ohm"], "rows": [["94.49", "20.59"], ["68.24", "19.58"], ["81.36", "20.01"]]}
    stake = {"current_stake": value("40", "m"), "stray_voltage": value("0.4", "V"), "conditions": "moist clay"}
    story.reading(link, "fall_of_potential", side="near", table=table, **stake)
    model = record_of(story, link)
    places = next(held for held in tables(model, "earthing") if held["head"][0] == "Potential stake at")
    assert places["rows"] == [
        ["68.24 ft", "52 %", "19.58 \u03a9"],
        ["81.36 ft", "62 %", "20.01 \u03a9"],
        ["94.49 ft", "72 %", "20.59 \u03a9"],
    ]
    words = " ".join(line for block in section(model, "earthing")["blocks"] if block["form"] == "text" for line in block["lines"])
    assert "current stake at 40 m, stray voltage 0.4 V, moist clay" in words
    assert "Result on the plateau at 62 %: 20.0 \u03a9." in words


def test_soil_stands_with_its_resistivity() -> None:
    # MIL-HDBK-419A volume II: 20 ft and 2 ohm are 7662 ohm centimetre.
    story, link = wired()
    story.reading(link, "soil_resistance", side="far", table={"units": ["ft", "ohm", "in"], "rows": [["20", "2", "6"]]})
    soil = next(held for held in tables(record_of(story, link), "earthing") if held["head"][0].startswith("Soil"))
    assert soil["rows"][0][:5] == ["Far end", "20 ft", "2 \u03a9", "6 in", "76.7 \u03a9m"]


def test_expected_surges_stand_beside_what_else_the_link_could_be() -> None:
    story, link = wired()
    model = record_of(story, link)
    surges = next(held for held in tables(model, "earthing") if held["head"][0] == "The link as")
    assert surges["rows"][0] == ["Copper, no surge protector, as built", "0.7 a year", "about one a year"]
    assert surges["rows"][2] == ["Copper, surge protectors at both ends", "0.03 a year", "one in about 30 years"]
    words = " ".join(line for block in section(model, "earthing")["blocks"] if block["form"] == "text" for line in block["lines"])
    assert "edition 2 method, order of magnitude" in words and "National map 2024" in words
