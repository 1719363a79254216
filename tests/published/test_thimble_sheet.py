"""A maker's data sheet of heavy thimbles, FF-T-276 type III shape, stainless 304, undated. Read.

The meaning of columns A to F is from the usual drawing: 92 % inside, 90 % overall, 88 %
thickness and groove.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import INCH
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's sheet of heavy thimbles", "undated", "columns A to F", "read", 88)
COLUMNS = (
    ("overall_length", 90),
    ("overall_width", 90),
    ("inside_length", 92),
    ("inside_width", 92),
    ("thickness", 88),
    ("groove", 88),
)
PRINTED = {
    "1/4": ("2.19", "1.50", "1.62", "0.88", "0.41", "0.28"),
    "5/16": ("2.50", "1.81", "1.88", "1.06", "0.50", "0.34"),
    "3/8": ("2.88", "2.12", "2.12", "1.12", "0.63", "0.41"),
    "1/2": ("3.62", "2.75", "2.75", "1.50", "0.89", "0.59"),
}


def measure(size: str, column: str) -> float:
    return float(getattr(catalog.find("thimble", f"heavy {size} in"), column)) / INCH


ROWS = tuple(
    Row(
        f"heavy thimble {size} in, {column.replace('_', ' ')}",
        text,
        "in",
        serves=f"catalog.thimble {column.replace('_', ' ')}",
        computed=partial(measure, size, column),
        confidence=sure,
        check={"overall_width": "ring-clearance"}.get(
            column, "eye-fit" if column in {"inside_width", "thickness"} else ""
        ),
    )
    for size, texts in PRINTED.items()
    for (column, sure), text in zip(COLUMNS, texts, strict=True)
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
