"""The energy of a batch of states: frame, links and weights, and what is out of balance."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Condensed, Skeleton
from rafterstay.statics.network import Network, Pose, Pulls, pulls
from rafterstay.statics.order import across, flat, product

__all__ = ["PROP", "Problem", "Slopes", "held_in", "prop_push", "slopes"]

PROP = 2e7  # stiffness of the hub's prop, a short timber post on a screw jack [N/m]


@dataclass(frozen=True)
class Problem:
    """Frame, links and loads of a batch of states.

    Attributes:
        bones: The frame.
        frame: Its stiffness and push on the kept movements; the push already holds the weight
            hung on the frame.
        links: The tie.
        weight: Multiplies the weights of links. [-] (n_batch,)
        points: Attachments the kept movements count from. [m] (n_batch or 1, n_attach, 3)
        propped: Whether a post stands under the hub.
    """

    bones: Skeleton
    frame: Condensed
    links: Network
    weight: Floats
    points: Floats
    propped: bool = False

    def only(self, rows: NDArray[np.intp]) -> Problem:
        """The same problem for some of its states."""

        def pick(values: Floats) -> Floats:
            return values if len(values) == 1 else values[rows]

        return replace(
            self,
            frame=self.frame.only(rows),
            links=self.links.only(rows),
            weight=self.weight[rows],
            points=pick(self.points),
        )

    @cached_property
    def firm(self) -> float:
        """Stiffness of a usual leg rope, for scale. [N/m]"""
        return float(
            np.sort(self.links.leg_rate[..., 0], axis=None)[self.links.leg_rate[..., 0].size // 2]
        )


@dataclass(frozen=True)
class Slopes:
    """Slopes of the energy, which are forces out of balance.

    Attributes:
        kept: On the kept movements. [N] (n_batch, n_kept)
        ring: On the ring's movements. [N] (n_batch, n_ring)
        joints: On p and q. [N] (n_batch, n, 2, 3)
    """

    kept: Floats
    ring: Floats
    joints: Floats

    def largest(self) -> Floats:
        """Largest of them in each state. [N] (n_batch,)"""
        most = flat(np.abs(self.joints)).max(axis=1)
        most = np.maximum(most, np.abs(self.kept).max(axis=1))
        if self.ring.shape[1]:
            most = np.maximum(most, np.abs(self.ring).max(axis=1))
        return np.asarray(most)

    def along(self, move: Pose) -> Floats:
        """Slope of the energy along a step. [J] (n_batch,)"""
        joints = flat(self.joints * move.joints).sum(axis=1)
        return np.asarray(
            (self.kept * move.kept).sum(axis=1) + (self.ring * move.ring).sum(axis=1) + joints
        )

    def rows(self, rows: NDArray[np.intp] | NDArray[np.bool_]) -> Slopes:
        """A copy of some of the batch."""
        return Slopes(self.kept[rows], self.ring[rows], self.joints[rows])


def held_in(problem: Problem, pose: Pose) -> Pulls:
    """Lengths and tensions of the links of a problem in a pose."""
    return pulls(problem.bones, problem.links, problem.points, pose)


def prop_push(problem: Problem, kept: Floats) -> Floats:
    """Push of the prop on the hub, nil without one.

    Args:
        problem: The states.
        kept: Kept movements of the frame. [m] (n_batch, n_kept)

    Returns:
        Push. [N] (n_batch,)
    """
    if not problem.propped:
        return np.zeros(len(kept))
    return PROP * np.maximum(-(kept @ problem.bones.prop), 0.0)


def slopes(problem: Problem, pose: Pose, held: Pulls) -> Slopes:
    """Slopes of the energy in a pose.

    Args:
        problem: The states.
        pose: Where everything is.
        held: Tensions there.

    Returns:
        What is out of balance.

    Source: docs/theory/convexity.md eq. 2
    """
    links, web = problem.links, problem.links.web
    n_batch = len(pose.kept)
    leg = held.leg * (held.leg_pull / held.leg_long)[..., None]
    joints = leg[:, :, :2] - leg[:, :, 1:]
    weight = problem.weight[:, None]
    joints[..., 2] += weight[..., None] * links.joint_weight
    felt = on_frame(problem, leg[:, :, 0], leg[:, :, 2])
    kept = times(problem.frame.stiffness, pose.kept) - problem.frame.push + felt
    if problem.propped:
        kept = kept - prop_push(problem, pose.kept)[:, None] * problem.bones.prop
    if web.ring == "none":
        return Slopes(kept, np.zeros((n_batch, 0)), joints)
    ends = leg[:, :, 2]
    if len(web.sides):
        side = held.side * (held.side_pull / held.side_long)[..., None]
        ends = ends + across(web.incidence.T, side)
    else:
        ends = ends.copy()
    ends[..., 2] += weight * links.end_weight
    if web.ring == "eyes":
        return Slopes(kept, flat(ends), joints)
    ring = (np.swapaxes(links.ring_ends(), 2, 3) @ ends[..., None])[..., 0].sum(axis=1)
    ring[:, 2] += problem.weight * links.ring_weight
    if web.turns:
        ring[:, 3:] += (links.turn_rate @ pose.ring[:, 3:, None])[..., 0]
    return Slopes(kept, ring, joints)


def times(matrices: Floats, vectors: Floats) -> Floats:
    """Product of each matrix, or of one for all, with each vector. (n_batch, n)"""
    if len(matrices) == 1:
        return product(vectors, matrices[0].T)
    return np.asarray((matrices @ vectors[..., None])[..., 0])


def on_frame(problem: Problem, starts: Floats, ends: Floats) -> Floats:
    """Slopes on the kept movements by the pulls at the legs' ends, as vectors along the legs.

    Args:
        problem: The states.
        starts: Pull of each leg at its start, away from the frame. [N] (n_batch, n, 3)
        ends: Pull at its end, towards the end. [N] (n_batch, n, 3)

    Returns:
        What the frame feels, less. [N] (n_batch, n_kept)
    """
    web, reach = problem.links.web, problem.bones.reach
    n_batch, n_attach = len(starts), len(reach)
    every = reach.reshape(3 * n_attach, -1)
    if web.in_turn and len(web.starts) == n_attach:
        return -product(flat(starts), every)
    at = np.zeros_like(starts, shape=(n_batch, n_attach, 3))
    np.subtract.at(np.swapaxes(at, 0, 1), web.starts, np.swapaxes(starts, 0, 1))
    if web.ring == "none":
        np.add.at(np.swapaxes(at, 0, 1), web.stops, np.swapaxes(ends, 0, 1))
    return product(flat(at), every)


def scale(problem: Problem, pose: Pose, held: Pulls) -> Floats:
    """Size of the forces whose difference the residual is, with their rounding. [N]"""
    elastic = times(np.abs(problem.frame.stiffness), np.abs(pose.kept))
    stretch = (problem.links.leg_rate * held.leg_long).max(axis=(1, 2)) * 1e-2
    return np.asarray(1e-2 * elastic.max(axis=1) + held.leg_pull.max(axis=(1, 2)) + stretch)
