"""A maker's data sheet of jaw and jaw turnbuckles to ASTM F1145 in inches, undated. Read.

The jaw gap's column letter is not fully legible: 75 %.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import INCH, POUND
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's inch sheet of jaw turnbuckles", "undated", "", "read", 98)
PRINTED = {
    "1/4 in x 4 in": ("11.19", "7.19", "0.37", "0.45"),
    "5/16 in x 4-1/2 in": ("13.07", "8.57", "0.56", "0.50"),
    "3/8 in x 6 in": ("16.25", "10.25", "0.85", "0.53"),
}


def measure(size: str, which: str) -> float:
    body = catalog.find("turnbuckle", f"jaw-jaw {size}")
    if which == "weight":
        return body.mass / POUND
    if which == "jaw gap":
        return (body.jaw_opening or 0.0) / INCH
    return (body.closed + (body.take_up if which == "open" else 0.0)) / INCH


ROWS = tuple(
    Row(
        f"jaw-jaw {size}, {which}",
        text,
        "lb" if which == "weight" else "in",
        serves=f"catalog.turnbuckle {which}",
        computed=partial(measure, size, which),
        confidence=75 if which == "jaw gap" else None,
    )
    for size, texts in PRINTED.items()
    for which, text in zip(("open", "closed", "weight", "jaw gap"), texts, strict=True)
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
