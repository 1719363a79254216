"""ASTM A1023/A1023M, Stranded Carbon Steel Wire Ropes for General Purposes.

6x19 class with steel core, extra improved plow steel, bright and finally galvanized, in short
tons of 2000 lb. Values from memory: bright 97 %, galvanized 90 %.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import LBF, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("ASTM A1023/A1023M", "", "6x19 class IWRC, EIPS", "memory", 97)
PRINTED = {
    "bright": {
        "1/4": "3.40",
        "5/16": "5.27",
        "3/8": "7.55",
        "7/16": "10.2",
        "1/2": "13.3",
        "9/16": "16.8",
        "5/8": "20.6",
        "3/4": "29.4",
    },
    "galvanized": {"1/4": "3.06", "5/16": "4.74", "3/8": "6.80"},
}
ROWS = tuple(
    Row(
        f"6x19 IWRC {finish} {size} in, nominal strength",
        text,
        "short ton",
        serves=f"catalog.rope strength 6x19 IWRC {finish} EIPS",
        computed=partial(strength, f"6x19 IWRC {finish} {size} in", 2000 * LBF),
        confidence=90 if finish == "galvanized" else None,
    )
    for finish, sizes in PRINTED.items()
    for size, text in sizes.items()
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
