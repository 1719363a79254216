"""A cable maker's worked example of elastic stretch, undated. Read.

1/8 in 7x19 stainless cable, 20 in long, under 500 lb, with G = 1.62e-5.
"""

from __future__ import annotations

import pytest

from rafterstay import catalog, rope
from rafterstay.core.sources import Source
from tests.published.figures import INCH, LBF
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's worked example of cable stretch", "undated", "", "read", 98)


def stretched() -> float:
    cable = catalog.find("rope", "7x19 stainless 1/8 in")
    return 20.0 + rope.elastic_stretch(500.0 * LBF, 20.0 * INCH, cable.stiffness) / INCH


ROWS = (
    Row(
        "1/8 in 7x19 stainless, 20 in under 500 lb: length",
        "20.10368",
        "in",
        serves="rope.elastic_stretch",
        computed=stretched,
    ),
    Row(
        "1/8 in 7x19 stainless, 20 in under 500 lb: stretch",
        "0.5184",
        "%",
        serves="rope.elastic_stretch",
        computed=lambda: 100.0 * (stretched() / 20.0 - 1.0),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
