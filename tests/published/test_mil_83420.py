"""MIL-DTL-83420, Wire Rope, Flexible, for Aircraft Control; commercial table of 7x19 weights.

Values from memory, 95 %.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import INCH, POUND, mass
from tests.published.printed import Row, require_agreement

SOURCE = Source("MIL-DTL-83420", "commercial table", "7x19 weight", "memory", 95)
ROWS = tuple(
    Row(
        f"7x19 {size} in, weight",
        text,
        "lb/1000 ft",
        serves="catalog.rope mass 7x19",
        computed=partial(mass, f"7x19 galvanized {size} in", POUND / (12000 * INCH)),
    )
    for size, text in (
        ("1/8", "29"),
        ("5/32", "45"),
        ("3/16", "65"),
        ("7/32", "86"),
        ("1/4", "110"),
        ("9/32", "139"),
        ("5/16", "173"),
        ("3/8", "243"),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
