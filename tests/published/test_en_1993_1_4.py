"""EN 1993-1-4:2006, Supplementary rules for stainless steels, by EN 10088-1.

Coefficient of thermal expansion of 1.4301 and 1.4401. Value from memory, 95 %.
"""

from __future__ import annotations

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("EN 1993-1-4", "2006", "thermal expansion", "memory", 95)
ROWS = (
    Row(
        "stainless 1.4301 and 1.4401, thermal expansion",
        "16",
        "1e-6/degC",
        serves="rope.expansion",
        computed=lambda: 1e6 * rope.expansion("stainless"),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
