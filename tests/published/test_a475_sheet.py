"""A strand maker's sheet of zinc-coated guy strand to ASTM A475, undated. Read.

Its expansion is a little above the Eurocode's; see errata.toml.
"""

from __future__ import annotations

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's sheet of strand to ASTM A475", "undated", "", "read", 97)
ROWS = (
    Row(
        "zinc-coated strand, thermal expansion",
        "12.5",
        "1e-6/degC",
        serves="rope.expansion",
        computed=lambda: 1e6 * rope.expansion("carbon"),
        erratum="a475-expansion",
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
