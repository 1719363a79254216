"""A maker's guide to fitting oval sleeves with a single-cavity hand tool, undated. Read.

It asks more presses than the circular for 1/4 and 5/16 in; see errata.toml.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's guide to swage sleeves, single-cavity tool", "undated", "", "read", 95)


def presses(size: str) -> float:
    return float(catalog.find("sleeve", f"copper oval {size} in").presses)


ROWS = tuple(
    Row(
        f"oval sleeve {size} in, presses with a single-cavity tool",
        text,
        "-",
        serves="catalog.sleeve presses",
        step="0",
        computed=partial(presses, size),
        erratum=erratum,
    )
    for size, text, erratum in (
        ("1/8", "3", ""),
        ("3/16", "4", ""),
        ("1/4", "4", "presses-1-4"),
        ("5/16", "5", "presses-5-16"),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
