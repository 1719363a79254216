"""What happens inside a hip: compression, shear and bending from foot to head."""

from __future__ import annotations

import numpy as np

from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.beam_loads import member_lines
from rafterstay.statics.beams import axes, deform_map
from rafterstay.statics.condense import Skeleton, member_forces
from rafterstay.statics.nouns import State

__all__ = ["along_hips", "stations"]

PER_BEAM = 17  # stations on each beam of a hip


def stations(frame: Frame) -> Floats:
    """Where along a hip its forces are told, as a fraction of its length from the foot.

    Args:
        frame: The roof.

    Returns:
        Fractions, rising; a tie bolt's stands twice. [-] (n_stations,)
    """
    inside = np.linspace(0.0, 1.0, PER_BEAM)
    bolt = _bolt_at(frame)
    if bolt <= 0:
        return inside
    return np.concatenate([bolt * inside, bolt + (1 - bolt) * inside])


def along_hips(
    bones: Skeleton, states: list[State], *, movement: Floats, work: Floats
) -> dict[str, Floats]:
    """Forces inside every hip on the displaced roof.

    Args:
        bones: The frame.
        states: What lies on it.
        movement: Of every node. [m, rad] (n_states, n_nodes, 6)
        work: Loads on the members' deformations. [N, N m] (n_states, n_members, 6)

    Returns:
        ``hip_axial``, ``hip_shear`` [N], ``hip_moment`` [N m] (n_states, n, n_stations) and
        ``hip_sideways`` [N m] (n_states, n).

    Source: equilibrium of the part of a beam before a cut; docs/theory/condensation.md eq. 4
    """
    frame, beams = bones.frame, bones.beams
    hips = np.arange(len(frame.members)) < len(frame.members) - (
        frame.n if frame.hub == "ring" else 0
    )
    points = frame.nodes + movement[..., :3]
    inner = member_forces(bones, movement, work)
    ends = np.einsum("bmdk,bmd->bmk", deform_map(beams, points), inner)[:, hips]
    long, local = axes(beams, points)
    long, local = long[:, hips], local[:, hips]
    lines = member_lines(bones, [state.case for state in states])[:, hips]
    first, last = lines[:, :, None, 0], lines[:, :, None, 1]
    share = np.linspace(0.0, 1.0, PER_BEAM)[:, None]
    # Load before the cut, and its first moment about the cut; linear line of load.
    passed = long[..., None, None] * share * (first * (1 - share / 2) + last * share / 2)
    turned = (long[..., None, None] * share) ** 2 * (first * (1 / 2 - share / 6) + last * share / 6)
    own = long[..., None] * (2 * lines[:, :, 0] + lines[:, :, 1]) / 6
    x, z = local[..., 0, :], local[..., 2, :]
    start = ends[..., :3] - own
    along, across = (start * x).sum(-1), (start * z).sum(-1)
    axial = along[..., None] + (passed * x[..., None, :]).sum(-1)
    shear = across[..., None] + (passed * z[..., None, :]).sum(-1)
    about = (ends[..., 3:6] * local[..., 1, :]).sum(-1)
    moment = about[..., None] + across[..., None] * long[..., None] * share[:, 0]
    moment = moment + (turned * z[..., None, :]).sum(-1)
    sideways = np.abs(inner[:, hips][..., 3:5]).max(axis=-1)
    per_hip = int(hips.sum()) // frame.n
    shape = (len(states), frame.n, per_hip * PER_BEAM)
    return {
        "hip_axial": axial.reshape(shape),
        "hip_shear": shear.reshape(shape),
        "hip_moment": moment.reshape(shape),
        "hip_sideways": sideways.reshape(len(states), frame.n, per_hip).max(axis=-1),
    }


def _bolt_at(frame: Frame) -> float:
    tall = frame.nodes[frame.heads[0], 2] - frame.nodes[frame.feet[0], 2]
    return float((frame.nodes[frame.bolts[0], 2] - frame.nodes[frame.feet[0], 2]) / tall)
