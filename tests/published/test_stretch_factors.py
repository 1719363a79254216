"""A cable maker's technical bulletin, elastic stretch in percent E = W G/D^2, undated. Read.

G is recovered from the EA of one of our ropes: G = 100 D^2/EA in pounds and inches. The
bulletin's factor for 1x7 stainless strand, 7.35e-5, is ten times its neighbours: a slip of
print; we keep no 1x7.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import INCH, LBF
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's technical bulletin", "undated", "stretch factors G", "read", 98)


def factor(name: str) -> float:
    rope = catalog.find("rope", name)
    return 100.0 * (rope.diameter / INCH) ** 2 / (rope.stiffness / LBF)


ROWS = tuple(
    Row(
        f"{name}, stretch factor",
        text,
        "% in2/lb",
        serves="catalog.rope stiffness",
        computed=partial(factor, name),
    )
    for name, text in (
        ("7x7 galvanized 3/16 in", "1.07e-5"),
        ("7x19 galvanized 5/16 in", "1.40e-5"),
        ("1x19 galvanized 1/4 in", "6.98e-6"),
        ("6x19 IWRC bright 5/8 in", "1.36e-5"),
        ("7x7 stainless 1/8 in", "1.20e-5"),
        ("7x19 stainless 3/8 in", "1.62e-5"),
        ("1x19 stainless 3/16 in", "7.79e-6"),
        ("6x19 IWRC stainless 1/2 in", "1.57e-5"),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
