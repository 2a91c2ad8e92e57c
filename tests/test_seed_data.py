"""The demo book is what its generator makes, core takes all of it, and each link is in the state that its story tells."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterator
from typing import Any

import pytest
from PIL import Image

from app import engine
from app.core.moments import milliseconds
from seed_data import drawings, make

PHOTOS = make.FOLDER / "photos"
SIGNED, POWERED, CLAD, BEGUN = (
    "Office to press house",
    "Office to cellar, gate camera",
    "Press house to cellar",
    "Office to cellar, fibre",
)


@pytest.fixture(scope="module")
def committed() -> dict[str, Any]:
    return json.loads((make.FOLDER / "book.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def entries(committed: dict[str, Any]) -> list[dict[str, Any]]:
    return [json.loads(text) for text in committed["entries"]]


@pytest.fixture(scope="module")
def core(committed: dict[str, Any]) -> Iterator[Any]:
    with engine.opened(committed["book"], committed["entries"]) as opened:
        yield opened


@pytest.fixture(scope="module")
def links(core: Any) -> dict[str, dict[str, Any]]:
    return {link["name"]: link for link in core("book")["links"]}


def checks_of(core: Any, links: dict[str, dict[str, Any]], name: str) -> list[dict[str, Any]]:
    return core("checks", link=links[name]["id"])["checks"]


def failing(checks: list[dict[str, Any]]) -> set[str]:
    return {check["rule"] for check in checks if check["required"] and check["verdict"].startswith("fail")}


def photo_bodies(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [entry["body"] for entry in entries if entry["kind"] == "photo"]


def test_the_committed_book_is_what_the_generator_makes_with_the_committed_photos(committed, entries):
    _, album = make.tell({name: name.encode() for name in drawings.NAMES})
    held = [(PHOTOS / f"{body['sha256']}.jpg").read_bytes() for body in photo_bodies(entries)]
    assert make.book_text(dict(zip(album.used, held, strict=True))) == (make.FOLDER / "book.json").read_text(encoding="utf-8")


def test_the_generator_writes_every_drawing_and_a_book_that_names_it(tmp_path):
    make.write(tmp_path)
    written = {path.stem: path.read_bytes() for path in (tmp_path / "photos").glob("*.jpg")}
    made = json.loads((tmp_path / "book.json").read_text(encoding="utf-8"))
    named = {body["sha256"] for body in photo_bodies([json.loads(text) for text in made["entries"]])}
    assert set(written) == named
    assert len(written) == len(drawings.NAMES)
    assert all(Image.open(io.BytesIO(jpeg)).size == (1280, 960) for jpeg in written.values())


def test_a_drawing_that_the_story_leaves_out_is_refused():
    pictures = {name: name.encode() for name in [*drawings.NAMES, "forgotten"]}
    with pytest.raises(ValueError, match="nowhere in the story: forgotten"):
        make.book_text(pictures)


def test_every_photo_is_there_under_its_hash_with_its_size_as_the_entry_says(entries):
    bodies = photo_bodies(entries)
    assert {path.stem for path in PHOTOS.glob("*.jpg")} == {body["sha256"] for body in bodies}
    for body in bodies:
        jpeg = (PHOTOS / f"{body['sha256']}.jpg").read_bytes()
        assert hashlib.sha256(jpeg).hexdigest() == body["sha256"]
        assert len(jpeg) == body["bytes"]
        picture = Image.open(io.BytesIO(jpeg))
        assert (picture.format, picture.size) == ("JPEG", (body["width"], body["height"]))


def test_the_photos_stay_small():
    assert sum(path.stat().st_size for path in PHOTOS.glob("*.jpg")) < 1_000_000


def test_core_takes_every_entry(committed):
    for text in committed["entries"]:
        found = engine.call("check_entry", text=text)
        assert found["known"], text
        assert found["book"] == committed["book"]


def test_ids_are_of_version_7_carry_their_time_and_ascend(entries):
    ids = [entry["id"] for entry in entries]
    assert ids == sorted(ids)
    assert len(set(ids)) == len(ids)
    for entry in entries:
        assert entry["id"][14] == "7"
        assert entry["id"][19] in "89ab"
        assert int(entry["id"][:8] + entry["id"][9:13], 16) == milliseconds(entry["at"])


def test_every_place_lies_in_the_open_ocean_that_the_readme_names(entries):
    positions = [entry["body"]["position"] for entry in entries if entry["body"].get("position")]
    assert len(positions) >= 20
    for position in positions:
        assert abs(float(position["lat"]) - 44.0) < 0.01
        assert abs(float(position["lon"]) + 29.0) < 0.01


def test_each_link_is_in_the_state_that_the_story_tells(links):
    states = {name: link["state"] for name, link in links.items()}
    assert states == {SIGNED: "signed", POWERED: "failing", CLAD: "failing", BEGUN: "part recorded"}


def test_the_signed_link_has_one_deviation_and_nothing_open(core, links):
    checks = checks_of(core, links, SIGNED)
    accepted = [check["rule"] for check in checks if check["deviation"]]
    assert accepted == ["burial_depth"]
    assert failing(checks) == {"burial_depth"}


def test_the_signed_link_has_a_good_loss_margin(core, links):
    # ISO/IEC 14763-3:2024 by hand: 0.4 dB/km x 0.4255 km + 2 x 0.70 dB + 2 x 0.30 dB = 2.1702 dB; the worst reading is 0.72 dB.
    losses = [check for check in checks_of(core, links, SIGNED) if check["rule"] == "fibre_loss"]
    assert len(losses) == 12
    assert {check["limit"]["text"] for check in losses} == {"2.17"}
    assert min(float(check["margin"]["text"]) for check in losses) == 1.45


def test_the_light_that_arrives_on_the_signed_link_is_what_its_loss_lets_expect(core, links):
    # By hand: sent -11 to -3 dBm, losses 0.58 to 0.72 dB at 1310 nm: -11.72 to -3.58 dBm; read -6.9 and -7.1 dBm.
    rows = [check for check in checks_of(core, links, SIGNED) if check["rule"] == "light_received"]
    assert [check["measured"]["text"] for check in rows] == ["-6.90", "-6.90", "-7.10", "-7.10"]
    assert {check["verdict"] for check in rows} == {"pass"}
    assert all(check["notes"][0].endswith(": -11.72 to -3.58 dBm.") for check in rows)


def test_the_seal_covers_all_of_its_link_and_holds(core, links):
    link = core("link", link=links[SIGNED]["id"])
    (seal,) = link["seals"]
    assert seal["sound"]
    assert (seal["after"], seal["missing"], seal["differs"]) == ([], [], [])
    assert seal["digest"] == core("cover", link=link["id"])["digest"]
    assert [signed["role"] for signed in seal["signatures"]] == ["installer", "client"]
    for signed in seal["signatures"]:
        for x, y in [point for stroke in signed["strokes"] for point in stroke]:
            assert 0 <= x <= signed["width"]
            assert 0 <= y <= signed["height"]


def test_the_sealed_verdicts_are_those_that_the_checks_give_today(core, links):
    link = core("link", link=links[SIGNED]["id"])
    today = {check["id"]: check["verdict"] for check in checks_of(core, links, SIGNED)}
    assert {row["check"]: row["verdict"] for row in link["seals"][0]["verdicts"]} == today


def test_a_voided_reading_gives_its_reason_and_was_taken_again(core, links):
    readings = core("link", link=links[SIGNED]["id"])["readings"]
    voided = [reading for reading in readings if reading["voided"] and reading["body"]["quantity"] == "optical_loss"]
    assert [reading["text"] for reading in voided] == ["2.61 dB"]
    assert "Dirty connector" in voided[0]["voided"]["reason"]
    marks = ("strand", "wavelength", "direction")
    again = [
        reading["text"]
        for reading in readings
        if not reading["voided"]
        and reading["body"]["quantity"] == "optical_loss"
        and [reading["body"].get(mark) for mark in marks] == [voided[0]["body"][mark] for mark in marks]
    ]
    assert again == ["0.66 dB"]


@pytest.mark.parametrize("name", [SIGNED, POWERED, CLAD])
def test_nothing_required_is_left_to_measure_on_a_tested_link(core, links, name):
    waiting = [check["id"] for check in checks_of(core, links, name) if check["required"] and check["verdict"] == "not_measured"]
    assert waiting == []


def test_the_powered_link_fails_on_its_far_end_voltage_and_on_nothing_else(core, links):
    checks = checks_of(core, links, POWERED)
    assert failing(checks) == {"far_voltage", "far_voltage_calculated"}
    measured, calculated = [check for check in checks if check["rule"].startswith("far_voltage")]
    assert (measured["measured"]["text"], measured["limit"]["text"]) == ("33.4", "37.0")
    # By hand: mean loop 43.625 ohm at 14 degC is 46.435 ohm at 30 degC (1.0393 / 0.97642), R = 23.217 ohm,
    # V = (47.6 + sqrt(47.6^2 - 4 x 23.217 x 22)) / 2 = 31.26 V.
    assert calculated["measured"]["text"] == "31.3"


def test_the_clad_copper_link_fails_on_its_material_and_on_nothing_else(core, links):
    checks = checks_of(core, links, CLAD)
    assert failing(checks) == {"material"}
    # By hand: 23 AWG copper has 66.78 ohm/km at 20 degC, so 71 m of pair at 13 degC has 9.483 x 0.97249 = 9.222 ohm; 15.0 / 9.222 = 1.63.
    ratios = {check["id"]: check["measured"]["text"] for check in checks if check["rule"] == "material"}
    assert ratios["material:pair=7-8"] == "1.63"
    assert len(ratios) == 4


def test_the_certifiers_own_margins_agree_with_core(core, links, entries):
    shown = {
        entry["id"]: entry["body"]["shown_margin"]["value"]
        for entry in entries
        if entry["kind"] == "reading" and "shown_margin" in entry["body"]
    }
    worst = [check for check in checks_of(core, links, CLAD) if check["rule"] in ("insertion_loss", "next", "return_loss")]
    assert len(worst) == len(shown) == 2
    for check in worst:
        assert shown[check["readings"][0]] == check["margin"]["text"], check["title"]


def test_the_clad_copper_link_was_swept_from_the_near_end_and_passes_over_all_frequencies(core, links):
    swept = [check for check in checks_of(core, links, CLAD) if check["rule"].endswith("_sweep")]
    taken = [check for check in swept if "from=" not in check["id"]]
    assert len(taken) == 14  # four of loss, six of NEXT, four of return loss; beside them power sums worked out from NEXT
    assert {check["rule"] for check in swept} == {"insertion_loss_sweep", "next_sweep", "psnext_sweep", "return_loss_sweep"}
    assert {check["verdict"] for check in swept} == {"pass"}


def test_the_signed_fibre_was_looked_at_along_its_length_from_both_ends(core, links):
    checks = checks_of(core, links, SIGNED)
    events = [check for check in checks if check["rule"] in ("connector_loss", "loss_point")]
    assert len(events) == 12  # two strands at two wavelengths, three events each
    assert {check["verdict"] for check in events} == {"pass"}
    (loop,) = [check for check in events if check["id"].startswith("loss_point:strand=2:wavelength=1310")]
    assert "Handhole 2" in loop["title"]
    assert loop["measured"]["text"] == "0.02"  # (0.05 - 0.01) / 2


def test_every_electrode_was_read_by_fall_of_potential_and_holds_its_plateau(core, links):
    checks = checks_of(core, links, POWERED)
    plateaus = [check for check in checks if check["rule"] == "earth_plateau"]
    assert [check["verdict"] for check in plateaus] == ["pass", "pass"]
    measured = {check["id"]: check["measured"]["text"] for check in checks if check["rule"] == "electrode"}
    assert measured == {"electrode:side=near": "11.4", "electrode:side=far": "18.2"}


def test_the_powered_link_feeds_two_loads(core, links):
    fed = [check for check in checks_of(core, links, POWERED) if check["rule"] == "load_fed"]
    assert {check["title"] for check in fed} == {"Fed: Gate camera GC-2", "Fed: Heater of its housing"}


def test_the_begun_link_holds_two_depths_that_nobody_has_settled(core, links):
    (conflict,) = core("link", link=links[BEGUN]["id"])["conflicts"]
    assert conflict["field"] == "depth"
    assert sorted(value["value"]["value"] for value in conflict["values"]) == ["460", "520"]
    assert len({value["by"] for value in conflict["values"]}) == 2


def test_the_begun_link_has_a_tight_bend_accepted_for_the_night_and_much_left_to_measure(core, links):
    checks = checks_of(core, links, BEGUN)
    (ends,) = [check for check in checks if check["rule"] == "route_ends"]
    assert ends["sentence"] == "Not measured: the route recorded so far ends at End of row 9."
    (bend,) = [check for check in checks if check["rule"] == "bend_radius"]
    # Ten times the cable's 8.2 mm.
    assert (bend["measured"]["text"], bend["limit"]["text"], bend["verdict"]) == ("60.0", "82.0", "fail")
    assert bend["deviation"]
    assert links[BEGUN]["summary"]["not_measured"] >= 5


def test_a_record_and_every_picture_can_be_made_of_each_link(core, links):
    for link in links.values():
        record = core("record", link=link["id"], made_at="2026-03-20T10:00:00.000-02:00")
        assert len(record["sections"]) > 5
        for which in ("plan", "strip", "bars"):
            assert core("picture", link=link["id"], which=which)["svg"].startswith("<svg")


def test_the_taped_ties_of_the_handhole_are_its_distances_from_the_office_corners(core, links):
    # Taped from the corners at 9 m east, 5 m north and south of the office's middle to a place 24 m east and 3 m north of it.
    stations = core("link", link=links[SIGNED]["id"])["stations"]
    (handhole,) = [station for station in stations if station["type"] == "handhole"]
    assert [tie["distance"]["value"] for tie in handhole["fields"]["ties"]["value"]] == ["15.13", "17.00"]
