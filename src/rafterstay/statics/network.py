"""Ropes, turnbuckles and ring as links that only pull, at any displacement.

A leg runs bolt a - outer rope - p - turnbuckle - q - inner rope - eye e; ring sides join the
eyes. Every function works on a batch of states at once. docs/theory/convexity.md.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Skeleton
from rafterstay.tie.nouns import Tie

__all__ = ["GRAVITY", "Network", "Pose", "Pulls", "as_drawn", "network", "pulls"]

GRAVITY = 9.80665  # [m/s2]
STEEL = 200e9  # modulus of a turnbuckle's rods [Pa]
ROOT_AREA = 0.75  # stress area of a thread over its nominal area, common practice


@dataclass(frozen=True)
class Network:
    """Links of the tie; order of a leg's three: outer rope, turnbuckle, inner rope.

    Attributes:
        leg_length: Unstretched. [m] (n, 3)
        leg_rate: EA / L0. [N/m] (n, 3)
        ring_length: Unstretched, side k from eye k to eye k + 1. [m] (n,)
        ring_rate: EA / L0. [N/m] (n,)
        bolt_weight: Of the links hung on each bolt. [N] (n,)
        node_weight: At p, q and e of each leg. [N] (n, 3)
    """

    leg_length: Floats
    leg_rate: Floats
    ring_length: Floats
    ring_rate: Floats
    bolt_weight: Floats
    node_weight: Floats


@dataclass(frozen=True)
class Pose:
    """Where bolts and rope nodes are. [m]

    Attributes:
        kept: Kept movements of the frame. (n_batch, n_kept)
        nodes: Positions of p, q and e. (n_batch, n, 3, 3)
    """

    kept: Floats
    nodes: Floats

    def moved(self, step: Pose, fraction: Floats) -> Pose:
        """Add a fraction of a step to this pose.

        Args:
            step: Movement of everything.
            fraction: Of the step, for each state. [-] (n_batch,)

        Returns:
            The pose there.
        """
        return Pose(
            self.kept + fraction[:, None] * step.kept,
            self.nodes + fraction[:, None, None, None] * step.nodes,
        )


@dataclass(frozen=True)
class Pulls:
    """Vectors, lengths and tensions of every link in a pose.

    Attributes:
        leg: Vectors along the links. [m] (n_batch, n, 3, 3)
        ring: [m] (n_batch, n, 3)
        leg_long, ring_long: Lengths. [m] (n_batch, n, 3) and (n_batch, n)
        leg_pull, ring_pull: Tensions, nil where slack. [N]
    """

    leg: Floats
    ring: Floats
    leg_long: Floats
    ring_long: Floats
    leg_pull: Floats
    ring_pull: Floats


def network(
    tie: Tie, *, strain: float, rope_factor: float, leg_extra: Floats | None = None
) -> Network:
    """Links of a tie whose legs, stretched to a given pull, span what was drawn.

    Args:
        tie: As drawn.
        strain: Pull the legs are cut for; the ring's sides are cut for the ring pull it makes.
            [N]
        rope_factor: Multiplies EA of the ropes. [-]
        leg_extra: Further unstretched length in each leg. [m] (n,)

    Returns:
        Unstretched lengths, stiffness and weights.
    """
    n = tie.n
    extra = np.zeros(n) if leg_extra is None else leg_extra
    rope_ea, ring_ea = rope_factor * tie.rope.stiffness, rope_factor * tie.ring_rope.stiffness
    link_ea = STEEL * ROOT_AREA * pi / 4 * tie.turnbuckle.thread**2
    piece = (tie.leg_lengths - tie.turnbuckle_set) / 2 / (1 + strain / rope_ea) + extra / 2
    link = np.full(n, tie.turnbuckle_set)
    leg_length = np.stack([piece, link, piece], axis=1)
    chord = np.linalg.norm(np.roll(tie.ring_points, -1, axis=0) - tie.ring_points, axis=1)
    ring_length = chord / (1 + strain / (2 * np.sin(pi / n)) / ring_ea)
    rope_weight = GRAVITY * tie.rope.mass * piece
    link_weight = np.full(n, GRAVITY * tie.turnbuckle.mass)
    side_weight = GRAVITY * tie.ring_rope.mass * ring_length
    eye = (rope_weight + side_weight + np.roll(side_weight, 1)) / 2
    joint = (rope_weight + link_weight) / 2
    return Network(
        leg_length=leg_length,
        leg_rate=np.array([rope_ea, link_ea, rope_ea]) / leg_length,
        ring_length=ring_length,
        ring_rate=ring_ea / ring_length,
        bolt_weight=rope_weight / 2,
        node_weight=np.stack([joint, joint, eye], axis=1),
    )


def without_weight(links: Network) -> Network:
    """The same links, weightless."""
    return replace(
        links,
        bolt_weight=np.zeros_like(links.bolt_weight),
        node_weight=np.zeros_like(links.node_weight),
    )


def as_drawn(tie: Tie, n_batch: int, n_kept: int) -> Pose:
    """Give the pose of the drawing: straight legs, level ring, frame unmoved.

    Args:
        tie: As drawn.
        n_batch: How many states start from it.
        n_kept: How many kept movements the frame has.

    Returns:
        The pose, once for every state.
    """
    along = (tie.leg_lengths - tie.turnbuckle_set) / 2 / tie.leg_lengths
    reach = tie.ring_points - tie.bolt_points
    nodes = np.stack(
        [
            tie.bolt_points + along[:, None] * reach,
            tie.ring_points - along[:, None] * reach,
            tie.ring_points,
        ],
        axis=1,
    )
    return Pose(np.zeros((n_batch, n_kept)), np.repeat(nodes[None], n_batch, axis=0))


def pulls(bones: Skeleton, links: Network, bolts: Floats, pose: Pose) -> Pulls:
    """Lengths and tensions of all links.

    Args:
        bones: The frame.
        links: The tie.
        bolts: Bolt positions the kept movements count from. [m] (n_batch or 1, n, 3)
        pose: Where everything is.

    Returns:
        Vectors, lengths, tensions.

    Source: docs/theory/convexity.md eq. 2
    """
    here = bolts + np.einsum("nij,bj->bni", bones.bolts, pose.kept)
    points = np.concatenate([here[:, :, None, :], pose.nodes], axis=2)
    leg = np.diff(points, axis=2)
    eyes = pose.nodes[:, :, 2]
    ring = np.roll(eyes, -1, axis=1) - eyes
    leg_long, ring_long = np.linalg.norm(leg, axis=-1), np.linalg.norm(ring, axis=-1)
    return Pulls(
        leg=leg,
        ring=ring,
        leg_long=leg_long,
        ring_long=ring_long,
        leg_pull=links.leg_rate * np.maximum(leg_long - links.leg_length, 0.0),
        ring_pull=links.ring_rate * np.maximum(ring_long - links.ring_length, 0.0),
    )
