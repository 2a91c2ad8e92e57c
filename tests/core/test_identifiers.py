"""Identifiers: the default of the scheme, what is recorded before what is counted, no two alike in a book, each one changeable.

The forms (building-room, panel-port as 1A-A01, cable B1-1A/B2-1A-1, strand .1, PBB and SBB) are those that plant records by ANSI/TIA-606 have;
expected texts are written out by hand from them.
"""

from __future__ import annotations

import itertools
import json
import random
from typing import Any

import pytest

from app import engine
from app.core.errors import Refused
from tests.core.judged import checks
from tests.made_links import FibreLink
from tests.making import Story, entry, id_of, new_id

Rows = dict[str, dict[str, Any]]


def rows(story: Story, link: str) -> Rows:
    with engine.opened(story.book, story.texts) as core:
        return {row["what"]: row for row in core("identifiers", link=link)["rows"]}


def values(story: Story, link: str) -> dict[str, str]:
    return {what: row["value"] for what, row in rows(story, link).items()}


def identifier(story: Story, link: str, what: str, text: str | None) -> str:
    return story.thing("identifier", f"{link}:identifier:{what}", link=link, what=what, value=text)


def end(story: Story, link: str, side: str, **fields: str) -> None:
    story.thing("end", f"{link}:{side}", link=link, side=side, **fields)


def two_links() -> tuple[Story, str, str]:
    """Two fibre links between the same two buildings, the second one from the other side."""
    story = Story()
    near, far = story.site_with_buildings()
    first = story.thing("link", name="East", medium="fibre", near_building=near, far_building=far, strands="2")
    second = story.thing("link", name="West", medium="fibre", near_building=far, far_building=near, strands="2")
    return story, first, second


def test_every_part_of_a_link_has_an_identifier_by_the_scheme() -> None:
    made = FibreLink()
    shown = {what.split(":")[0] + ":" + row["title"]: row["value"] for what, row in rows(made.story, made.link).items()}
    assert shown == {
        "building:Building, near end: Yard office": "B1",
        "space:Room or space, near end": "B1-1A",
        "panel:Socket or panel, near end": "B1-1A-A",
        "port:Port, near end": "B1-1A-A01",
        "bar:Bonding bar, near end": "B1-1A-PBB",
        "bond:Bond Cabinet to bar": "B1-1A-BC1",
        "cable:Cable": "B1-1A/B2-1A-1",
        "pathway:Pathway": "B1-1A/B2-1A-P1",
        "station:Station 2 Handhole H1": "H1",
        "station:Station 4 Marker M1": "M1",
        "station:Station 6 Closure C1": "C1",
        "station:Station 7 Bond Earth bar": "BP1",
        "building:Building, far end: Slip shed": "B2",
        "space:Room or space, far end": "B2-1A",
        "panel:Socket or panel, far end": "B2-1A-A",
        "port:Port, far end": "B2-1A-A01",
        "bar:Bonding bar, far end": "B2-1A-PBB",
        "protector:Surge protector Arrester 24 V, serial 9": "B2-1A-SP1",
        "strand:Fibre 1": "B1-1A/B2-1A-1.1",
        "strand:Fibre 2": "B1-1A/B2-1A-1.2",
    }


def test_links_between_the_same_buildings_share_building_and_room_and_nothing_else() -> None:
    story, first, second = two_links()
    one, other = values(story, first), values(story, second)
    assert one["cable"] == "B1-1A/B2-1A-1" and other["cable"] == "B2-1A/B1-1A-2"
    assert one["pathway"] == "B1-1A/B2-1A-P1" and other["pathway"] == "B2-1A/B1-1A-P2"
    assert one["port:near"] == "B1-1A-A01" and other["port:far"] == "B1-1A-B01"
    assert one["building:near"] == other["building:far"] == "B1"
    assert one["space:near"] == other["space:far"] == "B1-1A"
    shared = set(one.values()) & set(other.values())
    assert shared == {"B1", "B2", "B1-1A", "B2-1A"}
    assert not [row for row in rows(story, second).values() if row["same"]]


def test_what_is_recorded_comes_before_what_is_counted() -> None:
    story, link, _ = two_links()
    building = json.loads(story.texts[1])["body"]["subject"]
    story.thing("building", building, code="HQ")
    end(story, link, "near", space="2C", panel="Panel A, office rack", port="A12")
    end(story, link, "far", panel="WS", port="3")
    shown = values(story, link)
    assert shown["space:near"] == "HQ-2C" and shown["panel:near"] == "HQ-2C-A" and shown["port:near"] == "HQ-2C-A12"
    assert shown["panel:far"] == "B2-1A-WS" and shown["port:far"] == "B2-1A-WS03"
    assert shown["cable"] == "HQ-2C/B2-1A-1" and shown["strand:2"] == "HQ-2C/B2-1A-1.2"


def test_a_panel_with_a_long_name_gets_the_next_letter_and_keeps_its_ports_apart() -> None:
    story, first, second = two_links()
    end(story, first, "near", panel="Patch panel in the cellar", port="7")
    end(story, second, "far", panel="patch  panel in the CELLAR", port="8")
    assert values(story, first)["port:near"] == "B1-1A-A07"
    assert values(story, second)["port:far"] == "B1-1A-A08"
    end(story, second, "far", port="7")
    assert values(story, second)["port:far"] == "B1-1A-B07"  # one port holds one cable: that panel is another one


def test_a_building_whose_name_is_a_code_keeps_it() -> None:
    story = Story()
    near = story.thing("building", name="H2")
    far = story.thing("building", name="Weighbridge office")
    link = story.thing("link", name="L", medium="copper", near_building=near, far_building=far)
    assert values(story, link)["cable"] == "H2-1A/B1-1A-1"
    assert [what for what in values(story, link) if what.startswith("pair")] == ["pair:1", "pair:2", "pair:3", "pair:4"]


def test_a_second_room_of_a_building_has_a_secondary_bar() -> None:
    story = Story()
    near, far = story.site_with_buildings()
    links = [story.thing("link", name=name, medium="copper", near_building=near, far_building=far) for name in ("A", "B")]
    end(story, links[1], "near", space="3B")
    assert values(story, links[0])["bar:near"] == "B1-1A-PBB"
    assert values(story, links[1])["bar:near"] == "B1-3B-SBB"


def test_a_typed_identifier_stands_and_those_counted_from_it_follow() -> None:
    story, link, _ = two_links()
    identifier(story, link, "panel:near", "RACK7")
    story.thing("link", link, label="OFF-SHED-01")
    identifier(story, link, "strand:2", "Spare-B")
    shown = rows(story, link)
    assert shown["panel:near"]["value"] == "RACK7" and shown["panel:near"]["default"] == "B1-1A-A" and shown["panel:near"]["typed"]
    assert shown["port:near"]["value"] == "RACK7-01" and not shown["port:near"]["typed"]
    assert shown["cable"]["value"] == "OFF-SHED-01" and shown["cable"]["default"] == "B1-1A/B2-1A-1" and shown["cable"]["typed"]
    assert shown["strand:1"]["value"] == "OFF-SHED-01.1"
    assert shown["strand:2"]["value"] == "Spare-B" and shown["strand:2"]["default"] == "OFF-SHED-01.2"


def test_a_panel_that_two_links_share_is_named_once() -> None:
    story, first, second = two_links()
    end(story, first, "near", panel="Door cabinet", port="1")
    end(story, second, "far", panel="Door cabinet", port="2")
    identifier(story, first, "panel:near", "DC")
    shown = rows(story, second)
    assert shown["panel:far"]["value"] == "DC" and not shown["panel:far"]["typed"] and shown["panel:far"]["same"] == []
    assert shown["port:far"]["value"] == "DC02"


def test_a_cleared_identifier_goes_back_to_the_default() -> None:
    story, link, _ = two_links()
    identifier(story, link, "port:far", "X9")
    identifier(story, link, "port:far", None)
    row = rows(story, link)["port:far"]
    assert row["value"] == row["default"] == "B2-1A-A01" and not row["typed"]
    assert row["heads"] == [id_of(story.texts[-1])]


def test_a_counted_number_steps_over_one_that_somebody_typed() -> None:
    story, first, second = two_links()
    story.thing("link", first, label="b2-1a/b1-1a-2")
    assert values(story, second)["cable"] == "B2-1A/B1-1A-3"
    assert rows(story, first)["cable"]["same"] == []


def test_a_number_that_is_on_a_label_does_not_move_when_something_before_it_is_taken_off_or_something_is_added() -> None:
    story, first, second = two_links()
    holes = [story.thing("station", link=second, type="handhole", order=str(place), name="") for place in (1, 2)]
    before = values(story, second)
    assert [before[f"station:{hole}"] for hole in holes] == ["HH1", "HH2"]
    story.thing("link", first, withdrawn="Not built")
    story.thing("station", holes[0], link=second, withdrawn="Filled in")
    story.thing("station", link=second, type="handhole", order="0", name="")
    after = values(story, second)
    assert after["cable"] == before["cable"] and after[f"station:{holes[1]}"] == "HH2"


def test_an_identifier_typed_twice_is_pointed_out_on_both() -> None:
    story, first, second = two_links()
    identifier(story, first, "port:near", "P-1")
    identifier(story, second, "port:near", "p-1 ")
    assert rows(story, first)["port:near"]["same"] == ["Port, near end (West)"]
    assert rows(story, second)["port:near"]["same"] == ["Port, near end (East)"]
    identifier(story, first, "strand:1", "P-1")
    assert rows(story, first)["strand:1"]["same"] == ["Port, near end (East)", "Port, near end (West)"]


def test_two_phones_that_did_not_see_each_other_leave_both_values_and_an_open_check() -> None:
    story, link, _ = two_links()
    subject = f"{link}:identifier:port:near"
    for text, by in (("A-07", "Ann"), ("A-08", "Ben")):
        story.add("identifier", {"subject": subject, "link": link, "what": "port:near", "value": text}, by=by)
    row = rows(story, link)["port:near"]
    assert {one["value"] for one in row["also"]} == {"A-07", "A-08"} and len(row["heads"]) == 2
    check = checks(story, link)[f"unsettled:subject={subject}:field=value"]
    assert check["verdict"] == "not_measured" and check["title"] == "Two values stand: identifier of the near end's port"
    story.add("identifier", {"subject": subject, "link": link, "what": "port:near", "value": "A-08"}, replaces=row["heads"])
    assert rows(story, link)["port:near"]["also"] == []


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"what": "roof:near"}, "what"),
        ({"what": "port:left"}, "what"),
        ({"what": "strand:01"}, "what"),
        ({"what": "station:1"}, "what"),
        ({"what": None}, "what"),
        ({"subject": "x:identifier:port:near"}, "subject"),
        ({"value": ""}, "value"),
        ({"value": " \t\n"}, "value"),
        ({"value": None}, "value"),
        ({"value": 7}, "value"),
        ({"value": "x" * 301}, "value"),
        ({"link": "elsewhere"}, "subject"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_a_malformed_identifier_is_refused_by_its_field(change: dict[str, Any], field: str) -> None:
    link = new_id()
    body = {"subject": f"{link}:identifier:port:near", "link": link, "what": "port:near", "value": "A-01", **change}
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=entry("identifier", body))
    assert refused.value.as_dict()["field"] == field


def test_any_order_of_arrival_gives_the_same_identifiers() -> None:
    story, first, second = two_links()
    end(story, first, "near", panel="Cabinet by the door")
    identifier(story, second, "bar:near", "MAIN-BAR")
    for name in ("Gate", "Gate", "G-1"):
        story.thing("station", link=second, type="handhole", order="1", name=name)
    wanted = [values(story, link) for link in (first, second)]
    for seed in range(5):
        random.Random(seed).shuffle(story.texts)
        assert [values(story, link) for link in (first, second)] == wanted


def test_no_two_defaults_of_a_book_are_alike_however_it_is_filled() -> None:
    for seed in range(20):
        draw = random.Random(seed)
        story = Story()
        buildings = [story.thing("building", name=draw.choice(["B1", "B2", "Shed", "b1", "HQ", "Mill <b>"])) for _ in range(3)]
        links = []
        for _ in range(5):
            near, far = draw.choice(buildings), draw.choice(buildings)
            link = story.thing("link", name="L", medium=draw.choice(["fibre", "copper"]), strands="3", near_building=near, far_building=far)
            for side in ("near", "far"):
                end(story, link, side, panel=draw.choice(["", "A", "B", "Panel", "A1"]), port=draw.choice(["", "1", "01", "A1", "x/y"]))
            for kind in ("bond", "protector"):
                story.thing(kind, link=link, side=draw.choice(["near", "far"]), name="One")
            for order in "12":
                story.thing("station", link=link, type=draw.choice(["handhole", "marker"]), order=order, name=draw.choice(["", "HH2", "H"]))
            links.append(link)
        found = itertools.chain.from_iterable(rows(story, link).values() for link in links)
        own = [row["default"] for row in found if row["what"].split(":")[0] not in ("building", "space", "panel", "bar")]
        assert len(own) == len(set(own)), (seed, sorted(text for text in own if own.count(text) > 1))


def test_a_link_of_more_fibres_than_there_are_rows_says_how_many_are_left_out() -> None:
    story, link, _ = two_links()
    story.thing("link", link, strands="1000")
    with engine.opened(story.book, story.texts) as core:
        found = core("identifiers", link=link)
    assert found["left_out"] == 424
    assert len([row for row in found["rows"] if row["group"] == "strands"]) == 576
    assert found["link_code"] == link[-12:].upper()


def test_a_link_without_buildings_and_kind_still_has_identifiers() -> None:
    story = Story()
    link = story.thing("link", name="?")
    shown = rows(story, link)
    assert shown["cable"]["value"] == "B0-1A/B0-1A-1" and shown["building:near"]["edit"] is None


def test_a_seal_covers_identifiers() -> None:
    story, link, _ = two_links()
    identifier(story, link, "port:near", "A-07")
    with engine.opened(story.book, story.texts) as core:
        assert id_of(story.texts[-1]) in [row[0] for row in core("cover", link=link)["entries"]]
