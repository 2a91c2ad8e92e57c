"""The office pages: what was sent is shown as core says it, and nothing typed on a phone can act on the page."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from html import unescape

import pytest
from flask import Flask

from app import engine
from tests.conftest import INSTALLER, NAME, PASSWORD, Phone, picture
from tests.made_links import FibreLink
from tests.making import BOOK, Story, entry, id_of


def words(page: str) -> str:
    """What a reader sees of a page, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


@pytest.fixture
def sent(phone: Phone) -> FibreLink:
    """A fibre link that a phone has sent."""
    made = FibreLink(photos=1, signed=True)
    answer = phone.sync(made.story.texts).get_json()
    assert answer["refused"] == []
    return made


def office_sign_in(phone: Phone, name: str, password: str, then: str = "") -> object:
    page = phone.client.get("/office/sign-in", query_string={"next": then})
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', page.text)
    assert token
    return phone.client.post("/office/sign-in", data={"csrf_token": token[1], "name": name, "password": password, "next": then})


def test_signed_out_every_page_leads_to_sign_in_and_then_back(new_phone: Callable[[], Phone]) -> None:
    phone = new_phone()
    answer = phone.client.get("/office/people")
    assert (answer.status_code, answer.location) == (302, "/office/sign-in?next=/office/people")
    assert office_sign_in(phone, NAME, PASSWORD, "/office/people").location == "/office/people"
    assert NAME in phone.client.get("/office/people").text


@pytest.mark.parametrize(
    "then", ["https://elsewhere.example/", "//elsewhere.example", "/office//elsewhere.example", "/api/session", "javascript:1"]
)
def test_sign_in_never_leads_out_of_the_office(new_phone: Callable[[], Phone], then: str) -> None:
    assert office_sign_in(new_phone(), NAME, PASSWORD, then).location == "/office/"


def test_a_wrong_password_is_told_on_the_page(new_phone: Callable[[], Phone]) -> None:
    answer = office_sign_in(new_phone(), NAME, "wrong password")
    assert answer.status_code == 401
    assert "Name and password don't match" in unescape(answer.text)


def test_guesses_on_the_phone_s_way_in_count_on_the_office_s_too(new_phone: Callable[[], Phone]) -> None:
    phone = new_phone()
    for _ in range(10):
        assert phone.sign_in(password="guess").status_code == 401
    answer = office_sign_in(phone, NAME, PASSWORD)
    assert answer.status_code == 429
    assert "Wait five minutes" in answer.text


def test_a_form_without_its_token_is_refused_with_a_page(phone: Phone) -> None:
    answer = phone.client.post("/office/people", data={"name": "X", "password": PASSWORD, "role": "office"})
    assert answer.status_code == 403
    assert "opened too long ago" in answer.text


def test_the_list_shows_link_site_client_place_and_counts(phone: Phone, sent: FibreLink) -> None:
    with engine.opened(BOOK, sent.story.texts) as core:
        summary = core("checks", link=sent.link)["summary"]
    seen = words(phone.client.get("/office/").text)
    counts = f"{summary['pass']} {summary['fail']} {summary['not_measured']} {summary['deviations']}"
    about = "Boatyard Tidewater Boats Westquay Optical fibre"
    assert f"Office to slip shed {summary['state']} {about} {counts}" in seen


@pytest.mark.parametrize(
    ("typed", "found"), [("tidewater", True), ("WESTQ", True), ("slip shed", True), ("vineyard", False), ("<script>", False)]
)
def test_search_by_client_place_and_link(phone: Phone, sent: FibreLink, typed: str, found: bool) -> None:
    page = phone.client.get("/office/", query_string={"q": typed}).text
    assert (f"/office/links/{BOOK}/{sent.link}" in page) is found
    assert "<script>" not in page


def test_the_link_page_shows_every_check_with_core_s_own_texts(phone: Phone, sent: FibreLink) -> None:
    with engine.opened(BOOK, sent.story.texts) as core:
        checks = core("checks", link=sent.link)["checks"]
    seen = words(phone.client.get(f"/office/links/{BOOK}/{sent.link}").text)
    assert checks
    for check in checks:
        assert check["title"] in seen
        for part in ("measured", "limit", "margin"):
            assert check[part] is None or f"{check[part]['text']} {check[part]['unit'] or ''}".strip() in seen
    assert "Commissioning record (PDF)" in seen and "Handover package (zip)" in seen


def test_the_record_comes_as_pdf_named_after_the_link(phone: Phone, sent: FibreLink) -> None:
    for query in ("", "?paper=letter"):
        answer = phone.client.get(f"/office/links/{BOOK}/{sent.link}/record.pdf{query}")
        assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
        assert answer.data.startswith(b"%PDF-")
        assert answer.headers["Content-Disposition"] == 'inline; filename="record-Office-to-slip-shed-revision-1.pdf"'
    assert phone.client.get(f"/office/links/{BOOK}/{sent.link}/record.pdf?paper=a5").status_code == 404


def test_the_site_page_shows_photos_once_they_are_here(phone: Phone) -> None:
    held = picture(size=(800, 600))
    sha256 = hashlib.sha256(held).hexdigest()
    story = Story()
    story.site_with_buildings()
    story.add("photo", {"link": None, "of": BOOK, "sha256": sha256, "type": "image/jpeg", "caption": "Open trench"})
    phone.sync(story.texts)
    assert "Not sent yet: still on the phone Open trench" in words(phone.client.get(f"/office/sites/{BOOK}").text)
    phone.put_photo(held)
    assert f"/office/photos/{sha256}" in phone.client.get(f"/office/sites/{BOOK}").text
    small = phone.client.get(f"/office/photos/{sha256}")
    assert small.mimetype == "image/jpeg" and 0 < len(small.data) < len(held) * 10


def test_the_site_page_shows_conflicts_and_entries_of_a_newer_version(phone: Phone) -> None:
    story = Story()
    story.site_with_buildings()
    first = story.texts[0]
    texts = [
        *story.texts,
        entry(
            "site", {"subject": BOOK, "client": "North"}, by="Ada", replaces=[id_of(first)], at="2026-03-14T11:00:00.000+01:00"
        ),
        entry(
            "site", {"subject": BOOK, "client": "South"}, by="Ben", replaces=[id_of(first)], at="2026-03-14T12:00:00.000+01:00"
        ),
        entry("hologram", {"size": 3}, v=4, by="Cay"),
    ]
    phone.sync(texts)
    seen = words(phone.client.get(f"/office/sites/{BOOK}").text)
    assert "Client (site): South by Ben, 2026-03-14 12:00; North by Ada, 2026-03-14 11:00" in seen
    assert "hologram, version 4, by Cay" in seen


def test_the_site_plan_is_a_drawing(phone: Phone, sent: FibreLink) -> None:
    answer = phone.client.get(f"/office/sites/{BOOK}/plan.svg")
    assert (answer.status_code, answer.mimetype) == (200, "image/svg+xml")
    assert answer.text.lstrip().startswith("<svg")


def test_what_is_typed_on_a_phone_stays_text(phone: Phone) -> None:
    story = Story()
    trap = '"><script>alert(1)</script>'
    story.thing("site", name=trap, client=trap, place=trap)
    near, far = story.thing("building", name=trap), story.thing("building", name=trap)
    link = story.thing("link", name=trap, medium="fibre", near_building=near, far_building=far)
    phone.sync(story.texts)
    for address in ("/office/", f"/office/sites/{BOOK}", f"/office/links/{BOOK}/{link}"):
        page = phone.client.get(address).text
        assert "alert(1)" in page
        assert "<script>alert" not in page


@pytest.mark.parametrize(
    "address", ["sites/none", "sites/none/plan.svg", "links/none/none", "links/{book}/none", "links/{book}/none/record.pdf"]
)
def test_what_is_not_there_is_a_page_that_says_so(phone: Phone, sent: FibreLink, address: str) -> None:
    answer = phone.client.get("/office/" + address.format(book=BOOK))
    assert answer.status_code == 404
    assert "nothing at this address" in answer.text


def test_many_links_come_in_pages(phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.office.pages.LINKS_PER_PAGE", 2)
    story = Story()
    near, far = story.site_with_buildings()
    for number in range(5):
        story.thing("link", name=f"Run {number}", medium="fibre", near_building=near, far_building=far)
    phone.sync(story.texts)
    seen = [re.findall(r"Run \d", words(phone.client.get(f"/office/?page={page}").text)) for page in (1, 2, 3, 4)]
    assert seen == [["Run 0", "Run 1"], ["Run 2", "Run 3"], ["Run 4"], []]
    assert phone.client.get("/office/?page=letters").status_code == 200


def post_form(phone: Phone, address: str, **fields: str) -> object:
    return phone.client.post(address, data={"csrf_token": phone.session()["csrf"], **fields}, follow_redirects=True)


def test_the_office_adds_a_person_who_can_then_sign_in(phone: Phone, new_phone: Callable[[], Phone]) -> None:
    page = post_form(phone, "/office/people", name="Cay Splicer", password="a long first one", role="installer")
    assert "Cay Splicer may sign in now." in page.text
    other = new_phone()
    assert other.sign_in("Cay Splicer", "a long first one").status_code == 200
    assert other.client.get("/office/people").status_code == 403
    assert other.client.get("/office/").status_code == 200


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"name": "", "password": PASSWORD, "role": "office"}, "Fill this in."),
        ({"name": "Dee", "password": "short", "role": "office"}, "10 to 200 characters"),
        ({"name": NAME, "password": PASSWORD, "role": "office"}, "already a person named"),
    ],
)
def test_a_person_that_cannot_be_added_is_refused_beside_the_field(phone: Phone, fields: dict[str, str], says: str) -> None:
    page = post_form(phone, "/office/people", **fields)
    assert page.status_code == 400
    assert says in page.text


def test_the_office_changes_a_password_and_stops_access(app: Flask, phone: Phone, new_phone: Callable[[], Phone]) -> None:
    ben = new_phone()
    ben.sign_in(INSTALLER)
    assert "10 to 200 characters" in post_form(phone, "/office/people/2/password", password="short").text
    assert ben.session()["signed_in"] is True
    assert "has a new password" in post_form(phone, "/office/people/2/password", password="quite another one").text
    assert ben.session()["signed_in"] is False
    assert ben.sign_in(INSTALLER, "quite another one").status_code == 200
    assert "no longer sign in" in post_form(phone, "/office/people/2/access/stop").text
    assert ben.session()["signed_in"] is False
    assert "last person of the office" in post_form(phone, "/office/people/1/access/stop").text
    assert post_form(phone, "/office/people/77/access/stop").status_code == 404


def test_signing_out_ends_the_session(phone: Phone) -> None:
    assert "Sign in" in post_form(phone, "/office/sign-out").text
    assert phone.session()["signed_in"] is False
