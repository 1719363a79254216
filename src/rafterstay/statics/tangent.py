"""Stiffness of frame and links in a pose, and the step to the minimum it promises.

A leg is three links in a row, each a spring along itself and across: springs in a row add
their flexibilities, so a leg's joints are eliminated by adding three 3 x 3 matrices and
inverting one. docs/theory/elimination.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.network import Pose, Pulls
from rafterstay.statics.order import flat, picked, product
from rafterstay.statics.problem import PROP, Problem, Slopes, on_frame, prop_push

__all__ = ["Tangent", "link_stiffness", "newton_step", "solve_step", "tangent"]

Indices = NDArray[np.intp]

SLACK = 1e-9  # of a usual leg's stiffness: what stands for a slack link in a step


@dataclass(frozen=True)
class Tangent:
    """Stiffness with the turnbuckle nodes eliminated leg by leg.

    Attributes:
        reduced: On kept movements and the ring's. (n_batch, n_kept + n_ring, n_kept + n_ring)
        legs: Of each leg between its two ends. [N/m] (n_batch, n, 3, 3)
        unit: Direction of each link. (n_batch, n, 3, 3)
        give: Inverse of the stiffness across each link. [m/N] (n_batch, n, 3)
        stretch: Inverse of the stiffness along it less that across. [m/N] (n_batch, n, 3)
    """

    reduced: Floats
    legs: Floats
    unit: Floats
    give: Floats
    stretch: Floats

    def links_give(self, first: int, forces: tuple[Floats, Floats]) -> Floats:
        """Elongations of two links of every leg that follow each other, by changes of their pull.

        Args:
            first: Of the two: 0 outer rope and turnbuckle, 1 turnbuckle and inner rope.
            forces: Changes of their pulls, vectors. [N] (n_batch, n, 3) each

        Returns:
            Elongations, vectors. [m] (n_batch, n, 2, 3)
        """
        force, here = np.stack(forces, axis=2), slice(first, first + 2)
        unit = self.unit[:, :, here]
        along = np.einsum("bnki,bnki->bnk", unit, force) * self.stretch[:, :, here]
        return np.asarray(force * self.give[:, :, here, None] + unit * along[..., None])


def link_stiffness(vector: Floats, long: Floats, along: Floats, across: Floats) -> Floats:
    """Stiffness of a link against moving one end.

    Args:
        vector: Along the link. [m] (..., 3)
        long: Its length. [m] (...)
        along: Stiffness along it. [N/m] (...)
        across: Stiffness across it, its pull over its length. [N/m] (...)

    Returns:
        Matrix. [N/m] (..., 3, 3)

    Source: docs/theory/convexity.md eq. 3
    """
    unit = vector / long[..., None]
    return np.asarray(
        ((along - across)[..., None] * unit)[..., :, None] * unit[..., None, :]
        + across[..., None, None] * np.eye(3)
    )


def inverse_of_symmetric(matrix: Floats) -> Floats:
    """Inverse of symmetric 3 x 3 matrices by cofactors. (..., 3, 3)"""
    a, b, c = matrix[..., 0, 0], matrix[..., 1, 1], matrix[..., 2, 2]
    d, e, f = matrix[..., 0, 1], matrix[..., 0, 2], matrix[..., 1, 2]
    inverse = np.empty_like(matrix)
    xx, xy, xz = b * c - f * f, e * f - d * c, d * f - b * e
    per = 1.0 / (a * xx + d * xy + e * xz)
    inverse[..., 0, 0] = xx * per
    inverse[..., 0, 1] = inverse[..., 1, 0] = xy * per
    inverse[..., 0, 2] = inverse[..., 2, 0] = xz * per
    inverse[..., 1, 1] = (a * c - e * e) * per
    inverse[..., 1, 2] = inverse[..., 2, 1] = (d * e - a * f) * per
    inverse[..., 2, 2] = (a * b - d * d) * per
    return inverse


def tangent(
    problem: Problem, held: Pulls, *, pose: Pose, damping: Floats, bars: bool = False
) -> Tangent:
    """Stiffness of frame and links in a pose.

    Args:
        problem: The states.
        held: Tensions in the pose.
        pose: The pose.
        damping: Added to every diagonal, and standing for slack links. [N/m] (n_batch,)
        bars: Take every link as a bar that also pushes, for a first step from slack.

    Returns:
        Tangent stiffness.

    Source: docs/theory/elimination.md eq. 1-3
    """
    links, web = problem.links, problem.links.web
    least = np.maximum(damping, SLACK * problem.firm)[:, None]
    leg_pull, side_pull = held.leg_pull, held.side_pull
    if bars:
        leg_pull = np.maximum(leg_pull, 1e-3 * links.leg_rate * links.leg_length)
        side_pull = np.maximum(side_pull, 1e-3 * links.side_rate * links.side_length)
    unit = held.leg / held.leg_long[..., None]
    give = 1.0 / np.maximum(leg_pull / held.leg_long, least[..., None])
    stretch = 1.0 / np.where(leg_pull > 0, links.leg_rate, least[..., None]) - give
    soft = np.swapaxes(unit, 2, 3) @ (unit * stretch[..., None])
    here = np.arange(3)
    soft[..., here, here] += give.sum(axis=2)[..., None]
    legs = inverse_of_symmetric(soft)
    n_batch, n = legs.shape[:2]
    n_kept, n_ring = pose.kept.shape[1], web.n_ring
    reduced = np.zeros((n_batch, n_kept + n_ring, n_kept + n_ring))
    reach = problem.bones.reach[web.starts]
    if web.ring == "none":
        reach = reach - problem.bones.reach[web.stops]
    felt = (legs @ reach).reshape(n_batch, 3 * n, n_kept)
    flat = reach.reshape(3 * n, n_kept)
    reduced[:, :n_kept, :n_kept] = problem.frame.stiffness + flat.T @ felt
    if web.ring == "eyes":
        reduced[:, n_kept:, :n_kept] = -felt
        reduced[:, :n_kept, n_kept:] = -np.swapaxes(felt, 1, 2)
        _add_eyes(problem, held, legs, side_pull, reduced=reduced, least=least)
        if web.sliding:
            _add_loop(problem, held, side_pull, reduced[:, n_kept:, n_kept:])
    elif web.ring == "body":
        ends = links.ring_ends()
        bent = (legs @ ends).reshape(n_batch, 3 * n, n_ring)
        on_kept = flat.T @ bent
        reduced[:, :n_kept, n_kept:] = -on_kept
        reduced[:, n_kept:, :n_kept] = -np.swapaxes(on_kept, 1, 2)
        turned = np.swapaxes(ends.reshape(len(ends), 3 * n, n_ring), 1, 2) @ bent
        reduced[:, n_kept:, n_kept:] = turned
        if web.turns:
            reduced[:, n_kept + 3 :, n_kept + 3 :] += links.turn_rate
    index = np.arange(n_kept + n_ring)
    reduced[:, index, index] += damping[:, None]
    if problem.propped:
        touching = np.where(prop_push(problem, pose.kept) > 0, PROP, PROP if bars else 0.0)
        prop = problem.bones.prop
        reduced[:, :n_kept, :n_kept] += touching[:, None, None] * np.outer(prop, prop)
    return Tangent(reduced, legs, unit, give, stretch)


@lru_cache(maxsize=32)
def _eye_blocks(size: int, n: int, sides: tuple[tuple[int, int], ...]) -> tuple[Indices, ...]:
    """Where 3 x 3 blocks of eyes stand in a square matrix of which they are the last rows.

    Returns:
        Flat places of the eyes' own blocks (9n,), of those from start to end of each side and of
        those from end to start (9m,).
    """
    eye = size - 3 * n + 3 * np.arange(n)
    inside = size * np.arange(3)[:, None] + np.arange(3)
    start, end = np.array(sides, dtype=np.intp).T

    def places(row: Indices, column: Indices) -> Indices:
        return ((size * row + column)[:, None, None] + inside).ravel()

    return places(eye, eye), places(eye[start], eye[end]), places(eye[end], eye[start])


def _add_eyes(
    problem: Problem,
    held: Pulls,
    legs: Floats,
    side_pull: Floats,
    *,
    reduced: Floats,
    least: Floats,
) -> None:
    """Legs and sides between the eyes of a rope ring, in the last rows of the reduced matrices."""
    links, web = problem.links, problem.links.web
    n_batch, n = legs.shape[:2]
    across = np.maximum(side_pull / held.side_long, least)
    # A sliding rope stretches as a whole, not side by side.
    along = 0.0 * across if web.sliding else np.where(side_pull > 0, links.side_rate, least)
    sides = link_stiffness(held.side, held.side_long, along, across).reshape(n_batch, -1, 9)
    own, there, back = _eye_blocks(reduced.shape[1], n, web.pairs)
    matrix = reduced.reshape(n_batch, -1)
    joined = np.abs(web.incidence).T @ sides
    matrix[:, own] += (legs.reshape(n_batch, n, 9) + joined).reshape(n_batch, -1)
    apart = sides.reshape(n_batch, -1)
    matrix[:, there] -= apart
    matrix[:, back] -= apart


def _add_loop(problem: Problem, held: Pulls, side_pull: Floats, eyes: Floats) -> None:
    """Stretch of a closed rope as one spring. Source: docs/theory/sliding-ring.md eq. 3"""
    unit = held.side / held.side_long[..., None]
    longer = (problem.links.web.incidence.T @ unit).reshape(len(unit), -1)
    rate = np.where(side_pull[:, :1] > 0, problem.links.side_rate, 0.0)[..., None]
    eyes += rate * longer[:, :, None] * longer[:, None, :]


def newton_step(
    problem: Problem, pose: Pose, held: Pulls, *, slopes: Slopes, bars: bool = False
) -> Pose:
    """The step to the minimum of the quadratic that fits the energy here, slightly damped."""
    wanted = np.maximum(1e-3 * slopes.largest(), 1e-12 * problem.firm)
    damping = np.minimum(wanted, 1e-5 * problem.firm)
    stiff = tangent(problem, held, pose=pose, damping=damping, bars=bars)
    return solve_step(problem, stiff, slopes)


def solve_step(problem: Problem, stiff: Tangent, slopes: Slopes) -> Pose:
    """The step that a tangent stiffness takes to remove what is out of balance.

    Args:
        problem: The states.
        stiff: Stiffness.
        slopes: What is out of balance.

    Returns:
        The step; not a number in a state whose stiffness is singular.

    Source: docs/theory/elimination.md eq. 4-6
    """
    carried, gap, both = carry(stiff, slopes)
    right = reduced_slopes(problem, slopes, carried=carried, both=both)
    move = -_solved(stiff.reduced, right)
    return expand_step(problem, stiff, slopes, move=move, gap=gap)


def _solved(matrices: Floats, right: Floats) -> Floats:
    """Solutions of a batch; not a number where a matrix is singular. (n_batch, n)"""
    try:
        return np.asarray(np.linalg.solve(matrices, right[..., None])[..., 0])
    except np.linalg.LinAlgError:
        found = np.full_like(right, np.nan)
        if len(matrices) > 1:
            for row in range(len(matrices)):
                found[row] = _solved(matrices[row][None], right[row][None])[0]
        return found


def carry(stiff: Tangent, slopes: Slopes) -> tuple[Floats, Floats, Floats]:
    """What the joints' imbalance does to the legs' ends.

    Returns:
        Pull it takes from each leg [N], elongation it makes [m], its sum [N]; (n_batch, n, 3).
    """
    first = slopes.joints[:, :, 0]
    both = first + slopes.joints[:, :, 1]
    given = stiff.links_give(1, (first, both))
    gap = given[:, :, 0] + given[:, :, 1]
    return (stiff.legs @ gap[..., None])[..., 0], gap, both


def reduced_slopes(problem: Problem, slopes: Slopes, *, carried: Floats, both: Floats) -> Floats:
    """Slopes on kept movements and ring with the joints eliminated. (n_batch, n_kept + n_ring)"""
    kept, ring = at_leg_ends(problem, -carried, both - carried)
    return np.concatenate([slopes.kept + kept, slopes.ring + ring], axis=1)


def at_leg_ends(problem: Problem, starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
    """Slopes by forces at the legs' ends.

    Args:
        problem: The states.
        starts: Pull of each leg at its start, away from the frame. [N] (n_batch, n, 3)
        ends: Pull at its end, towards the end. [N] (n_batch, n, 3)

    Returns:
        On kept movements (n_batch, n_kept) and ring (n_batch, n_ring). [N]
    """
    web, n_batch = problem.links.web, len(starts)
    kept = on_frame(problem, starts, ends)
    if web.ring == "none":
        return kept, np.zeros((n_batch, 0))
    if web.ring == "eyes":
        return kept, flat(ends)
    turned = np.swapaxes(problem.links.ring_ends(), 2, 3)
    return kept, np.asarray((turned @ ends[..., None])[..., 0].sum(axis=1))


def leg_ends_moved(problem: Problem, kept: Floats, ring: Floats) -> tuple[Floats, Floats]:
    """Movement of the legs' starts and ends. [m] (n_batch, n, 3) each

    Args:
        problem: The states.
        kept: Of the frame. [m] (n_batch, n_kept)
        ring: Of the ring. [m] (n_batch, n_ring)
    """
    web, reach = problem.links.web, problem.bones.reach
    n_batch, n_attach = len(kept), len(reach)
    at = product(kept, reach.reshape(3 * n_attach, -1).T).reshape(n_batch, n_attach, 3)
    starts = at if web.in_turn and len(web.starts) == n_attach else picked(at, web.starts)
    if web.ring == "eyes":
        return starts, ring.reshape(n_batch, -1, 3)
    if web.ring == "body":
        return starts, (problem.links.ring_ends() @ ring[:, None, :, None])[..., 0]
    return starts, picked(at, web.stops)


def expand_step(
    problem: Problem, stiff: Tangent, slopes: Slopes, *, move: Floats, gap: Floats
) -> Pose:
    """The whole step from that of kept movements and ring.

    Args:
        problem: The states.
        stiff: Stiffness.
        slopes: What was out of balance.
        move: Of kept movements and ring. [m] (n_batch, n_kept + n_ring)
        gap: Elongation that the joints' imbalance makes. [m] (n_batch, n, 3)

    Returns:
        The step of everything.
    """
    n_kept = problem.bones.reach.shape[2]
    kept, ring = move[:, :n_kept], move[:, n_kept:]
    starts, ends = leg_ends_moved(problem, kept, ring)
    change = (stiff.legs @ (ends - starts - gap)[..., None])[..., 0]
    joints = stiff.links_give(0, (change, change + slopes.joints[:, :, 0]))
    joints[:, :, 0] += starts
    joints[:, :, 1] += joints[:, :, 0]
    return Pose(kept, ring, joints)
