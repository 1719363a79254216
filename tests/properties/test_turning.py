"""Turning, mirroring and renumbering a crooked roof with its load leave every result alone.

Feet and heads stand a few percent out, no two alike. The load stands on one side, so that a pull
that is handed to the wrong leg shows. Layouts, jacks and a plate that runs on are all tried.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from rafterstay import roof, statics, tie
from rafterstay.job import Job
from rafterstay.loads import Cases
from rafterstay.loads.gather import combine
from rafterstay.loads.laid import Plan
from rafterstay.loads.spread import dead_lines, halves
from rafterstay.roof.lay_out import frame_between
from rafterstay.statics import Forces
from tests.statics.roofs import PSF, Value, stated

FEW = settings(max_examples=5, deadline=None, phases=(Phase.explicit, Phase.generate))
# To a thousandth of a degree: nearer to a hip, rounding decides on which side of the line it lies.
DIRECTION = st.integers(0, 359_000).map(lambda thousandth: thousandth / 1000)
WOBBLE = st.lists(st.floats(-0.02, 0.02), min_size=32, max_size=32)
PLATE: dict[str, Value] = {
    "support__plate": "continuous",
    "support__plate_ply": "2x6",
    "support__plate_plies": 2,
    "support__joint_capacity": "1200 lb",
    "support__joint_slip": ["1/32 in", "3/32 in"],
}
KINDS: dict[str, dict[str, Value]] = {
    "ring": {"tie__height": "0.27"},
    "ring, jacks on a disc": {
        "tie__height": "0.2",
        "roof__infill": "jacks",
        "roof__hub": "disc",
        "roof__hub_radius": "14 in",
    },
    "ring, plate runs on": {"tie__height": "0.15"} | PLATE,
    "band, plate runs on": {"tie__height": "0", "tie__layout": "band"} | PLATE,
    "cross, jacks": {"tie__height": "0.22", "tie__layout": "cross", "roof__infill": "jacks"},
}


@dataclass(frozen=True)
class Turned:
    """How a roof is looked at: turned, mirrored about leg 1's line, leg ``first`` called 1."""

    turn_deg: float = 0.0
    mirror: bool = False
    first: int = 0


def stand(read: Job, wobble: list[float], how: Turned) -> roof.Frame:
    """A crooked roof as it is looked at."""
    n = read.roof.sides
    out = np.resize(np.array(wobble), (n, 2))
    azimuth = (np.arange(n) + 2 * out[:, 1]) * 2 * np.pi / n
    if how.mirror:
        azimuth, out = np.roll(-azimuth[::-1], 1), np.roll(out[::-1], 1, axis=0)
    azimuth = np.roll(azimuth, -how.first) + np.radians(how.turn_deg)
    out = np.roll(out, -how.first, axis=0)
    outward = np.stack([np.sin(azimuth), np.cos(azimuth)], axis=1)
    feet = np.column_stack([3.4 * (1 + out[:, :1]) * outward, np.zeros(n)])
    # Heads that meet in a point meet in one.
    apart = read.roof.hub_radius * (1 - out[:, :1])
    heads = np.column_stack([apart * outward, np.full(n, 2.1)])
    return frame_between(read, feet, heads, outward=outward, geometry="measured")


def run(read: Job, wobble: list[float], how: Turned, direction: float) -> Forces:
    """Dead load and snow, more of it on one side; the side is turned and mirrored too."""
    frame = stand(read, wobble, how)
    towards = (-direction if how.mirror else direction) + how.turn_deg
    plan = Plan.of(frame, 0.0)
    dead = dead_lines(plan, 6 * PSF)
    snow = halves(plan, towards, 9 * PSF, 5 * PSF)
    case = combine("D+S", dead, snow, 1.0, pattern="half", direction=towards % 360.0)
    setting = combine("D", dead, None, 0.0, pattern="dead")
    return statics.solve(
        frame,
        tie.rig(read, frame),
        Cases((case,), setting, simplified_snow=True),
        plate=roof.plate_sides(read, frame),
    )


def images(read: Job, how: Turned) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where leg, hip and side k stood in the roof as drawn."""
    n = read.roof.sides
    hips = np.roll(-np.arange(n) % n if how.mirror else np.arange(n), -how.first)
    sides = np.roll((-np.arange(n) - 1) % n if how.mirror else np.arange(n), -how.first)
    if read.tie.layout == "cross":
        return hips[: n // 2] % (n // 2), hips, sides
    return (sides if read.tie.layout == "band" else hips), hips, sides


@pytest.mark.parametrize("kind", KINDS)
@FEW
@given(
    half=st.integers(2, 4),
    wobble=WOBBLE,
    turn_deg=st.floats(-170.0, 170.0),
    mirror=st.booleans(),
    first=st.integers(0, 7),
    direction=DIRECTION,
)
def test_looking_at_a_roof_another_way_leaves_its_pulls(
    kind: str,
    half: int,
    wobble: list[float],
    turn_deg: float,
    mirror: bool,
    first: int,
    direction: float,
) -> None:
    """Source: symmetry of space."""
    sides = 2 * half + (0 if "cross" in kind else 1)
    read = stated(roof__sides=sides, rafter__ply="2x12", **KINDS[kind])
    how = Turned(turn_deg, mirror, first % sides)
    drawn, seen = (run(read, wobble, each, direction) for each in (Turned(), how))
    legs, hips, along = images(read, how)
    assert len(drawn.states) == len(seen.states) == (5 if "runs on" in kind else 1)
    assert seen.leg_pull == pytest.approx(drawn.leg_pull[:, legs], rel=2e-5, abs=0.05)
    assert seen.spread == pytest.approx(drawn.spread[:, hips], rel=1e-4, abs=1e-6)
    assert seen.foot_reaction == pytest.approx(drawn.foot_reaction[:, hips], rel=2e-5)
    assert seen.plate_pull == pytest.approx(drawn.plate_pull[:, along], rel=1e-4, abs=0.5)
    assert np.ptp(drawn.foot_reaction[0]) > 10.0  # the load does stand on one side


@FEW
@given(
    kind=st.sampled_from(sorted(KINDS)),
    wobble=WOBBLE,
    direction=DIRECTION,
    more=st.floats(1.1, 2.0),
)
def test_more_snow_pulls_more_everywhere_on_a_heavier_roof(
    kind: str, wobble: list[float], direction: float, more: float
) -> None:
    """All loads times a factor: every first-order pull grows by it but for the ropes' weight."""
    read = stated(roof__sides=6, rafter__ply="2x12", **KINDS[kind])
    frame = stand(read, wobble, Turned())
    plan = Plan.of(frame, 0.0)
    lines = halves(plan, direction, 9 * PSF, 6 * PSF)
    cases = []
    for factor in (1.0, more):
        case = combine("S", lines * 0.0, lines, factor, pattern="half", direction=direction)
        cases.append(replace(case, dead_factor=0.0))
    nothing = replace(cases[0], hip_load=0 * cases[0].hip_load)
    whole = Cases(tuple(cases), nothing, simplified_snow=True)
    forces = statics.solve(frame, tie.rig(read, frame), whole)
    once, again = forces.first_order
    assert again.mean() == pytest.approx(more * once.mean(), rel=0.01)
    assert again.sum() > once.sum()
