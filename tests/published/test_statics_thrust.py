"""Statics of rings, three-hinged gables and cones: worked from equilibrium, 99 %.

The two gable pulls, 1440 lb and 2160 lb, are also printed in trade articles on rafter ties for a
24 ft wide roof of 4:12 under 80 plf on plan with the tie at the plate and at a third of the rise.
"""

from __future__ import annotations

import math

import pytest

from rafterstay.checks import thrust
from rafterstay.checks.irc_2021.raised_tie import tie_factor
from rafterstay.core.sources import Source
from rafterstay.rope import ring_pull
from tests.published.printed import Row, require_agreement

SOURCE = Source("statics of rings, gables and cones", "", "docs/theory/thrust.md", "computed", 99)
RINGS = {
    3: ".57735",
    4: ".70711",
    5: ".85065",
    6: "1.0",
    8: "1.30656",
    10: "1.61803",
    12: "1.93185",
    16: "2.56292",
    20: "3.19623",
    36: "5.73686",
}
OCTAGON = {"0": "1357.6", "1/3": "2036.5", "1/2": "2715.3", "2/3": "4072.9"}
SLICE = 40.0 * math.pi * 144.0 / 12.0  # one of twelve slices of a cone of 12 ft, 40 psf


def octagon_leg(height: str) -> float:
    top, _, bottom = height.partition("/")
    share = float(top) / float(bottom or 1.0)
    load = thrust.hip_slice(40.0, 12.0, 8)
    return thrust.leg_pull(load, 12.0, rise=6.0, height=6.0 * share)


ROWS = (
    *(
        Row(
            f"ring side between {n} equal legs",
            text,
            "T",
            serves="rope.ring_pull",
            check="ring-pull",
            computed=lambda n=n: ring_pull(1.0, n),
        )
        for n, text in RINGS.items()
    ),
    Row(
        "round ring, 12 legs",
        "1.910",
        "T",
        serves="thrust.ring_pull_continuous",
        computed=lambda: thrust.ring_pull_continuous(1.0, 12),
    ),
    Row(
        "ring of 8 legs of 1000 lb",
        "1306.6",
        "lbf",
        serves="rope.ring_pull",
        check="ring-pull",
        computed=lambda: ring_pull(1000.0, 8),
    ),
    *(
        Row(
            f"octagon of 12 ft, rise 6 ft, 40 psf, tie at {height} Hr",
            text,
            "lbf",
            serves="thrust.leg_pull",
            step="0.1",
            computed=lambda height=height: octagon_leg(height),
        )
        for height, text in OCTAGON.items()
    ),
    Row(
        "gable 24 ft, 80 plf, rise 4 ft",
        "1440",
        "lbf",
        serves="thrust.gable_thrust",
        computed=lambda: thrust.gable_thrust(80.0, 24.0, 4.0),
        obtained="read",
        confidence=97,
    ),
    Row(
        "gable 24 ft, 80 plf, rise 12 ft",
        "480",
        "lbf",
        serves="thrust.gable_thrust",
        computed=lambda: thrust.gable_thrust(80.0, 24.0, 12.0),
    ),
    Row(
        "the same at 4 ft, tie at a third",
        "2160",
        "lbf",
        serves="irc_2021.tie_factor",
        computed=lambda: thrust.gable_thrust(80.0, 24.0, 4.0) * tie_factor(1.0 / 3.0),
        obtained="read",
        confidence=97,
    ),
    Row(
        "the same at 12 ft, tie at a third",
        "720",
        "lbf",
        serves="irc_2021.tie_factor",
        computed=lambda: thrust.gable_thrust(80.0, 24.0, 12.0) * tie_factor(1.0 / 3.0),
    ),
    Row(
        "cone of 12 ft, rise 6 ft, 40 psf: thrust",
        "160",
        "plf",
        serves="thrust.cone_thrust",
        computed=lambda: thrust.cone_thrust(40.0, 12.0, 6.0),
        confidence=93,
    ),
    Row(
        "the same: band",
        "1920",
        "lbf",
        serves="thrust.cone_ring",
        computed=lambda: thrust.cone_ring(40.0, 12.0, 6.0),
        confidence=93,
    ),
    Row(
        "a twelfth of that cone: load",
        "1508",
        "lbf",
        serves="arithmetic",
        computed=lambda: SLICE,
        confidence=93,
    ),
    Row(
        "the same: thrust",
        "1005",
        "lbf",
        serves="thrust.leg_pull",
        computed=lambda: thrust.leg_pull(SLICE, 12.0, rise=6.0, height=0.0),
        confidence=93,
    ),
    Row(
        "the same: ring of twelve sides",
        "1942",
        "lbf",
        serves="rope.ring_pull",
        computed=lambda: ring_pull(thrust.leg_pull(SLICE, 12.0, rise=6.0, height=0.0), 12),
        confidence=93,
    ),
    Row(
        "leg 15 degrees from level",
        "1.0353",
        "H",
        serves="thrust.inclined_pull",
        computed=lambda: thrust.inclined_pull(1.0, math.radians(15.0)),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


def test_span_factor_squared_is_the_bending_ratio() -> None:
    """A raised tie at k bends the rafter k - k^2/2 of w L1^2 against 1/8 with the tie low."""
    from rafterstay.checks.irc_2021.raised_tie import span_factor

    for height in (0.21, 1.0 / 3.0, 0.47):
        low = 80.0 * 12.0**2 / 8.0
        raised = thrust.raised_tie_moment(80.0, 12.0, height)
        assert span_factor(height) ** 2 == pytest.approx(low / raised, rel=1e-12)
