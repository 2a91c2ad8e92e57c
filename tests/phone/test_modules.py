"""The phone's own modules that need no browser, run in node: ids, times, positions, what a form writes, addresses."""

from __future__ import annotations

import json
import os
import subprocess
from datetime import datetime
from typing import Any

import pytest

from tests.phone.micropython import NODE, ROOT


def run(module: str, expression: str, zone: str = "UTC") -> Any:
    """The value of a JavaScript expression in which `m` is a module of static/js."""
    address = json.dumps((ROOT / "static/js" / module).as_uri())
    script = f"const m = await import({address}); console.log(JSON.stringify({expression}));"
    done = subprocess.run(
        [str(NODE), "--no-warnings", "--input-type=module", "-e", script],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, "TZ": zone},
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_an_id_starts_with_the_time_and_says_that_it_is_of_version_7() -> None:
    """Time and layout of the example in RFC 9562, appendix A.6: 0x017F22E279B0 ms gives 017f22e2-79b0-7...-[89ab]..."""
    made = run("ids.js", "m.uuid7(0x017F22E279B0)")
    assert made.startswith("017f22e2-79b0-7")
    assert made[19] in "89ab"
    assert len(made) == 36


def test_ids_of_one_millisecond_or_of_a_clock_set_back_still_sort_as_they_were_made() -> None:
    made = run("ids.js", "[m.uuid7(5000), m.uuid7(5000), m.uuid7(4000), m.uuid7(9000)]")
    assert made == sorted(made)
    assert len(set(made)) == 4


@pytest.mark.parametrize(
    ("zone", "offset"),
    [("UTC", "+00:00"), ("Asia/Kolkata", "+05:30"), ("America/St_Johns", "-03:30"), ("Europe/Vienna", "+01:00")],
)
def test_a_time_is_the_local_one_with_its_offset(zone: str, offset: str) -> None:
    text = run("ids.js", 'm.localTime(new Date("2026-01-14T10:22:05.123Z"))', zone)
    assert text.endswith(offset)
    assert datetime.fromisoformat(text) == datetime.fromisoformat("2026-01-14T10:22:05.123+00:00")


def test_positions_are_weighted_by_their_accuracy() -> None:
    """Weights 1/25 and 1/100 are as 4 to 1, so the mean lies a fifth of the way to the worse fix: 50 + 0.0010/5."""
    fixes = '[{"latitude": 50, "longitude": -4, "accuracy": 5}, {"latitude": 50.001, "longitude": -4.001, "accuracy": 10}]'
    found = run("position.js", f"m.average({fixes})")
    assert found == {"lat": "50.0002000", "lon": "-4.0002000", "accuracy": "5", "source": "gnss", "fixes": "2"}


def test_many_good_fixes_claim_no_better_than_3_m() -> None:
    found = run("position.js", 'm.average(Array(15).fill({"latitude": -0.00000004, "longitude": 179.99999999, "accuracy": 4}))')
    assert found["accuracy"] == "3"
    assert (found["lat"], found["lon"]) == ("0.0000000", "180.0000000")


def changes(stored: dict[str, Any], touched: dict[str, Any]) -> dict[str, Any]:
    form = json.dumps({"stored": stored, "touched": touched})
    fields = json.dumps([{"name": name} for name in ("name", "depth", "ties", "note")])
    return run("form.js", f"m.changes({form}, {fields})")


def test_a_form_writes_only_what_was_changed() -> None:
    stored = {"name": {"value": "Handhole 2"}, "note": {"value": "wet"}, "depth": {"value": {"value": "450", "unit": "mm"}}}
    assert changes(stored, {"name": "Handhole 2", "note": "dry "}) == {"note": "dry"}


def test_a_form_clears_with_null_and_leaves_out_what_was_never_there() -> None:
    stored = {"depth": {"value": {"value": "450", "unit": "mm"}}}
    assert changes(stored, {"depth": {"value": " ", "unit": "mm"}, "note": "", "ties": [{"corner": "", "distance": None}]}) == {
        "depth": None
    }


def test_choosing_the_shown_one_of_two_values_is_written_since_it_settles_them() -> None:
    stored = {"name": {"value": "Handhole 2", "also": [{"value": "Handhole 3"}]}}
    assert changes(stored, {"name": "Handhole 2"}) == {"name": "Handhole 2"}


def test_rows_of_ties_that_are_empty_are_not_written() -> None:
    tie = {"corner": "c1", "distance": {"value": "3,20", "unit": "m"}}
    assert changes({}, {"ties": [tie, {"corner": "", "distance": None}]}) == {"ties": [tie]}


def test_an_address_gives_its_screens_parameters_and_the_path_outranks_the_query() -> None:
    found = run("routes.js", 'm.match("/book/b1/link/l1/reading?quantity=optical_loss&book=other").params')
    assert found == {"book": "b1", "link": "l1", "quantity": "optical_loss"}


@pytest.mark.parametrize("address", ["/nowhere", "/book", "/book//link/l1", "/book/b1/link/l1/reading/more"])
def test_an_address_of_no_screen_is_none(address: str) -> None:
    assert run("routes.js", f"m.match({json.dumps(address)})") is None


# A reading of a loss is being typed on strand 1; another one was begun on strand 4 and waits.
BEGUN = """
const quantity = { name: "optical_loss", per: ["strand"] };
const body = (strand, value) => ({ quantity: "optical_loss", strand, value: { value, unit: "dB" } });
const state = { link: "l", quantity, beginning: null, begun: { "optical_loss|4": body("4", "0,31") }, body: body("1", "0,4") };
const app = { draft: { set: async () => {} } };
const walk = async (...steps) => {
  for (const step of steps) { state.body = step; await m.keepBeginning(state, app); }
  return Object.values(state.begun).map(({ strand, value }) => [strand, value.value]);
};
"""


def walked(*steps: tuple[str, str]) -> Any:
    bodies = ", ".join(f"body({json.dumps(strand)}, {json.dumps(value)})" for strand, value in steps)
    return run("parts/reading_begun.js", f"await (async () => {{ {BEGUN} return walk({bodies}); }})()")


def test_a_reading_begun_elsewhere_survives_that_its_strand_is_passed_over() -> None:
    assert walked(("1", ""), ("4", ""), ("5", "")) == [["4", "0,31"]]
    assert walked(("1", "0,4"), ("4", "0,4"), ("5", "0,4")) == [["4", "0,31"], ["5", "0,4"]]


def test_two_readings_begun_for_the_same_strand_are_both_kept() -> None:
    assert walked(("1", "0,4"), ("4", "0,4"), ("4", "0,45")) == [["4", "0,31"], ["4", "0,45"]]


def test_a_limit_of_pasted_rows_is_said_also_for_a_hundred_thousand_of_them() -> None:
    script = """(() => {
      const quantity = { columns: [{ units: ["m"] }], most: "40" };
      try { m.withPasted(quantity, m.blankTable(quantity), 0, 0, Array.from({ length: 200000 }, () => ["1"])); }
      catch (error) { return error.message; }
    })()"""
    assert run("parts/table_cells.js", script) == "Nothing was put in: that makes 200000 rows, and at most 40 fit."
