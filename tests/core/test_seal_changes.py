"""What a second seal says has changed since the first: sentences written out here by hand."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from tests.core.sealed import PHOTO, SignedLink, signed_again, signed_text
from tests.made_links import sign as sign_as_before
from tests.making import entry, id_of, value


@pytest.fixture
def made() -> SignedLink:
    found = SignedLink()
    found.sign()
    return found


def changes(made: SignedLink) -> list[str]:
    """What a seal made now would say; nothing is kept."""
    texts, seals = list(made.story.texts), list(made.seals)
    found: list[str] = made.sign()["changes"]
    made.story.texts, made.seals = texts, seals
    return found


def changed(made: SignedLink, kind: str, subject: str, **fields: Any) -> None:
    made.story.thing(kind, subject, **({} if kind in ("site", "building", "link") else {"link": made.link}), **fields)


def test_a_first_seal_has_no_changes_and_one_over_the_same_has_none(made: SignedLink) -> None:
    assert signed_text(made.seals[0])["changes"] == []
    assert changes(made) == []


def test_a_reading_that_came_is_named_with_what_was_read(made: SignedLink) -> None:
    made.story.reading(made.link, "optical_loss", "0,44", "dB", **{**made.marks, "direction": "far_to_near"})
    assert "Reading added: Loss, strand 1, 1310 nm, far to near: 0.44 dB." in changes(made)


def test_a_voided_reading_is_named_with_its_reason_and_the_verdict_that_it_took(made: SignedLink) -> None:
    made.story.add("void", {"link": made.link, "reading": made.reading, "reason": "Dirty launch cord"})
    made.story.add(
        "deviation", {"link": made.link, "check": loss(made), "reason": "To be read again in May", "name": "Cleo Park"}
    )
    found = changes(made)
    assert found[0] == "Reading voided: Loss, strand 1, 1310 nm, near to far: 0.42 dB, since: Dirty launch cord."
    assert found[1] == "Deviation accepted by Cleo Park, Loss, strand 1, 1310 nm, near to far: To be read again in May."
    assert "Loss, strand 1, 1310 nm, near to far: passes is now not measured." in found


def loss(made: SignedLink) -> str:
    with engine.opened(made.story.book, made.story.texts) as core:
        checks = core("checks", link=made.link)["checks"]
    return next(str(check["id"]) for check in checks if check["title"] == "Loss, strand 1, 1310 nm, near to far")


def test_fields_are_told_from_what_to_what_and_several_entries_as_one_change(made: SignedLink) -> None:
    changed(made, "station", made.station, depth=value("640", "mm"), duct="HDPE 40/33")
    changed(made, "station", made.station, depth=value("650", "mm"))
    assert changes(made)[:1] == [
        "Station 1 Handhole H1: Depth of cover was 620 mm, now 650 mm; Duct was not set, now HDPE 40/33."
    ]


def test_a_field_that_was_set_back_is_no_change(made: SignedLink) -> None:
    changed(made, "station", made.station, depth=value("640", "mm"))
    changed(made, "station", made.station, depth=value("620", "mm"))
    assert changes(made) == []


def test_a_cleared_field_is_told(made: SignedLink) -> None:
    changed(made, "station", made.station, depth=None)
    assert changes(made)[0] == "Station 1 Handhole H1: Depth of cover was 620 mm, now cleared."


def test_things_that_came_went_and_came_back_are_told(made: SignedLink) -> None:
    made.story.thing("station", link=made.link, type="marker", name="M1", order="3", mark="80")
    changed(made, "station", made.station, withdrawn="Filled in")
    found = changes(made)
    assert "Station 2 Marker M1 added." in found
    assert "Station H1 taken away: Filled in." in found
    made.sign()
    changed(made, "station", made.station, withdrawn=None)
    assert changes(made)[0] == "Station 1 Handhole H1 brought back."


def test_what_came_and_went_between_two_seals_is_not_told(made: SignedLink) -> None:
    station = made.story.thing("station", link=made.link, type="marker", name="M1", order="3", mark="80")
    changed(made, "station", station, withdrawn="Wrong place")
    assert changes(made) == []


def test_link_ends_site_buildings_own_limits_and_identifiers_are_told(made: SignedLink) -> None:
    changed(made, "link", made.link, cable="OS2 4F 2026")
    changed(made, "end", f"{made.link}:near", side="near", panel="Wall box A")
    changed(made, "site", made.story.book, place="Eastquay")
    changed(
        made, "limit", f"{made.link}:limit:splice_loss", what="splice_loss", value=value("0.2", "dB"), source="Tender, page 4"
    )
    changed(made, "identifier", f"{made.link}:identifier:strand:1", what="strand:1", value="F-01")
    found = changes(made)
    assert "The site: Place was Westquay, now Eastquay." in found
    assert "The link: Cable, as printed on the jacket was not set, now OS2 4F 2026." in found
    assert "Near end: Socket or panel was not set, now Wall box A." in found
    assert "Own limit for loss of a splice added: 0.2 dB." in found
    assert "Identifier of strand 1 added: F-01." in found


def test_photos_notes_and_deviations_on_items_are_told_and_what_is_long_is_cut(made: SignedLink) -> None:
    made.story.add(
        "photo", {"link": made.link, "of": made.station, "sha256": PHOTO[::-1], "type": "image/jpeg", "caption": "Closed trench"}
    )
    made.story.add("note", {"link": made.link, "of": None, "text": "Two\nlines, and more " + "word " * 60})
    made.story.add(
        "deviation", {"link": made.link, "check": "item:cable", "reason": "No print on the jacket!", "name": "Cleo Park"}
    )
    found = changes(made)
    assert "Photo added, 1 Handhole H1: Closed trench." in found
    (note,) = [line for line in found if line.startswith("Note added: Two lines, and more word word")]
    assert note.endswith("...") and len(note) < 140
    assert "Deviation accepted by Cleo Park, Cable, as printed on the jacket: No print on the jacket!" in found


def test_a_long_list_is_folded(made: SignedLink) -> None:
    for number in range(26):
        made.story.reading(made.link, "optical_loss", f"0.{10 + number}", "dB", **made.marks)
    found = changes(made)
    readings = [line for line in found if line.startswith("Reading added: ")]
    assert len(readings) == 12
    assert found[found.index(readings[-1]) + 1] == "And 14 more readings."


def test_limit_sets_that_came_and_went_are_named_by_their_titles(made: SignedLink) -> None:
    changed(made, "link", made.link, limit_set="iso-14763-3-2014")
    found = changes(made)
    assert found[0] == "The link: Limits by was ISO/IEC 14763-3:2024, now ISO/IEC 14763-3:2014."
    assert found[-2:] == ["Now also judged by: ISO/IEC 14763-3:2014.", "No longer judged by: ISO/IEC 14763-3:2024."]


def test_a_limit_set_with_other_bytes_than_were_signed_with_is_told(made: SignedLink) -> None:
    held = [[name, "0" * 64 if name == "iso-14763-3-2024" else digest] for name, digest in signed_text(made.seals[0])["limits"]]
    other = signed_again(made.seals[0], limits=held)
    made.story.texts = [other if text == made.seals[0] else text for text in made.story.texts]
    assert changes(made) == ["The limit set ISO/IEC 14763-3:2024 is not the one that was signed with before."]


def test_what_was_signed_and_is_gone_or_other_is_told(made: SignedLink) -> None:
    note = made.story.add("note", {"link": made.link, "of": None, "text": "Signed as well"})
    made.sign()
    without = [text for text in made.story.texts if id_of(text) != note]
    kept, made.story.texts = made.story.texts, without
    assert changes(made) == [f"Entry {note} was signed and is not here."]
    made.story.texts = [
        entry("note", {"link": made.link, "of": None, "text": "Another"}, id=note) if id_of(text) == note else text
        for text in kept
    ]
    assert changes(made) == [f"Entry {note} is not the one that was signed."]


def test_since_a_seal_of_the_first_version_entries_are_told_and_limit_sets_are_not() -> None:
    made = SignedLink()
    sign_as_before(made.story, made.link)
    made.story.add("note", {"link": made.link, "of": None, "text": "Gate was locked"})
    found = made.sign()["changes"]
    assert "Note added: Gate was locked." in found
    assert not [line for line in found if "judged by" in line]


def test_what_came_after_the_newest_seal_is_told_by_the_same_words(made: SignedLink) -> None:
    made.story.add("note", {"link": made.link, "of": None, "text": "Gate was locked"})
    with engine.opened(made.story.book, made.story.texts) as core:
        since = core("since_signing", link=made.link)
    assert since["entries"] == ["Note added: Gate was locked."]
    assert since["verdicts"] == []
