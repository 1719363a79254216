"""Seattle City Light, material standard 6966.15, anchor shackles to RR-C-271D, class 1. Read.

It prints the least ultimate load; the specification's working load limit is a fifth of it.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import LBF
from tests.published.printed import Row, require_agreement

SOURCE = Source("Seattle City Light material standard 6966.15", "", "class 1", "read", 97)


def ultimate(size: str) -> float:
    return 5.0 * catalog.find("shackle", f"anchor {size} in").working_load / LBF


ROWS = tuple(
    Row(
        f"anchor shackle {size} in, least ultimate load",
        text,
        "lbf",
        serves="catalog.shackle ultimate load",
        computed=partial(ultimate, size),
        check="shackle-load",
    )
    for size, text in (("1/2", "20000"), ("5/8", "32500"), ("3/4", "47500"))
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
