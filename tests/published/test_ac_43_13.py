"""FAA, Advisory Circular 43.13-1B, Acceptable Methods, Techniques, and Practices, 1998.

Table 7-3, flexible cable: minimum breaking strength to MIL-W-83420, composition A (zinc coated)
and B (corrosion resistant). Read in a public reproduction of the circular.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay.core.sources import Source
from tests.published.figures import LBF, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("FAA Advisory Circular 43.13-1B", "1998", "Table 7-3", "read", 98)
PRINTED = {
    "7x19 galvanized": {
        "1/8": "2,000",
        "5/32": "2,800",
        "3/16": "4,200",
        "7/32": "5,600",
        "1/4": "7,000",
        "9/32": "8,000",
        "5/16": "9,800",
        "3/8": "14,400",
    },
    "7x19 stainless": {
        "1/8": "1,760",
        "5/32": "2,400",
        "3/16": "3,700",
        "7/32": "5,000",
        "1/4": "6,400",
        "9/32": "7,800",
        "5/16": "9,000",
        "3/8": "12,000",
    },
    "6x19 IWRC galvanized": {
        "7/16": "17,600",
        "1/2": "22,800",
        "9/16": "28,500",
        "5/8": "35,000",
        "3/4": "49,600",
    },
    "6x19 IWRC stainless": {
        "7/16": "16,300",
        "1/2": "22,800",
        "9/16": "28,500",
        "5/8": "35,000",
        "3/4": "49,600",
    },
}
ROWS = tuple(
    Row(
        f"{rope} {size} in, breaking strength",
        text,
        "lbf",
        serves=f"catalog.rope strength {rope}",
        computed=partial(strength, f"{rope} {size} in", LBF),
        check="rope-strength",
    )
    for rope, sizes in PRINTED.items()
    for size, text in sizes.items()
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
