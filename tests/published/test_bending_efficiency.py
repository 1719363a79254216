"""Makers' sheave pages after the Wire Rope Users Manual: static efficiency of a bent rope.

6x19 and 6x37 class rope over a smooth pin or sheave, D the tread's diameter. Read on two pages;
D/d 10 and 4 are values from memory, 93 %. The example, a 1/2 in rope on a 10 in sheave, was
read on three.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Makers' sheave pages after the Wire Rope Users Manual", "", "D/d", "read", 99)


def efficiency(ratio: float) -> float:
    return 100.0 * rope.bending_efficiency(ratio)


ROWS = (
    *(
        Row(
            f"efficiency bent at D/d {ratio}",
            text,
            "%",
            serves="rope.bending_efficiency",
            step="0",
            computed=partial(efficiency, ratio),
            check="ring-bend",
            obtained="memory" if ratio in {4.0, 10.0} else None,
            confidence=93 if ratio in {4.0, 10.0} else None,
        )
        for ratio, text in (
            (40.0, "95"),
            (30.0, "93"),
            (20.0, "91"),
            (15.0, "89"),
            (10.0, "86"),
            (8.0, "83"),
            (6.0, "79"),
            (4.0, "75"),
            (2.0, "65"),
            (1.0, "50"),
        )
    ),
    Row(
        "1/2 in rope on a 10 in sheave",
        "91",
        "%",
        serves="rope.bending_efficiency",
        step="0",
        computed=partial(efficiency, 10.0 / 0.5),
        check="ring-bend",
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
