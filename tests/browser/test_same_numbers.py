"""The phone's interpreter and the server's say the same, to the digit."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from app import engine
from tests.browser.demo import BOOK, HELD, LINKS, link_path
from tests.browser.phone import Phone

SENSES = {"max": "at most ", "min": "at least ", "is": ""}
WORDS = {
    "pass": "passes",
    "pass_within_uncertainty": "passes within uncertainty",
    "fail_within_uncertainty": "fails within uncertainty",
    "fail": "fails",
    "not_measured": "not measured",
}


def expected_row(check: dict[str, Any]) -> dict[str, str]:
    """What the screen has to say of a check, from the server's own answer."""
    row = {"title": check["title"], "verdict": WORDS[check["verdict"]] + (", accepted as a deviation" if check["deviation"] else "")}
    if check["verdict"] == "not_measured":
        return row
    if check["measured"]:
        row["Measured"] = with_unit(check["measured"]) + (f" ± {check['uncertainty']['text']}" if check["uncertainty"] else "")
    if check["limit"]:
        row["Limit"] = SENSES[check["limit"]["sense"]] + with_unit(check["limit"])
    if check["margin"]:
        row["Margin"] = with_unit(check["margin"])
    return row


def with_unit(shown: dict[str, str]) -> str:
    return f"{shown['text']} {shown['unit']}".strip()


READ_ROWS = """rows => rows.map(row => {
  const title = row.querySelector(".check-title").cloneNode(true);
  title.querySelectorAll("small").forEach(part => part.remove());
  const said = { title: title.textContent.trim(), verdict: row.querySelector(".verdict-word").textContent.trim() };
  for (const pair of row.querySelectorAll("dl > div")) said[pair.children[0].textContent.trim()] = pair.children[1].textContent.trim();
  return said;
})"""


def test_checks_on_the_phone_are_those_of_the_server(demo_phone: Phone) -> None:
    phone = demo_phone
    for name, link in LINKS.items():
        phone.open(link_path(link, "checks"))
        expect(phone.page.get_by_role("main").get_by_role("link", name=name, exact=True)).to_be_visible()
        shown = phone.page.locator(".check-row").evaluate_all(READ_ROWS)
        with engine.opened(BOOK, HELD["entries"]) as core:
            judged = core("checks", link=link)["checks"]
        assert len(shown) > 20, name
        assert sorted(shown, key=by_title) == sorted(map(expected_row, judged), key=by_title), name


def by_title(row: dict[str, str]) -> str:
    return row["title"]
