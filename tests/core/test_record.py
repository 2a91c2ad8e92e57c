"""The record model: every section there, every number as the checks and the installer wrote it."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest

from app import engine
from app.core import record
from tests.handover.sealed import seal
from tests.made_checks import all_verdicts, summary
from tests.made_links import FibreLink, photo_sha256, sign
from tests.making import Story, value

MADE_AT = "2026-03-15T08:00:00.000+01:00"
NO_COVER: dict[str, Any] = {"entries": [], "photos": [], "digest": "00" * 32}


def record_of(story: Story, link: str) -> dict[str, Any]:
    engine.call("open", book=story.book, entries=story.texts)
    made: dict[str, Any] = engine.call("record", book=story.book, link=link, made_at=MADE_AT)
    return made


def section(model: dict[str, Any], name: str) -> dict[str, Any]:
    return next(held for held in model["sections"] if held["id"] == name)


def rows(model: dict[str, Any], name: str) -> dict[str, str]:
    return {label: text for block in section(model, name)["blocks"] if block["form"] == "rows" for label, text in block["rows"]}


def tables(model: dict[str, Any], name: str) -> list[dict[str, Any]]:
    return [block for block in section(model, name)["blocks"] if block["form"] == "table"]


def cells(table: dict[str, Any], column: str) -> list[str]:
    place = table["head"].index(column)
    return [row[place] for row in table["rows"]]


def judged(checks: list[dict[str, Any]], applications: list[dict[str, Any]] | None = None) -> dict[str, Any]:
    """The record of a real link view with given check rows."""
    made = FibreLink()
    engine.call("open", book=made.story.book, entries=made.story.texts)
    link = engine.call("link", book=made.story.book, link=made.link)
    book = engine.call("book", book=made.story.book)
    return record.build(book, link, checks, summary(checks), applications or [], NO_COVER, MADE_AT)


def test_the_head_says_who_where_and_what() -> None:
    made = FibreLink()
    model = record_of(made.story, made.link)
    identity = dict(model["identity"])
    assert model["title"] == "Commissioning record: Office to slip shed"
    assert identity["Client"] == "Tidewater Boats" and identity["Job number"] == "B-2026-014"
    assert identity["Kind"] == "Optical fibre" and identity["Near end"] == "Yard office, Wall box A, 1 and 2"


def test_an_unsigned_record_says_so_on_its_cover_and_at_every_foot() -> None:
    made = FibreLink()
    model = record_of(made.story, made.link)
    assert rows(model, "verdict")["Signed"].startswith("Not signed.")
    assert model["footer"][1].startswith("Not signed")
    assert section(model, "signatures")["blocks"] == [{"form": "text", "lines": ["Not signed."]}]


def test_a_signed_record_names_people_revision_and_the_digest_anyone_can_work_out() -> None:
    made = FibreLink(signed=True)
    model = record_of(made.story, made.link)
    assert (
        rows(model, "verdict")["Signed"]
        == "Revision 1, 2026-03-14 16:03 (+01:00), by A. Installer (Installer); C. Client (For the client)"
    )
    held = sorted((json.loads(text)["id"], text) for text in made.story.texts if json.loads(text)["kind"] != "seal")
    lines = [f"{name} {hashlib.sha256(text.encode()).hexdigest()}\n" for name, text in held]
    lines += [f"photo {photo_sha256(number)}\n" for number in (0, 1)]
    digest = hashlib.sha256("".join(lines).encode()).hexdigest()
    covered = rows(model, "covered")
    assert covered["Signed digest"] == covered["Digest now"] == digest
    assert covered["Signed entries"] == str(len(held)) and covered["Signed photos"] == "2"
    assert model["footer"] == ["Office to slip shed", "Revision 1, digest " + digest[:16]]
    assert [item["name"] for item in section(model, "signatures")["blocks"][0]["items"]] == ["A. Installer", "C. Client"]


def test_what_comes_after_signing_is_counted_on_the_cover_and_a_new_seal_is_the_next_revision() -> None:
    made = FibreLink(signed=True)
    made.story.add("note", {"link": made.link, "of": None, "text": "Mower cut the marker"}, at="2026-05-01T09:00:00.000+02:00")
    model = record_of(made.story, made.link)
    assert rows(model, "verdict")["After signing"] == "1 entry that came after signing is not covered by the signatures."
    assert rows(model, "covered")["Entries after signing"] == "1"
    assert model["footer"][1].endswith("changed after signing")
    sign(made.story, made.link, 2)
    model = record_of(made.story, made.link)
    assert "After signing" not in rows(model, "verdict")
    assert cells(tables(model, "signatures")[0], "Earlier revision") == ["1"]


def test_stations_carry_chainage_mark_depth_duct_bend_place_and_ties() -> None:
    """Chainages by hand from the marks: 1034-1012 = 22; 1071-1040 = 31 more; 1150-1118 = 32 after the loop."""
    made = FibreLink()
    schedule, places, spans = tables(record_of(made.story, made.link), "stations")
    assert cells(schedule, "Chainage") == ["0.0 m", "22.0 m", "53.0 m", "72.0 m", "85.0 m", "117.0 m", "127.0 m", "130.0 m"]
    assert cells(schedule, "Sheath mark")[1] == "1034 / 1040 m"
    assert cells(schedule, "Depth of cover")[1] == "620 mm" and cells(schedule, "Duct")[1] == "HDPE 40/33"
    assert cells(schedule, "Bend")[2] == "300 mm, at rest"
    assert "Lid is heavy, lift with two" in cells(schedule, "Notes")[1]
    assert cells(places, "Position, WGS84")[0] == "51.2000000, 4.1001300 \u00b1 4 m (satellite, 14 fixes)"
    assert cells(places, "Taped ties")[1].startswith("21.40 m from South-east corner; 19.85 m from North-east corner; seen from")
    assert cells(spans, "Along the route")[0] == "22.0 m"


def test_readings_stand_as_typed_with_instrument_and_reference_and_voided_ones_with_the_reason() -> None:
    made = FibreLink()
    made.story.reading(made.link, "optical_loss", "0,7", "dB", strand="1", wavelength="1310", direction="near_to_far")
    values, found, instruments, voided = tables(record_of(made.story, made.link), "readings")
    first = values["rows"][2]
    assert first[0] == "Loss, strand 1, 1310 nm, near to far" and first[1] == "0.62 dB"
    assert first[2] == "one-cord method; reference -10.02 dBm at 2026-03-14 10:05 (+01:00); uncertainty 0.20 dB"
    assert first[3] == "I2" and values["rows"][-1][1] == "0.7 dB" and values["rows"][-1][3] == "not named"
    assert ["I2", "Light source and meter", "LS-0815", "2025-11-02", "2026-11-02"] in instruments["rows"]
    assert found["rows"][0][1] == "zone A: defects 0, scratches 0; zone B: defects 0, scratches 2"
    assert voided["rows"][0][1:3] == ["4.81 dB", "Connector was dirty, cleaned and measured again"]


def test_the_margin_table_holds_the_texts_of_the_checks_and_nothing_else() -> None:
    checks = all_verdicts()
    model = judged(checks)
    fibre, power = tables(model, "margins")
    assert cells(fibre, "Measured") == ["1.15 dB", "1.50 dB \u00b1 0.20", "1.60 dB \u00b1 0.20", "\u2013"]
    assert cells(fibre, "Limit") == ["\u2264 1.57 dB"] * 4 and cells(power, "Limit") == ["\u2265 37.0 V"]
    assert cells(fibre, "Margin") == ["0.42 dB", "0.07 dB", "-0.03 dB", "\u2013"] and cells(power, "Margin") == ["-5.8 V"]
    assert cells(fibre, "Verdict") == ["Passes", "Passes within uncertainty", "Fails within uncertainty", "Not measured"]
    assert cells(fibre, "Source") == ["S1, once"] * 4 and cells(power, "Source") == ["S2, typed"]
    assert tables(model, "sources")[0]["rows"][0] == ["S1", "ISO/IEC 14763-3:2024, 9 (seen in one public place)"]
    assert len([block for block in section(model, "margins")["blocks"] if block["form"] == "svg"]) == 1
    assert rows(model, "verdict")["Verdict"] == "Fails"
    assert rows(model, "verdict")["Checks"] == "2 of 5 required checks pass, 2 fail, 1 not measured"
    assert rows(model, "verdict")["Open"].split("\n")[0] == "fails: Loss, strand 3"
    assert [row[0] for row in tables(model, "sources")[1]["rows"]] == ["Seen in one public place", "Typed in for this link"]


def test_deviations_name_check_reason_and_person_and_show_on_the_cover() -> None:
    checks = all_verdicts()
    deviation = {
        "check": checks[3]["id"],
        "reason": "Load is being changed",
        "name": "C. Client",
        "at": MADE_AT,
        "by": "A",
        "entry": "e",
    }
    made = FibreLink()
    engine.call("open", book=made.story.book, entries=made.story.texts)
    link = engine.call("link", book=made.story.book, link=made.link)
    link["deviations"] = [deviation]
    checks[3]["deviation"] = deviation
    kept = [checks[0], checks[3]]
    model = record.build(engine.call("book", book=made.story.book), link, kept, summary(kept), [], NO_COVER, MADE_AT)
    assert tables(model, "deviations")[0]["rows"] == [
        ["Voltage at the far end, under load", "Fails", "Load is being changed", "C. Client", "2026-03-15 08:00 (+01:00)"]
    ]
    assert rows(model, "verdict")["Verdict"] == "Passes with 1 deviation"


def test_bonds_protectors_and_earth_readings_are_there() -> None:
    made = FibreLink()
    bonds, protectors, earth = tables(record_of(made.story, made.link), "earthing")
    assert cells(bonds, "Measured") == ["42 m\u03a9"] and cells(bonds, "Conductor") == ["6 mm\u00b2"]
    assert cells(protectors, "Earth lead") == ["0.4 m"] and cells(earth, "Value") == ["18.5 \u03a9"]


def test_what_stands_on_the_labels_stands_in_the_record() -> None:
    """By the scheme of ANSI/TIA-606: building and room, panel and port, cable from room to room, its fibres after it, one pathway."""
    made = FibreLink()
    subject = made.link + ":identifier:port:near"
    made.story.add("identifier", {"subject": subject, "link": made.link, "what": "port:near", "value": "YARD-01"})
    model = record_of(made.story, made.link)
    ends = {row[0]: row[1:] for row in tables(model, "ends")[0]["rows"]}
    assert ends["Identifier of the building"] == ["B1", "B2"] and ends["Identifier of the room or space"] == ["B1-1A", "B2-1A"]
    assert ends["Identifier of the port"][0] == "YARD-01"
    assert rows(model, "link")["Identifier of the cable"] == "B1-1A/B2-1A-1"
    assert rows(model, "link")["Identifier of the pathway"] == "B1-1A/B2-1A-P1"
    assert cells(tables(model, "strands")[0], "Identifier")[0] == "B1-1A/B2-1A-1.1"
    bonds, protectors, _ = tables(model, "earthing")
    assert cells(bonds, "Bond")[0].split("\n")[1] == "B1-1A-BC1" and cells(protectors, "Surge protector")[0].endswith("\nB2-1A-SP1")


def test_identifiers_in_the_record_are_those_that_were_signed() -> None:
    made = FibreLink(photos=0)
    seal(made.story, made.link)
    subject = made.link + ":identifier:port:near"
    made.story.add("identifier", {"subject": subject, "link": made.link, "what": "port:near", "value": "LATER-01"})
    model = record_of(made.story, made.link)
    assert "LATER-01" not in str(section(model, "ends"))
    assert rows(model, "covered")["Entries after signing"] == "1"


def test_two_unsettled_values_are_both_shown() -> None:
    made = FibreLink()
    first = next(text for text in made.story.texts if json.loads(text)["body"].get("subject") == made.link)
    seen = [json.loads(first)["id"]]
    for reel in ("R-1", "R-2"):
        made.story.add("link", {"subject": made.link, "reel": reel}, replaces=seen, by="Phone " + reel)
    model = record_of(made.story, made.link)
    assert rows(model, "link")["Reel number"] in (
        "R-1 [not settled, also: R-2 by Phone R-2]",
        "R-2 [not settled, also: R-1 by Phone R-1]",
    )


@pytest.mark.parametrize("medium", ["copper", "extended", "fibre"])
def test_an_empty_link_of_any_kind_still_has_a_record(medium: str) -> None:
    story = Story()
    link = story.link(medium)
    model = record_of(story, link)
    assert [held["id"] for held in model["sections"]][:2] == ["verdict", "plan"]
    assert any("Local code" in line for line in section(model, "cautions")["blocks"][0]["lines"])


def test_characters_no_page_can_bear_are_replaced_and_all_others_kept() -> None:
    made = FibreLink(note="\u202eabc <b>&amp;</b> #eval(1) \u05e9\u05dc\u05d5\u05dd \U0001f600\r\nsecond line")
    lines = section(record_of(made.story, made.link), "link")["blocks"][1]["lines"]
    assert lines == ["\ufffdabc <b>&amp;</b> #eval(1) \u05e9\u05dc\u05d5\u05dd \U0001f600\nsecond line"]


def test_power_fields_have_their_own_section_on_metal_links() -> None:
    story = Story()
    link = story.link("extended", source_voltage=value("54", "V"), load_power=value("12,5", "W"))
    assert rows(record_of(story, link), "power") == {"Supply voltage": "54 V", "Load at the far end": "12.5 W"}
