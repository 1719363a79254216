"""EN 1993-1-11:2006, Design of structures with tension components, 3.3.

Coefficient of thermal expansion of steel rope. Value from memory, 92 %.
"""

from __future__ import annotations

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("EN 1993-1-11", "2006", "3.3", "memory", 92)
ROWS = (
    Row(
        "steel rope, thermal expansion",
        "12",
        "1e-6/degC",
        serves="rope.expansion",
        computed=lambda: 1e6 * rope.expansion("carbon"),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
