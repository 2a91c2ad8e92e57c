"""Whatever goes wrong on the way, what was recorded stays and goes up in the end."""

from __future__ import annotations

import json
import re
from pathlib import Path

from playwright.sync_api import Route, expect

from app import engine
from app.store import entries
from app.store.database import Database
from app.store.photos import PhotoFolder
from tests.browser import acts
from tests.browser.phone import Phone, PhoneMaker
from tests.browser.server import NAME, Server

SITE = {"Site": "Tern Point", "Near building": "Mess hall", "Far building": "Boat house"}
LINK = {"Link": "Mess hall to boat house", "Kind": "Optical fibre", "Fibre": "OS2 single-mode, outdoor"}


def kept_by(server: Server) -> list[dict]:
    """Every entry that the server holds."""
    found: list[dict] = []

    def read(db: Database, _: PhotoFolder) -> None:
        found.extend(json.loads(row[0]) for row in db.execute("SELECT text FROM entries ORDER BY seq"))

    server.change(read)
    return found


def kinds(server: Server) -> list[str]:
    return [entry["kind"] for entry in kept_by(server)]


def offline(phone: Phone) -> None:
    phone.may_lose_network = True
    phone.context.set_offline(True)


def test_an_expired_session_keeps_what_waits_until_someone_signs_in(phone: Phone, server: Server) -> None:
    """Twice: the browser has lost its cookie; the office has ended everyone's sessions."""
    offline(phone)
    acts.make_site(phone, SITE)
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    phone.waiting(re.compile("3 entries on this phone only.*sign in to send", re.DOTALL))
    assert kept_by(server) == []
    sign_in_to_send(phone)
    assert kinds(server) == ["site", "building", "building"]

    phone.follow(re.compile("^Tern Point"))
    offline(phone)
    server.end_sessions()
    acts.make_link(phone, LINK)
    phone.context.set_offline(False)
    phone.waiting(re.compile("1 entry on this phone only.*sign in to send", re.DOTALL))
    assert kinds(server) == ["site", "building", "building"]
    sign_in_to_send(phone)
    assert kinds(server) == ["site", "building", "building", "link"]
    assert {entry["by"] for entry in kept_by(server)} == {NAME}


def sign_in_to_send(phone: Phone) -> None:
    phone.page.locator("header").get_by_role("link", name=re.compile("sign in to send")).click()
    phone.heading("Sign in")
    phone.enter_password()
    phone.heading("Sites")
    phone.all_sent()


def test_what_is_half_typed_survives_a_reload(phone: Phone, server: Server) -> None:
    phone.open("/book/new")
    phone.fill({"Site": "Tern Point", "Near building": "Mess hall"})
    expect_draft(phone, "Mess hall")
    phone.page.reload()
    expect(phone.page.get_by_label("Site", exact=True)).to_have_value("Tern Point")
    expect(phone.page.get_by_label("Near building", exact=True)).to_have_value("Mess hall")
    assert kept_by(server) == []


def test_a_half_typed_reading_survives_a_killed_browser(phones: PhoneMaker, server: Server) -> None:
    phone = phones.lasting(server)
    phone.sign_in()
    phone.wait_until_kept_offline()
    acts.make_site(phone, SITE)
    acts.make_link(phone, LINK)
    acts.open_reading(phone, "Loss")
    path = phone.path()
    acts.type_value(phone, "Loss", "0,42")
    expect_draft(phone, "0,42")
    offline(phone)
    phones.kill(phone, offline=True)
    phone.open(path)
    expect(phone.page.get_by_role("textbox", name="Loss", exact=True)).to_have_value("0,42")


def expect_draft(phone: Phone, words: str) -> None:
    """The draft is in the phone's database, where a reload finds it."""
    look = """async words => {
      const done = request => new Promise((resolve, reject) => { request.onsuccess = () => resolve(request.result); request.onerror = reject; });
      const db = await done(indexedDB.open("spanbook"));
      let found = false;
      for (let tries = 0; tries < 100 && !found; tries += 1) {
        found = JSON.stringify(await done(db.transaction("drafts").objectStore("drafts").getAll())).includes(words);
        if (!found) await new Promise(resolve => setTimeout(resolve, 50));
      }
      db.close();
      return found;
    }"""
    assert phone.page.evaluate(look, words)


def test_a_photo_chosen_just_before_a_kill_is_there(phones: PhoneMaker, server: Server, tmp_path: Path) -> None:
    phone = phones.lasting(server)
    phone.sign_in()
    phone.wait_until_kept_offline()
    acts.make_site(phone, SITE)
    acts.make_link(phone, LINK)
    phone.all_sent()
    offline(phone)
    path = phone.path()
    acts.take_photo(phone, "Photo", acts.photo_file(tmp_path / "photo.jpg"), "Trench at noon")
    phones.kill(phone, offline=True)
    phone.open(path)
    phone.waiting("1 entry, 1 photo on this phone only")
    # Asked of whatever image stands there: the screen is drawn again while books are opened.
    expect(phone.page.get_by_role("img", name="Trench at noon")).not_to_have_js_property("naturalWidth", 0)
    phone.context.set_offline(False)
    # A killed browser may have lost its session as well: that must not cost the photo.
    phone.sign_in()
    phone.all_sent()
    (entry,) = [entry for entry in kept_by(server) if entry["kind"] == "photo"]
    server.change(lambda db, photos: check_photo(photos.find(db, entry["body"]["sha256"]), entry))


def check_photo(found: object, entry: dict) -> None:
    assert found is not None and found.path.stat().st_size == int(entry["body"]["bytes"])  # type: ignore[attr-defined]


def answer_lost(route: Route) -> None:
    """The server keeps it all, and its answer never comes."""
    route.fetch()
    route.abort()


BAD_ANSWERS = {
    "503": lambda route: route.fulfill(status=503, body="Service Unavailable"),
    "torn": lambda route: route.fulfill(status=200, content_type="application/json", body='{"accepted": ["019'),
    "a network's own page": lambda route: route.fulfill(status=200, content_type="text/html", body="<html>Welcome, guests</html>"),
    "no answer": lambda route: route.abort(),
    "answer lost": answer_lost,
}


def test_bad_answers_lose_nothing_and_the_next_try_goes_through(phone: Phone, server: Server) -> None:
    phone.may_lose_network = True
    now = phone.page.locator("header").get_by_role("button")
    for place, answer in enumerate(BAD_ANSWERS.values()):
        phone.page.unroute_all()
        phone.page.route("**/api/sync", answer)
        with phone.page.expect_request("**/api/sync"):
            if place == 0:
                acts.make_site(phone, SITE)
            else:
                now.click()
        phone.waiting(re.compile("3 entries on this phone only.*now", re.DOTALL))
        expect(now).to_be_enabled()
    phone.page.unroute_all()
    now.click()
    phone.all_sent()
    assert kinds(server) == ["site", "building", "building"]


def test_two_phones_without_signal_set_one_field_and_both_values_are_shown(phones: PhoneMaker, phone: Phone, server: Server) -> None:
    book = acts.make_site(phone, SITE)
    phone.all_sent()
    other = phones.fresh(server)
    other.sign_in()
    other.all_sent()
    for one in (phone, other):
        one.open(f"/book/{book}")
        offline(one)
    for one, client in ((phone, "Tern Trust"), (other, "Point Council")):
        one.follow("Change site")
        one.put("Client", client)
        one.press("Save site")
        one.heading("Tern Point")
        one.waiting("1 entry on this phone only")
    for one in (phone, other):
        one.context.set_offline(False)
        one.all_sent()
    phone.page.reload()
    # The line at the top speaks of what this phone sends; what the other one sent shows on the site's page when it has come.
    expect(phone.page.get_by_text(re.compile("^Set in two ways"))).to_be_visible()
    phone.open(f"/book/{book}/edit/site/{book}")
    choice = phone.page.get_by_role("complementary", name="Client: two values")
    expect(choice).to_contain_text("Tern Trust")
    expect(choice).to_contain_text("Point Council")
    choice.get_by_role("button", name=re.compile("Tern Trust")).click()
    phone.press("Save site")
    phone.heading("Tern Point")
    expect(phone.page.get_by_text(re.compile("^Set in two ways"))).to_have_count(0)
    phone.all_sent()
    assert settled_client(server, book) == {"value": "Tern Trust", "others": []}


def settled_client(server: Server, book: str) -> dict:
    found: list[str] = []
    server.change(lambda db, _: found.extend(entries.texts_of(db, book)))
    with engine.opened(book, found) as core:
        field = core("book")["site"]["fields"]["client"]
    return {"value": field["value"], "others": field["also"]}


def refuse_first(route: Route) -> None:
    """The server takes all but the first entry that was sent."""
    answer = route.fetch(post_data=without_first(route.request.post_data or "{}"))
    sent = json.loads(route.request.post_data or "{}")["entries"]
    said = answer.json()
    if sent:
        said["refused"].append({"id": json.loads(sent[0])["id"], "index": 0, "code": "field", "message": "name: longer than the server takes"})
    route.fulfill(response=answer, json=said)


def without_first(body: str) -> str:
    sent = json.loads(body)
    return json.dumps({**sent, "entries": sent["entries"][1:]})


def test_an_entry_that_the_server_refuses_stays_flagged_with_the_reason(phone: Phone, server: Server) -> None:
    phone.page.route("**/api/sync", refuse_first)
    acts.make_site(phone, SITE)
    phone.waiting("1 entry on this phone only")
    assert kinds(server) == ["building", "building"]
    phone.open("/")
    panel = phone.page.get_by_role("region", name="This phone")
    expect(panel).to_contain_text("Not taken by the server")
    expect(panel).to_contain_text("name: longer than the server takes")
    expect(phone.page.get_by_role("link", name=re.compile("Tern Point"))).to_contain_text("1 entry on this phone only")
    phone.page.unroute_all()
    panel.get_by_role("button", name="Try again").click()
    phone.all_sent()
    assert sorted(kinds(server)) == ["building", "building", "site"]
