"""MIL-DTL-87161, Wire Strand, Nonflexible, for Aircraft Application; commercial 1x19 table.

Values from memory: strengths 92 %, of 5/32, 7/32 and 9/32 in 86 to 88 %; weights 88 %.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import INCH, LBF, POUND, mass, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("MIL-DTL-87161", "commercial table", "1x19 strand", "memory", 92)
ROWS = (
    *(
        Row(
            f"1x19 {finish} {size} in, breaking strength",
            text,
            "lbf",
            serves=f"catalog.rope strength 1x19 {finish}",
            computed=partial(strength, f"1x19 {finish} {size} in", LBF),
        )
        for finish in ("galvanized", "stainless")
        for size, text in (
            ("1/8", "2100"),
            ("5/32", "3300"),
            ("3/16", "4700"),
            ("7/32", "6300"),
            ("1/4", "8200"),
            ("9/32", "10300"),
            ("5/16", "12500"),
            ("3/8", "17500"),
        )
    ),
    *(
        Row(
            f"1x19 {size} in, weight",
            text,
            "lb/1000 ft",
            serves="catalog.rope mass 1x19",
            computed=partial(mass, f"1x19 stainless {size} in", POUND / (12000 * INCH)),
            confidence=88,
        )
        for size, text in (
            ("1/8", "35"),
            ("5/32", "55"),
            ("3/16", "77"),
            ("7/32", "102"),
            ("1/4", "135"),
            ("9/32", "170"),
            ("5/16", "210"),
            ("3/8", "300"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
