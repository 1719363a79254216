"""Delaney, Physics for Roping Technicians, page 83: rope round a fixed pin.

The set-up, half a turn at a friction of 0.2, was read; the figures are computed from it.
"""

from __future__ import annotations

import math

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Delaney, Physics for Roping Technicians", "", "page 83", "computed", 98)
ROWS = (
    Row(
        "half a turn, friction 0.2",
        "1.874",
        "-",
        serves="rope.capstan_ratio",
        computed=lambda: rope.capstan_ratio(0.2, math.pi),
    ),
    Row(
        "three parts through eyes, friction 0.2",
        "1.82",
        "-",
        serves="rope.purchase",
        computed=lambda: rope.purchase(3, 0.2),
        confidence=90,
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
