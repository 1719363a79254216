"""Irvine, Cable Structures, MIT Press, 1981: sag, length and the crossover of modes.

The crossover, 4 pi^2, was read; the sag and length are a public test's figures for the same
parabola, read.
"""

from __future__ import annotations

import math

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Irvine, Cable Structures", "1981", "parabola; crossover", "read", 96)


def crossover() -> float:
    """Solve the first symmetric mode's equation for the rope whose w/w1 is 2, by its own lambda.

    tan(x/2) = x/2 - (4/lambda^2) (x/2)^3 at x = 2 pi gives lambda^2 = 4 (x/2)^2.
    """
    half = math.pi
    assert math.tan(half) == pytest.approx(half - 4.0 / rope.CROSSOVER * half**3, abs=1e-12)
    return rope.CROSSOVER


ROWS = (
    Row("crossover of the first modes", "39.48", "-", serves="rope.CROSSOVER", computed=crossover),
    Row(
        "sag, w 0.5, L 200, H 500",
        "5.0",
        "m",
        serves="rope.sag",
        computed=lambda: rope.sag(0.5, 200.0, 500.0),
        confidence=98,
    ),
    Row(
        "length, L 300, s 15",
        "302.0",
        "m",
        serves="rope.sagged_length",
        computed=lambda: rope.sagged_length(300.0, 15.0),
        confidence=98,
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
