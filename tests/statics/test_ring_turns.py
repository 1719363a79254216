"""How far a stiff ring may turn, what turns it back, and which way its legs draw along it.

Source: geometry of legs that point at a centre; the work of steady forces on turned arms, with
the turns of scipy; resolving a force by a 3-4-5 triangle. No solver.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from rafterstay import roof, statics, tie
from rafterstay.core.errors import NotConverged
from rafterstay.roof import Frame
from rafterstay.statics.network import Network
from rafterstay.statics.report import _ring_load
from rafterstay.statics.turning import turn_rate
from rafterstay.tie import Tie
from tests.statics.anchored import tie_between
from tests.statics.roofs import PSF, half_loaded, stated


def _spun(turn_deg: float, ring: str) -> tuple[Frame, Tie]:
    """Legs drawn to a ring put on turned: pulled alike they point at its centre once it is back."""
    job = stated(tie__height="0.2")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    centre = rig.ring_points.mean(axis=0)
    spin = Rotation.from_euler("z", -turn_deg, degrees=True).as_matrix()
    points = centre + (rig.ring_points - centre) @ spin.T
    lengths = np.linalg.norm(points - rig.bolt_points, axis=1)
    return frame, replace(rig, ring=ring, ring_points=points, leg_lengths=lengths)


@pytest.mark.parametrize("ring", ["plate", "welded"])
@pytest.mark.parametrize("turn", [3.0, -4.8])
def test_a_ring_that_turns_by_a_few_degrees_is_answered(turn: float, ring: str) -> None:
    """And each leg comes to point at its centre: no pull is left along the ring."""
    frame, rig = _spun(turn, ring)
    forces = statics.solve(frame, rig, half_loaded(frame, 31 * PSF, 0.0, 1.0))
    outward, along, _ = forces.ring_load[0].T
    assert outward == pytest.approx(forces.leg_pull[0], rel=1e-4)
    assert np.abs(along).max() < 1e-6 * outward.max()


@pytest.mark.parametrize("ring", ["plate", "welded"])
@pytest.mark.parametrize("turn", [5.2, -8.0, 21.0])
def test_a_ring_that_turns_by_more_than_five_is_refused(turn: float, ring: str) -> None:
    """It turns by all it was put on wrong, and is told to the tenth of a degree."""
    frame, rig = _spun(turn, ring)
    with pytest.raises(NotConverged, match=f"ST-008 .*turns by {abs(turn)} degrees") as caught:
        statics.solve(frame, rig, half_loaded(frame, 31 * PSF, 0.0, 1.0))
    assert caught.value.worst_node == "ring"


def _uneven(n: int) -> tuple[Network, SimpleNamespace]:
    """A ring that lies askew, unequal pulls every way, unequal weights at its eyes."""
    rng = np.random.default_rng(n)
    links = tie_between(n, radius=0.19, leg=2.2, ring="body", turns=True).links
    at = links.ring_at + rng.normal(0, 0.04, links.ring_at.shape)
    weights = rng.uniform(2.0, 40.0, (1, n))
    along = rng.normal(0, 1.0, (1, n, 3, 3))
    long = np.linalg.norm(along, axis=-1)
    held = SimpleNamespace(leg=along, leg_long=long, leg_pull=rng.uniform(5, 60, (1, n, 3)))
    return replace(links, ring_at=at, end_weight=weights), held


@pytest.mark.parametrize("n", [3, 7])
def test_what_steady_pulls_and_weights_give_against_turning(n: int) -> None:
    """Half w' G w is what they lose of their work beyond the first order: rigid-ring.md eq. 2."""
    links, held = _uneven(n)
    factor = 1.3
    found = turn_rate(links, held, np.array([factor]))[0]
    force = held.leg[0, :, 2] / held.leg_long[0, :, 2, None] * held.leg_pull[0, :, 2, None]
    force[:, 2] += factor * links.end_weight[0]
    arm = links.ring_at[0] - links.centre[0]

    def work(turn: np.ndarray) -> float:
        return float((force * Rotation.from_rotvec(turn).apply(arm)).sum())

    step = 1e-3
    for axis in [*np.eye(3).tolist(), [0.36, 0.48, 0.8], [-0.8, 0.6, 0.0]]:
        turn = step * np.array(axis)
        second = (work(turn) + work(-turn) - 2 * work(0 * turn)) / step**2
        assert np.array(axis) @ found @ np.array(axis) == pytest.approx(second, rel=1e-5, abs=1e-4)


def test_a_pull_along_the_ring_counts_clockwise() -> None:
    """Eyes at north, east, south, west; each leg 3 along the ring, 4 outward, 12 up of 13."""
    out = np.array([[0.0, 1, 0], [1, 0, 0], [0, -1, 0], [-1, 0, 0]])
    clockwise = np.roll(out, -1, axis=0)  # seen from above: at the north towards the east
    up = np.array([0.0, 0, 1])
    pull = np.array([260.0, 130.0, 390.0, 65.0])
    # A link runs from the bolt to the ring, the pull on the ring the other way.
    link = -(3 * clockwise + 4 * out + 12 * up) / 13 * 0.7
    held = SimpleNamespace(
        ends=0.2 * out[None],
        leg=np.broadcast_to(link[None, :, None], (1, 4, 3, 3)),
        leg_long=np.full((1, 4, 3), 0.7),
        leg_pull=np.broadcast_to(pull[None, :, None], (1, 4, 3)),
    )
    links = tie_between(4, radius=0.2, leg=1.0, ring="body", turns=True).links
    found = _ring_load(SimpleNamespace(pulls=held, links=links))[0]
    assert found == pytest.approx(pull[:, None] * np.array([4.0, 3.0, 12.0]) / 13, rel=1e-12)
