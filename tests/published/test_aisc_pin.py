"""AISC Design Examples, example D.7, pin-connected tension member.

Read in a public reproduction of the companion to the 14th and 15th edition Manual: A36 plate 4.25
by 1/2 in, pin 1 in in a hole of 1.03 in, a = 2.25 in, be = 1.61 in. Nominal strengths as printed;
the allowable ones are worked from them with omega 2.00.
"""

from __future__ import annotations

import pytest

from rafterstay import catalog
from rafterstay.checks.aisc360_2016 import pins
from rafterstay.core.sources import Source
from tests.published.figures import INCH, LBF
from tests.published.printed import Row, require_agreement

SOURCE = Source("AISC Design Examples", "14th edition", "example D.7", "read", 95)
STEEL = catalog.find("steel", "ASTM A36")
KIP = 1000.0 * LBF
THICK, PIN, BEYOND = 0.5 * INCH, 1.0 * INCH, 2.25 * INCH
BESIDE = (4.25 - 1.03) / 2.0 * INCH
EDGE = pins.effective_edge(THICK, BESIDE, BEYOND)
FU, FY = STEEL.tensile_strength, STEEL.yield_strength
ROWS = (
    Row(
        "twice the thickness and 0.63 in",
        "1.63",
        "in",
        serves="aisc360_2016.effective_edge",
        computed=lambda: pins.effective_edge(THICK, 1.0, 1.0) / INCH,
        check="hubplate-net",
    ),
    Row(
        "effective edge that controls",
        "1.61",
        "in",
        serves="aisc360_2016.effective_edge",
        computed=lambda: EDGE / INCH,
        check="hubplate-net",
    ),
    Row(
        "tensile rupture, nominal",
        "93.4",
        "kip",
        serves="aisc360_2016.allowable_net",
        computed=lambda: pins.OMEGA * pins.allowable_net(FU, THICK, EDGE) / KIP,
        check="hubplate-net",
    ),
    Row(
        "shear rupture, nominal",
        "95.7",
        "kip",
        serves="aisc360_2016.allowable_tearout",
        computed=lambda: pins.OMEGA * pins.allowable_tearout(FU, THICK, BEYOND, PIN) / KIP,
        check="hubplate-tearout",
    ),
    Row(
        "bearing, nominal",
        "32.4",
        "kip",
        serves="aisc360_2016.allowable_bearing",
        computed=lambda: pins.OMEGA * pins.allowable_bearing(FY, THICK, PIN) / KIP,
        check="hubplate-bearing",
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
