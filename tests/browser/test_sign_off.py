"""The sign-off without signal: list, deviation, cautions one by one, signatures, seal, what comes after it, revision 2; then the server's view."""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any

import pytest
from playwright.sync_api import Locator, expect
from sqlite_utils import Database

from app import signing
from app.core import seal_text
from app.store import keys
from tests.browser import acts
from tests.browser.phone import PATIENCE_MS, Phone, PhoneMaker
from tests.browser.server import NAME, Server

SITE: acts.Values = {"Site": "Tern Point", "Near building": "Boat house", "Far building": "Kiln"}
LINK: acts.Values = {"Link": "Boat house to kiln", "Kind": "Optical fibre", "Laid": "In duct"}
CLIENT, WITNESS = "Bo Harbour", "Mina Quill"


@pytest.fixture
def away(phones: PhoneMaker, server: Server) -> tuple[Phone, str]:
    """A phone that keeps what it holds, cut off from the network, with a link that has two stations; and the link's sign-off."""
    phone = phones.lasting(server)
    phone.sign_in()
    phone.all_sent()
    phone.wait_until_kept_offline()
    phone.may_lose_network = True
    phone.context.set_offline(True)
    book = acts.make_site(phone, SITE)
    link = acts.make_link(phone, LINK)
    acts.add_station(phone, {"What is here": "Building entry", "Name": "Boat house wall", "Sheath mark": "100"})
    acts.add_station(phone, {"What is here": "Building entry", "Name": "Kiln wall", "Sheath mark": "160"})
    return phone, f"/book/{book}/link/{link}"


def item(phone: Phone, title: str) -> Locator:
    return phone.page.locator(".sign-item").filter(has=phone.page.get_by_text(title, exact=True))


def open_sign_off(phone: Phone, path: str) -> None:
    phone.open(f"{path}/sign")
    phone.heading("Sign off")


def sealed(phone: Phone, revision: int) -> Locator:
    expect(phone.page.get_by_role("heading", name=f"Signed, revision {revision}", exact=True)).to_be_visible()
    return phone.page.get_by_role("region", name=f"Signed, revision {revision}")


def entries_of(server: Server, kind: str) -> list[str]:
    """The kept texts of a kind on the server, in the order in which they came."""
    found: list[str] = []
    server.change(lambda db, _: found.extend(_texts(db)))
    return [text for text in found if json.loads(text)["kind"] == kind]


def _texts(db: Database) -> list[str]:
    return [row[0] for row in db.execute("SELECT text FROM entries ORDER BY seq").fetchall()]


def test_the_whole_sign_off_without_signal(away: tuple[Phone, str], server: Server) -> None:
    phone, path = away
    open_sign_off(phone, path)
    write_down_services(phone)
    acts.accept_missing(phone, "Measured on the second day")
    expect(phone.page.get_by_text("Nothing is open")).to_be_visible()
    acknowledge_one_by_one(phone)
    acts.draw_signature(phone, "installer")
    type_signature(phone, "Client", CLIENT)
    phone.press("Sign and seal")
    panel = sealed(phone, 1)
    for words in (
        f"{NAME}, installer",
        f"{CLIENT}, client",
        "by typing the name",
        "good, checked on this phone",
        "Nothing was added after signing",
    ):
        expect(panel).to_contain_text(words)

    panel.get_by_role("link", name="Prove what was signed").click()
    expect(phone.page.locator("main")).to_contain_text("Intact: what is here is what was signed.")
    expect(phone.page.locator("main")).to_contain_text("This phone's own")

    add_note(phone, path, "Lid of the kiln box is loose")
    panel = after_signing(phone, path)
    sign_again(phone)
    panel = sealed(phone, 2)
    expect(panel.get_by_text("What had changed: 1")).to_be_visible()
    expect(panel.get_by_text("Earlier revisions: 1")).to_be_visible()

    phone.context.set_offline(False)
    phone.all_sent()
    first, second = entries_of(server, "seal")
    server_says_good(server, [first, second])
    chained(first, second)


def write_down_services(phone: Phone) -> None:
    """One item is settled in its form, which opens at the field and leads back to the list."""
    row = item(phone, "Services of others on the route")
    expect(row).to_contain_text("missing")
    row.get_by_role("link", name="Write down").click()
    expect(phone.page.get_by_role("group", name="Other services on the route", exact=True)).to_be_in_viewport()
    phone.put("Other services on the route", "Nothing of others is near")
    phone.press("Save link")
    phone.heading("Sign off")
    expect(phone.page.locator(".sign-missing").filter(has_text="Services of others")).to_have_count(0)


def acknowledge_one_by_one(phone: Phone) -> None:
    """Each is named among what stands in the way until it is ticked; the tick says who and when."""
    stops = phone.page.get_by_role("checkbox", name=re.compile("read and passed on$"))
    count = stops.count()
    assert count >= 1
    for place in range(count):
        phone.press("Sign and seal")
        expect(phone.page.locator("#hindrances").get_by_text("not acknowledged yet")).to_have_count(count - place)
        stops.nth(place).check()
    expect(phone.page.get_by_text(re.compile(f"^Acknowledged by {NAME}, 20"))).to_have_count(count)


def type_signature(phone: Phone, role: str, name: str) -> None:
    """Who can't draw types the name once more: another name is no signature."""
    who = role.lower()
    phone.press(f"+ {role}")
    phone.page.get_by_label(f"Name of the {who}").fill(name)
    phone.press(f"The {who} can't draw: sign by typing")
    group = phone.page.get_by_role("group", name=role, exact=True)
    again = group.get_by_label(re.compile("typed once more"))
    again.fill("Somebody")
    expect(group).to_contain_text("Not yet the name above")
    again.fill(name)
    expect(group).to_contain_text("Signed 20")


def add_note(phone: Phone, path: str, text: str) -> None:
    phone.open(path)
    phone.press("Note on the link")
    phone.page.get_by_role("dialog").get_by_role("textbox").fill(text)
    phone.page.get_by_role("dialog").get_by_role("button", name=re.compile("^Save")).click()
    expect(phone.page.get_by_text(text).first).to_be_visible()


def after_signing(phone: Phone, path: str) -> Locator:
    open_sign_off(phone, path)
    panel = sealed(phone, 1)
    panel.get_by_text("After signing: 1 entry that this seal does not cover").click()
    expect(panel.get_by_text("Lid of the kiln box is loose")).to_be_visible()
    return panel


def sign_again(phone: Phone) -> None:
    phone.press("Sign a new revision")
    changed = phone.page.get_by_role("region", name="Changed since revision 1")
    expect(changed).to_contain_text("Lid of the kiln box is loose")
    acts.acknowledge(phone)
    acts.draw_signature(phone, "installer")
    phone.press("Sign and seal")


def server_says_good(server: Server, texts: list[str]) -> None:
    """By the cryptography library, with the key that was registered for whoever was signed in."""
    found = seal_text.seals_in(texts)
    assert [signing.is_good(one["key"], one["signature"], one["text"]) for one in found] == [True, True]
    assert len({one["thumbprint"] for one in found}) == 1
    known: dict[str, str] = {}
    server.change(lambda db, _: known.update(keys.words(db)))
    assert known[found[0]["thumbprint"]].startswith(f"registered by {NAME} on 20")


def chained(first: str, second: str) -> None:
    held, now = (json.loads(json.loads(text)["body"]["signed"]) for text in (first, second))
    assert now["revision"] == 2 and held["previous"] is None
    assert now["previous"] == [json.loads(first)["id"], hashlib.sha256(first.encode()).hexdigest()]
    assert any("Lid of the kiln box is loose" in words for words in now["changes"])
    assert [(one["role"], one.get("typed", "")) for one in held["signatures"]] == [("installer", ""), ("client", CLIENT)]
    strokes: list[Any] = held["signatures"][0]["strokes"]
    assert len(strokes) == 1 and len(strokes[0]) > 5
    assert all(stop[2] == NAME for stop in held["stops"])


def test_a_killed_phone_comes_back_with_strokes_names_and_ticks(phones: PhoneMaker, away: tuple[Phone, str]) -> None:
    phone, path = away
    open_sign_off(phone, path)
    acts.accept_missing(phone, "Taken as it is")
    acts.acknowledge(phone)
    acts.draw_signature(phone, "installer")
    phone.press("+ Witness")
    phone.page.get_by_label("Name of the witness").fill(WITNESS)
    acts.draw_signature(phone, "witness")
    phones.kill(phone, offline=True)
    open_sign_off(phone, path)
    expect(phone.page.get_by_role("checkbox", name=re.compile("read and passed on$")).first).to_be_checked()
    expect(phone.page.get_by_label("Name of the witness")).to_have_value(WITNESS)
    expect(phone.page.get_by_text(re.compile("^Signed 20"))).to_have_count(2)
    phone.press("Sign and seal")
    expect(sealed(phone, 1)).to_contain_text(f"{WITNESS}, witness")


def test_a_phone_killed_just_after_sealing_does_not_sign_a_second_time(phones: PhoneMaker, away: tuple[Phone, str]) -> None:
    """The seal was kept and the draft not yet cleared: the draft is put back as it stood at that moment."""
    phone, path = away
    seal_quickly(phone, path)
    phone.page.evaluate(
        """async link => {
          const open = indexedDB.open("spanbook");
          await new Promise(done => (open.onsuccess = done));
          const tx = open.result.transaction(["drafts", "entries"], "readwrite");
          const entries = await new Promise(done => (tx.objectStore("entries").getAll().onsuccess = event => done(event.target.result)));
          const seal = entries.find(one => JSON.parse(one.text).kind === "seal");
          const drawn = { strokes: [[[1, 1], [9, 9]]], width: 300, height: 200, at: "2026-01-01T00:00:00Z" };
          const people = [{ role: "installer", name: "Ida Fieldman", ...drawn }];
          tx.objectStore("drafts").put({ key: `sign:${link}`, value: { people, read: {}, sealing: seal.id } });
          await new Promise(done => (tx.oncomplete = done));
        }""",
        path.split("/")[-1],
    )
    phones.kill(phone, offline=True)
    open_sign_off(phone, path)
    sealed(phone, 1)
    expect(phone.page.get_by_role("button", name="Sign again")).to_be_visible()
    phone.press("Sign again")
    expect(phone.page.get_by_text(re.compile("^Signed 20"))).to_have_count(0)


def test_a_seal_whose_signature_was_touched_is_shown_as_bad(phones: PhoneMaker, away: tuple[Phone, str]) -> None:
    """One hexadecimal digit of the signature is turned in what the phone keeps; the entry stays well made."""
    phone, path = away
    seal_quickly(phone, path)
    expect(sealed(phone, 1)).to_contain_text("good, checked on this phone")
    phone.page.evaluate(
        """async () => {
          const open = indexedDB.open("spanbook");
          await new Promise(done => (open.onsuccess = done));
          const store = open.result.transaction("entries", "readwrite").objectStore("entries");
          const all = store.getAll();
          await new Promise(done => (all.onsuccess = done));
          const row = all.result.find(one => JSON.parse(one.text).kind === "seal");
          const turned = digit => (digit === "0" ? "1" : "0");
          row.text = row.text.replace(/("signature":"[0-9a-f]{127})([0-9a-f])"/, (_, kept, last) => `${kept}${turned(last)}"`);
          store.put(row);
          await new Promise(done => (store.transaction.oncomplete = done));
          open.result.close();
        }"""
    )
    phone.page.reload()
    expect(sealed(phone, 1)).to_contain_text("bad: this text is not what the key signed")


def seal_quickly(phone: Phone, path: str) -> None:
    open_sign_off(phone, path)
    acts.accept_missing(phone, "Taken as it is")
    acts.acknowledge(phone)
    acts.draw_signature(phone, "installer")
    phone.press("Sign and seal")
    sealed(phone, 1)


def test_what_comes_in_while_someone_signs_is_shown_and_not_sealed_unseen(
    phones: PhoneMaker, phone: Phone, server: Server
) -> None:
    """Two phones of one crew, both with signal: one signs while the other adds a note."""
    acts.make_site(phone, SITE)
    acts.make_link(phone, LINK)
    acts.add_station(phone, {"What is here": "Building entry", "Name": "Boat house wall", "Sheath mark": "100"})
    path = "/" + "/".join(phone.path().split("?")[0].strip("/").split("/")[:4])
    phone.all_sent()
    other = phones.fresh(server)
    other.sign_in()
    other.all_sent()
    open_sign_off(phone, path)
    acts.accept_missing(phone, "Taken as it is")
    acts.acknowledge(phone)
    acts.draw_signature(phone, "installer")
    phone.all_sent()

    add_note(other, path, "Water in the kiln duct")
    other.all_sent()
    wait_for_entry(phone, "Water in the kiln duct")
    phone.press("Sign and seal")
    told = phone.page.locator("#hindrances")
    expect(told).to_contain_text("this came in since this screen was opened")
    expect(told).to_contain_text(f"Note by {NAME}")
    expect(told).to_contain_text("signed before something was added or changed")
    expect(phone.page.get_by_role("heading", name=re.compile("Signed, revision"))).to_have_count(0)
    phone.press(f"{NAME} has seen it and stands by it")
    phone.press("Sign and seal")
    expect(sealed(phone, 1)).to_contain_text("Nothing was added after signing")


def wait_for_entry(phone: Phone, words: str) -> None:
    """Until it has come, and until the exchange that brought it, or one after it, is over: then core knows of it too."""
    came_at = 0
    for _ in range(PATIENCE_MS // 200):
        phone.page.evaluate("window.dispatchEvent(new Event('online'))")
        phone.page.wait_for_timeout(200)
        has, last_exchange_at, now = phone.page.evaluate(HELD, words)
        came_at = came_at or (now if has else 0)
        if came_at and last_exchange_at > came_at:
            return
    raise AssertionError(f"No entry with {words!r} came.")


# Whether an entry with these words is kept, when the last exchange ended, and the time now.
HELD = """async words => {
  const open = indexedDB.open("spanbook");
  await new Promise(done => (open.onsuccess = done));
  const tx = open.result.transaction(["entries", "settings"]);
  const entries = tx.objectStore("entries").getAll(), last = tx.objectStore("settings").get("lastSync");
  await new Promise(done => (tx.oncomplete = done));
  open.result.close();
  return [entries.result.some(one => one.text.includes(words)), last.result ?? 0, Date.now()];
}"""


def test_a_signature_made_before_something_was_added_has_to_be_confirmed(away: tuple[Phone, str]) -> None:
    phone, path = away
    open_sign_off(phone, path)
    acts.accept_missing(phone, "Taken as it is")
    acts.acknowledge(phone)
    acts.draw_signature(phone, "installer")
    add_note(phone, path, "Bracket moved")
    open_sign_off(phone, path)
    phone.press("Sign and seal")
    expect(phone.page.locator("#hindrances")).to_contain_text("signed before something was added or changed")
    phone.press(f"{NAME} has seen it and stands by it")
    phone.press("Sign and seal")
    sealed(phone, 1)


def test_a_browser_without_keys_says_so_and_nothing_is_lost(phones: PhoneMaker, server: Server) -> None:
    """A page that did not come by https gets no crypto.subtle."""
    phone = phones.fresh(server)
    phone.page.add_init_script("Object.defineProperty(Crypto.prototype, 'subtle', { get: () => undefined })")
    phone.sign_in()
    acts.make_site(phone, SITE)
    acts.make_link(phone, LINK)
    acts.add_station(phone, {"What is here": "Building entry", "Name": "Boat house wall", "Sheath mark": "100"})
    path = "/" + "/".join(phone.path().split("?")[0].strip("/").split("/")[:4])
    open_sign_off(phone, path)
    phone.said(re.compile("can't sign.*https.*still here", re.DOTALL))
    acts.accept_missing(phone, "Taken as it is")
    acts.acknowledge(phone)
    acts.draw_signature(phone, "installer")
    phone.press("Sign and seal")
    expect(phone.page.locator("#hindrances")).to_contain_text("Not signed: This browser can't sign")
    phone.all_sent()
    phone.page.reload()
    expect(phone.page.get_by_text(re.compile("^Signed 20"))).to_have_count(1)


def test_the_first_form_of_the_phones_database_is_taken_over_with_all_that_is_in_it(phones: PhoneMaker, server: Server) -> None:
    """A phone that has worked with version 1: made by hand as that version made it, before the app opens it."""
    phone = phones.fresh(server)
    phone.may_lose_network = True
    phone.page.goto(f"{server.base}/api/session")
    phone.page.evaluate(
        """async () => {
          const open = indexedDB.open("spanbook", 1);
          open.onupgradeneeded = () => {
            const database = open.result;
            const entries = database.createObjectStore("entries", { keyPath: "id" });
            for (const name of ["book", "outbox"]) entries.createIndex(name, name);
            database.createObjectStore("photos", { keyPath: "sha256" }).createIndex("outbox", "outbox");
            database.createObjectStore("books", { keyPath: "book" });
            database.createObjectStore("drafts", { keyPath: "key" });
            for (const name of ["settings", "ballast"]) database.createObjectStore(name);
            const book = "0190a000-0000-7000-8000-000000000001", id = "0190a000-0000-7000-8000-000000000002";
            const text = JSON.stringify({ id, book, kind: "site", v: 1, body: { subject: book, name: "Old Mole" }, at: "2026-01-02T03:04:05.678Z",
              by: "Ida Fieldman", device: "0190a000-0000-7000-8000-000000000003", replaces: [] });
            entries.put({ id, book, text, outbox: 1 });
            open.transaction.objectStore("books").put({ book, stale: 1 });
            open.transaction.objectStore("settings").put("Ida Fieldman", "name");
          };
          await new Promise((done, fail) => { open.onsuccess = done; open.onerror = fail; });
          open.result.close();
        }"""
    )
    phone.open("/")
    expect(phone.page.get_by_role("link", name=re.compile("Old Mole"))).to_be_visible()
    phone.waiting("1 entry on this phone only")
    phone.sign_in()
    phone.all_sent()
    known: dict[str, str] = {}
    server.change(lambda db, _: known.update(keys.words(db)))
    assert len(known) == 1


def test_the_key_stays_the_same_and_is_registered_once_for_each_person(phones: PhoneMaker, server: Server) -> None:
    phone = phones.lasting(server)
    posts: list[str] = []
    phone.page.on("request", lambda request: posts.append(request.url) if request.url.endswith("/api/device-key") else None)
    phone.sign_in()
    phone.all_sent()
    phone.page.reload()
    phone.all_sent()
    assert len(posts) == 1
    phones.restart(phone, offline=False)
    phone.open("/")
    phone.all_sent()
    known: dict[str, str] = {}
    server.change(lambda db, _: known.update(keys.words(db)))
    assert len(known) == 1
    pair = phone.page.evaluate(
        """async () => {
          const open = indexedDB.open("spanbook");
          await new Promise(done => (open.onsuccess = done));
          const held = open.result.transaction("keys").objectStore("keys").get("device");
          await new Promise(done => (held.onsuccess = done));
          const { privateKey, publicKey } = held.result;
          const refused = await crypto.subtle.exportKey("jwk", privateKey).then(() => false, () => true);
          return { extractable: privateKey.extractable, refused, jwk: await crypto.subtle.exportKey("jwk", publicKey) };
        }"""
    )
    assert (pair["extractable"], pair["refused"]) == (False, True)
    assert {name: pair["jwk"][name] for name in ("kty", "crv")} == {"kty": "EC", "crv": "P-256"}
    assert signing.thumbprint({name: pair["jwk"][name] for name in ("kty", "crv", "x", "y")}) in known
