"""ASTM F1145, Turnbuckles, Swaged, Welded, Forged, 1992: working load limit with jaw ends.

1/4 to 3/8 in read on a maker's inch sheet; 1/2 to 3/4 in are the tonnes of a maker's millimetre
sheet in the round pounds of the standard, read and converted.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from rafterstay.shop.proof import TURNBUCKLE_PROOF
from tests.published.figures import LBF, cell
from tests.published.printed import Row, require_agreement

SOURCE = Source("ASTM F1145", "1992", "working load limit, jaw ends", "read", 98)


def working_load(thread: str) -> float:
    return cell("turnbuckle_load", "working_load", thread=thread) / LBF


LOADS = tuple(
    Row(
        f"jaw-jaw turnbuckle {thread} in, working load limit",
        text,
        "lbf",
        serves="catalog.turnbuckle working load",
        computed=partial(working_load, thread),
        check="turnbuckle-load",
    )
    for thread, text in (
        ("1/4", "500"),
        ("5/16", "800"),
        ("3/8", "1200"),
        ("1/2", "2200"),
        ("5/8", "3500"),
        ("3/4", "5200"),
    )
)
ROWS = (
    *LOADS,
    Row(
        "jaw-jaw turnbuckle, proof load over working load limit",
        "2.5",
        "-",
        serves="shop.proof turnbuckle",
        computed=lambda: TURNBUCKLE_PROOF,
        step="0",
        confidence=99,
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
