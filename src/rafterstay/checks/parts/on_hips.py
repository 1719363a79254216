"""What the legs put on each hip's tie bolt, whichever way they are laid out."""

from __future__ import annotations

import numpy as np

from rafterstay.checks.judging import Asked
from rafterstay.roof.frame import Floats

__all__ = ["leg_at_hip", "lift_of_pulls", "pulls_on_hips"]


def pulls_on_hips(asked: Asked) -> Floats:
    """Pull on every hip's bolt as a vector: of a band the two legs' together.

    The far end of a leg pulls level against its start and hangs down as much.

    Args:
        asked: Tie and forces.

    Returns:
        Pull; nil where a leg is slack. [N] (n_states, n_hips, 3)

    Source: equilibrium of a leg
    """
    forces, layout = asked.forces, asked.tie.layout
    start: Floats = np.nan_to_num(forces.leg_pull[..., np.newaxis] * forces.pull_direction)
    end = start * np.array([-1.0, -1.0, 1.0])
    if layout == "cross":
        return np.concatenate([start, end], axis=1)
    return start + np.roll(end, 1, axis=1) if layout == "band" else start


def lift_of_pulls(asked: Asked) -> Floats:
    """Part of each bolt's pull that lies across its hip, + away from the seat.

    Args:
        asked: Frame, tie and forces.

    Returns:
        Pull. [N] (n_states, n_hips)

    Source: geometry
    """
    frame = asked.frame
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    up = np.cross(np.cross(axis, [0.0, 0.0, 1.0]), axis)
    up = up / np.linalg.norm(up, axis=1, keepdims=True)
    return np.asarray((pulls_on_hips(asked) * up).sum(axis=-1))


def leg_at_hip(asked: Asked, hip: int) -> int:
    """Number of the leg that hangs on a hip, of a band the one that starts there.

    Args:
        asked: Tie.
        hip: Number of the hip, from 1.

    Returns:
        From 1.
    """
    return (hip - 1) % asked.tie.n + 1
