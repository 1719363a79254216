"""Wire Rope Technical Board, Wire Rope Users Manual, 4th edition.

Weights of 6x19 class rope with steel core, and the stretch of its bedding-in. Values from
memory: weights 93 %, bedding-in 88 %.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.figures import INCH, POUND, mass
from tests.published.printed import Row, require_agreement

SOURCE = Source("Wire Rope Users Manual", "4th edition", "6x19 class IWRC", "memory", 93)


def bedding_in(end: int) -> float:
    return 100.0 * rope.constructional_stretch("6x19 IWRC")[end]


ROWS = (
    *(
        Row(
            f"6x19 IWRC {size} in, weight",
            text,
            "lb/ft",
            serves="catalog.rope mass 6x19 IWRC",
            computed=partial(mass, f"6x19 IWRC bright {size} in", POUND / (12 * INCH)),
        )
        for size, text in (
            ("1/4", "0.116"),
            ("5/16", "0.18"),
            ("3/8", "0.26"),
            ("7/16", "0.35"),
            ("1/2", "0.46"),
            ("9/16", "0.59"),
            ("5/8", "0.72"),
            ("3/4", "1.04"),
        )
    ),
    *(
        Row(
            f"6-strand steel core rope, {which} bedding-in",
            text,
            "%",
            serves="rope.constructional_stretch",
            computed=partial(bedding_in, end),
            confidence=88,
        )
        for end, which, text in ((0, "least", "1/4"), (1, "most", "1/2"))
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
