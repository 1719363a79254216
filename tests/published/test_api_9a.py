"""ANSI/API Specification 9A (ISO 10425), Specification for Wire Rope, 2004.

Table C.1, class 6x7 with fibre core: minimum breaking force at rope grades 1770 and 1960, in
kN. Read in a public extract. The factor K of that class, 0.332, is from EN 12385-4.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("API Specification 9A / ISO 10425", "2004", "Table C.1", "read", 99)


def breaking_force(size: int, grade: int) -> float:
    return rope.strength_from_grade(0.332, size / 1000.0, grade * 1e6) / 1000.0


ROWS = tuple(
    Row(
        f"6x7-FC {size} mm, grade {grade}: minimum breaking force",
        text,
        "kN",
        serves="rope.strength_from_grade",
        computed=partial(breaking_force, size, grade),
    )
    for size, grade, text in (
        (6, 1770, "21.2"),
        (6, 1960, "23.4"),
        (8, 1770, "37.6"),
        (10, 1770, "58.8"),
        (12, 1770, "84.6"),
        (9, 1960, "52.7"),
        (16, 1960, "167"),
        (28, 1770, "461"),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
