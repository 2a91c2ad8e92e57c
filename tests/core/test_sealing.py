"""Seals of version 2: what is signed, by whom, over what. Hashes are worked out anew here with hashlib and json, signatures with cryptography."""

from __future__ import annotations

import base64
import hashlib
import json
import random
from typing import Any

import pytest

from app import engine, signing
from app.core import entries
from app.core.errors import Refused
from tests import sealing
from tests.core.sealed import PHOTO, SignedLink, sha256, signed_again, signed_text
from tests.made_links import sign as sign_as_before
from tests.making import Story, id_of, new_id

# RFC 9449, figure 2 and figure 9: a P-256 key and its RFC 7638 thumbprint as printed there (RFC 7638's own example is of another kind of key).
PUBLISHED_KEY = {
    "kty": "EC",
    "crv": "P-256",
    "x": "l8tFrhx-34tV3hRICRDY9zCkDlpBhF42UQUfWVAWBFs",
    "y": "9VE4jf_Ok_o64zbTTlcuNJajHmt6v9TDVrU0CdvGRDA",
}
PUBLISHED_THUMBPRINT = "0ZcOCORZNYy-DWpqq30jZyJGHTN0d2HglBV3uiguA4I"
AT = "2026-03-20T15:00:00.000+01:00"


@pytest.fixture(scope="module")
def signed() -> SignedLink:
    made = SignedLink()
    made.sign()
    return made


def test_a_thumbprint_is_the_published_one() -> None:
    assert signing.thumbprint(PUBLISHED_KEY) == base64.urlsafe_b64decode(PUBLISHED_THUMBPRINT + "=").hex()


@pytest.mark.parametrize(
    "change",
    [
        {"use": "sig"},
        {"crv": "P-384"},
        {"kty": "RSA"},
        {"x": PUBLISHED_KEY["x"] + "="},
        {"x": PUBLISHED_KEY["x"][:-1]},
        {"x": "l8tFrhx+34tV3hRICRDY9zCkDlpBhF42UQUfWVAWBFs"},  # base64, not base64url
        {"x": "l8tFrhx-34tV3hRICRDY9zCkDlpBhF42UQUfWVAWBFt"},  # the same 32 bytes: the last two bits are no part of them
        {"y": 7},
        {"y": "\u00e4" * 43},
    ],
)
def test_a_key_that_can_be_written_otherwise_is_refused(signed: SignedLink, change: dict[str, Any]) -> None:
    entry = json.loads(signed.seals[0])
    entry["body"]["key"] = PUBLISHED_KEY | change
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=json.dumps(entry, ensure_ascii=False, separators=(",", ":")))
    assert refused.value.field == "key"


def test_a_seal_holds_the_hash_of_every_entry_photo_and_limit_set(signed: SignedLink) -> None:
    held = signed_text(signed.seals[0])
    own = [text for text in signed.story.texts if text != signed.seals[0]]
    assert held["entries"] == sorted([id_of(text), sha256(text)] for text in own)
    assert held["photos"] == [PHOTO]
    folder = engine.CORE / "limits"
    assert (
        held["limits"]
        and ["iso-14763-3-2024", hashlib.sha256((folder / "iso-14763-3-2024.json").read_bytes()).hexdigest()] in held["limits"]
    )
    for name, digest in held["limits"]:
        assert digest == hashlib.sha256((folder / f"{name}.json").read_bytes()).hexdigest()
    lines = [f"{name} {digest}\n" for name, digest in held["entries"]] + [f"photo {PHOTO}\n"]
    lines += [f"limits {name} {digest}\n" for name, digest in held["limits"]]
    assert held["digest"] == sha256("".join(lines))


def test_a_seal_holds_verdicts_list_and_stops_as_they_stand(signed: SignedLink) -> None:
    held = signed_text(signed.seals[0])
    with engine.opened(signed.story.book, signed.story.texts) as core:
        judged, off = core("checks", link=signed.link), core("sign_off", link=signed.link)
    assert [row[:3] for row in held["verdicts"]] == [
        [check["id"], check["title"], check["verdict"]] for check in judged["checks"]
    ]
    loss = next(row for row in held["verdicts"] if row[0].startswith("fibre_loss:strand=1") and row[2] == "pass")
    assert loss[3] == "0.42 dB"
    assert held["summary"]["pass"] == judged["summary"]["pass"] > 0
    assert held["list"] == [[item["id"], item["title"], item["state"], item["detail"]] for item in off["items"]]
    assert dict(held["identifiers"])["building:near"] == "B1"
    assert [row[0] for row in held["stops"]] == [stop["id"] for stop in off["stops"]]
    assert held["stops"][0][1:] == [off["stops"][0]["words"] + " " + off["stops"][0]["why"], "Ana Field", AT]
    assert (held["name"], held["revision"], held["previous"], held["changes"]) == ("Office to shed", 1, None, [])


def test_the_signature_is_over_the_texts_bytes(signed: SignedLink) -> None:
    (seal,) = engine.call("seals", texts=[*signed.story.texts, "{", '"kind":"seal","v":2,'])
    assert seal["text"] == json.loads(signed.seals[0])["body"]["signed"]
    assert (seal["id"], seal["link"], seal["book"]) == (id_of(signed.seals[0]), signed.link, signed.story.book)
    assert signing.is_good(seal["key"], seal["signature"], seal["text"])
    assert not signing.is_good(seal["key"], seal["signature"], seal["text"].replace("0.42 dB", "0.41 dB"))
    assert not signing.is_good(sealing.Device(8).jwk, seal["signature"], seal["text"])


def test_what_a_link_shows_of_a_seal(signed: SignedLink) -> None:
    (seal,) = signed.view()["seals"]
    held = signed_text(signed.seals[0])
    assert (seal["v"], seal["revision"], seal["sound"], seal["previous"]) == (2, 1, True, None)
    assert (seal["entries"], seal["photos"], seal["after"], seal["missing"], seal["differs"]) == (
        len(held["entries"]),
        1,
        [],
        [],
        [],
    )
    assert seal["key"] == signing.thumbprint(sealing.DEVICE.jwk) and seal["jwk"] == sealing.DEVICE.jwk
    assert [name["name"] for name in seal["signatures"]] == ["Ana Field", "Cleo Park"]
    assert all(one["same"] for one in seal["limits"])
    assert [list(row.values()) for row in seal["verdicts"][:1]] and seal["verdicts"][0]["check"] == held["verdicts"][0][0]


def test_the_order_of_arrival_changes_nothing(signed: SignedLink) -> None:
    texts = list(signed.story.texts)
    random.Random(11).shuffle(texts)
    assert signed.view(texts) == signed.view()


# ---- what is refused


def ask(made: SignedLink, **changed: Any) -> dict[str, Any]:
    """`seal_text` with everything in order but what is changed."""
    with engine.opened(made.story.book, made.story.texts) as core:
        stops = [{"id": stop["id"], "name": "Ana Field", "at": AT} for stop in core("sign_off", link=made.link)["stops"]]
        drawn = {"name": "Ana Field", "role": "installer", "at": AT, "strokes": [[[1, 2], [3.5, 4]]], "width": 300, "height": 150}
        asked = {"seal": new_id(), "at": AT, "by": "Ana Field", "device": "phone", "key": sealing.DEVICE.jwk}
        found: dict[str, Any] = core("seal_text", link=made.link, **{**asked, "stops": stops, "signatures": [drawn], **changed})
        return json.loads(found["text"])


DRAWN = {"name": "Ana Field", "role": "installer", "at": AT, "strokes": [[[1, 2]]], "width": 300, "height": 150}
TYPED = {"name": "Ana Field", "role": "installer", "at": AT, "typed": "Ana Field"}


def test_a_name_that_is_typed_signs_for_a_person_who_cannot_draw(signed: SignedLink) -> None:
    assert ask(signed, signatures=[TYPED])["signatures"] == [TYPED]


def test_a_caption_shown_by_the_caller_never_takes_the_place_of_the_words_of_a_stop(signed: SignedLink) -> None:
    stops = [
        {"id": row[0], "name": "Ana Field", "at": AT, "words": "All is well."} for row in signed_text(signed.seals[0])["stops"]
    ]
    assert all("All is well." not in row[1] for row in ask(signed, stops=stops)["stops"])


def test_nothing_is_signed_while_the_list_has_something_open() -> None:
    story = Story()
    made = SignedLink.__new__(SignedLink)
    made.story, made.link = story, story.link("fibre", fibre="OS2", strands="1")
    with pytest.raises(Refused) as refused:
        ask(made)
    assert (refused.value.code, refused.value.field) == ("open", "list")


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"stops": []}, "open", "stops"),
        ({"stops": None}, "open", "stops"),
        ({"signatures": [{**DRAWN, "role": "client"}]}, "open", "signatures"),
        ({"signatures": []}, "missing", "signatures"),
        ({"signatures": None}, "missing", "signatures"),
        ({"signatures": [{**DRAWN, "strokes": []}]}, "missing", "signature"),
        ({"signatures": [{**DRAWN, "strokes": [[["1", "2"]]]}]}, "shape", "signature"),
        ({"signatures": [{**DRAWN, "strokes": [[1, 2]]}]}, "shape", "signature"),
        ({"signatures": [{**DRAWN, "width": None}]}, "shape", "signature"),
        ({"signatures": [{**DRAWN, "note": "more"}]}, "shape", "signature"),
        ({"signatures": [{**TYPED, "typed": "Ana F."}]}, "missing", "signature"),
        ({"signatures": [{**DRAWN, "name": " "}]}, "missing", "name"),
        ({"signatures": [{**DRAWN, "role": ""}]}, "missing", "role"),
        ({"at": "yesterday"}, "time", "at"),
        ({"seal": "1"}, "shape", "seal"),
        ({"by": None}, "shape", "by"),
        ({"key": {}}, "shape", "key"),
    ],
)
def test_a_seal_that_lacks_something_is_refused(signed: SignedLink, change: dict[str, Any], code: str, field: str) -> None:
    with pytest.raises(Refused) as refused:
        ask(signed, **change)
    assert (refused.value.code, refused.value.field) == (code, field)


def test_a_stop_without_a_name_is_not_acknowledged(signed: SignedLink) -> None:
    stops = [{"id": row[0], "name": "", "at": AT} for row in signed_text(signed.seals[0])["stops"]]
    with pytest.raises(Refused) as refused:
        ask(signed, stops=stops)
    assert (refused.value.code, refused.value.field) == ("open", "stops")


def test_the_id_of_an_entry_that_is_there_is_refused(signed: SignedLink) -> None:
    with pytest.raises(Refused) as refused:
        ask(signed, seal=signed.reading)
    assert refused.value.field == "seal"


# ---- nothing of it can be changed


def is_found(text: str) -> bool:
    """Is a changed seal refused, or no seal that is known any more, or one whose device signature does not fit?"""
    try:
        held = entries.check(text)
    except (Refused, ValueError):
        return True
    if not held["known"] or held["kind"] != "seal":
        return True
    body = json.loads(text)["body"]
    return not signing.is_good(body["key"], body["signature"], body["signed"])


def test_each_changed_character_of_a_seal_is_found(signed: SignedLink) -> None:
    seal = signed.seals[0]
    assert not is_found(seal)
    for place, character in enumerate(seal):
        # One bit of seven in turn, and the one that makes a capital of a letter.
        for bit in {1 << place % 7, 32}:
            assert is_found(seal[:place] + chr(ord(character) ^ bit) + seal[place + 1 :]), (
                place,
                bit,
                seal[place - 20 : place + 20],
            )


def test_each_left_out_character_of_a_seal_is_found(signed: SignedLink) -> None:
    seal = signed.seals[0]
    unseen = [place for place in range(len(seal)) if not is_found(seal[:place] + seal[place + 1 :])]
    assert unseen == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"v":2', '"v": 2'),
        ('"v":2', '"v":2,"v":2'),
        ('{"id"', '{"note":1,"id"'),
        ('"kty":"EC","crv":"P-256"', '"crv":"P-256","kty":"EC"'),
        ('"replaces":[]', '"replaces":[] '),
        ("Ana Field", "\\u0041na Field"),
        ('\\"form\\":', '\\"form\\": '),
        ('\\"revision\\":1', '\\"revision\\":1.0'),
        ('\\"revision\\":1', '\\"revision\\":true'),
    ],
)
def test_another_way_of_writing_the_same_seal_is_refused(signed: SignedLink, old: str, new: str) -> None:
    assert old in signed.seals[0]
    with pytest.raises(Refused):
        engine.call("check_entry", text=signed.seals[0].replace(old, new, 1))


@pytest.mark.parametrize(
    "change",
    [
        {"more": 1},
        {"revision": 0},
        {"revision": 2},  # without the seal before it
        {"previous": [new_id(), "0" * 64]},  # revision 1 has none
        {"photos": ["x"]},
        {"entries": [[new_id(), "A" * 64]]},
        {"verdicts": [["a", "b", "pass", "", ""]]},
        {"verdicts": [["a", "b", "pass", 1, "", ""]]},
        {"stops": [["storm", "Words", "Ana", "noon"]]},
        {"changes": "none"},
        {"summary": {"verdict": "pass"}},
        {"digest": "A" * 64},
        {"form": "spanbook seal 3"},
        {"link": new_id()},
        {"device": "another"},
    ],
)
def test_a_signed_text_of_another_shape_is_refused_although_its_key_signed_it(signed: SignedLink, change: dict[str, Any]) -> None:
    with pytest.raises(Refused):
        engine.call("check_entry", text=signed_again(signed.seals[0], **change))


def test_a_seal_that_replaces_something_is_refused(signed: SignedLink) -> None:
    text = signed.seals[0].replace('"replaces":[]', f'"replaces":["{signed.reading}"]')
    with pytest.raises(Refused) as refused:
        engine.call("check_entry", text=text)
    assert refused.value.field == "replaces"


# ---- what comes later


def test_a_second_seal_names_the_first_by_its_hash_and_covers_what_came_since() -> None:
    made = SignedLink()
    made.sign()
    late = made.story.reading(made.link, "optical_loss", "0.44", "dB", **made.marks)
    assert made.view()["seals"][0]["after"] == [late]
    second = made.sign()
    assert (second["revision"], second["previous"]) == (2, [id_of(made.seals[0]), sha256(made.seals[0])])
    assert late in [row[0] for row in second["entries"]]
    assert id_of(made.seals[0]) not in [row[0] for row in second["entries"]]
    third = made.sign()
    assert (third["revision"], third["previous"][0]) == (3, id_of(made.seals[1]))
    assert [seal["sound"] for seal in made.view()["seals"]] == [True, True, True]


def test_a_second_seal_is_not_sound_over_another_first_one() -> None:
    made = SignedLink()
    made.sign()
    made.sign()
    other = signed_again(made.seals[0], name="Somewhere else")
    seals = made.view([other if text == made.seals[0] else text for text in made.story.texts])["seals"]
    assert [seal["sound"] for seal in seals] == [True, False]


def test_a_phone_whose_clock_is_behind_makes_the_newest_seal_all_the_same() -> None:
    made = SignedLink()
    made.sign()
    text, _ = sealing.seal_text(made.story.book, made.story.texts, made.link, new_id(), at="2026-01-01T08:00:00.000+01:00")
    made.story.texts.append(text)
    seals = made.view()["seals"]
    assert [seal["revision"] for seal in seals] == [1, 2]
    assert made.sign()["previous"] == [id_of(text), sha256(text)]


def test_a_seal_of_the_first_version_is_read_and_the_next_one_names_it() -> None:
    made = SignedLink()
    first = sign_as_before(made.story, made.link)
    (seal,) = made.view()["seals"]
    assert (seal["v"], seal["revision"], seal["sound"], seal["key"], seal["text"], seal["jwk"]) == (1, 1, True, "", "", None)
    held = made.sign()
    texts = {id_of(text): text for text in made.story.texts}
    assert (held["revision"], held["previous"]) == (2, [first, sha256(texts[first])])
    assert [one["v"] for one in made.view()["seals"]] == [1, 2]


ODD = [7, True, -1, "x", [7], [{}], [None], ["a", "b"], [["a", "b"]], [[1, 2, 3, 4, 5]], {"a": 1}]


@pytest.mark.parametrize("part", ["photos", "limits", "entries", "verdicts", "revision"])
@pytest.mark.parametrize("odd", ODD)
def test_a_seal_of_the_first_version_with_an_odd_part_stops_no_screen(part: str, odd: object) -> None:
    """It is refused where it comes in; one that a version before has taken in is passed over, and said by whoever verifies."""
    made = SignedLink()
    sign_as_before(made.story, made.link)
    entry = json.loads(made.story.texts.pop())
    (entry["body"] if part in ("verdicts", "revision") else entry["body"]["covers"])[part] = odd
    text = json.dumps(entry, ensure_ascii=False, separators=(",", ":"))
    allowed = part == "revision" or (part == "verdicts" and odd == [["a", "b"]])
    if not allowed:
        with pytest.raises(Refused):
            engine.call("check_entry", text=text)
    made.view([*made.story.texts, text])
    with engine.opened(made.story.book, [*made.story.texts, text]) as core:
        core("since_signing", link=made.link)
        core("sign_off", link=made.link)
        core("record", link=made.link, made_at=AT)
    report = engine.call("verify", texts=[[one, "here"] for one in [*made.story.texts, text]])
    assert report["intact"] is False


def test_versions_that_are_not_known_are_kept_and_never_judged(signed: SignedLink) -> None:
    text = signed.seals[0].replace('"v":2', '"v":3')
    assert engine.call("check_entry", text=text)["known"] is False
    assert engine.call("check_entry", text=signed.story.texts[0].replace('"v":1', '"v":2'))["known"] is False
    assert signed.view([*signed.story.texts[:-1], text])["seals"] == []
