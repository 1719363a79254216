"""Straight elastic beams: what they resist, and what a line of load along them asks.

Each beam has six ways to deform (docs/theory/condensation.md eq. 1): stretch, two end
rotations from the chord in the strong plane, two in the weak plane, and twist.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.order import states_first, states_last

__all__ = ["Beams", "deform_map", "line_load", "natural_stiffness"]

_NEXT, _LAST = [1, 2, 0], [2, 0, 1]  # axes in turn, for cross products


@dataclass(frozen=True)
class Beams:
    """The members of a frame as arrays.

    Attributes:
        ends: Start and end node. (n_members, 2)
        up: [-] (n_members, 3)
        length: As drawn. [m] (n_members,)
        stiffness: Of the six deformations. [N/m, N m] (n_members, 6, 6)
        pinned, loose: Start and end free of moment, in the strong plane and sideways.
            (n_members, 2)
    """

    ends: NDArray[np.intp]
    up: Floats
    length: Floats
    stiffness: Floats
    pinned: NDArray[np.bool_]
    loose: NDArray[np.bool_]

    @classmethod
    def of(cls, frame: Frame) -> Beams:
        """Collect the members of a frame."""
        ends = np.array([(m.start, m.end) for m in frame.members], dtype=np.intp)
        pinned = np.array([m.pinned for m in frame.members], dtype=bool)
        loose = np.array([m.loose for m in frame.members], dtype=bool)
        chord = frame.nodes[ends[:, 1]] - frame.nodes[ends[:, 0]]
        length = np.linalg.norm(chord, axis=1)
        rigidity = np.array(
            [(m.e * m.area, m.e * m.strong, m.e * m.weak, m.g * m.torsion) for m in frame.members]
        )
        return cls(
            ends=ends,
            up=np.array([m.up for m in frame.members]),
            length=length,
            stiffness=natural_stiffness(rigidity, length, pinned=pinned, loose=loose),
            pinned=pinned,
            loose=loose,
        )


def natural_stiffness(
    rigidity: Floats, length: Floats, *, pinned: NDArray[np.bool_], loose: NDArray[np.bool_]
) -> Floats:
    """Stiffness of the six deformations, pinned ends already let go.

    Args:
        rigidity: EA [N], EI strong, EI weak, GJ [N m2]. (n_members, 4)
        length: [m] (n_members,)
        pinned: Start and end free of moment in the strong plane. (n_members, 2)
        loose: Start and end free of moment sideways, the end then of twist too. (n_members, 2)

    Returns:
        Stiffness. [N/m, N m] (n_members, 6, 6)

    Source: slope-deflection equations; docs/theory/condensation.md eq. 2
    """
    per_length = rigidity / length[:, None]
    stiffness = np.zeros((len(length), 6, 6))
    stiffness[:, 0, 0] = per_length[:, 0]
    for first, plane, free in ((1, 1, pinned), (3, 2, loose)):
        start, end = free[:, 0], free[:, 1]
        at_start = np.where(start, 0.0, np.where(end, 3.0, 4.0))
        at_end = np.where(end, 0.0, np.where(start, 3.0, 4.0))
        carried = np.where(start | end, 0.0, 2.0)
        stiffness[:, first, first] = at_start * per_length[:, plane]
        stiffness[:, first + 1, first + 1] = at_end * per_length[:, plane]
        stiffness[:, first, first + 1] = carried * per_length[:, plane]
        stiffness[:, first + 1, first] = carried * per_length[:, plane]
    stiffness[:, 5, 5] = np.where(loose[:, 1], 0.0, per_length[:, 3])
    return stiffness


def axes(beams: Beams, points: Floats) -> tuple[Floats, Floats]:
    """Current chord lengths and local axes.

    Args:
        beams: Members.
        points: Node positions. [m] (..., n_nodes, 3)

    Returns:
        Lengths [m] (..., n_members); axes x, y, z as rows [-] (..., n_members, 3, 3).

    Source: docs/theory/condensation.md section 1
    """
    chord = points[..., beams.ends[:, 1], :] - points[..., beams.ends[:, 0], :]
    length = np.linalg.norm(chord, axis=-1)
    x = chord / length[..., None]
    y = _cross(beams.up, x)
    y = y / np.linalg.norm(y, axis=-1)[..., None]
    return length, np.stack([x, y, _cross(x, y)], axis=-2)


def _cross(one: Floats, other: Floats) -> Floats:
    """Cross product, in fewer steps than NumPy's. (..., 3)"""
    return one[..., _NEXT] * other[..., _LAST] - one[..., _LAST] * other[..., _NEXT]


def deform_map(beams: Beams, points: Floats) -> Floats:
    """Matrix from the twelve end movements of each beam to its six deformations.

    Args:
        beams: Members.
        points: Node positions the small movements count from. [m] (..., n_nodes, 3)

    Returns:
        Map; columns are movement and rotation of the start, then of the end.
        [-, 1/m, m] (..., n_members, 6, 12)

    Source: docs/theory/condensation.md eq. 1
    """
    length, local = axes(beams, points)
    x, y, z = local[..., 0, :], local[..., 1, :], local[..., 2, :]
    per = 1 / length[..., None]
    rows = np.zeros((*length.shape, 6, 12))
    rows[..., 0, 0:3], rows[..., 0, 6:9] = -x, x
    for row in (1, 2):
        rows[..., row, 0:3], rows[..., row, 6:9] = -z * per, z * per
    for row in (3, 4):
        rows[..., row, 0:3], rows[..., row, 6:9] = y * per, -y * per
    rows[..., 1, 3:6], rows[..., 2, 9:12] = y, y
    rows[..., 3, 3:6], rows[..., 4, 9:12] = z, z
    rows[..., 5, 3:6], rows[..., 5, 9:12] = -x, x
    return rows


def deformation(beams: Beams, drawn: Floats, movement: Floats) -> Floats:
    """Deformations of beams whose nodes have moved: stretch exact, rotations small.

    Args:
        beams: Members.
        drawn: Node positions without load. [m] (n_nodes, 3)
        movement: Displacement and rotation of every node. [m, rad] (..., n_nodes, 6)

    Returns:
        Deformations. [m, rad] (..., n_members, 6)

    Limits: a chord turned by a counts as sin a; at 0.05 rad it comes out 0.04 % short, a kink
        between two such beams 0.12 % small (tests/statics/test_limits.py).
    Source: docs/theory/second-order.md eq. 2
    """
    before, _ = axes(beams, drawn)
    after, local = axes(beams, drawn + movement[..., :3])
    chord_before = (drawn[beams.ends[:, 1]] - drawn[beams.ends[:, 0]]) / before[:, None]
    turned = _cross(chord_before, local[..., 0, :])
    start = movement[..., beams.ends[:, 0], 3:] - turned
    end = movement[..., beams.ends[:, 1], 3:] - turned
    x, y, z = local[..., 0, :], local[..., 1, :], local[..., 2, :]
    along = [
        after - before,
        (start * y).sum(-1),
        (end * y).sum(-1),
        (start * z).sum(-1),
        (end * z).sum(-1),
        ((end - start) * x).sum(-1),
    ]
    return np.stack(along, axis=-1)


def line_load(beams: Beams, points: Floats, load: Floats) -> tuple[Floats, Floats]:
    """End forces and end moments that stand for a line of load on each beam.

    Args:
        beams: Members.
        points: Node positions as drawn. [m] (n_nodes, 3)
        load: Force per metre of axis at start and end, linear between. [N/m]
            (..., n_members, 2, 3)

    Returns:
        Forces on start and end [N] (..., n_members, 2, 3), as of a simple beam; work
        done on the six deformations [N, N m] (..., n_members, 6). Nodes then move as those of
        the loaded beam, exactly.

    Source: fixed-end moments of a linear load, L2(3a + 2b)/60 and L2(2a + 3b)/60;
        docs/theory/condensation.md eq. 3
    """
    length, local = axes(beams, points)
    # One product for each beam: numpy hands those of all states to the machine's own routine.
    lines = states_last(load.reshape(-1, len(length), 6))
    both = _simple_ends(length) @ lines
    work = np.zeros((len(length), 6, lines.shape[-1]))
    work[:, 1:5] = np.swapaxes(_fixed_ends(beams, length, local), 1, 2) @ lines
    ends, asked = states_first(both.reshape(-1, 2, 3, lines.shape[-1])), states_first(work)
    return ends.reshape(load.shape), asked.reshape(*load.shape[:-2], 6)


def _simple_ends(length: Floats) -> Floats:
    """Forces on both ends of a simple beam by a line of load on it. [m] (n_members, 6, 6)"""
    thirds = np.kron([[2.0, 1.0], [1.0, 2.0]], np.eye(3)) / 6
    return np.asarray(length[:, None, None] * thirds)


def _fixed_ends(beams: Beams, length: Floats, local: Floats) -> Floats:
    """Work on the end rotations by a line that is 1 at one end, in one direction, and runs to nil.

    Returns:
        By loaded end and direction, on both rotations in the strong plane, then sideways. [m2]
        (n_members, 6, 4)
    """
    start = np.stack([beams.pinned[:, 0], beams.loose[:, 0]], axis=1)[:, None]
    end = np.stack([beams.pinned[:, 1], beams.loose[:, 1]], axis=1)[:, None]
    square = (length**2 / 60)[:, None, None]
    first, second = square * [[-3.0], [-2.0]], square * [[2.0], [3.0]]
    at_first = np.where(start, 0.0, np.where(end, first - second / 2, first))
    at_second = np.where(end, 0.0, np.where(start, second - first / 2, second))
    asked = np.stack([at_first, at_second], axis=-1)
    across = np.stack([local[:, 2], -local[:, 1]], axis=-1)
    return np.asarray((asked[:, :, None] * across[:, None, :, :, None]).reshape(len(length), 6, 4))
