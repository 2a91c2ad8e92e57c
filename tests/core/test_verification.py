"""Verification: what was signed against what is here. Nothing that was changed stays unseen, and what can't be known is said."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest

from app import engine
from app.core import verification
from tests import sealing
from tests.core.sealed import PHOTO, SignedLink, sha256, signed_again, signed_text, verified
from tests.made_links import sign as sign_as_before
from tests.making import Story, entry, id_of, new_id

INTACT = "Intact: what is here is what was signed."
ALTERED = "Altered: what is here is not what was signed."
INCOMPLETE = "Incomplete: not everything that was signed is here."


@pytest.fixture(scope="module")
def signed() -> SignedLink:
    made = SignedLink()
    made.sign()
    return made


@pytest.fixture(scope="module")
def twice() -> SignedLink:
    made = SignedLink()
    made.sign()
    made.story.add("note", {"link": made.link, "of": None, "text": "Gate was locked"})
    made.sign()
    return made


def newest(report: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = report["links"][0]["seals"][-1]
    return found


def line(seal: dict[str, Any], label: str) -> str:
    return next(str(text) for name, text in seal["lines"] if name == label)


def with_text(made: SignedLink, old: str, new: str) -> list[str]:
    return [new if text == old else text for text in made.story.texts]


def of_id(made: SignedLink, name: str) -> str:
    return next(text for text in made.story.texts if id_of(text) == name)


# ---- whole


def test_what_is_as_it_was_signed_is_intact_and_says_who_signed_what_when_with_which_key(signed: SignedLink) -> None:
    key = signed_text(signed.seals[0])["key"]
    report = verified(signed.story.texts, keys={key: "registered by Ana Field on 2026-03-01"})
    assert (report["intact"], report["headline"], report["problems"], report["uncovered"]) == (True, INTACT, [], [])
    (link,) = report["links"]
    assert (link["link"], link["name"]) == (signed.link, "Office to shed")
    seal = newest(report)
    assert (seal["id"], seal["revision"], seal["state"], seal["headline"]) == (id_of(signed.seals[0]), 1, "intact", INTACT)
    assert (seal["key"], seal["key_words"]) == (key, "registered by Ana Field on 2026-03-01")
    assert seal["who"] == [
        "Ana Field (installer), 2026-03-20 15:00 (+01:00), drawn",
        "Cleo Park (client), 2026-03-20 15:00 (+01:00), drawn",
    ]
    assert line(seal, "Device signature") == "good"
    count = len(signed_text(signed.seals[0])["verdicts"])
    assert line(seal, "Verdicts worked out again") == f"All {count} are those that were signed."
    assert line(seal, "Sign-off list worked out again").endswith("are those that were signed.")
    assert line(seal, "Acknowledged before signing").count("(Ana Field, 2026-03-20 15:00 (+01:00))") == len(
        signed_text(signed.seals[0])["stops"]
    )


def test_a_key_that_nobody_knows_is_said(signed: SignedLink) -> None:
    seal = newest(verified(signed.story.texts))
    assert seal["key_words"] == ""
    assert line(seal, "Whose key").startswith("Not known here.")


def test_the_order_of_texts_and_a_text_twice_change_nothing_but_places(twice: SignedLink) -> None:
    shuffled = [*twice.story.texts, *twice.story.texts]
    random.Random(3).shuffle(shuffled)
    assert verified(shuffled) == verified(twice.story.texts)


def test_texts_without_a_seal_are_unsigned_and_nothing_at_all_too(signed: SignedLink) -> None:
    for texts in ([], signed.story.texts[:-1]):
        report = verified(texts)
        assert (report["intact"], report["links"]) == (False, [])
        assert report["headline"] == "No seal is in it: nobody has signed anything here."


# ---- changed


def test_an_altered_entry_is_named_with_both_hashes(signed: SignedLink) -> None:
    held = of_id(signed, signed.reading)
    other = held.replace('"0.42"', '"0.12"')
    report = verified(with_text(signed, held, other))
    assert (report["intact"], report["headline"]) == (False, ALTERED)
    place = signed.story.texts.index(held) + 1
    assert newest(report)["differs"] == [
        f"The reading Loss (entry {place}, {signed.reading}) is not the one that was signed: SHA-256 signed {sha256(held)}, here {sha256(other)}."
    ]


def test_an_entry_that_lacks_is_named_and_what_is_left_is_not_called_altered(signed: SignedLink) -> None:
    held = of_id(signed, signed.photo)
    report = verified([text for text in signed.story.texts if text != held])
    assert (report["intact"], report["headline"], newest(report)["state"]) == (False, INCOMPLETE, "incomplete")
    assert newest(report)["missing"] == [f"Entry {signed.photo} is signed and not here: SHA-256 signed {sha256(held)}."]


def test_a_torn_text_is_a_problem_with_its_place(signed: SignedLink) -> None:
    held = next(text for text in signed.story.texts if json.loads(text)["body"].get("subject") == signed.station)
    report = verified(with_text(signed, held, held[:-9]))
    place = signed.story.texts.index(held) + 1
    assert report["problems"] == [f"An entry can't be read, its text is torn or altered: entry {place}."]
    assert (report["intact"], report["headline"]) == (False, "Damaged: not everything in it is whole.")
    assert newest(report)["state"] == "incomplete"


def test_two_texts_of_one_id_are_a_problem_although_one_is_the_signed_one(signed: SignedLink) -> None:
    held = of_id(signed, signed.reading)
    report = verified([*signed.story.texts, held.replace("0.42", "0.12")])
    assert report["problems"] == [
        f"Two texts have one id, {signed.reading}: entry {signed.story.texts.index(held) + 1}, and entry {len(signed.story.texts) + 1}."
    ]
    assert report["intact"] is False
    assert newest(report)["state"] == "intact"


def test_each_changed_character_of_each_covered_entry_is_found(signed: SignedLink) -> None:
    request = {"photos": {PHOTO: {"sha256": PHOTO, "where": "x"}}, "signatures": {id_of(signed.seals[0]): "good"}}
    texts = [[text, "here"] for text in signed.story.texts]
    assert verification.verify({**request, "texts": texts})["intact"]
    for row, (text, _) in enumerate(texts[:-1]):
        for place in range(0, len(text), 3):
            other = text[:place] + chr(ord(text[place]) ^ (1 << (place + row) % 7)) + text[place + 1 :]
            report = verification.verify({**request, "texts": [*texts[:row], [other, "here"], *texts[row + 1 :]]})
            assert not report["intact"], other


@pytest.mark.usefixtures("unrecorded")
def test_each_changed_character_of_the_seal_is_found(signed: SignedLink) -> None:
    seal = signed.seals[0]
    for place in range(0, len(seal), 41):
        other = seal[:place] + chr(ord(seal[place]) ^ (1 << place % 7)) + seal[place + 1 :]
        assert not verified([*signed.story.texts[:-1], other])["intact"], (place, seal[place - 20 : place + 20])


def test_an_altered_seal_is_called_so_and_still_says_its_id(signed: SignedLink) -> None:
    other = signed.seals[0].replace('"by":"Ana Field"', '"by":"Bea Field"')
    report = verified([*signed.story.texts[:-1], other])
    assert (report["intact"], report["headline"]) == (False, ALTERED)
    seal = newest(report)
    assert (seal["id"], seal["state"]) == (id_of(other), "altered")
    assert seal["differs"] == [f"The seal itself (entry {len(signed.story.texts)}) is torn or altered: its parts do not agree."]


@pytest.mark.parametrize("kind", ["note", "photo", "signal"])
def test_a_seal_that_is_called_something_else_is_still_found_to_be_altered(signed: SignedLink, kind: str) -> None:
    report = verified([*signed.story.texts[:-1], signed.seals[0].replace('"kind":"seal"', f'"kind":"{kind}"')])
    assert (report["intact"], report["headline"]) == (False, ALTERED)


def test_a_seal_of_a_version_to_come_is_not_called_altered() -> None:
    text = entry("seal", {"link": new_id(), "sealed": "in a way not known here"}, v=3)
    report = verified([text])
    assert (report["intact"], report["headline"]) == (False, "Not checked: the seal is of a newer version than this program.")
    assert newest(report)["state"] == "incomplete"


# ---- keys


def test_a_signature_by_another_key_or_over_another_text_is_bad(signed: SignedLink) -> None:
    held = json.loads(signed.seals[0])
    held["body"]["signature"] = sealing.Device(8).sign(held["body"]["signed"])
    report = verified([*signed.story.texts[:-1], json.dumps(held, ensure_ascii=False, separators=(",", ":"))])
    assert (report["headline"], newest(report)["state"]) == (ALTERED, "altered")
    assert newest(report)["differs"][0] == "The device key's signature does not fit the text that it should have signed."
    assert line(newest(report), "Device signature") == "does not fit"


def test_a_signature_that_was_not_checked_is_never_called_good(signed: SignedLink) -> None:
    report = verified(signed.story.texts, signatures={})
    assert (report["intact"], report["headline"]) == (False, "The device key's signature was not checked.")
    assert (newest(report)["state"], line(newest(report), "Device signature")) == ("incomplete", "not checked")


def test_a_seal_of_the_first_version_proves_no_list_and_says_so() -> None:
    made = SignedLink()
    sign_as_before(made.story, made.link)
    report = verified(made.story.texts)
    assert report["headline"] == "No device key signed it: what it lists is unchanged, but nothing proves the list."
    assert (report["intact"], newest(report)["state"], report["links"][0]["name"]) == (False, "incomplete", "Office to shed")
    report = verified(with_text(made, of_id(made, made.reading), of_id(made, made.reading).replace("0.42", "0.12")))
    assert report["headline"] == ALTERED


def test_a_seal_of_the_first_version_under_one_with_a_key_takes_nothing_from_it() -> None:
    made = SignedLink()
    sign_as_before(made.story, made.link)
    made.sign()
    report = verified(made.story.texts)
    assert (report["intact"], [seal["state"] for seal in report["links"][0]["seals"]]) == (True, ["incomplete", "intact"])


def test_verdicts_that_were_signed_falsely_by_the_right_key_are_told(signed: SignedLink) -> None:
    rows = signed_text(signed.seals[0])["verdicts"]
    other = next(row for row in rows if row[2] == "not_measured")
    forged = signed_again(signed.seals[0], verdicts=[[*row[:2], "pass", *row[3:]] if row is other else row for row in rows])
    report = verified([*signed.story.texts[:-1], forged])
    assert newest(report)["state"] == "intact"
    assert report["headline"] == INTACT + " This version of Spanbook works out something else from it; see below."
    assert (
        line(newest(report), "Verdicts worked out again")
        == f"This version of Spanbook judges 1 otherwise than was signed: {other[1]}."
    )


def test_a_verdict_of_the_link_or_a_list_that_was_signed_falsely_is_told(signed: SignedLink) -> None:
    held = signed_text(signed.seals[0])
    forged = signed_again(signed.seals[0], summary={**held["summary"], "deviations": 0, "words": "Passes"}, list=held["list"][1:])
    seal = newest(verified([*signed.story.texts[:-1], forged]))
    assert line(seal, "Verdict of the link worked out again") == "It is not the one that was signed."
    assert held["list"][0][1] in line(seal, "Sign-off list worked out again")


# ---- photos and limit sets


def test_photos_are_held_against_their_hash(signed: SignedLink) -> None:
    other = "ab" * 32
    seal = newest(verified(signed.story.texts, photos={PHOTO: {"sha256": other, "where": "photos/trench.jpg"}}))
    assert seal["state"] == "altered"
    assert seal["differs"] == [
        f"The photo photos/trench.jpg is not the one that was signed: SHA-256 signed {PHOTO}, here {other}."
    ]
    seal = newest(verified(signed.story.texts, photos={PHOTO: {"sha256": "", "where": "photos/trench.jpg"}}))
    assert seal["differs"] == [
        f"The photo photos/trench.jpg is not the one that was signed: SHA-256 signed {PHOTO}, and it can't be read here."
    ]


def test_a_photo_that_lacks_makes_a_package_incomplete_and_a_record_not(signed: SignedLink) -> None:
    report = verified(signed.story.texts, photos={})
    assert (report["headline"], newest(report)["missing"]) == (
        INCOMPLETE,
        [f"The photo 'Open trench' is signed and not here: SHA-256 signed {PHOTO}."],
    )
    report = verified(signed.story.texts, photos={}, photos_expected=False)
    assert (report["intact"], line(newest(report), "Photos")) == (True, "1 photo is not here and could not be checked")


def test_a_photo_that_came_after_signing_is_held_against_its_entry() -> None:
    made = SignedLink()
    made.sign()
    late = "12" * 32
    made.story.add("photo", {"link": made.link, "of": None, "sha256": late, "type": "image/jpeg", "caption": "Later"})
    photos = {PHOTO: {"sha256": PHOTO, "where": "a"}, late: {"sha256": "34" * 32, "where": "photos/later.jpg"}}
    report = verified(made.story.texts, photos=photos)
    assert report["intact"] is False
    assert report["problems"] == [
        f"The photo photos/later.jpg, which no seal covers, is not the one that its entry names: SHA-256 there {late}, here {'34' * 32}."
    ]


def test_limit_sets_that_came_along_have_to_be_those_signed(signed: SignedLink) -> None:
    along = dict(signed_text(signed.seals[0])["limits"])
    assert verified(signed.story.texts, limits=along)["intact"]
    name = "iso-14763-3-2024"
    report = verified(signed.story.texts, limits={**along, name: "0" * 64})
    words = f"The limit set 'ISO/IEC 14763-3:2024' ({name}) is"
    assert newest(report)["differs"] == [f"{words} not the one that was signed: SHA-256 signed {along[name]}, here {'0' * 64}."]
    del along[name]
    report = verified(signed.story.texts, limits=along)
    assert newest(report)["missing"][0].startswith(f"{words} signed and not here: SHA-256 signed ")


def test_a_program_with_other_limit_sets_says_so_and_alters_nothing(signed: SignedLink) -> None:
    held = [[name, "0" * 64 if name == "iso-14763-3-2024" else digest] for name, digest in signed_text(signed.seals[0])["limits"]]
    held.append(["of-another-program", "1" * 64])
    lines = [f"{name} {digest}\n" for name, digest in signed_text(signed.seals[0])["entries"]] + [f"photo {PHOTO}\n"]
    digest = sha256("".join(lines + [f"limits {name} {sha}\n" for name, sha in held]))
    seal = newest(verified([*signed.story.texts[:-1], signed_again(signed.seals[0], limits=held, digest=digest)]))
    assert seal["state"] == "intact"
    said = line(seal, "Limit sets").split("\n")
    assert said[0].startswith(
        "This program's 'ISO/IEC 14763-3:2024' (iso-14763-3-2024) is not the one that was signed with: SHA-256 signed 000"
    )
    assert said[1] == f"This program does not have of-another-program, SHA-256 signed {'1' * 64}."


# ---- revisions


def test_each_revision_is_told_and_the_newest_says_what_had_changed(twice: SignedLink) -> None:
    report = verified(twice.story.texts)
    assert report["intact"] is True
    assert [(seal["revision"], seal["state"]) for seal in report["links"][0]["seals"]] == [(1, "intact"), (2, "intact")]
    assert line(newest(report), "What had changed since the seal before") == "Note added: Gate was locked."


def test_a_revision_over_another_one_before_it_is_found(twice: SignedLink) -> None:
    other = signed_again(twice.seals[0], name="Somewhere else")
    report = verified(with_text(twice, twice.seals[0], other))
    assert (report["headline"], newest(report)["state"]) == (ALTERED, "altered")
    before = id_of(other)
    words = f"The seal before it, {before}, is not the one that was signed: SHA-256 signed {sha256(twice.seals[0])}, here {sha256(other)}."
    assert newest(report)["differs"] == [words]
    report = verified([text for text in twice.story.texts if text != twice.seals[0]])
    assert newest(report)["missing"] == [
        f"The seal before it, {before}, is signed and not here: SHA-256 signed {sha256(twice.seals[0])}."
    ]


def test_a_first_revision_that_was_altered_is_told_although_a_second_stands(twice: SignedLink) -> None:
    other = twice.seals[0].replace('"by":"Ana Field"', '"by":"Bea Field"')
    assert verified(with_text(twice, twice.seals[0], other))["headline"] == ALTERED


def test_two_seals_of_one_revision_are_both_told_whoever_made_the_second() -> None:
    """Two phones that had not heard of each other, or somebody with a key of his own: which of them holds, the people who signed know."""
    made = SignedLink()
    made.sign()
    other, _ = sealing.seal_text(made.story.book, made.story.texts[:-1], made.link, new_id(), at="2026-03-21T09:00:00.000+01:00")
    report = verified([*made.story.texts, other])
    seals = report["links"][0]["seals"]
    assert [(seal["revision"], seal["state"]) for seal in seals] == [(1, "intact"), (1, "intact")]
    assert report["headline"] == INTACT + " Another seal says that it is the same revision; see below."
    assert id_of(other) in line(seals[0], "Same revision") and id_of(made.seals[0]) in line(seals[1], "Same revision")


@pytest.mark.parametrize("revision", [3, 99])
def test_a_revision_that_was_left_out_is_told(twice: SignedLink, revision: int) -> None:
    forged = signed_again(twice.seals[1], revision=revision)
    report = verified(with_text(twice, twice.seals[1], forged))
    assert report["headline"] == ALTERED
    words = f"The seal before it, {id_of(twice.seals[0])}, is not revision {revision - 1} of this link: a revision was left out."
    assert newest(report)["differs"] == [words]


def test_a_seal_can_not_stand_on_something_that_is_no_seal_of_its_link(twice: SignedLink) -> None:
    note = next(text for text in twice.story.texts if "Gate was locked" in text)
    forged = signed_again(twice.seals[1], previous=[id_of(note), sha256(note)])
    assert newest(verified(with_text(twice, twice.seals[1], forged)))["state"] == "altered"


def test_a_program_with_other_limit_sets_says_so_of_a_package_that_brings_its_own(signed: SignedLink) -> None:
    held = [[name, "0" * 64 if name == "iso-14763-3-2024" else sha] for name, sha in signed_text(signed.seals[0])["limits"]]
    lines = [f"{name} {digest}\n" for name, digest in signed_text(signed.seals[0])["entries"]] + [f"photo {PHOTO}\n"]
    digest = sha256("".join(lines + [f"limits {name} {sha}\n" for name, sha in held]))
    forged = signed_again(signed.seals[0], limits=held, digest=digest)
    seal = newest(verified([*signed.story.texts[:-1], forged], limits=dict(held)))
    assert (seal["state"], seal["differs"]) == ("intact", [])
    assert line(seal, "Limit sets").startswith("This program's 'ISO/IEC 14763-3:2024' (iso-14763-3-2024) is not the one")


# ---- what is not covered


def test_what_only_an_older_seal_without_a_key_lists_is_covered_by_none() -> None:
    """Anyone can write a seal of the first form: slipped in below the signed one, it must not cover what was slipped in with it."""
    made = SignedLink()
    made.sign()
    slipped = made.story.add("note", {"link": made.link, "of": None, "text": "Slipped in"})
    body = {
        "link": made.link,
        "revision": 0,
        "verdicts": [],
        "signatures": [{"name": "A", "at": "2026-03-14T16:00Z", "strokes": [[[1, 2]]]}],
    }
    note = of_id(made, slipped)
    digest = sha256(f"{slipped} {sha256(note)}\n")
    made.story.add(
        "seal", {**body, "covers": {"entries": [[slipped, sha256(note)]], "photos": [], "limits": [], "digest": digest}}
    )
    report = verified(made.story.texts)
    assert [seal["state"] for seal in report["links"][0]["seals"]] == ["incomplete", "intact"]
    assert report["uncovered"] == ["1 entry that came after signing: note 'Slipped in'."]


def test_what_no_seal_covers_is_counted_by_reason() -> None:
    made = SignedLink()
    made.sign()
    story = made.story
    story.thing("station", made.station, link=made.link, name="H1 moved")
    story.add("note", {"link": made.link, "of": None, "text": "Gate was locked"})
    story.add("note", {"link": None, "of": None, "text": "Parking behind the shed"})
    other = story.thing("link", name="Shed to mast", medium="fibre")
    story.reading(other, "instrument_length", "12", "m")
    story.add("weather", {"link": made.link, "rain": "yes"})
    assert verified(story.texts)["uncovered"] == [
        "2 entries that came after signing: station 'H1 moved'; note 'Gate was locked'.",
        "2 entries of other links, or of a link that nobody has signed: link 'Shed to mast'; reading Length shown by the instrument.",
        "1 entry of the site that belongs to no signed link, such as its own photos and notes: note 'Parking behind the shed'.",
        "1 entry of a kind or version that this program does not know, not looked at: weather.",
    ]
    assert verified(story.texts)["intact"] is True


def test_notes_of_whoever_read_the_file_stand_with_what_is_not_covered_and_its_problems_with_the_problems(
    signed: SignedLink,
) -> None:
    report = verified(
        signed.story.texts, notes=["The pages of the PDF are not covered."], problems=["manifest-sha256.txt is missing."]
    )
    assert report["uncovered"] == ["The pages of the PDF are not covered."]
    assert (report["intact"], report["problems"]) == (False, ["manifest-sha256.txt is missing."])


# ---- garbage


def garbage(seal: str) -> list[Any]:
    held = json.loads(seal)
    body = {**held["body"], "link": {"a": 1}}
    header = {name: held[name] for name in held if name != "body"}
    odd: list[Any] = [
        "",
        "null",
        "[]",
        "{}",
        "7",
        "{",
        seal[:-1],
        seal + "}",
        "\u0000",
        "[" * 5000,
        '{"a":' * 3000,
        None,
        7,
        [],
        {"a": 1},
    ]
    for other in (
        body,
        {},
        {"signed": "{}"},
        {"signed": 7, "link": held["body"]["link"]},
        {"covers": {"entries": [7], "digest": ""}},
    ):
        odd.append(json.dumps({**header, "body": other}, separators=(",", ":")))
    for name, value in (("id", 7), ("kind", None), ("v", "2"), ("at", "never"), ("replaces", {}), ("by", [1]), ("book", "")):
        odd.append(json.dumps({**held, name: value}, separators=(",", ":")))
    covers = {"entries": [["a", "0" * 64]], "digest": "", "photos": [{}], "limits": "x"}
    first = {"link": held["body"]["link"], "covers": covers, "revision": "two", "verdicts": [[1]], "signatures": [{"name": "A"}]}
    return [*odd, json.dumps({**header, "v": 1, "body": first}, separators=(",", ":"))]


def test_garbage_beside_a_seal_is_told_and_takes_nothing_from_it(signed: SignedLink) -> None:
    for odd in garbage(signed.seals[0]):
        report = verification.verify({"texts": [[odd, "odd"], *[[text, "x"] for text in signed.story.texts]]})
        assert report["intact"] is False
        assert report["problems"] or report["headline"] == ALTERED, odd


def test_rows_that_are_no_rows_are_told(signed: SignedLink) -> None:
    for odd in (None, "text", [], ["a"], [1, 2, 3], {"a": 1}):
        assert verification.verify({"texts": [odd]})["problems"]


def test_half_a_character_has_no_hash_and_is_told(signed: SignedLink) -> None:
    text = signed.story.texts[0].replace("Yard", "Yard \ud800")
    assert verification.verify({"texts": [[text, "site.json"]]})["problems"] == [
        "An entry can't be read, its text is torn or altered: site.json."
    ]


def test_garbage_is_answered_through_the_door_as_well(signed: SignedLink) -> None:
    texts = ["", "{}", "7", signed.seals[0][:-1], *signed.story.texts]
    report = verified(texts)
    assert len(report["problems"]) == 4
    assert newest(report)["state"] == "intact"


def test_seals_of_two_links_are_told_apart() -> None:
    made, second = SignedLink(), Story()
    made.sign()
    second.texts = made.story.texts
    link = second.link("fibre", fibre="OS2", strands="1")
    second.thing("link", link, name="Shed to mast")
    text, accepted = sealing.seal_text(second.book, second.texts, link, new_id(), accept=True)
    report = verified([*second.texts, *accepted, text])
    assert report["intact"] is True
    assert {(found["link"], found["name"]) for found in report["links"]} == {
        (made.link, "Office to shed"),
        (link, "Shed to mast"),
    }


def test_what_the_report_asks_of_core_needs_no_opened_book(signed: SignedLink) -> None:
    engine.call("close", book=signed.story.book)
    assert verified(signed.story.texts)["intact"]
