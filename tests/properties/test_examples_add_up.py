"""What lies on every example is what its frame gets, and what its feet give back."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay import job, loads, roof, statics, tie
from rafterstay.job.examples import example, examples
from rafterstay.loads.nouns import Case
from rafterstay.loads.spread import heading
from rafterstay.roof import Frame
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.condense import skeleton

GRAVITY = 9.80665


def lies_on(frame: Frame, case: Case) -> np.ndarray:
    """Everything a case holds, added up: east, north, down. [N] (3,)"""
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    level = (hips[:, None] * case.hip_push.mean(axis=1)).sum(axis=0)
    level = level + case.tail_push.sum(axis=0) + case.head_push.sum(axis=0)
    down = case.hip_load.mean(axis=1) @ hips + case.head_load.sum() + case.tail_load.sum()
    return np.array([*level, down])


@pytest.mark.parametrize("name", examples())
def test_the_frame_gets_what_lies_on_the_roof(name: str) -> None:
    """To 1e-10, every combination, pattern and direction. Source: addition."""
    read = job.loads(example(name))
    frame = roof.lay_out(read)
    cases = loads.gather(read, frame).cases
    forces, _ = loads_on(skeleton(frame), cases)
    size = np.abs(forces).sum(axis=(1, 2)).max()
    for got, case in zip(forces.sum(axis=1), cases, strict=True):
        want = lies_on(frame, case) * (1.0, 1.0, -1.0)
        assert got == pytest.approx(want, rel=1e-10, abs=1e-10 * size)


@pytest.mark.parametrize("name", ["octagon", "pavilion", "bandstand"])
def test_even_pressures_are_what_lies_on_the_roof(name: str) -> None:
    """Roof live or snow on plan: pressure times the polygon to the eaves, to 1e-10. Geometry."""
    read = job.loads(example(name))
    frame = roof.lay_out(read)
    cases = loads.gather(read, frame)
    by_id = {case.id: case for case in cases.cases}
    bare = lies_on(frame, cases.setting)[2]
    load = next(one for one in by_id if one.endswith("/balanced"))
    found = lies_on(frame, by_id[load])[2] - bare
    n, eave = read.roof.sides, read.roof.overhang
    reach = read.roof.plate_radius + eave / np.cos(np.pi / n)
    area = n * reach**2 * np.sin(2 * np.pi / n) / 2
    pressures = {line.symbol: line.value for line in cases.working}
    psf = 4.4482216152605 / 0.3048**2
    stated = pressures.get("Lr") or pressures.get("p_even") or pressures["p_full"]
    assert found == pytest.approx(stated * psf * area, rel=1e-10)


@pytest.mark.parametrize("name", ["octagon", "pavilion", "gable-workshop"])
def test_the_feet_give_back_what_lies_on_the_roof(name: str) -> None:
    """Upward, with rope and turnbuckles; level forces of a balanced load cancel. Equilibrium."""
    read = job.loads(example(name))
    frame = roof.lay_out(read)
    rig = tie.rig(read, frame)
    forces = statics.solve(frame, rig, loads.gather(read, frame))
    rope = (rig.leg_lengths - rig.turnbuckle_set) * rig.rope.mass + rig.turnbuckle.mass
    ring = 2 * rig.ring_radius * np.sin(np.pi / rig.n) * rig.n * rig.ring_rope.mass
    hung = GRAVITY * (rope.sum() + (ring if rig.layout == "ring" else 0.0))
    for k, state in enumerate(forces.states):
        want = lies_on(frame, state.case)[2] + state.case.dead_factor * hung
        # Re-basing stops when no pull changes by 1e-5; what is left of that shows here. Legs that
        # are set to a pull are cut a little shorter than drawn.
        found = forces.foot_reaction[k].sum()
        assert found == pytest.approx(want, abs=5e-6 * abs(want) + 0.003 * hung)


def test_headings_go_clockwise_from_leg_one() -> None:
    assert heading(90.0) == pytest.approx([1.0, 0.0], abs=1e-15)
