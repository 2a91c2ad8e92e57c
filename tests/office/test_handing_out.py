"""The link's page hands out record and package, shows who signed what, and makes links for clients."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Callable
from html import unescape

import pypdfium2
import pytest
from flask import Flask
from sqlite_utils import Database
from werkzeug.test import TestResponse

from app import signing
from app.office import jobs, making
from app.store import keys, people, shares
from tests import sealing
from tests.conftest import INSTALLER, Phone
from tests.made_hostile import HOSTILE
from tests.made_links import FibreLink
from tests.making import BOOK, new_id
from tests.office.test_pages import post_form, words

AT = "2026-03-20T15:00:00.000+01:00"


@pytest.fixture
def made(phone: Phone) -> FibreLink:
    """A fibre link that a phone has sent, not signed."""
    found = FibreLink(photos=0)
    assert phone.sync(found.story.texts).get_json()["refused"] == []
    return found


def sign(phone: Phone, made: FibreLink, at: str = AT, **more: object) -> str:
    text, accepted = sealing.seal_text(BOOK, made.story.texts, made.link, new_id(), at, accept=True, **more)  # type: ignore[arg-type]
    made.story.texts += [*accepted, text]
    assert phone.sync(made.story.texts).get_json()["refused"] == []
    return text


def page(phone: Phone, made: FibreLink) -> str:
    return str(phone.client.get(f"/office/links/{BOOK}/{made.link}").text)


def ask(phone: Phone, made: FibreLink, **fields: str) -> TestResponse:
    sent = {"csrf_token": phone.session()["csrf"], "paper": "a4", **fields}
    return phone.client.post(f"/office/links/{BOOK}/{made.link}/make", data=sent)


def finished(phone: Phone, answer: TestResponse) -> TestResponse:
    """The file, once it is made."""
    assert answer.status_code == 303
    job = phone.client.application.extensions["spanbook_jobs"]._held.jobs[answer.location.split("/")[3]]
    assert job.ended.wait(60)
    return phone.client.get(f"/office/jobs/{job.id}/file")


def test_the_record_is_made_on_the_paper_asked_for_with_or_without_the_working(phone: Phone, made: FibreLink) -> None:
    whole = finished(phone, ask(phone, made, what="record", working="yes"))
    short = finished(phone, ask(phone, made, what="record", paper="letter"))
    for answer in (whole, short):
        assert answer.mimetype == "application/pdf" and answer.data.startswith(b"%PDF-")
        assert answer.headers["Content-Disposition"] == "attachment; filename=record-Office-to-slip-shed-unsigned.pdf"
        assert answer.headers["Cache-Control"] == "no-store"
    working, sizes = [], []
    for answer in (whole, short):
        document = pypdfium2.PdfDocument(answer.data)
        text = " ".join(" ".join(sheet.get_textpage().get_text_range() for sheet in document).split())
        # A line that only the working has: how the length between the sheath marks is reached.
        working.append("allowance =" in text)
        sizes.append(document[0].get_size())
    assert working == [True, False]
    # ISO 216 A4 is 210 x 297 mm, US letter 8.5 x 11 in; a point is 1/72 in.
    assert sizes == [pytest.approx((595.3, 841.9), abs=0.1), pytest.approx((612, 792), abs=0.1)]


def test_the_package_is_a_zip_with_the_record_in_it(phone: Phone, made: FibreLink) -> None:
    sign(phone, made)
    answer = finished(phone, ask(phone, made, what="package"))
    assert answer.headers["Content-Disposition"] == "attachment; filename=handover-Office-to-slip-shed-revision-1.zip"
    names = zipfile.ZipFile(io.BytesIO(answer.data)).namelist()
    assert [name.split("/", 1)[1] for name in names if name.endswith(("record.pdf", "bagit.txt"))] == [
        "data/record.pdf",
        "bagit.txt",
    ]


@pytest.mark.parametrize(
    "fields", [{}, {"what": "all"}, {"what": "record", "paper": "a5"}, {"what": "package", "paper": "../a4"}]
)
def test_what_cannot_be_made_is_refused(phone: Phone, made: FibreLink, fields: dict[str, str]) -> None:
    assert ask(phone, made, **fields).status_code == 404


def test_nobody_makes_anything_without_the_write_token(phone: Phone, made: FibreLink) -> None:
    assert phone.client.post(f"/office/links/{BOOK}/{made.link}/make", data={"what": "record"}).status_code == 403


class Slow:
    """An order that takes longer than anyone waits, until it is let go."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        import threading

        self.go = threading.Event()
        monkeypatch.setattr(making, "_AT_ONCE_SECONDS", 0.01)
        monkeypatch.setattr(
            making.orders, "record", lambda *_: jobs.Order("slow", "Slow <b>record</b>", "slow.pdf", "application/pdf", self.work)
        )

    def work(self, path: object, progress: Callable[[int, int, str], None]) -> None:
        progress(3, 40, "Photo 3 of 40")
        assert self.go.wait(60)
        progress(40, 40, "Photo 40 of 40")
        path.write_bytes(b"%PDF-slow")  # type: ignore[attr-defined]


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> Slow:
    return Slow(monkeypatch)


def until_running(phone: Phone, address: str) -> dict[str, object]:
    import time

    for _ in range(1000):
        state: dict[str, object] = phone.client.get(f"{address}/state").get_json()
        if state["words"] == "Photo 3 of 40":
            break
        time.sleep(0.01)
    return state


def test_long_work_shows_its_progress_with_and_without_scripts(phone: Phone, made: FibreLink, slow: Slow) -> None:
    address = ask(phone, made, what="record").location
    assert re.fullmatch(r"/office/jobs/[\w-]{20,}", address)
    assert until_running(phone, address) == {"open": True, "state": "running", "words": "Photo 3 of 40", "done": 3, "total": 40}
    shown = phone.client.get(address).text
    assert '<noscript><meta http-equiv="refresh" content="2"></noscript>' in shown and 'src="/static/js/office/job.js"' in shown
    assert 'max="40" value="3"' in shown and "Photo 3 of 40" in shown and "<b>record" not in shown
    assert phone.client.get(f"{address}/file").status_code == 404
    slow.go.set()
    assert finished(phone, ask(phone, made, what="record")).data == b"%PDF-slow"
    after = phone.client.get(address).text
    assert "refresh" not in after and "Done: slow.pdf" in after and f'href="{address}/file"' in after


def test_two_people_cannot_see_each_other_s_work(
    phone: Phone, new_phone: Callable[[], Phone], made: FibreLink, slow: Slow
) -> None:
    address = ask(phone, made, what="record").location
    other = new_phone()
    other.sign_in(INSTALLER)
    for more in ("", "/state", "/file"):
        assert other.client.get(f"{address}{more}").status_code == 404
        assert new_phone().client.get(f"{address}{more}").status_code == 302
    assert post_form(other, f"{address}/stop").status_code == 404
    slow.go.set()
    assert phone.client.get(address).status_code == 200


def test_work_can_be_stopped(phone: Phone, made: FibreLink, slow: Slow) -> None:
    address = ask(phone, made, what="record").location
    until_running(phone, address)
    assert post_form(phone, f"{address}/stop").status_code == 200
    slow.go.set()
    job = phone.client.application.extensions["spanbook_jobs"]._held.jobs[address.split("/")[3]]
    assert job.ended.wait(60)
    assert "Nothing was kept of it" in phone.client.get(address).text


def test_too_much_at_once_is_told_on_a_page(phone: Phone, made: FibreLink, slow: Slow, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "JOBS_AT_ONCE_PER_PERSON", 1)
    ask(phone, made, what="record")
    answer = ask(phone, made, what="package")
    slow.go.set()
    assert answer.status_code == 429 and "being made for you already" in answer.text


# ---- signed


def test_an_unsigned_link_says_what_is_open(phone: Phone, made: FibreLink) -> None:
    from app import engine

    seen = words(page(phone, made))
    assert "Nobody has signed this link yet." in seen and "Show the client" not in seen
    with engine.opened(BOOK, made.story.texts) as core:
        open_items = [item for item in core("sign_off", link=made.link)["items"] if item["state"] in ("failing", "missing")]
    assert open_items
    assert f"{len(open_items)} items open before it can be signed" in seen
    assert all(item["title"] in seen for item in open_items)


def test_a_signed_link_says_who_when_with_which_key_and_that_it_holds(phone: Phone, made: FibreLink, db: Database) -> None:
    text = sign(phone, made)
    seen = words(page(phone, made))
    assert "Revision 1, 2026-03-20 15:00" in seen
    assert "Installer Ana Field, 2026-03-20 15:00" in seen and "Client Cleo Park, 2026-03-20 15:00" in seen
    assert "Device signature Good" in seen and "not registered here" in seen
    assert signing.thumbprint(sealing.DEVICE.jwk) in seen.replace(" ", "")
    assert json.loads(json.loads(text)["body"]["signed"])["digest"] in seen
    assert "Nothing came after it." in seen
    person = people.by_id(db, 2)
    assert person
    keys.register(db, person, new_id(), sealing.DEVICE.jwk)
    assert "registered by Ben Installer on" in words(page(phone, made))


def test_what_came_after_signing_and_what_changed_is_named(phone: Phone, made: FibreLink) -> None:
    sign(phone, made)
    made.story.add("note", {"link": made.link, "of": made.link, "text": "Marker moved by the road works"})
    marks = {"strand": "1", "wavelength": "1310", "direction": "near_to_far", "method": "one_cord"}
    bad = made.story.reading(made.link, "optical_loss", "9.99", "dB", at="2026-03-21T09:00:00.000+01:00", **marks)
    assert phone.sync(made.story.texts).get_json()["refused"] == []
    seen = words(page(phone, made))
    assert "After signing, not covered (2)" in seen and "Marker moved by the road works" in seen
    assert re.search(
        r"Verdicts that differ from those signed \(\d+\).*Loss, strand 1, 1310 nm, near to far: passes is now fails", seen
    )
    made.story.add("void", {"link": made.link, "reading": bad, "reason": "Cord was dirty"}, at="2026-03-21T09:05:00.000+01:00")
    sign(phone, made, at="2026-04-02T09:00:00.000+02:00")
    seen = words(page(phone, made))
    assert seen.index("Revision 2, 2026-04-02 09:00") < seen.index("Revision 1, 2026-03-20 15:00")
    assert "What changed since the revision before" in seen and "Nothing came after it." in seen


def test_a_bad_device_signature_is_said(phone: Phone, made: FibreLink) -> None:
    text, accepted = sealing.seal_text(BOOK, made.story.texts, made.link, new_id(), AT, accept=True)
    entry = json.loads(text)
    entry["body"]["signature"] = sealing.Device(8).sign(entry["body"]["signed"])
    forged = json.dumps(entry, ensure_ascii=False, separators=(",", ":"))
    assert phone.sync([*made.story.texts, *accepted, forged]).get_json()["refused"] == []
    seen = words(page(phone, made))
    assert "The device's signature is bad: this text is not what the key signed." in seen and "Device signature Bad" in seen


# ---- links for clients


def share(phone: Phone, made: FibreLink, **fields: str) -> TestResponse:
    return post_form(phone, f"/office/links/{BOOK}/{made.link}/shares", **fields)  # type: ignore[return-value]


def address_in(shown: str) -> str | None:
    found = re.search(r'id="new-address" readonly value="http://localhost(/c/[^"]+)"', shown)
    return unescape(found[1]) if found else None


def test_a_client_s_address_is_shown_once_and_opens_the_record(app: Flask, phone: Phone, made: FibreLink) -> None:
    sign(phone, made)
    shown = share(phone, made, for_whom="The client's engineer", last_day="2199-12-31")
    address = address_in(shown.text)
    assert shown.status_code == 200 and address
    assert shown.headers["Cache-Control"] == "no-store"
    assert app.test_client().get(address).status_code == 200
    reopened = phone.client.get(f"/office/links/{BOOK}/{made.link}/shares")
    assert reopened.status_code == 303 and reopened.location.endswith(f"/{made.link}#clients")
    again = page(phone, made)
    assert address not in again and address.rsplit("/", 1)[1] not in again
    assert "The client's engineer Ada Office" in words(again) and "2199-12-31 Open" in words(again)


def test_a_client_s_link_is_revoked_at_once_by_anyone_of_the_office_pages(
    app: Flask, phone: Phone, new_phone: Callable[[], Phone], made: FibreLink, db: Database
) -> None:
    sign(phone, made)
    address = address_in(share(phone, made).text)
    assert address and app.test_client().get(address).status_code == 200
    ben = new_phone()
    ben.sign_in(INSTALLER)
    number = shares.of_link(db, BOOK, made.link)[0].number
    answer = post_form(ben, f"/office/links/{BOOK}/{made.link}/shares/{number}/revoke")
    assert "Revoked by Ben Installer" in words(answer.text)  # type: ignore[attr-defined]
    assert app.test_client().get(address).status_code == 404
    assert post_form(ben, f"/office/links/{BOOK}/{made.link}/shares/{number + 1}/revoke").status_code == 404  # type: ignore[attr-defined]


def test_only_a_signed_link_can_be_shown(phone: Phone, made: FibreLink, db: Database) -> None:
    assert share(phone, made).status_code == 404
    assert shares.of_link(db, BOOK, made.link) == []


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"last_day": "2020-01-01"}, "2020-01-01 is over"),
        ({"last_day": "soon"}, "year-month-day"),
        ({"for_whom": "x" * 121}, "longer than 120"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(phone: Phone, made: FibreLink, fields: dict[str, str], says: str) -> None:
    sign(phone, made)
    answer = share(phone, made, **fields)
    assert answer.status_code == 400 and says in unescape(answer.text) and address_in(answer.text) is None


def test_signed_out_nobody_makes_or_revokes_a_link(
    new_phone: Callable[[], Phone], phone: Phone, made: FibreLink, db: Database
) -> None:
    sign(phone, made)
    share(phone, made)
    number = shares.of_link(db, BOOK, made.link)[0].number
    for more in ("", f"/{number}/revoke"):
        answer = new_phone().client.post(f"/office/links/{BOOK}/{made.link}/shares{more}")
        assert (answer.status_code, answer.location.split("?")[0]) == (302, "/office/sign-in")
    assert [one.is_open for one in shares.of_link(db, BOOK, made.link)] == [True]


@pytest.mark.parametrize("typed", HOSTILE)
def test_what_is_typed_on_site_or_as_a_note_stays_text(phone: Phone, made: FibreLink, typed: str) -> None:
    made.story.add("note", {"link": made.link, "of": made.link, "text": typed})
    sign(phone, made, signers=((typed[:200], "installer"),))
    made.story.add("note", {"link": made.link, "of": made.link, "text": typed + " later"})
    assert phone.sync(made.story.texts).get_json()["refused"] == []
    shown = share(phone, made, for_whom=typed[:110]).text
    assert address_in(shown)
    assert "<script>" not in shown and "javascript:" not in shown


# ---- keys


def test_the_office_sees_the_keys_of_phones_and_reports_one_lost(
    phone: Phone, new_phone: Callable[[], Phone], made: FibreLink, db: Database
) -> None:
    sign(phone, made)
    assert "No phone has registered a key yet." in words(phone.client.get("/office/people").text)
    person = people.by_id(db, 2)
    assert person
    thumbprint = keys.register(db, person, new_id(), sealing.DEVICE.jwk)
    assert thumbprint in words(phone.client.get("/office/people").text).replace(" ", "")
    ben = new_phone()
    ben.sign_in(INSTALLER)
    assert post_form(ben, f"/office/people/keys/{thumbprint}/lost").status_code == 403  # type: ignore[attr-defined]
    assert "Reported lost" in words(post_form(phone, f"/office/people/keys/{thumbprint}/lost").text)  # type: ignore[attr-defined]
    assert "reported lost on" in words(page(phone, made))
    assert post_form(phone, "/office/people/keys/none/lost").status_code == 404  # type: ignore[attr-defined]
