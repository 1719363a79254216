"""ANSI/AWC NDS, National Design Specification for Wood Construction, 2018.

Appendix I, Table I1: bending yield strength of bolts. Read in public worked examples.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import PSI
from tests.published.printed import Row, require_agreement

SOURCE = Source("NDS", "2018", "Appendix I, Table I1", "read", 99)


def bending_yield(size: str) -> float:
    return catalog.find("bolt", f"A307 {size} in").yield_bending / PSI


ROWS = tuple(
    Row(
        f"A307 bolt {size} in, bending yield strength",
        "45,000",
        "psi",
        serves="catalog.bolt bending yield",
        computed=partial(bending_yield, size),
        check="bolt-yield",
    )
    for size in ("3/8", "1/2", "5/8", "3/4", "7/8", "1")
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
