"""Every limit as data, and as a person reads it: unit, document or clause, how it was seen; formulas in words and in numbers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from app import engine
from app.core.errors import Refused
from app.core.numbers import parse_decimal

FILES = sorted((Path(__file__).parents[2] / "app/core/limits").glob("*.json"))
NUMBERS = ("value", "percent", "floor", "factor", "reach", "length_min", "loss_min", "from_mhz", "to_mhz", "step", "load_power")
COPPER_SETS = ["iso-11801-1-2017-copper", "tia-568.2-d"]
SWEPT = ["insertion_loss", "next", "psnext", "acrf", "psacrf", "return_loss", "delay", "skew"]


def raw(name: str) -> dict[str, Any]:
    held: dict[str, Any] = json.loads((FILES[0].parent / f"{name}.json").read_text(encoding="utf-8"))
    return held


def rows(set_id: str) -> dict[str, dict[str, Any]]:
    """The readable rows of a set, by id."""
    return {row["id"]: row for group in engine.call("limits", id=set_id)["groups"] for row in group["rows"]}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_row_says_how_much_where_from_and_how_it_was_seen(path: Path) -> None:
    held = json.loads(path.read_text(encoding="utf-8"))
    for row in held["rows"]:
        assert row["seen"] in ("2+", "1", "memory", "practice"), row["id"]
        assert row.get("clause") or row.get("document") or held["document"], row["id"]
        if row.get("kind") in ("zone", "application") or "text" in row:
            continue
        assert "unit" in row, row["id"]
        for name in NUMBERS:
            if row.get(name) is not None:
                parse_decimal(row[name], name)
        for point in row.get("table", []) if "from_mhz" in row else []:
            assert [parse_decimal(cell) is not None for cell in point] == [True, True]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_row_can_be_read(path: Path) -> None:
    for row in rows(path.stem).values():
        assert row["what"] and row["value"], row["id"]
        assert row["seen_words"] and (row["seen"] == "practice" or row["clause"]), row["id"]
        assert "None" not in row["value"] + row["formula"] + row["clause"], row["id"]
        assert (row["value"] == "by frequency") == bool(row["formula"]), row["id"]
        assert "memory" not in row["seen"] or row["seen_words"] == "From memory, check your edition"


def test_the_list_counts_what_a_set_shows() -> None:
    heads = {head["id"]: head for head in engine.call("limits")}
    assert sorted(heads) == sorted(path.stem for path in FILES)
    for name, head in heads.items():
        assert head["rows"] == len(rows(name)), name


def test_an_unknown_set_says_which_there_are() -> None:
    with pytest.raises(Refused) as refused:
        engine.call("limits", id="iso-1")
    assert "iso-14763-3-2024" in refused.value.allowed


# ---- nothing is missing


@pytest.mark.parametrize("set_id", COPPER_SETS)
@pytest.mark.parametrize("category", ["5e", "6", "6A"])
@pytest.mark.parametrize("setup", ["channel", "permanent_link"])
def test_copper_has_every_quantity_of_every_category(set_id: str, category: str, setup: str) -> None:
    held = rows(set_id)
    assert not [name for name in SWEPT if f"{name}:{category}:{setup}" not in held]
    assert not [
        name for name in ("loop_resistance", "unbalance_within", "unbalance_between", "length") if f"{name}:{setup}" not in held
    ]


@pytest.mark.parametrize(
    ("power_class", "source", "load"),
    # IEEE 802.3 clauses 33 and 145, two or more public places
    [("0", "15.4", "12.95"), ("1", "4.0", "3.84"), ("2", "7.0", "6.49"), ("3", "15.4", "12.95"), ("4", "30", "25.5"), ("5", "45", "40"),
     ("6", "60", "51"), ("7", "75", "62"), ("8", "90", "71.3")],
)  # fmt: skip
def test_power_classes_from_0_to_8(power_class: str, source: str, load: str) -> None:
    row = next(row for row in raw("ieee-802.3-power")["rows"] if row["id"] == f"class_power:{power_class}")
    assert (row["value"], row["load_power"]) == (source, load)
    assert f"load_voltage:{power_class}" in rows("ieee-802.3-power")


@pytest.mark.parametrize(
    ("kind", "volts", "load_volts", "amperes", "ohms"),
    # IEEE 802.3: volts and currents two or more public places, ohms from memory
    [("1", ("44", "57"), "37", "0.350", "20"), ("2", ("50", "57"), "42.5", "0.600", "12.5"), ("3", ("50", "57"), "42.5", "0.600", "12.5"),
     ("4", ("52", "57"), "41.1", "0.960", "12.5")],
)  # fmt: skip
def test_power_types_from_1_to_4(kind: str, volts: tuple[str, str], load_volts: str, amperes: str, ohms: str) -> None:
    held = {row["id"]: row for row in raw("ieee-802.3-power")["rows"]}

    def value(name: str) -> str:
        return str(held[f"type:{kind}:{name}"]["value"])

    assert (value("source_voltage_min"), value("source_voltage_max")) == volts
    assert (value("load_voltage"), value("current"), value("resistance")) == (load_volts, amperes, ohms)
    assert held[f"type:{kind}:resistance"]["seen"] == "memory"


def test_a_load_without_a_class_does_not_lower_the_class_of_others() -> None:
    from app.core import limits

    engine.call("describe")
    assert [row["class"] for row in limits.rows("ieee-802.3-power", quantity="class_power")] == list("12345678")


@pytest.mark.parametrize("name", ["EMT", "PVC40", "PVC80"])
def test_the_area_of_a_duct_is_that_of_its_bore(name: str) -> None:
    import math

    ducts = [row for row in raw("ducts")["rows"] if row.get("material") == name]
    assert len(ducts) == 9
    for row in ducts:  # NFPA 70 chapter 9 table 4: every printed area is pi / 4 d^2 of the printed bore, to its rounding
        assert float(row["area_mm2"]) == pytest.approx(math.pi / 4 * float(row["value"]) ** 2, rel=0.006), row["id"]


def test_what_is_written_in_two_units_agrees() -> None:
    """Inch, foot and pound figures stand in the clause beside what is judged; the handbooks round to the whole millimetre or ten newtons."""
    held = {row["id"]: row for name in ("pull", "burial", "separation", "marking") for row in raw(name)["rows"]}
    assert float(held["pair"]["value"]) == pytest.approx(25 * 4.448, rel=0.02)
    assert float(held["fibre"]["value"]) == pytest.approx(600 * 4.448, rel=0.001)
    assert float(held["heavy-use-1067"]["value"]) == pytest.approx(42 * 25.4, abs=0.5)
    assert float(held["tape:above"]["value"]) == pytest.approx(12 * 25.4, abs=0.5)
    assert float(held["markers"]["value"]) == pytest.approx(250 * 0.3048, abs=0.5)


def test_light_sent_and_received_closes_on_the_loss_that_ieee_allows() -> None:
    """Up to 1 Gbit/s: budget = sent, least, minus sensitivity; budget minus penalties = loss allowed (IEEE 802.3 clauses 58, 59)."""
    held = {row["id"]: row for row in raw("ieee-802.3-optical-power")["rows"]}
    allowed = {"100BASE-LX10": 6.0, "100BASE-BX10:D": 5.5, "100BASE-BX10:U": 6.0, "1000BASE-LX10": 6.0}
    allowed |= {"1000BASE-BX10:D": 5.5, "1000BASE-BX10:U": 6.0}
    for name, loss in allowed.items():
        value = {key: float(held[f"{name}:{key}"]["value"]) for key in ("transmit_min", "receive_min", "budget", "penalties")}
        assert value["transmit_min"] - value["receive_min"] == pytest.approx(value["budget"]), name
        assert value["budget"] - value["penalties"] == pytest.approx(loss), name
    for name, loss in {"10GBASE-SR": 2.6, "10GBASE-LR": 6.2, "10GBASE-LRM": 1.9, "25GBASE-SR": 1.9, "25GBASE-LR": 6.3}.items():
        value = {key: float(held[f"{name}:{key}"]["value"]) for key in ("transmit_min", "receive_min")}
        assert value["transmit_min"] - value["receive_min"] == pytest.approx(loss), name  # informative least = sent less loss


# ---- formulas


def test_a_formula_is_written_out_with_its_numbers_and_a_table() -> None:
    row = rows("iso-11801-1-2017-copper")["insertion_loss:6:channel"]
    assert row["formula"] == "1.05 × (1.82 √f + 0.0169 f + 0.25 / √f) + 4 × 0.02 √f, not below 4.0 dB"
    table = dict(row["table"]["rows"])
    # ISO/IEC 11801-1 class E channel: 4.0 dB at 1 MHz by the floor, 35.9 dB at 250 MHz (two or more public places)
    assert (row["table"]["head"], table["1"], table["250"]) == (["MHz", "dB"], "4.0", "35.9")


@pytest.mark.parametrize(
    ("set_id", "row_id", "frequency", "printed"),
    [  # published points, from memory but for those marked 2+
        ("tia-568.2-d", "insertion_loss:6:channel", "100", "21.3"),
        ("iso-11801-1-2017-copper", "insertion_loss:5e:channel", "100", "24.0"),  # 2+
        ("iso-11801-1-2017-copper", "insertion_loss:6A:channel", "500", "49.3"),  # 2+
        ("iso-11801-1-2017-copper", "next:6:permanent_link", "100", "41.8"),
        ("iso-11801-1-2017-copper", "next:6A:permanent_link", "500", "29.2"),
        ("tia-568.2-d", "psnext:6A:channel", "500", "23.2"),
        ("tia-568.2-d", "acrf:5e:channel", "16", "33.3"),
        ("iso-11801-1-2017-copper", "psacrf:6:permanent_link", "250", "13.2"),
        ("tia-568.2-d", "return_loss:6:permanent_link", "1", "19.1"),
        ("iso-11801-1-2017-copper", "delay:6:channel", "10", "555"),
    ],
)
def test_the_small_table_shows_the_published_points(set_id: str, row_id: str, frequency: str, printed: str) -> None:
    assert dict(rows(set_id)[row_id]["table"]["rows"])[frequency] == printed


@pytest.mark.parametrize(
    ("set_id", "row_id", "words"),
    [
        ("iso-11801-1-2017-copper", "unbalance_within:channel", "at most the greater of 3 % and 200 mΩ"),
        ("iso-11801-1-2017-copper", "return_loss:6:channel", "by frequency"),
        ("earthing", "bond_expected", "at most 1.2 × the conductor's own (1 mΩ a joint added) + 5 mΩ"),
        ("ieee-802.3-optical", "10GBASE-SR:OM3", "loss at most 2.6 dB, reach 300 m"),
        ("ieee-802.3-optical", "10GBASE-ER:OS2", "loss at most 10.9 dB, at least 5.0 dB, reach 30000 m (seen in two or more public places)"),
        ("pull", "pair", "at most 110 N"),
        ("ducts", "bore:EMT:2", "52.5 mm, 2165 mm²"),
        ("separation", "crossing", "at right angles"),
    ],
)  # fmt: skip
def test_values_are_worded(set_id: str, row_id: str, words: str) -> None:
    assert rows(set_id)[row_id]["value"] == words


def test_every_choice_on_the_links_form_says_what_it_means() -> None:
    words, choices = engine.call("describe")["words"], engine.call("limit_choices")
    for medium in ("copper", "fibre"):
        for set_id, _ in words["limit_sets"][medium]:
            assert choices["differences"]["limit_sets"][set_id].endswith("."), set_id
    for field in ("burial_rules", "electrode_references", "applications"):
        assert sorted(choices["differences"][field]) == sorted(pair[0] for pair in words[field])
    assert "0.45 dB multimode, 0.70 dB single-mode" in choices["differences"]["limit_sets"]["iso-14763-3-2024"]  # one public place
    assert "from memory, check your edition" in choices["differences"]["burial_rules"]["trunk-750"]
    assert choices["files"]["burial_rules"] == "burial"
