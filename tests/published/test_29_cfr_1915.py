"""29 CFR 1915.112(b)(1): wire rope in shipyard rigging, safety factor not less than 5: read."""

from __future__ import annotations

import pytest

from rafterstay.checks.lifting.factor import working_load
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("29 CFR", "1915.112(b)(1)", "safety factor", "read", 98)
ROWS = (
    Row(
        "working load of a 7000 lb rope",
        "1400",
        "lbf",
        serves="lifting.working_load",
        check="rope-lifting",
        computed=lambda: working_load(7000.0),
    ),
    Row(
        "working load of the same rope, its eye counted at 0.9",
        "1260",
        "lbf",
        serves="lifting.working_load",
        check="rope-lifting",
        computed=lambda: working_load(7000.0 * 0.9),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
