"""Readings that are tables: what is kept, and what is refused by row and column."""

from __future__ import annotations

from typing import Any

import pytest

from app.core.errors import Refused
from app.core.quantity_form import FIBRE, choice, column, described
from app.core.tables import check_table, column_numbers, column_words

ABOUT = described(
    "events",
    "Events",
    [],
    [FIBRE],
    [],
    form="table",
    columns=[
        column("distance", "Distance", ["m", "ft"], low="0", high="1000"),
        choice("kind", "Kind", [["splice", "Splice"], ["connector", "Connector"]]),
        column("loss", "Loss", ["dB"], optional=True),
    ],
    least="1",
    most="3",
    rising="distance",
)


def table(*rows: list[str], units: tuple[str, ...] = ("m", "", "dB")) -> dict[str, Any]:
    return {"units": list(units), "rows": list(rows)}


def test_cells_stay_as_typed_and_columns_come_out_in_the_first_unit() -> None:
    held = table(["10", "splice", "0,10"], ["410", "connector", ""], units=("ft", "", "dB"))
    check_table(ABOUT, held)
    assert held["rows"][0] == ["10", "splice", "0,10"]
    # 410 ft = 124.968 m exactly (international foot, 0.3048 m)
    assert column_numbers(ABOUT, held, "distance") == pytest.approx([3.048, 124.968], abs=1e-9)
    assert column_numbers(ABOUT, held, "loss") == [pytest.approx(0.1), None]
    assert column_words(ABOUT, held, "kind") == ["splice", "connector"]


@pytest.mark.parametrize(
    ("held", "said"),
    [
        (None, "rows of distance, kind, loss"),
        (table(), "from 1 to 3 rows"),
        (table(*[[str(n), "splice", ""] for n in range(4)]), "from 1 to 3 rows"),
        (table(["10", "splice"]), "row 1"),
        (table(["", "splice", "0.1"]), "distance in row 1"),
        (table(["10", "splice", "0.1"], ["ten", "splice", "0.1"]), "distance in row 2"),
        (table(["10", "knot", "0.1"]), "kind in row 1"),
        (table(["-1", "splice", "0.1"]), "from 0 to 1000 m"),
        (table(["1", "splice", "0.1"], units=("m", "dB", "dB")), "no unit"),
        (table(["1", "splice", "0.1"], units=("dB", "", "dB")), "distance"),
        (table(["1", "splice", "0.1"], units=("m", "")), "one unit a column"),
        (table(["20", "splice", ""], ["10", "splice", ""]), "above that of the row before"),
        (table(["20", 5, ""]), "kind in row 1"),  # type: ignore[list-item]
    ],
)
def test_what_is_wrong_is_named_by_row_and_column(held: Any, said: str) -> None:
    with pytest.raises(Refused) as refused:
        check_table(ABOUT, held)
    assert said in refused.value.sentence()
