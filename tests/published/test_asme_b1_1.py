"""ASME B1.1, Unified Inch Screw Threads, 2003: UNC threads per inch.

1/4 to 1/2 in read in an extract of ASME B18.15, 5/8 and 3/4 in on a turnbuckle maker's sheet.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import INCH, cell
from tests.published.printed import Row, require_agreement

SOURCE = Source("ASME B1.1", "2003", "UNC series", "read", 99)


def per_inch(thread: str) -> float:
    return cell("thread_unc", "pitch_count", thread=thread) * INCH


ROWS = tuple(
    Row(
        f"{thread} in UNC, threads per inch",
        text,
        "1/in",
        serves="catalog.turnbuckle threads",
        step="0",
        computed=partial(per_inch, thread),
        check="turnbuckle-thread",
    )
    for thread, text in (
        ("1/4", "20"),
        ("5/16", "18"),
        ("3/8", "16"),
        ("7/16", "14"),
        ("1/2", "13"),
        ("5/8", "11"),
        ("3/4", "10"),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
