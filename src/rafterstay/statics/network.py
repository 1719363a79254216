"""Ropes, turnbuckles and ring as links that only pull, at any displacement.

A leg is a chain: start - outer rope - p - turnbuckle - q - inner rope - end. Its start is a
point of the frame; its end an eye of a rope ring, a point of a stiff ring or plate, a point all
legs share, or another point of the frame. Every function works on a batch of states at once.
docs/theory/convexity.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rafterstay.loads.nouns import Climate
from rafterstay.roof.frame import Floats
from rafterstay.rope import constructional_stretch, expansion
from rafterstay.statics.condense import Skeleton
from rafterstay.statics.order import picked, product, side_by_side
from rafterstay.tie.nouns import Tie

__all__ = ["GRAVITY", "Network", "Pose", "Pulls", "Web", "chains", "pulls", "start_pose", "web_of"]

GRAVITY = 9.80665  # [m/s2]
STEEL = 200e9  # modulus of a turnbuckle's rods [Pa]
ROOT_AREA = 0.75  # stress area of a thread over its nominal area, common practice


@dataclass(frozen=True)
class Web:
    """What joins what: the part of a tie that no length changes.

    Attributes:
        starts: Attachment of the frame each leg starts at. (n,)
        stops: Attachment each leg ends at; -1 where it ends on the ring. (n,)
        sides: Legs whose ring ends a side of the ring joins, from and to. (m, 2)
        ring: ``eyes`` each leg ends in an eye of its own, ``body`` all end on one stiff ring,
            plate or point, ``none`` all end on the frame.
        turns: A body may turn; a point may not.
        sliding: The sides are one closed rope that slides through the eyes.
    """

    starts: NDArray[np.intp]
    stops: NDArray[np.intp]
    sides: NDArray[np.intp]
    ring: Literal["eyes", "body", "none"]
    turns: bool = False
    sliding: bool = False

    @property
    def n_ring(self) -> int:
        """Number of the ring's own movements."""
        if self.ring == "eyes":
            return 3 * len(self.starts)
        return 0 if self.ring == "none" else 6 if self.turns else 3

    @cached_property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """``sides`` as plain numbers."""
        return tuple((int(start), int(end)) for start, end in self.sides)

    @cached_property
    def in_turn(self) -> bool:
        """Legs start at attachments of their own, in the order of the attachments."""
        return self.ring != "none" and bool((self.starts == np.arange(len(self.starts))).all())

    @cached_property
    def incidence(self) -> Floats:
        """-1 where a side starts, +1 where it ends. [-] (m, n)"""
        table = np.zeros((len(self.sides), len(self.starts)))
        here = np.arange(len(self.sides))
        table[here, self.sides[:, 0]] = -1.0
        table[here, self.sides[:, 1]] = 1.0
        return table


@dataclass(frozen=True)
class Network:
    """Links of a batch of ties; every array has a first axis of n_batch, or 1 for all alike.

    Attributes:
        web: What joins what.
        leg_length: Unstretched: outer rope, turnbuckle, inner rope. [m] (b, n, 3)
        leg_rate: EA / L0. [N/m] (b, n, 3)
        side_length: Unstretched side of the ring; of a sliding rope the whole. [m] (b, m or 1)
        side_rate: EA / L0. [N/m] (b, m or 1)
        start_weight: Of the links hung on each start. [N] (b, n)
        joint_weight: At p and q of each leg. [N] (b, n, 2)
        end_weight: At the end of each leg. [N] (b, n)
        ring_weight: Of a stiff ring or plate, at its centre. [N] (b,)
        ring_at: Ring ends of the legs, that the ring's movements count from. [m] (b, n, 3)
        centre: Of a stiff ring or plate, where its turns are taken about. [m] (b, 3)
        turn_rate: Stiffness that the pulls give a stiff ring against turning. [N m] (b, 3, 3)
    """

    web: Web
    leg_length: Floats
    leg_rate: Floats
    side_length: Floats
    side_rate: Floats
    start_weight: Floats
    joint_weight: Floats
    end_weight: Floats
    ring_weight: Floats
    ring_at: Floats
    centre: Floats
    turn_rate: Floats

    def only(self, rows: NDArray[np.intp]) -> Network:
        """The same for some of the batch."""
        picked = {
            name: value[rows]
            for name, value in vars(self).items()
            if name != "web" and len(value) > 1
        }
        return replace(self, **picked)

    def ring_ends(self) -> Floats:
        """Movement of each leg's ring end by the ring's movements. [-, m] (b, n, 3, n_ring)"""
        b, n = self.ring_at.shape[:2]
        if self.web.ring == "eyes":
            return np.eye(3 * n).reshape(1, n, 3, 3 * n)
        ends = np.zeros((b, n, 3, self.web.n_ring))
        if self.web.ring == "body":
            ends[..., :3] = np.eye(3)
        if self.web.turns:
            arm = self.ring_at - self.centre[:, None]
            ends[..., 3:] = np.swapaxes(skew(arm), -1, -2)
        return ends


@dataclass(frozen=True)
class Pose:
    """Where frame, ring and joints are. [m]

    Attributes:
        kept: Kept movements of the frame. (n_batch, n_kept)
        ring: Movements of the ring. (n_batch, n_ring)
        joints: Positions of p and q. (n_batch, n, 2, 3)
    """

    kept: Floats
    ring: Floats
    joints: Floats

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
            self.ring + fraction[:, None] * step.ring,
            self.joints + fraction[:, None, None, None] * step.joints,
        )

    def put(self, rows: NDArray[np.intp], some: Pose) -> None:
        """Put poses into rows of this batch, in place."""
        self.kept[rows], self.ring[rows], self.joints[rows] = some.kept, some.ring, some.joints

    def rows(self, rows: NDArray[np.intp] | NDArray[np.bool_]) -> Pose:
        """A copy of some of the batch."""
        return Pose(self.kept[rows], self.ring[rows], self.joints[rows])

    def side_by_side(self) -> Pose:
        """A copy whose states lie side by side in memory."""
        return Pose(side_by_side(self.kept), side_by_side(self.ring), side_by_side(self.joints))

    def where(self, chosen: NDArray[np.bool_], other: Pose) -> Pose:
        """These poses in the states that are chosen, other ones elsewhere. (n_batch,)"""
        row = chosen[:, None]
        return Pose(
            np.where(row, self.kept, other.kept),
            np.where(row, self.ring, other.ring),
            np.where(row[..., None, None], self.joints, other.joints),
        )


@dataclass(frozen=True)
class Pulls:
    """Vectors, lengths and tensions of every link in a pose.

    Attributes:
        starts, ends: Positions of the legs' two ends. [m] (n_batch, n, 3)
        leg: Vectors along the links. [m] (n_batch, n, 3, 3)
        side: Along the sides of the ring. [m] (n_batch, m, 3)
        leg_long, side_long: Lengths. [m] (n_batch, n, 3) and (n_batch, m)
        leg_pull, side_pull: Tensions, nil where slack. [N]
    """

    starts: Floats
    ends: Floats
    leg: Floats
    side: Floats
    leg_long: Floats
    side_long: Floats
    leg_pull: Floats
    side_pull: Floats

    def rows(self, rows: NDArray[np.intp] | NDArray[np.bool_]) -> Pulls:
        """A copy of some of the batch."""
        return Pulls(**{name: value[rows] for name, value in vars(self).items()})


def skew(vector: Floats) -> Floats:
    """Matrix of the cross product: ``skew(a) @ b = a x b``. (..., 3, 3)"""
    matrix = np.zeros((*vector.shape, 3))
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    matrix[..., 0, 1], matrix[..., 0, 2], matrix[..., 1, 2] = -z, y, -x
    matrix[..., 1, 0], matrix[..., 2, 0], matrix[..., 2, 1] = z, -y, x
    return matrix


def web_of(tie: Tie) -> Web:
    """What joins what in a tie.

    Args:
        tie: As drawn.

    Returns:
        Its web; attachments number as ``tie.attach``.
    """
    here = np.arange(tie.n, dtype=np.intp)
    rope = tie.ring in {"rope-seized", "rope-sliding"}
    if tie.layout != "ring":
        return Web(tie.starts, tie.stops, np.zeros((0, 2), dtype=np.intp), "none")
    sides = np.stack([here, np.roll(here, -1)], axis=1) if rope else np.zeros((0, 2), dtype=np.intp)
    return Web(
        starts=tie.starts,
        stops=tie.stops,
        sides=sides,
        ring="eyes" if rope else "body",
        turns=tie.ring in {"welded", "plate"},
        sliding=tie.ring == "rope-sliding",
    )


def chains(
    tie: Tie, *, strain: float, rope_factor: float, leg_extra: Floats | None = None
) -> Network:
    """Links of a tie whose legs, stretched to a given pull, span what was drawn.

    A leg without a turnbuckle is its rope in three equal pieces.

    Args:
        tie: As drawn.
        strain: Pull the legs are cut for; the ring's sides are cut for the ring pull it makes.
            [N]
        rope_factor: Multiplies EA of the ropes. [-]
        leg_extra: Further unstretched length in each leg. [m] (n,)

    Returns:
        Unstretched lengths, stiffness and weights, a batch of one.
    """
    n, web = tie.n, web_of(tie)
    extra = np.zeros(n) if leg_extra is None else leg_extra
    rope_ea = rope_factor * np.array([rope.stiffness for rope in tie.rope_of_legs])
    rope_mass = np.array([rope.mass for rope in tie.rope_of_legs])
    ring_ea = rope_factor * tie.ring_ropes * tie.ring_rope.stiffness
    shrunk = 1 + strain / rope_ea
    if tie.has_turnbuckles:
        link_ea = np.full(n, STEEL * ROOT_AREA * pi / 4 * tie.turnbuckle.thread**2)
        piece = (tie.leg_lengths - tie.turnbuckle_set) / 2 / shrunk + extra / 2
        link, link_mass = np.full(n, tie.turnbuckle_set), np.full(n, tie.turnbuckle.mass)
    else:
        piece = (tie.leg_lengths / shrunk + extra) / 3
        link, link_ea, link_mass = piece, rope_ea, rope_mass * piece
    elastic = np.stack([piece, link, piece], axis=1)
    # What joins an eye to a stiff ring gives nothing; it counts with the turnbuckle, also steel.
    leg_length = elastic + np.array([0.0, tie.link, 0.0])
    chord = np.linalg.norm(
        tie.ring_points[web.sides[:, 1]] - tie.ring_points[web.sides[:, 0]], axis=1
    )
    side_length = chord / (1 + strain / (2 * np.sin(pi / n)) / ring_ea)
    rope_weight, link_weight = GRAVITY * rope_mass * piece, GRAVITY * link_mass
    side_weight = GRAVITY * tie.ring_ropes * tie.ring_rope.mass * side_length
    joint = (rope_weight + link_weight) / 2
    if web.sliding:
        side_length = side_length.sum(keepdims=True)
    return Network(
        web=web,
        leg_length=leg_length[None],
        leg_rate=(np.stack([rope_ea, link_ea, rope_ea], axis=1) / elastic)[None],
        side_length=side_length[None],
        side_rate=(ring_ea / side_length)[None],
        start_weight=(rope_weight / 2)[None],
        joint_weight=np.stack([joint, joint], axis=1)[None],
        end_weight=(rope_weight / 2 + np.abs(web.incidence).T @ side_weight / 2)[None],
        ring_weight=np.array([GRAVITY * tie.ring_mass]),
        ring_at=tie.held_points[None],
        centre=tie.held_points.mean(axis=0)[None],
        turn_rate=np.zeros((1, 3, 3)),
    )


def in_weather(tie: Tie, links: Network, weather: Sequence[Climate]) -> Network:
    """The same ropes warmed or cooled, bedded in, and longer by what the timber has dried.

    Args:
        tie: The ropes.
        links: As set, a batch of one.
        weather: Of every state.

    Returns:
        Links of every state; one for all where no weather changes a length.

    Source: docs/theory/thermal.md; rope.expansion, rope.constructional_stretch
    """
    carbon, stainless = expansion("carbon"), expansion("stainless")
    if all(one == weather[0] for one in weather):
        weather = weather[:1]
    grown = np.ones((len(weather), tie.n + 2))
    drying = np.array([one.drying for one in weather])
    for row, one in enumerate(weather):
        for column, rope in enumerate((*tie.rope_of_legs, tie.ring_rope)):
            metal = stainless if "stainless" in rope.finish else carbon
            grown[row, column] += metal * one.warming
            if one.bedded:
                grown[row, column] += constructional_stretch(rope.lay)[1]
        grown[row, -1] += carbon * one.warming
    ropes = [0, 2] if tie.has_turnbuckles else [0, 1, 2]
    leg = links.leg_length * grown[:, -1, None, None]
    leg[..., ropes] = links.leg_length[..., ropes] * grown[:, : tie.n, None]
    leg[..., ropes] += drying[:, None, None] / len(ropes)
    side = links.side_length * grown[:, -2, None]
    return replace(
        links,
        leg_length=leg,
        leg_rate=links.leg_rate * links.leg_length / leg,
        side_length=side,
        side_rate=links.side_rate * links.side_length / side,
    )


def without_weight(links: Network) -> Network:
    """The same links, weightless."""
    names = ("start_weight", "joint_weight", "end_weight", "ring_weight")
    return replace(links, **{name: np.zeros_like(getattr(links, name)) for name in names})


def hung_on(links: Network, n_attach: int) -> Floats:
    """Weight of the links hung on every attachment of the frame. [N] (b, n_attach)"""
    hung = np.zeros((len(links.start_weight), n_attach))
    np.add.at(hung.T, links.web.starts, links.start_weight.T)
    if links.web.ring == "none":
        np.add.at(hung.T, links.web.stops, links.end_weight.T)
    return hung


def start_pose(bones: Skeleton, links: Network, points: Floats, n_batch: int) -> Pose:
    """Give the pose of the drawing: straight legs, level ring, frame unmoved.

    Args:
        bones: The frame.
        links: The tie.
        points: Attachments the kept movements count from. [m] (b, n_attach, 3)
        n_batch: Number of states.

    Returns:
        A pose for every state.
    """
    web = links.web
    starts = points[:, web.starts]
    ends = points[:, web.stops] if web.ring == "none" else links.ring_at
    share = np.cumsum(links.leg_length, axis=2)[..., :2] / links.leg_length.sum(axis=2)[..., None]
    joints = starts[:, :, None] + share[..., None] * (ends - starts)[:, :, None]
    return Pose(
        kept=np.zeros((n_batch, len(bones.kept))),
        ring=np.zeros((n_batch, web.n_ring)),
        joints=np.array(np.broadcast_to(joints, (n_batch, *joints.shape[1:]))),
    )


def leg_ends(
    bones: Skeleton, links: Network, points: Floats, *, kept: Floats, ring: Floats
) -> tuple[Floats, Floats]:
    """Positions of the starts and ends of all legs. [m] (n_batch, n, 3) each"""
    web = links.web
    n_batch, n_attach = len(kept), len(bones.attach)
    moved = product(kept, bones.reach.reshape(3 * n_attach, -1).T).reshape(n_batch, n_attach, 3)
    moved = points + moved
    starts = moved if web.in_turn and len(web.starts) == n_attach else picked(moved, web.starts)
    if web.ring == "none":
        return starts, picked(moved, web.stops)
    if web.ring == "eyes":
        return starts, links.ring_at + ring.reshape(n_batch, -1, 3)
    ends = links.ring_at + (links.ring_ends() @ ring[:, None, :, None])[..., 0]
    return starts, ends


def pulls(bones: Skeleton, links: Network, points: Floats, pose: Pose) -> Pulls:
    """Lengths and tensions of all links.

    Args:
        bones: The frame.
        links: The tie.
        points: Attachments the kept movements count from. [m] (b, n_attach, 3)
        pose: Where everything is.

    Returns:
        Vectors, lengths, tensions.

    Source: docs/theory/convexity.md eq. 2
    """
    web = links.web
    starts, ends = leg_ends(bones, links, points, kept=pose.kept, ring=pose.ring)
    leg = np.empty_like(pose.joints, shape=(*starts.shape[:2], 3, 3))
    leg[:, :, 0] = pose.joints[:, :, 0] - starts
    leg[:, :, 1] = pose.joints[:, :, 1] - pose.joints[:, :, 0]
    leg[:, :, 2] = ends - pose.joints[:, :, 1]
    side = picked(ends, web.sides[:, 1]) - picked(ends, web.sides[:, 0])
    leg_long, side_long = length(leg), length(side)
    stretch = side_long.sum(axis=1, keepdims=True) if web.sliding else side_long
    side_pull = links.side_rate * np.maximum(stretch - links.side_length, 0.0)
    if web.sliding:
        side_pull = np.broadcast_to(side_pull, side_long.shape)
    return Pulls(
        starts=starts,
        ends=ends,
        leg=leg,
        side=side,
        leg_long=leg_long,
        side_long=side_long,
        leg_pull=links.leg_rate * np.maximum(leg_long - links.leg_length, 0.0),
        side_pull=side_pull,
    )


def length(vector: Floats) -> Floats:
    """Length of vectors along the last axis, faster than a norm, never quite nil. (...)"""
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    return np.asarray(np.sqrt(x * x + y * y + z * z + 1e-24))
