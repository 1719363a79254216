"""A seamanship page's rule for the elastic stretch of 6x19 wire rope, undated. Read.

For 16 mm rope a pull of W tonne-force stretches it by W/10 percent, for 18 mm by W/13.0. The
rule is softer than the makers' stretch factors; see errata.toml.
"""

from __future__ import annotations

import pytest

from rafterstay import catalog, rope
from rafterstay.core.sources import Source
from tests.published.figures import TONNE_FORCE
from tests.published.printed import Row, require_agreement

SOURCE = Source("Seamanship rule for 6x19 wire rope", "undated", "", "read", 90)


def tonnes_for_one_percent(diameter: float) -> float:
    like = catalog.find("rope", "6x19 IWRC bright 5/8 in")
    factor = like.diameter**2 / like.stiffness
    return 0.01 * rope.stiffness_from_factor(diameter, factor) / TONNE_FORCE


ROWS = (
    Row(
        "6x19, 16 mm: pull for one percent",
        "10",
        "tonne-force",
        serves="rope.stiffness_from_factor",
        computed=lambda: tonnes_for_one_percent(0.016),
        erratum="marine-stretch-16-mm",
    ),
    Row(
        "6x19, 18 mm: pull for one percent",
        "13.0",
        "tonne-force",
        serves="rope.stiffness_from_factor",
        computed=lambda: tonnes_for_one_percent(0.018),
        erratum="marine-stretch-18-mm",
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
