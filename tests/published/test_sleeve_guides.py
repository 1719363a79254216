"""Makers' guides to fitting oval sleeves, undated: rope past the sleeve. Read.

One page asks for at least two rope diameters before pressing; the sleeve then grows over part
of it.
"""

from __future__ import annotations

import pytest

from rafterstay.core.sources import Source
from rafterstay.shop.eye import LEAST_TAIL, MOST_TAIL
from tests.published.printed import Row, require_agreement

SOURCE = Source("Makers' guides to fitting oval sleeves", "undated", "tail", "read", 97)
ROWS = (
    Row(
        "rope past a finished sleeve, at the least",
        "1",
        "rope diameters",
        serves="shop.eye tail",
        computed=lambda: LEAST_TAIL,
        step="0",
    ),
    Row(
        "rope past a finished sleeve, at the most",
        "2",
        "rope diameters",
        serves="shop.eye tail",
        computed=lambda: MOST_TAIL,
        step="0",
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
