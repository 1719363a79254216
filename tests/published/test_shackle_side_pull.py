"""Makers' charts of side loading of screw-pin and bolt-type shackles. Read.

In line, at 45 and at 90 degrees out of the shackle's plane; three makers' and dealers' pages print
the same three figures. Between them ours runs straight.
"""

from __future__ import annotations

import math

import pytest

from rafterstay.checks.lifting.side_pull import side_factor
from rafterstay.core.errors import InputError
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source(
    "Makers' charts of side loading of shackles", "undated", "0, 45, 90 deg", "read", 95
)
ROWS = tuple(
    Row(
        f"share of the working load limit kept at {angle} deg",
        text,
        "%",
        serves="lifting.side_factor",
        computed=lambda angle=angle: 100.0 * side_factor(math.radians(angle)),
        check="shackle-load",
    )
    for angle, text in ((0, "100"), (45, "70"), (90, "50"))
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


def test_between_the_figures_it_falls_straight() -> None:
    assert side_factor(math.radians(9.0)) == pytest.approx(0.94)
    assert side_factor(math.radians(54.0)) == pytest.approx(0.66)


@pytest.mark.parametrize("angle", [-0.1, 1.6, float("nan")])
def test_past_a_right_angle_is_refused(angle: float) -> None:
    with pytest.raises(InputError, match="IN-823"):
        side_factor(angle)
