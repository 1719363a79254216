"""Federal Specification RR-W-410, Wire Rope and Strand; commercial table of small 7x7 cord.

3/16 in galvanized read on a rigging shop's page; the others are values from memory, 92 %
(galvanized), 90 % (stainless), 82 to 88 % (sizes seldom kept) and 88 % (weights).
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import INCH, LBF, POUND, mass, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("Federal Specification RR-W-410", "", "7x7 cord", "memory", 88)
STRENGTHS = (
    ("galvanized 1/8 in", "1700", "memory", 92),
    ("galvanized 5/32 in", "2600", "memory", 88),
    ("galvanized 7/32 in", "4800", "memory", 88),
    ("galvanized 5/16 in", "9200", "memory", 82),
    ("galvanized 3/8 in", "13100", "memory", 82),
    ("stainless 5/32 in", "2400", "memory", 82),
    ("stainless 7/32 in", "4800", "memory", 82),
    ("stainless 5/16 in", "9000", "memory", 82),
    ("stainless 3/8 in", "12000", "memory", 82),
    ("galvanized 3/16 in", "3700", "read", 97),
    ("galvanized 1/4 in", "6100", "memory", 92),
    ("stainless 1/8 in", "1700", "memory", 90),
    ("stainless 3/16 in", "3700", "memory", 90),
    ("stainless 1/4 in", "6100", "memory", 90),
)
ROWS = (
    *(
        Row(
            f"7x7 {rope}, breaking strength",
            text,
            "lbf",
            serves="catalog.rope strength 7x7",
            computed=partial(strength, f"7x7 {rope}", LBF),
            obtained="read" if how == "read" else "memory",
            confidence=sure,
        )
        for rope, text, how, sure in STRENGTHS
    ),
    *(
        Row(
            f"7x7 {size} in, weight",
            text,
            "lb/1000 ft",
            serves="catalog.rope mass 7x7",
            computed=partial(mass, f"7x7 galvanized {size} in", POUND / (12000 * INCH)),
        )
        for size, text in (
            ("1/8", "28.5"),
            ("5/32", "43"),
            ("3/16", "62"),
            ("7/32", "83"),
            ("1/4", "106"),
            ("5/16", "167"),
            ("3/8", "236"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
