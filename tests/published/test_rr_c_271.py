"""Federal Specification RR-C-271, Chains and Attachments: anchor shackles.

Carbon steel, quenched and tempered: working load limit in short tons and inside width at the
pin, read on a public page that the maker keeps.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import INCH, LBF
from tests.published.printed import Row, require_agreement

SOURCE = Source("Federal Specification RR-C-271", "D", "anchor shackles", "read", 99)


def tons(size: str) -> float:
    return catalog.find("shackle", f"anchor {size} in").working_load / (2000 * LBF)


def width(size: str) -> float:
    return (catalog.find("shackle", f"anchor {size} in").inside_width or 0.0) / INCH


ROWS = (
    *(
        Row(
            f"anchor shackle {size} in, working load limit",
            text,
            "short ton",
            serves="catalog.shackle working load",
            step="0",
            computed=partial(tons, size),
            check="shackle-load",
        )
        for size, text in (
            ("3/16", "1/3"),
            ("1/4", "1/2"),
            ("5/16", "3/4"),
            ("3/8", "1"),
            ("7/16", "1-1/2"),
            ("1/2", "2"),
            ("5/8", "3-1/4"),
            ("3/4", "4-3/4"),
        )
    ),
    *(
        Row(
            f"anchor shackle {size} in, inside width at the pin",
            text,
            "in",
            serves="catalog.shackle inside width",
            computed=partial(width, size),
        )
        for size, text in (
            ("1/4", "0.47"),
            ("5/16", "0.53"),
            ("3/8", "0.66"),
            ("1/2", "0.81"),
            ("5/8", "1.06"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
