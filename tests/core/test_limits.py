"""Limits as data: every file is in the one form, look-up finds rows and says what there is when it doesn't."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app import engine
from app.core import limits
from app.core.errors import Refused
from app.core.numbers import parse_decimal

FILES = sorted((Path(__file__).parents[2] / "app/core/limits").glob("*.json"))
FIBRE_SETS = ["iso-14763-3-2024", "iso-14763-3-2014", "iso-14763-3-2006", "iso-11801-1-2017", "tia-568.3-e", "tia-568.3-d"]


@pytest.fixture(autouse=True)
def _configured() -> None:
    engine.call("describe")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_file_is_in_the_one_form(path: Path) -> None:
    held = json.loads(path.read_text(encoding="utf-8"))
    assert held["id"] == path.stem
    assert held["title"] and held["media"] and "document" in held and "edition" in held
    ids = [row["id"] for row in held["rows"]]
    assert len(ids) == len(set(ids))
    for row in held["rows"]:
        assert row["seen"] in ("2+", "1", "memory", "practice"), row["id"]
        assert "clause" in row, row["id"]
        assert isinstance(row.get("value", "") or "", str), f"{row['id']}: a value is decimal text, so that no float is stored"
        if row.get("sense"):
            assert row["sense"] in ("max", "min") and float(row["step"]) > 0 and isinstance(row["equal_passes"], bool), row["id"]


def test_a_fibre_link_may_choose_among_editions_and_the_newest_is_the_default() -> None:
    assert [pair[0] for pair in limits.sets("fibre")] == FIBRE_SETS


def test_copper_sets_are_not_offered_for_fibre() -> None:
    assert not {pair[0] for pair in limits.sets("fibre")} & {pair[0] for pair in limits.sets("copper")}


@pytest.mark.parametrize(
    ("set_id", "multimode", "single_mode"),
    [
        ("iso-11801-1-2017", "0.75", "0.75"),  # ISO/IEC 11801-1, every mating (two or more public places)
        ("iso-14763-3-2006", "0.30", "0.50"),  # MM two places, SM one
        ("iso-14763-3-2014", "0.50", "0.75"),  # with Cor.1:2015, one public place
        ("iso-14763-3-2024", "0.45", "0.70"),  # one public place
        ("tia-568.3-d", "0.30", "0.50"),  # MM two places, SM one
        ("tia-568.3-e", "0.50", "0.50"),  # one public place
    ],
)
def test_end_matings_differ_by_edition(set_id: str, multimode: str, single_mode: str) -> None:
    assert limits.row(set_id, "end_mating:MM")["value"] == multimode
    assert limits.row(set_id, "end_mating:SM")["value"] == single_mode


def test_each_row_tells_where_it_comes_from() -> None:
    row = limits.row("iso-14763-3-2024", "attenuation:OS2:1310")
    assert limits.source("iso-14763-3-2024", row) == {
        "set": "iso-14763-3-2024", "document": "ISO/IEC 11801-1", "edition": "2017",
        "clause": "clause 9, cabled fibre categories", "seen": "2+",
    }  # fmt: skip


def test_rows_are_found_by_their_keys() -> None:
    found = limits.rows("ieee-802.3-optical", kind="fit", application="10GBASE-SR", fibre="OM3")
    assert [(row["reach"], row["value"]) for row in found] == [("300", "2.6")]  # IEEE 802.3 clause 52, two or more public places


def test_an_unknown_row_says_which_there_are() -> None:
    with pytest.raises(Refused) as refused:
        limits.row("bending", "fibre:knot")
    assert "fibre:rest" in refused.value.allowed


def test_an_unknown_file_says_which_there_are() -> None:
    with pytest.raises(Refused) as refused:
        limits.rows("iso-1-1900")
    assert "iso-14763-3-2024" in refused.value.allowed


def test_burial_rules_are_chosen_by_row() -> None:
    ids = [pair[0] for pair in limits.burial_rules()]
    assert "direct-600" in ids
    file_id, row = limits.chosen("burial_rule", "direct-600")
    assert (file_id, parse_decimal(row["value"])) == ("burial", 600.0)


def test_a_torn_limit_file_is_refused_and_the_old_ones_stay() -> None:
    before = limits.file_ids()
    with pytest.raises(Refused) as refused:
        limits.configure({"torn": '{"id": "torn", "rows": ['})
    assert refused.value.field == "torn"
    assert limits.file_ids() == before


def test_end_face_forms_name_zones_and_counts_for_each_table() -> None:
    # IEC 61300-3-35 edition 2, single-mode angled (one public place): up to four scratches of 3 um or less in zone A, no defect.
    forms = limits.end_face_forms()
    assert sorted(forms) == ["MM_PC", "SM_APC", "SM_PC"]
    zone_a = forms["SM_APC"][0]
    assert (zone_a["zone"], zone_a["diameter"]) == ("A", "0 to 25 µm")
    counts = [(field["name"], field["max"]) for field in zone_a["fields"]]
    assert counts == [("scratches_small", "4"), ("scratches_large", "0"), ("defects_small", "0")]


@pytest.mark.parametrize(
    ("fibre", "polish", "table"),
    [
        ("OM4", None, "MM_PC"),
        ("OS2", "UPC", "SM_PC"),
        ("OS2", "PC", "SM_PC"),
        ("OS2", "APC", "SM_APC"),
        ("OS2", None, None),
        (None, "PC", None),
    ],
)
def test_the_end_face_table_follows_fibre_and_polish(fibre: str | None, polish: str | None, table: str | None) -> None:
    assert limits.end_face_table(fibre, polish) == table
