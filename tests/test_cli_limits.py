"""`spanbook limits`: what stands in the limit sets, for a person and for a program."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from app import engine
from app.cli import main


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["limits", *arguments])


def test_the_list_names_document_edition_media_and_count() -> None:
    result = run()
    assert result.exit_code == 0
    lines = result.output.splitlines()
    place = next(number for number, line in enumerate(lines) if line.startswith("tia-568.2-d "))
    assert "Balanced twisted pair, categories 5e, 6, 6A" in lines[place]
    assert "ANSI/TIA-568.2-D, edition 2018; Balanced copper, to 100 m; " in lines[place + 1]
    assert "from memory" in lines[place + 1]
    assert lines[place + 2].strip() == "Chosen on a link: limits by"


def test_every_set_of_core_is_listed() -> None:
    listed = [line.split()[0] for line in run().output.splitlines()[2:] if line and not line.startswith(" ")]
    assert sorted(listed) == sorted(head["id"] for head in engine.call("limits"))


def test_a_set_is_printed_row_by_row_with_clause_and_how_it_was_seen() -> None:
    output = run("iso-11801-1-2017-copper").output
    assert "\nPermanent link\n  Pair loop resistance: at most 21 Ω\n" in output
    after = output.split("Pair loop resistance: at most 21 Ω\n")[1].splitlines()
    assert after[0].strip() == "ISO/IEC 11801-1:2017, clause 7, permanent link"
    assert after[1].strip() == "From memory, check your edition"


def test_a_formula_is_printed_with_its_values() -> None:
    output = run("tia-568.2-d").output
    assert "to 3 MHz: 21 + 4 lg(f/3); to 10 MHz: 21; to 40 MHz: 26 - 5 lg f; to 250 MHz: 34 - 10 lg f" in output
    assert "            1     19.1" in output  # return loss of a category 6 permanent link at 1 MHz


def test_json_is_what_core_gives() -> None:
    assert json.loads(run("pull", "--json").output) == engine.call("limits", id="pull")
    assert json.loads(run("--json").output) == engine.call("limits")


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_an_unknown_set_ends_with_one_line(more: list[str]) -> None:
    result = run("iso-1", *more)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert len(result.stderr.strip().splitlines()) == 1
    assert "no limit set 'iso-1'" in result.stderr and "tia-568.3-e" in result.stderr and "spanbook limits" in result.stderr
