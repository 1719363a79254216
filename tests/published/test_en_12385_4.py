"""EN 12385-4:2002, Steel wire ropes, Stranded ropes for general lifting applications.

Classes 6x7 with WSC core and 6x19 with IWRC, rope grade 1770: minimum breaking force, mass, and
the factors K. Values from memory: the tables 82 %, the factors 80 %. Each force is K d^2 R0 to
its last printed digit.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.figures import mass, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("EN 12385-4", "2002", "classes 6x7 WSC, 6x19 IWRC", "memory", 82)
PRINTED = {
    "7x7": {
        "3": ("5.72", "3.46"),
        "4": ("10.2", "6.14"),
        "5": ("15.9", "9.60"),
        "6": ("22.9", "13.8"),
        "8": ("40.7", "24.6"),
        "10": ("63.5", "38.4"),
        "12": ("91.5", "55.3"),
    },
    "6x19 IWRC": {
        "8": ("40.3", "25.6"),
        "10": ("63.0", "40.0"),
        "12": ("90.7", "57.6"),
        "14": ("124", "78.4"),
        "16": ("161", "102"),
        "18": ("204", "130"),
        "20": ("252", "160"),
    },
}
FACTORS = {"7x7": 0.359, "6x19 IWRC": 0.356}


def listed(lay: str, size: str) -> float:
    """Give the listed force, having worked it from the class's factor as well."""
    force = strength(f"{lay} galvanized {size} mm", 1000.0)
    worked = rope.strength_from_grade(FACTORS[lay], float(size) / 1000.0, 1770e6) / 1000.0
    assert worked == pytest.approx(force, rel=0.005)
    return force


ROWS = (
    *(
        Row(
            f"{lay} galvanized {size} mm, grade 1770: minimum breaking force",
            force,
            "kN",
            serves=f"catalog.rope strength {lay} metric",
            computed=partial(listed, lay, size),
            check="rope-strength",
        )
        for lay, sizes in PRINTED.items()
        for size, (force, _) in sizes.items()
    ),
    *(
        Row(
            f"{lay} galvanized {size} mm, mass",
            heavy,
            "kg/100 m",
            serves=f"catalog.rope mass {lay} metric",
            computed=partial(mass, f"{lay} galvanized {size} mm", 0.01),
        )
        for lay, sizes in PRINTED.items()
        for size, (_, heavy) in sizes.items()
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
