"""ANSI/AISC 360, Specification for Structural Steel Buildings, 2016.

Table J3.2: nominal shear strength of A307 bolts and the note on a long grip; the A36 threaded
rod of 5/8 in and the bolt's single shear are the AISC Manual's allowable-stress figures. Values
from memory, 95 %; the note on the grip was read. Yield and tensile stress of A36 and A572 grade 50
are those of their ASTM standards, from memory.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.checks.aisc360_2016.bolts import (
    allowable_shear,
    allowable_tension,
    grip_factor,
)
from rafterstay.core.sources import Source
from tests.published.figures import KSI, LBF
from tests.published.printed import Row, require_agreement

SOURCE = Source("ANSI/AISC 360", "2016", "Table J3.2", "memory", 95)


def _stress(grade: str, figure: str) -> float:
    return float(getattr(catalog.find("steel", grade), figure)) / KSI


BOLT = catalog.find("bolt", "A307 5/8 in")
ROWS = (
    *(
        Row(
            f"{grade}, {what}",
            text,
            "ksi",
            serves="catalog.steel",
            computed=partial(_stress, grade, figure),
            check=check,
        )
        for grade, what, figure, text, check in (
            ("ASTM A36", "least yield stress", "yield_strength", "36", "ring-welded"),
            ("ASTM A36", "least tensile stress", "tensile_strength", "58", "hubplate-net"),
            ("ASTM A572 Gr. 50", "least yield stress", "yield_strength", "50", "ring-welded"),
            ("ASTM A572 Gr. 50", "least tensile stress", "tensile_strength", "65", "hubplate-net"),
        )
    ),
    Row(
        "A307 bolt, nominal shear strength",
        "27",
        "ksi",
        serves="catalog.bolt shear",
        computed=lambda: BOLT.shear / KSI,
        check="bolt-steel",
    ),
    Row(
        "A307 bolt 5/8 in, allowable single shear",
        "4.14",
        "kip",
        serves="aisc360_2016.allowable_shear",
        computed=lambda: allowable_shear(BOLT.shear, BOLT.diameter, 1) / (1000.0 * LBF),
        check="bolt-steel",
    ),
    Row(
        "A36 threaded rod 5/8 in, allowable pull",
        "6.67",
        "kip",
        serves="aisc360_2016.allowable_tension",
        computed=lambda: allowable_tension(58.0 * KSI, BOLT.diameter) / (1000.0 * LBF),
    ),
    Row(
        "A307 bolt, loss for 1/16 in of grip over five diameters",
        "1",
        "%",
        serves="aisc360_2016.grip_factor",
        computed=lambda: 100.0 * (1.0 - grip_factor(5.0625 * 0.0254, 0.0254)),
        check="bolt-steel",
        obtained="read",
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
