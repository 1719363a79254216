"""A rope maker's data sheet to AS 3569, 7x19 WSC galvanised wire rope, undated. Read."""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import mass, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's data sheet to AS 3569", "undated", "7x19 WSC galvanised", "read", 99)
PRINTED = (
    ("3.2", "8.9", "4.2"),
    ("4", "11.2", "6.1"),
    ("5", "17.4", "9.5"),
    ("6", "25.0", "13.7"),
    ("8", "43.9", "24.4"),
    ("10", "68.6", "38.1"),
    ("12", "98.9", "54.8"),
)
ROWS = (
    *(
        Row(
            f"7x19 galvanized {size} mm, minimum breaking force",
            force,
            "kN",
            serves="catalog.rope strength 7x19 metric",
            computed=partial(strength, f"7x19 galvanized {size} mm", 1000.0),
            check="rope-strength",
        )
        for size, force, _ in PRINTED
    ),
    *(
        Row(
            f"7x19 galvanized {size} mm, mass",
            heavy,
            "kg/100 m",
            serves="catalog.rope mass 7x19 metric",
            computed=partial(mass, f"7x19 galvanized {size} mm", 0.01),
        )
        for size, _, heavy in PRINTED
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
