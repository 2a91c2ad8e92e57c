"""The sign-off list: what a link of each kind and metal needs before anyone signs it, and how each item stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from app import engine
from app.core import sign_off_tests
from seed_data import drawings, make
from tests.made_links import FibreLink
from tests.making import Story, value

MEDIA = ["copper", "extended", "fibre"]
METER = {"name": "Multimeter", "serial": "MM-1"}


def asked(story: Story, link: str, op: str = "sign_off") -> dict[str, Any]:
    with engine.opened(story.book, story.texts) as core:
        return core(op, link=link)


def items(story: Story, link: str) -> dict[str, dict[str, Any]]:
    return {item["id"]: item for item in asked(story, link)["items"]}


def accept(story: Story, link: str, check: str, reason: str = "Agreed on site") -> str:
    return story.add("deviation", {"link": link, "check": check, "reason": reason, "name": "C. Client"})


@pytest.fixture(scope="module")
def told() -> Iterator[Any]:
    """The demo's links, with checks of nearly every rule."""
    writer, _ = make.tell({name: name.encode() for name in drawings.NAMES})
    with engine.opened(writer.book, writer.texts) as core:
        yield core


# ---- which check belongs where


def test_every_required_check_of_all_three_media_belongs_to_exactly_one_item(told):
    seen = set()
    for link in told("book")["links"]:
        checks = told("checks", link=link["id"])["checks"]
        gathered = sign_off_tests.gathered(checks)
        held = Counter(check["id"] for _, own in gathered for check in own)
        assert held == Counter(check["id"] for check in checks if check["required"])
        listed = told("sign_off", link=link["id"])["items"]
        assert len({item["id"] for item in listed}) == len(listed)
        assert {item for item, _ in gathered} <= {item["id"] for item in listed}
        seen.add(link["medium"])
    assert seen == set(MEDIA)


@pytest.mark.parametrize("medium", MEDIA)
def test_on_a_link_with_nothing_recorded_every_required_check_is_named_by_one_item(medium):
    story = Story()
    link = story.link(medium)
    required = [check["id"] for check in asked(story, link, "checks")["checks"] if check["required"]]
    named = [check for item in asked(story, link)["items"] for check in item["checks"]]
    assert sorted(named) == sorted(required)
    assert {item["state"] for item in asked(story, link)["items"]} <= {"missing", "done"}


def test_no_rule_belongs_to_two_items_and_each_item_has_its_title():
    rules = [rule for held in sign_off_tests._OF_RULE.values() for rule in held]
    assert len(rules) == len(set(rules))
    assert set(sign_off_tests._OF_RULE) <= set(sign_off_tests.TITLES)


def test_a_check_of_a_rule_that_the_list_does_not_know_is_gathered_under_its_group():
    check = {"rule": "something_new", "group": "power", "required": True}
    assert sign_off_tests.gathered([check]) == [["power", [check]]]
    assert sign_off_tests.title_of("power", "power") == "Power"


# ---- how items stand


def test_an_item_counts_what_passes_and_what_is_not_measured_and_says_what_to_measure_next():
    # ISO/IEC 14763-3: every strand at both wavelengths of its kind; three readings of four strand-wavelengths leave one.
    story = Story()
    link = story.link("fibre", fibre="OS2", strands="2", connections="2", splices="0", limit_set="iso-14763-3-2024")
    reference = {"method": "one_cord", "reference_at": "2026-03-14T10:05:00.000+01:00", "reference_value": value("-10", "dBm")}
    for strand, wavelength in (("1", "1310"), ("1", "1550"), ("2", "1310")):
        marks = {"strand": strand, "wavelength": wavelength, "direction": "near_to_far"}
        story.reading(link, "optical_loss", "0.2", "dB", **marks, **reference)
    story.thing("station", link=link, type="building_entry", order="1", mark="100")
    story.thing("station", link=link, type="building_entry", order="2", mark="180")
    loss = items(story, link)["loss"]
    assert (loss["state"], loss["detail"]) == ("missing", "3 of 4 pass, 1 not measured")
    assert (loss["form"]["quantity"], loss["form"]["strand"], loss["form"]["wavelength"]) == ("optical_loss", "2", "1550")
    assert loss["accept"] == loss["checks"] == ["fibre_loss:strand=2:wavelength=1550:direction=near_to_far"]


def test_a_failing_check_makes_its_item_failing_until_it_is_accepted_with_reason_and_name():
    story = Story()
    link = story.link("fibre", cable_metal="open")
    assert items(story, link)["metal"]["state"] == "failing"
    accept(story, link, "cable_metal", "To be bonded next week")
    metal = items(story, link)["metal"]
    assert (metal["state"], metal["accept"]) == ("accepted", [])
    assert (metal["deviation"]["reason"], metal["deviation"]["name"]) == ("To be bonded next week", "C. Client")


def test_a_field_that_a_check_waits_for_is_named_so_that_a_form_can_open_on_it():
    story = Story()
    link = story.link("copper", setup="channel")
    assert items(story, link)["swept"]["edit"] == {"kind": "link", "subject": link, "field": "category"}


def test_protectors_bonds_and_stations_that_lack_are_put_down_from_the_list():
    """Each leads to the form of a new one, at the first end that has none."""
    story = Story()
    link = story.link("copper", screened="yes")
    assert items(story, link)["protectors"]["edit"] == {"kind": "protector", "subject": "new", "field": "name", "side": "near"}
    assert items(story, link)["screen_bonds"]["edit"] == {"kind": "bond", "subject": "new", "field": "name", "side": "near"}
    assert items(story, link)["route"]["edit"] == {"kind": "station", "subject": "new", "field": "type"}
    for kind in ("protector", "bond"):
        story.thing(kind, link=link, side="near", name="One of the near end")
    assert items(story, link)["protectors"]["edit"]["side"] == items(story, link)["screen_bonds"]["edit"]["side"] == "far"
    for kind in ("protector", "bond"):
        story.thing(kind, link=link, side="far", name="One of the far end")
    assert items(story, link)["screen_bonds"]["edit"] is None
    # What is left is the length of an earth lead, a field of one that is there.
    left = items(story, link)["protectors"]["edit"]
    assert (left["kind"], left["subject"] != "new", left["field"]) == ("protector", True, "lead_length")


# ---- what has to be written down


@pytest.mark.parametrize("medium", MEDIA)
def test_cable_metal_laying_ends_and_instruments_have_to_be_written_down(medium):
    story = Story()
    link = story.link(medium)
    held = items(story, link)
    written = [item for item in held if held[item]["group"] == "written"]
    ends = [side + what for what in ("_termination", "_equipment") for side in ("near", "far")]
    assert written == ["cable", "metal_known", "laying", "services", *ends, "instruments_named"]
    assert [item for item in written if held[item]["state"] == "done"] == ["instruments_named"]  # no reading yet
    metal = "cable_metal" if medium == "fibre" else "screened"
    assert held["metal_known"]["edit"] == {"kind": "link", "subject": link, "field": metal}


def test_what_is_written_down_is_said_in_its_own_words():
    # ANSI/TIA-606: a link's record has cable type, both ends with their connector and panel.
    story = Story()
    link = story.link("fibre", cable="OUTDOOR 4 x OS2 PE", cable_metal="none", laying="aerial")
    story.thing("end", f"{link}:near", link=link, side="near", panel="Panel A", port="A5", connector="LC", equipment="Switch")
    held = items(story, link)
    shown = {item: held[item]["detail"] for item in held if held[item]["state"] == "done"}
    assert shown["cable"] == "OUTDOOR 4 x OS2 PE"
    assert shown["metal_known"] == "No metal at all"
    assert shown["laying"] == "Aerial"
    assert shown["near_termination"] == "Panel A, port A5, LC"
    assert shown["near_equipment"] == "Switch"
    assert held["far_equipment"]["state"] == "missing"


def test_a_termination_without_its_connector_says_which_part_lacks():
    story = Story()
    link = story.link("copper")
    story.thing("end", f"{link}:near", link=link, side="near", panel="Panel A", port="A5")
    near = items(story, link)["near_termination"]
    assert (near["state"], near["detail"]) == ("missing", "Not written down: connector")
    assert near["edit"] == {"kind": "end", "subject": f"{link}:near", "field": "connector"}


@pytest.mark.parametrize(
    ("laying", "asked_for"), [("duct", True), ("direct", True), (None, True), ("aerial", False), ("surface", False)]
)
def test_services_of_others_are_asked_for_where_the_cable_lies_in_the_ground_or_nobody_said_where(laying, asked_for):
    # 29 CFR 1926.651(b): buried services are located before ground is broken.
    story = Story()
    link = story.link("fibre", **({"laying": laying} if laying else {}))
    assert ("services" in items(story, link)) is asked_for


@pytest.mark.parametrize(
    ("fields", "state"),
    [
        ({}, "missing"),
        ({"services_located": "yes"}, "missing"),
        ({"services_located": "yes", "services_reference": "LOC-17"}, "done"),
        ({"services_located": "nothing_near"}, "done"),
        ({"services_located": "no"}, "done"),
    ],
)
def test_that_services_were_located_needs_its_reference_while_a_plain_no_is_an_answer(fields, state):
    story = Story()
    link = story.link("fibre", laying="duct", **fields)
    assert items(story, link)["services"]["state"] == state


@pytest.mark.parametrize(("sides", "state"), [((), "missing"), (("near",), "missing"), (("near", "far"), "done")])
def test_the_screen_of_copper_needs_a_bond_recorded_at_both_ends(sides, state):
    story = Story()
    link = story.link("copper", screened="yes")
    for side in sides:
        story.thing("bond", link=link, side=side, name="Panel to bar")
    assert items(story, link)["screen_bonds"]["state"] == state


def test_copper_without_a_screen_and_fibre_are_not_asked_for_bonds_of_a_screen():
    for medium, fields in (("copper", {"screened": "no"}), ("extended", {}), ("fibre", {"cable_metal": "bonded"})):
        story = Story()
        assert "screen_bonds" not in items(story, story.link(medium, **fields))


def test_a_reading_whose_instrument_has_no_serial_is_counted_until_it_is_voided():
    story = Story()
    link = story.link("extended")
    story.reading(link, "earth_difference_ac", "0.2", "V", instrument=METER)
    bare = story.reading(link, "earth_difference_dc", "0.1", "V", instrument={"name": "Multimeter"})
    named = items(story, link)["instruments_named"]
    assert (named["state"], named["detail"]) == ("missing", "Not given with 1 of 2 readings")
    story.add("void", {"link": link, "reading": bare, "reason": "Taken again with a meter that has its serial"})
    assert items(story, link)["instruments_named"]["state"] == "done"


def test_what_equipment_says_of_itself_needs_no_instrument():
    story = Story()
    link = story.link("fibre")
    story.reading(link, "negotiated_rate", "1", "Gbit/s")
    assert items(story, link)["instruments_named"]["state"] == "done"


def test_what_is_not_written_down_is_accepted_by_naming_its_item():
    story = Story()
    link = story.link("fibre")
    assert items(story, link)["far_equipment"]["accept"] == ["item:far_equipment"]
    accept(story, link, "item:far_equipment", "Comes with the next job")
    far = items(story, link)["far_equipment"]
    assert (far["state"], far["accept"], far["deviation"]["name"]) == ("accepted", [], "C. Client")
    story.thing("end", f"{link}:far", link=link, side="far", equipment="Switch SW-8")
    far = items(story, link)["far_equipment"]
    assert (far["state"], far["deviation"]) == ("done", None)


# ---- the list as a whole


def test_photos_are_never_asked_for():
    without = FibreLink(photos=0)
    assert not [item for item in items(without.story, without.link).values() if "hoto" in item["title"] + item["detail"]]


def test_counts_and_readiness_follow_the_items():
    made = FibreLink()
    off = asked(made.story, made.link)
    assert off["counts"] == {
        **dict.fromkeys(("done", "failing", "missing", "accepted"), 0),
        **Counter(item["state"] for item in off["items"]),
    }
    assert off["ready"] is False
    for item in off["items"]:
        for named in item["accept"]:
            accept(made.story, made.link, named)
    off = asked(made.story, made.link)
    assert off["ready"] is True
    assert off["counts"]["failing"] == off["counts"]["missing"] == 0


def test_a_link_is_ready_to_sign_only_when_nothing_on_the_list_is_open():
    made = FibreLink()
    for item in asked(made.story, made.link)["items"]:
        for named in item["accept"]:
            if not named.startswith("item:"):
                accept(made.story, made.link, named)
    assert asked(made.story, made.link, "checks")["summary"]["open"] == 0
    assert asked(made.story, made.link, "checks")["summary"]["state"] == "part recorded"
    for item in asked(made.story, made.link)["items"]:
        for named in item["accept"]:
            accept(made.story, made.link, named)
    summary = asked(made.story, made.link, "checks")["summary"]
    assert summary["state"] == "ready to sign"
    # What was accepted without a check is a deviation as any other, so that the verdict's words count what the record lists.
    assert summary["deviations"] == len(asked(made.story, made.link, "link")["deviations"])


def test_the_demos_signed_link_has_nothing_open_and_one_thing_accepted(told):
    (signed,) = [link for link in told("book")["links"] if link["name"] == "Office to press house"]
    off = told("sign_off", link=signed["id"])
    assert off["ready"]
    assert [(item["id"], item["state"]) for item in off["items"] if item["state"] != "done"] == [("depth", "accepted")]
    assert [stop["id"] for stop in off["stops"]] == ["storm"]


def test_a_link_that_the_book_has_not_is_refused():
    story = Story()
    story.site_with_buildings()
    with pytest.raises(engine.Refused) as refused:
        asked(story, "01990000-0000-7000-8000-00000000ffff")
    assert refused.value.code == "unknown"
