"""A cable maker's technical page on structural stretch, undated. Read.

7x7, 7x19 and 1x19 cable bed in by less than 1 percent; prestretching takes it out.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's page on structural stretch", "undated", "", "read", 97)


def most(lay: str) -> float:
    least, greatest = rope.constructional_stretch(lay)
    assert least == 0.0, "prestretched cable has none left"
    return 100.0 * greatest


ROWS = tuple(
    Row(
        f"{lay}, most bedding-in",
        "1",
        "%",
        serves="rope.constructional_stretch",
        step="0",
        computed=partial(most, lay),
    )
    for lay in ("7x7", "7x19", "1x19")
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
