"""What the cases of load ask of the frame: forces on nodes, work on the beams' deformations."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rafterstay.loads.climate import TIMBER_EXPANSION
from rafterstay.loads.nouns import Case
from rafterstay.roof.frame import Floats
from rafterstay.statics.beams import line_load
from rafterstay.statics.condense import Skeleton
from rafterstay.statics.order import states_first, states_last

__all__ = ["loads_on", "member_lines", "on_nodes"]


def loads_on(
    bones: Skeleton, cases: Sequence[Case], warming: Floats | None = None
) -> tuple[Floats, Floats]:
    """Nodal forces and beam work of a list of cases.

    A tail beyond a foot is no beam of the frame: its weight goes straight to the foot, its
    sideways push on the foot, and the hip, which runs through over the foot, starts with its
    moment.

    Args:
        bones: The frame.
        cases: The loads.
        warming: Rise of the timber's temperature in each case. [K] (n_cases,)

    Returns:
        Force on every node [N] (n_cases, n_nodes, 3); work on the six deformations of each
        member [N, N m] (n_cases, n_members, 6).

    Source: docs/theory/condensation.md eq. 3; warming is a stretch that needs no force
    """
    frame, beams = bones.frame, bones.beams
    ends, work = line_load(beams, frame.nodes, member_lines(bones, cases))
    forces = on_nodes(bones, ends)
    forces[:, frame.heads, 2] -= np.array([case.head_load for case in cases])
    forces[:, frame.heads, :2] += np.array([case.head_push for case in cases])
    forces[:, frame.feet, 2] -= np.array([case.tail_load for case in cases])
    forces[:, frame.feet, :2] += np.array([case.tail_push for case in cases])
    tails = np.array([case.tail_moment for case in cases])
    if tails.any():
        at_foot, carried = _first_beams(bones)
        work[:, at_foot, 1] += tails
        work[:, at_foot, 2] += tails * carried
    if warming is not None:
        free = TIMBER_EXPANSION * beams.length * beams.stiffness[:, 0, 0]
        work[:, :, 0] += warming[:, None] * free
    return forces, work


def on_nodes(bones: Skeleton, ends: Floats) -> Floats:
    """Add up forces on the ends of beams at their nodes.

    Args:
        bones: The frame.
        ends: On start and end of every member. [N] (n_batch, n_members, 2, 3)

    Returns:
        On every node. [N] (n_batch, n_nodes, 3)
    """
    forces = np.zeros((3 * len(bones.frame.nodes), len(ends)))
    bones.blocks.nodes.add(states_last(ends).reshape(-1, len(ends)), forces)
    return states_first(forces.reshape(-1, 3, len(ends)))


def member_lines(bones: Skeleton, cases: Sequence[Case]) -> Floats:
    """Force per metre of every member at its start and end. [N/m] (n_cases, n_members, 2, 3)

    Args:
        bones: The frame.
        cases: The loads.

    Returns:
        Lines; those of a hip run straight from foot to head. [N/m] (n_cases, n_members, 2, 3)
    """
    frame, beams = bones.frame, bones.beams
    n_hips = len(frame.members) - (frame.n if frame.hub == "ring" else 0)
    foot_z = frame.nodes[frame.feet, 2][:, None]
    tall = (frame.nodes[frame.heads, 2] - frame.nodes[frame.feet, 2])[:, None]
    ends_z = frame.nodes[beams.ends[:n_hips], 2].reshape(frame.n, -1)
    share = ((ends_z - foot_z) / tall).reshape(frame.n, -1, 2, 1)
    line = np.zeros((len(cases), frame.n, 2, 3))
    line[..., :2] = [case.hip_push for case in cases]
    line[..., 2] = [-case.hip_load for case in cases]
    along = line[:, :, None, :1] * (1 - share) + line[:, :, None, 1:] * share
    lines = np.zeros((len(cases), len(frame.members), 2, 3))
    lines[:, :n_hips] = along.reshape(len(cases), n_hips, 2, 3)
    return lines


def _first_beams(bones: Skeleton) -> tuple[NDArray[np.intp], Floats]:
    """The beam that starts at each foot, and the share of a moment there it carries over."""
    start, beams = bones.beams.ends[:, 0], bones.beams
    at_foot = np.array([int(np.flatnonzero(start == foot)[0]) for foot in bones.frame.feet])
    return at_foot, np.where(beams.pinned[at_foot, 1], 0.0, 0.5)
