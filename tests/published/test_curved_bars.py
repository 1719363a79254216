"""Roark's Formulas for Stress and Strain, 7th edition: rings and curved bars.

Table 9.2: a ring with one radial load held by tangential shear bends with 0.2387 W R at the load;
two opposite pulls on a ring bend it with 0.3183 W R at each and 0.1817 W R between, and pull it
with W/2 there. Table 9.1: factor on the inner side of a curved solid round bar by R/c. Values from
memory, 90 %.
"""

from __future__ import annotations

from functools import partial
from math import pi

import numpy as np
import pytest

from rafterstay.checks.aisc360_2016.bars import curved
from rafterstay.core.sources import Source
from rafterstay.statics.ring_bar import bending_share, in_bar
from tests.published.printed import Row, require_agreement

SOURCE = Source("Roark's Formulas for Stress and Strain", "7th", "Tables 9.1, 9.2", "memory", 90)
TWO = in_bar(np.array([[1.0, 0.0, 0.0]] * 2), np.array([0.0, pi]), np.array([0.0, pi / 2]), 1.0)
ROWS = (
    Row(
        "ring, one load held by shear: bending at the load over W R",
        "0.2387",
        "-",
        serves="ring_bar.bending_share",
        computed=lambda: float(bending_share(0.0)),
        check="ring-welded",
    ),
    Row(
        "ring, two opposite pulls: bending at a pull over W R",
        "0.3183",
        "-",
        serves="ring_bar.in_bar",
        computed=lambda: float(TWO.bending[0]),
        check="ring-welded",
    ),
    Row(
        "ring, two opposite pulls: bending between over W R",
        "0.1817",
        "-",
        serves="ring_bar.in_bar",
        computed=lambda: -float(TWO.bending[1]),
        check="ring-welded",
    ),
    Row(
        "ring, two opposite pulls: pull between over W",
        "0.5",
        "-",
        serves="ring_bar.in_bar",
        computed=lambda: float(TWO.pull[1]),
        check="ring-welded",
    ),
    *(
        Row(
            f"curved solid round bar, R/c {ratio}",
            text,
            "-",
            serves="aisc360_2016.bars.curved",
            computed=partial(curved, ratio, 2.0),
            check="ring-welded",
        )
        for ratio, text in (
            (2.0, "1.62"),
            (3.0, "1.33"),
            (4.0, "1.23"),
            (6.0, "1.14"),
            (10.0, "1.08"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
