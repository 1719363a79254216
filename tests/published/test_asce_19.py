"""ASCE/SEI 19-16, Structural Applications of Steel Cables for Buildings.

Factor 2.2 on the breaking strength after reductions: value from memory, 88 %. The rope is 1/4 in
7x19 galvanized, 7000 lb, with pressed-sleeve eyes, 0.9.
"""

from __future__ import annotations

import pytest

from rafterstay.checks.asce19_2016.strength import allowable_pull
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("ASCE/SEI 19", "2016", "ch. 3", "memory", 88)
ROWS = (
    Row(
        "allowable pull, 7000 lb, fitting 0.9",
        "2864",
        "lbf",
        serves="asce19_2016.allowable_pull",
        check="rope-strength",
        computed=lambda: allowable_pull(7000.0, 0.9, 1.0),
    ),
    Row(
        "breaking strength over allowable pull, no reduction",
        "2.2",
        "-",
        serves="asce19_2016.allowable_pull",
        check="rope-strength",
        computed=lambda: 9800.0 / allowable_pull(9800.0, 1.0, 1.0),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
