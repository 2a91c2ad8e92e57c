"""A limit that was written down from memory says so wherever it decides a verdict."""

from __future__ import annotations

from typing import Any

import pytest

from app import engine
from app.core.checks import base
from app.paths import SEED_DATA
from tests.core.judged import checks
from tests.making import Story

WORDS = "from memory, check your edition"
CHANNEL = {"category": "6", "setup": "channel", "limit_set": "iso-11801-1-2017-copper"}
MADE_AT = "2026-03-15T08:00:00.000+01:00"


def failing_loop(**fields: Any) -> tuple[Story, str]:
    """25 ohm is the loop of a channel in ISO/IEC 11801-1, from memory; 26 ohm fails."""
    story = Story()
    link = story.link("copper", **CHANNEL, **fields)
    story.reading(link, "loop_resistance", "26", "ohm", pair="1-2")
    return story, link


def record_of(story: Story, link: str) -> dict[str, Any]:
    with engine.opened(story.book, story.texts) as core:
        made: dict[str, Any] = core("record", link=link, made_at=MADE_AT)
        return made


def section(model: dict[str, Any], name: str) -> dict[str, Any]:
    return next(held for held in model["sections"] if held["id"] == name)


def demo_checks() -> list[dict[str, Any]]:
    from app import exchange

    found: list[dict[str, Any]] = []

    def gather(held: Any) -> None:
        if isinstance(held, dict) and "verdict" in held and "rule" in held:
            found.append(held)
        elif isinstance(held, (dict, list)):
            for inner in held.values() if isinstance(held, dict) else held:
                gather(inner)

    gather(exchange.evaluate(SEED_DATA / "vineyard" / "book.json"))
    return found


def test_every_check_of_the_demo_that_leans_on_memory_says_so() -> None:
    leaning = [check for check in demo_checks() if check["source"] and check["source"]["seen"] == "memory"]
    assert len(leaning) > 20
    for check in leaning:
        assert WORDS in check["source"]["text"], check["id"]
        assert WORDS in check["sentence"] or check["source"]["text"] not in check["sentence"], check["id"]


@pytest.mark.parametrize("ohms", ["26", "24", None])
def test_sentence_says_it_whether_it_passes_fails_or_waits(ohms: str | None) -> None:
    story = Story()
    link = story.link("copper", **CHANNEL)
    if ohms:
        story.reading(link, "loop_resistance", ohms, "ohm", pair="1-2")
    assert WORDS in checks(story, link)["loop_resistance:pair=1-2"]["sentence"]


def test_a_trial_reading_says_it_before_anything_is_saved() -> None:
    story = Story()
    link = story.link("copper", **CHANNEL)
    draft = {"link": link, "quantity": "loop_resistance", "pair": "1-2", "value": {"value": "26", "unit": "ohm"}}
    with engine.opened(story.book, story.texts) as core:
        (trial,) = [check for check in core("checks", link=link, draft=draft)["checks"] if check["rule"] == "loop_resistance"]
    assert trial["verdict"] == "fail" and WORDS in trial["sentence"]


def test_margin_bars_mark_it_and_tell_what_the_mark_means() -> None:
    story, link = failing_loop()
    with engine.opened(story.book, story.texts) as core:
        svg = core("picture", link=link, which="bars")["svg"]
    assert "Fails †" in svg and base.MEMORY_LEGEND in svg


def test_margin_bars_without_such_a_limit_have_no_mark() -> None:
    story = Story()
    link = story.link("extended", load_voltage_min={"value": "37", "unit": "V"}, load_source="Leaflet")
    story.reading(link, "far_voltage", "40", "V")
    with engine.opened(story.book, story.texts) as core:
        assert "†" not in core("picture", link=link, which="bars")["svg"]


def test_the_records_cover_and_deviations_mark_it_and_its_margins_name_it() -> None:
    story, link = failing_loop()
    model = record_of(story, link)
    opened = dict(section(model, "verdict")["blocks"][0]["rows"])["Open"]
    assert "fails: Pair loop resistance, pair 1-2 †" in opened and opened.endswith(base.MEMORY_LEGEND)
    margins = [row for block in section(model, "margins")["blocks"] if block["form"] == "table" for row in block["rows"]]
    (row,) = [held for held in margins if held[0] == "Pair loop resistance, pair 1-2"]
    assert row[-1].endswith(", memory")
    legend = section(model, "margins")["blocks"][0]["lines"][1]
    assert "Memory: from memory, check your edition." in legend
    sources = [line for block in section(model, "sources")["blocks"] for cells in block["rows"] for line in cells]
    assert any(WORDS in line and "clause 6, channel" in line for line in sources)
    story.add("deviation", {"link": link, "check": "loop_resistance:pair=1-2", "reason": "Short of cable", "name": "A. Client"})
    blocks = section(record_of(story, link), "deviations")["blocks"]
    assert blocks[0]["rows"][0][1] == "Fails †"
    assert blocks[1]["lines"] == [base.MEMORY_LEGEND]


@pytest.mark.parametrize(
    ("rule", "line"),
    [
        ("simple", "Decision rule: simple acceptance."),
        ("guarded", "Decision rule: guarded by the stated uncertainty (±, k = 2)."),
    ],
)
def test_the_record_prints_the_decision_rule_above_its_margins(rule: str, line: str) -> None:
    story, link = failing_loop(decision_rule=rule)
    first = section(record_of(story, link), "margins")["blocks"][0]["lines"][0]
    assert first.startswith(line)


def test_the_record_says_what_holds_for_a_guarded_link_where_no_uncertainty_is_stated() -> None:
    story, link = failing_loop(decision_rule="guarded")
    first = section(record_of(story, link), "margins")["blocks"][0]["lines"][0]
    assert first.endswith("Where no ± stands beside a measured figure, simple acceptance.")
