"""Which movements a frame is free to make: supports, hub and deck taken in exactly.

Every node's displacement and rotation is written as a linear function of independent movements
q, so that nothing held ever enters the equations (docs/theory/condensation.md, section 3).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats, Frame

__all__ = ["Freedoms", "freedoms"]


@dataclass(frozen=True)
class Freedoms:
    """Maps from the independent movements.

    Attributes:
        nodes: Displacement and rotation of every node. (n_nodes, 6, n_free)
        outward: Outward movement of every foot. (n, n_free)
        hub: Vertical movement of the hub, of a ring the mean. (n_free,)
    """

    nodes: Floats
    outward: Floats
    hub: Floats


def freedoms(frame: Frame) -> Freedoms:
    """Write every movement of a frame in its independent movements.

    Feet: held up and down and along the wall, free outward, their mean plan movement nil.
    Heads: one node (point); pinned to a rigid body, or bearing on it as if the hips met in
    one point at its centre (disc); the joints of a closed ring, or bearing on them, all free to
    roll by one angle; a gable's ridge does not move along itself. A deck keeps tie bolts in line
    sideways and the hub from spinning. docs/theory/hub.md says why.

    Args:
        frame: The roof.

    Returns:
        The maps.

    Limits: held directions stay as drawn; a tilt T of a head on an arm r misses r T^2 / 2.
    Source: docs/theory/condensation.md eq. 5
    """
    blocks = [_feet(frame), _hub(frame)]
    if frame.bolts[0] != frame.feet[0]:
        blocks.append(np.eye(5 * frame.n) if frame.deck else np.eye(6 * frame.n))
    starts = np.cumsum([0, *(block.shape[1] for block in blocks)])
    nodes = np.zeros((len(frame.nodes), 6, int(starts[-1])))
    outward = np.zeros((frame.n, int(starts[-1])))
    outward[:, : starts[1]] = blocks[0]
    nodes[frame.feet, :3] = frame.outward[:, :, None] * outward[:, None, :]
    hub_columns = slice(int(starts[1]), int(starts[2]))
    if frame.hub == "ring":
        _place_ring(frame, nodes[:, :, hub_columns], blocks[1])
    elif frame.hub == "disc" and frame.heads_bear:
        nodes[frame.hub_node, :3, hub_columns] = blocks[1][:3, :]
        nodes[frame.heads, :, hub_columns] = _bearing(frame)
    else:
        nodes[frame.hub_node, :, hub_columns] = blocks[1]
        nodes[frame.heads, :3, hub_columns] = _carried(frame, blocks[1])
    if len(blocks) == 3:
        _place_bolts(frame, nodes, int(starts[2]))
    vertical = nodes[frame.heads, 2].mean(axis=0)
    return Freedoms(nodes=nodes, outward=outward, hub=vertical)


def _feet(frame: Frame) -> Floats:
    """Outward movements whose vector mean is nil: walls stop racking, not spreading."""
    return _null_space(frame.outward[:, :2].T)


def _hub(frame: Frame) -> Floats:
    if frame.hub == "point":
        return _ridge(frame) if frame.n == 2 else np.eye(6)[:, :3]
    if frame.hub == "disc" and frame.heads_bear:
        return np.eye(3, 3 + frame.n)
    if frame.hub == "disc":
        return np.eye(6)[:, :5] if frame.deck else np.eye(6)
    free = np.eye(6 * frame.n)
    if frame.deck:
        spin = np.zeros((1, frame.n, 6))
        spin[0, :, :3] = frame.sideways
        free = _null_space(spin.reshape(1, -1))
    return free if frame.hub_corners is None else np.hstack([free, np.zeros((6 * frame.n, 1))])


def _place_ring(frame: Frame, nodes: Floats, corners: Floats) -> None:
    """Joints of a hub ring, and the heads on them; the last column rolls all heads alike."""
    free = corners.reshape(frame.n, 6, -1)
    nodes[frame.heads] = free
    if frame.hub_corners is not None:
        nodes[frame.hub_corners] = free
        nodes[frame.heads, 3:, -1] = frame.sideways


def _ridge(frame: Frame) -> Floats:
    """Across the pair, and down unless a beam holds it up; the deck stops it along the ridge."""
    across = np.zeros((6, 1))
    across[:3, 0] = frame.outward[0]
    return across if frame.ridge_beam else np.hstack([across, np.eye(6)[:, 2:3]])


def _carried(frame: Frame, hub: Floats) -> Floats:
    """Displacement of heads that ride on a rigid hub: u + theta x r."""
    arms = frame.nodes[frame.heads] - frame.nodes[frame.hub_node]
    return hub[None, :3] + np.cross(hub[None, 3:], arms[:, :, None], axis=1)


def _bearing(frame: Frame) -> Floats:
    """Heads that move with the hub's centre and tilt about it, each in its upright plane."""
    columns = np.zeros((frame.n, 6, 3 + frame.n))
    columns[:, :3, :3] = np.eye(3)
    arms = frame.nodes[frame.heads] - frame.nodes[frame.hub_node]
    for k, (across, arm) in enumerate(zip(frame.sideways, arms, strict=True)):
        columns[k, :3, 3 + k] = np.cross(across, arm)
        columns[k, 3:, 3 + k] = across
    return columns


def _place_bolts(frame: Frame, nodes: Floats, start: int) -> None:
    per_bolt = 5 if frame.deck else 6
    foot_z, head_z = frame.nodes[frame.feet, 2], frame.nodes[frame.heads, 2]
    fraction = (frame.nodes[frame.bolts, 2] - foot_z) / (head_z - foot_z)
    for k, bolt in enumerate(frame.bolts):
        first = start + per_bolt * k
        if not frame.deck:
            nodes[bolt, :, first : first + 6] = np.eye(6)
            continue
        across = frame.sideways[k]
        nodes[bolt, :3, first] = frame.outward[k]
        nodes[bolt, 2, first + 1] = 1.0
        nodes[bolt, 3:, first + 2 : first + 5] = np.eye(3)
        in_line = fraction[k] * across @ nodes[frame.heads[k], :3]
        nodes[bolt, :3] += across[:, None] * in_line[None, :]


def _null_space(rows: NDArray[np.float64]) -> Floats:
    """Orthonormal movements that leave every row at nil."""
    _, values, right = np.linalg.svd(rows, full_matrices=True)
    rank = int((values > 1e-12 * max(values.max(), 1e-300)).sum())
    return np.asarray(right[rank:].T)
