"""IRC (2021), notes to Tables R802.4.1: span factors of raised ties, from our solved frame. Read.

Under a line load alike from foot to head a hip of a regular roof is a gable's rafter. Its bending
at the tie gives the printed factors. Below about 0.29 of the rise it is bent more between tie and
hub than at the tie, which the factors leave out: see errata.toml.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from rafterstay.core.sources import Source
from rafterstay.loads import Cases
from tests.published.printed import Row, require_agreement
from tests.statics.roofs import stated

SOURCE = Source("IRC", "2021", "Tables R802.4.1, notes on raised ties, by the solver", "read", 97)
LINE = 20.0  # along the hip; light, so that the roof stays as drawn [N/m]
FACTORS = {"1/3": "0.67", "1/4": "0.76", "1/5": "0.83", "1/6": "0.90"}


@cache
def span_factor(height: str, *, at_tie: bool) -> float:
    """Square root of a plain rafter's bending over that of the solved hip with its tie."""
    read = stated("octagon", tie__height=height)
    frame = roof.lay_out(read)
    some = loads.gather(read, frame).cases[-1]
    nothing = np.zeros((frame.n, 2))
    case = replace(
        some,
        hip_load=nothing + LINE,
        head_load=np.zeros(frame.n),
        dead_factor=0.0,
        pattern="balanced",
        direction_deg=None,
    )
    cases = Cases((case,), replace(case, hip_load=nothing), simplified_snow=True)
    forces = statics.solve(frame, tie.rig(read, frame), cases)
    foot, head = frame.nodes[frame.feet[0]], frame.nodes[frame.heads[0]]
    run, long = math.dist(head[:2], foot[:2]), math.dist(head, foot)
    share = float(frame.nodes[frame.bolts[0], 2] - foot[2]) / frame.rise
    bent = np.abs(forces.hip_moment[0, 0])
    most = bent[np.isclose(forces.hip_at, share)].max() if at_tie else bent.max()
    return math.sqrt(LINE * long / run * run**2 / 8.0 / float(most))


ROWS = (
    *(
        Row(
            f"span factor at Hc/Hr {height}, bending at the tie",
            text,
            "-",
            serves="statics.solve, bending",
            computed=lambda height=height: span_factor(height, at_tie=True),
            check="rafter-bending",
        )
        for height, text in FACTORS.items()
    ),
    Row(
        "span factor at Hc/Hr 1/3, bending anywhere",
        "0.67",
        "-",
        serves="statics.solve, bending",
        computed=lambda: span_factor("1/3", at_tie=False),
        check="rafter-bending",
    ),
    *(
        Row(
            f"span factor at Hc/Hr {height}, bending anywhere",
            FACTORS[height],
            "-",
            serves="statics.solve, bending",
            computed=lambda height=height: span_factor(height, at_tie=False),
            erratum=f"raised-tie-{height.replace('/', '-')}",
            check="rafter-bending",
        )
        for height in ("1/4", "1/5", "1/6")
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


@pytest.mark.parametrize("height", [4, 5, 6])
def test_above_the_tie_the_factor_is_what_is_left_of_the_rise(height: int) -> None:
    """M = w L1^2 / (8 (1 - k)^2), docs/theory/rafter.md eq. 2: the factor is 1 - k."""
    found = span_factor(f"1/{height}", at_tie=False)
    assert found == pytest.approx(1.0 - 1.0 / height, abs=2e-3)
