"""Where everything comes to rest: Newton steps with an exact line search.

The energy of a linear frame and links that only pull is convex, so every stationary point is
the minimum and its forces are unique (docs/theory/convexity.md).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Condensed, Skeleton
from rafterstay.statics.network import Network, Pose, Pulls, pulls

__all__ = ["PROP", "Problem", "Rest", "settle", "tangent"]

Batch = TypeVar("Batch", Pose, Pulls)

PROP = 2e7  # stiffness of the hub's prop, a short timber post on a screw jack [N/m]
FIRST_STEPS = 20
MOST_STEPS = 80
SOFTENED = (1e-3, 1e-2, 1e-1, 1.0)  # link stiffness on the way to a far rest
FAR = 1e3  # a step this many spans long means nothing stops the movement
TINY = 1e-13  # rounding of forces, relative


@dataclass(frozen=True)
class Problem:
    """Frame, links and loads of a batch of states.

    Attributes:
        bones: The frame.
        frame: Its stiffness and push on the kept movements; the push already holds the weight
            hung on the bolts.
        links: The tie.
        weight: Multiplies the weights of links. [-] (n_batch,)
        bolts: Bolt positions the kept movements count from. [m] (n_batch or 1, n, 3)
        propped: Whether a post stands under the hub.
    """

    bones: Skeleton
    frame: Condensed
    links: Network
    weight: Floats
    bolts: Floats
    propped: bool = False

    def only(self, rows: NDArray[np.intp]) -> Problem:
        """The same problem for some of its states."""

        def pick(values: Floats) -> Floats:
            return values if len(values) == 1 else values[rows]

        frame = Condensed(
            stiffness=pick(self.frame.stiffness),
            push=self.frame.push[rows],
            inner_push=self.frame.inner_push[rows],
            inner_follow=pick(self.frame.inner_follow),
        )
        return replace(self, frame=frame, weight=self.weight[rows], bolts=pick(self.bolts))


@dataclass(frozen=True)
class Rest:
    """Where a batch of states came to rest.

    Attributes:
        pose: Positions.
        pulls: Tensions.
        residual: Largest out-of-balance force. [N] (n_batch,)
        steps: Newton steps taken. (n_batch,)
        settled: Whether the residual is down to rounding. (n_batch,)
        endless: Whether a step found no end: nothing stops the movement. (n_batch,)
    """

    pose: Pose
    pulls: Pulls
    residual: Floats
    steps: NDArray[np.intp]
    settled: NDArray[np.bool_]
    endless: NDArray[np.bool_]


@dataclass(frozen=True)
class _Slopes:
    """Out-of-balance forces: on kept movements (n_batch, n_kept), on nodes (n_batch, n, 3, 3)."""

    kept: Floats
    nodes: Floats

    def largest(self) -> Floats:
        """Largest of them in each state. [N] (n_batch,)"""
        on_nodes = np.abs(self.nodes).reshape(len(self.nodes), -1).max(axis=1)
        return np.asarray(np.maximum(np.abs(self.kept).max(axis=1), on_nodes))


def settle(problem: Problem, start: Pose) -> Rest:
    """Minimise the energy of every state from a starting pose.

    Args:
        problem: The states.
        start: Any pose.

    Returns:
        The pose of rest with its tensions; ``settled`` false where it was not reached.

    Source: docs/theory/convexity.md eq. 1-4
    """
    rest = _descend(problem, start, FIRST_STEPS)
    hard = np.flatnonzero(~rest.settled & ~rest.endless)
    if not len(hard):
        return rest
    # Far from rest, stiff links make a narrow curved valley; softened ones a wide one. Come
    # near with soft links, then stiffen them.
    part = problem.only(hard)
    pose = Pose(start.kept[hard].copy(), start.nodes[hard].copy())
    for soft in SOFTENED:
        links = replace(
            part.links, leg_rate=soft * part.links.leg_rate, ring_rate=soft * part.links.ring_rate
        )
        near = _descend(replace(part, links=links), pose, MOST_STEPS)
        pose = near.pose
    return _joined(problem, rest, hard, near)


def _joined(problem: Problem, rest: Rest, rows: NDArray[np.intp], late: Rest) -> Rest:
    """The states that settled at once, and those that took longer."""
    pose = rest.pose
    pose.kept[rows], pose.nodes[rows] = late.pose.kept, late.pose.nodes
    for name in ("residual", "steps", "settled", "endless"):
        getattr(rest, name)[rows] = getattr(late, name)
    return replace(rest, pulls=pulls(problem.bones, problem.links, problem.bolts, pose))


def _descend(problem: Problem, start: Pose, most_steps: int) -> Rest:
    """Newton steps until every state is at rest, runs away, or has had its share."""
    n_batch = len(start.kept)
    pose = Pose(start.kept.copy(), start.nodes.copy())
    steps = np.zeros(n_batch, dtype=np.intp)
    settled = np.zeros(n_batch, dtype=bool)
    endless = np.zeros(n_batch, dtype=bool)
    residual = np.full(n_batch, np.inf)
    best = np.full(n_batch, np.inf)
    since = np.zeros(n_batch, dtype=np.intp)
    for step in range(most_steps):
        rows = np.flatnonzero(~settled & ~endless)
        if not len(rows):
            break
        part = problem.only(rows)
        here = Pose(pose.kept[rows], pose.nodes[rows])
        held = pulls(part.bones, part.links, part.bolts, here)
        slopes = _slopes(part, here, held)
        left = slopes.largest()
        floor = TINY * _scale(part, here, held) + 1e-10
        residual[rows] = left
        since[rows] = np.where(left < 0.5 * best[rows], 0, since[rows] + 1)
        best[rows] = np.minimum(best[rows], left)
        # At rest when down to rounding, or within a thousand roundings and no longer falling.
        done = (left <= floor) | ((left <= 1e3 * floor) & (since[rows] >= 3))
        settled[rows] = done
        if done.all():
            continue
        left_over = np.flatnonzero(~done)
        rows, part = rows[left_over], part.only(left_over)
        here, held = _rows(here, ~done), _rows(held, ~done)
        slopes = _Slopes(slopes.kept[~done], slopes.nodes[~done])
        move = _newton_step(part, here, held, slopes=slopes, bars=step == 0)
        fraction, runs_away = _search(part, here, move)
        here = here.moved(move, fraction)
        pose.kept[rows], pose.nodes[rows] = here.kept, here.nodes
        endless[rows] = runs_away
        steps[rows] += 1
    held = pulls(problem.bones, problem.links, problem.bolts, pose)
    return Rest(pose, held, residual, steps, settled, endless)


def _rows(value: Batch, rows: NDArray[np.bool_]) -> Batch:
    return type(value)(**{name: part[rows] for name, part in vars(value).items()})


def prop_push(problem: Problem, kept: Floats) -> Floats:
    """Push of the prop on the hub, nil without one. [N] (n_batch,)"""
    if not problem.propped:
        return np.zeros(len(kept))
    return PROP * np.maximum(-(kept @ problem.bones.prop), 0.0)


def _slopes(problem: Problem, pose: Pose, held: Pulls) -> _Slopes:
    """Slopes of the energy: what is out of balance."""
    leg = held.leg * (held.leg_pull / held.leg_long)[..., None]
    ring = held.ring * (held.ring_pull / held.ring_long)[..., None]
    kept = (
        (problem.frame.stiffness @ pose.kept[..., None])[..., 0]
        - problem.frame.push
        - np.einsum("nij,bni->bj", problem.bones.bolts, leg[:, :, 0])
        - prop_push(problem, pose.kept)[:, None] * problem.bones.prop
    )
    nodes = np.empty_like(pose.nodes)
    nodes[:, :, 0] = leg[:, :, 0] - leg[:, :, 1]
    nodes[:, :, 1] = leg[:, :, 1] - leg[:, :, 2]
    nodes[:, :, 2] = leg[:, :, 2] - ring + np.roll(ring, 1, axis=1)
    nodes[..., 2] += problem.weight[:, None, None] * problem.links.node_weight
    return _Slopes(kept, nodes)


def _scale(problem: Problem, pose: Pose, held: Pulls) -> Floats:
    """Size of the forces whose difference the residual is, with their rounding. [N]"""
    elastic = np.abs(problem.frame.stiffness) @ np.abs(pose.kept)[..., None]
    stretch = (problem.links.leg_rate * held.leg_long).max(axis=(1, 2)) * 1e-2
    return np.asarray(elastic.max(axis=(1, 2)) + held.leg_pull.max(axis=(1, 2)) + stretch)


def link_stiffness(vector: Floats, long: Floats, pull: Floats, rate: Floats) -> Floats:
    """Stiffness of a taut link against moving one end; nil where slack.

    Args:
        vector: Along the link. [m] (..., 3)
        long: Its length. [m] (...)
        pull: Its tension. [N] (...)
        rate: EA / L0. [N/m] (...)

    Returns:
        Matrix. [N/m] (..., 3, 3)

    Source: docs/theory/convexity.md eq. 3
    """
    along = vector / long[..., None]
    sideways = pull / long
    stretch = np.where(pull > 0, rate, 0.0) - sideways
    return np.asarray(
        stretch[..., None, None] * along[..., :, None] * along[..., None, :]
        + sideways[..., None, None] * np.eye(3)
    )


@dataclass(frozen=True)
class Tangent:
    """Stiffness with the turnbuckle nodes eliminated leg by leg.

    Attributes:
        reduced: On kept movements and eyes. (n_batch, n_kept + 3n, n_kept + 3n)
        joints: Of p and q of each leg. (n_batch, n, 6, 6)
        ends: Coupling of p and q to bolt and eye. (n_batch, n, 6, 6)
    """

    reduced: Floats
    joints: Floats
    ends: Floats


def tangent(problem: Problem, held: Pulls, *, damping: Floats, bars: bool, pose: Pose) -> Tangent:
    """Stiffness of frame and links in a pose.

    Args:
        problem: The states.
        held: Tensions in the pose.
        damping: Added to every diagonal. [N/m] (n_batch,)
        bars: Take every link as a bar that also pushes, for a first step from slack.
        pose: The pose.

    Returns:
        Tangent stiffness.

    Source: docs/theory/convexity.md eq. 3, ends of turnbuckles eliminated as in section 4
    """
    rates = (problem.links.leg_rate, problem.links.ring_rate)
    if bars:
        leg_pull = np.maximum(held.leg_pull, 1e-3 * rates[0] * problem.links.leg_length)
        ring_pull = np.maximum(held.ring_pull, 1e-3 * rates[1] * problem.links.ring_length)
    else:
        leg_pull, ring_pull = held.leg_pull, held.ring_pull
    leg = link_stiffness(held.leg, held.leg_long, leg_pull, rates[0])
    ring = link_stiffness(held.ring, held.ring_long, ring_pull, rates[1])
    n_batch, n = leg.shape[:2]
    n_kept = pose.kept.shape[1]
    damp = damping[:, None, None, None] * np.eye(3)
    joints = np.zeros((n_batch, n, 6, 6))
    joints[..., :3, :3] = leg[:, :, 0] + leg[:, :, 1] + damp
    joints[..., 3:, 3:] = leg[:, :, 1] + leg[:, :, 2] + damp
    joints[..., :3, 3:] = joints[..., 3:, :3] = -leg[:, :, 1]
    ends = np.zeros((n_batch, n, 6, 6))
    ends[..., :3, :3], ends[..., 3:, 3:] = -leg[:, :, 0], -leg[:, :, 2]
    condensed = -np.swapaxes(ends, 2, 3) @ np.linalg.solve(joints, ends)
    condensed[..., :3, :3] += leg[:, :, 0]
    condensed[..., 3:, 3:] += leg[:, :, 2] + damp
    bolts = problem.bones.bolts
    reduced = np.zeros((n_batch, n_kept + 3 * n, n_kept + 3 * n))
    flat = bolts.reshape(3 * n, n_kept)
    felt = (condensed[..., :3, :3] @ bolts).reshape(n_batch, 3 * n, n_kept)
    reduced[:, :n_kept, :n_kept] = problem.frame.stiffness + flat.T @ felt
    reduced[:, :n_kept, :n_kept] += damping[:, None, None] * np.eye(n_kept)
    if problem.propped:
        touching = np.where(prop_push(problem, pose.kept) > 0, PROP, PROP if bars else 0.0)
        prop = problem.bones.prop
        reduced[:, :n_kept, :n_kept] += touching[:, None, None] * np.outer(prop, prop)
    across = np.swapaxes(bolts, 1, 2) @ condensed[..., :3, 3:]
    across = np.moveaxis(across, 1, 2).reshape(n_batch, n_kept, 3 * n)
    reduced[:, :n_kept, n_kept:] = across
    reduced[:, n_kept:, :n_kept] = np.swapaxes(across, 1, 2)
    eyes = np.zeros((n_batch, n, 3, n, 3))
    here = np.arange(n)
    following = (here + 1) % n
    eyes[:, here, :, here] += np.moveaxis(
        condensed[..., 3:, 3:] + ring + np.roll(ring, 1, axis=1), 1, 0
    )
    eyes[:, here, :, following] -= np.moveaxis(ring, 1, 0)
    eyes[:, following, :, here] -= np.moveaxis(ring, 1, 0)
    reduced[:, n_kept:, n_kept:] = eyes.reshape(n_batch, 3 * n, 3 * n)
    return Tangent(reduced, joints, ends)


def _newton_step(problem: Problem, pose: Pose, held: Pulls, *, slopes: _Slopes, bars: bool) -> Pose:
    """The step to the minimum of the quadratic that fits the energy here, slightly damped."""
    n_batch, n = held.leg_pull.shape[:2]
    n_kept = pose.kept.shape[1]
    firm = float(np.median(problem.links.leg_rate[:, 0]))
    damping = np.clip(1e-3 * slopes.largest(), 1e-12 * firm, 1e-5 * firm)
    stiff = tangent(problem, held, damping=damping, bars=bars, pose=pose)
    joint_slopes = slopes.nodes[:, :, :2].reshape(n_batch, n, 6)
    relaxed = np.linalg.solve(stiff.joints, joint_slopes[..., None])
    carried = (np.swapaxes(stiff.ends, 2, 3) @ relaxed)[..., 0]
    on_kept = slopes.kept - np.einsum("nij,bni->bj", problem.bones.bolts, carried[..., :3])
    on_eyes = slopes.nodes[:, :, 2] - carried[..., 3:]
    right = np.concatenate([on_kept, on_eyes.reshape(n_batch, 3 * n)], axis=1)
    move = -np.linalg.solve(stiff.reduced, right[..., None])[..., 0]
    kept, eyes = move[:, :n_kept], move[:, n_kept:].reshape(n_batch, n, 3)
    bolts = np.einsum("nij,bj->bni", problem.bones.bolts, kept)
    ends = np.concatenate([bolts, eyes], axis=2)[..., None]
    joints = -relaxed - np.linalg.solve(stiff.joints, stiff.ends @ ends)
    nodes = np.concatenate([joints.reshape(n_batch, n, 2, 3), eyes[:, :, None]], axis=2)
    return Pose(kept, nodes)


def _search(problem: Problem, pose: Pose, move: Pose) -> tuple[Floats, NDArray[np.bool_]]:
    """Fraction of a step at which the energy is least along it, and where it has no least."""
    n_batch = len(pose.kept)
    unit = problem.bones.frame.span
    reach = np.maximum(np.abs(move.kept).max(axis=1), np.abs(move.nodes).max(axis=(1, 2, 3)))
    farthest = np.maximum(FAR * unit / np.maximum(reach, 1e-300), 1.0)

    def slope(fraction: Floats) -> Floats:
        there = pose.moved(move, fraction)
        held = pulls(problem.bones, problem.links, problem.bolts, there)
        found = _slopes(problem, there, held)
        return np.asarray(
            (found.kept * move.kept).sum(axis=1)
            + (found.nodes * move.nodes).reshape(n_batch, -1).sum(axis=1)
        )

    low, high = np.zeros(n_batch), np.ones(n_batch)
    first = slope(low)
    at_low, at_high = first.copy(), slope(high)
    good = np.abs(at_high) <= 0.05 * np.abs(first)
    if good.all():
        return high, np.zeros(n_batch, dtype=bool)
    while ((at_high < 0) & ~good & (high < farthest)).any():
        grow = (at_high < 0) & ~good & (high < farthest)
        low, at_low = np.where(grow, high, low), np.where(grow, at_high, at_low)
        high = np.where(grow, np.minimum(high * 4, farthest), high)
        at_high = np.where(grow, slope(high), at_high)
    endless = (at_high < 0) & ~good & (high >= farthest)
    best = high.copy()
    for turn in range(60):
        span = at_high - at_low
        guess = low - at_low * (high - low) / np.where(span > 0, span, 1.0)
        if turn % 3 == 2:
            guess = (low + high) / 2
        guess = np.where(good | endless, best, np.clip(guess, low, high))
        value = slope(guess)
        best = guess
        right = value >= 0
        at_high, high = np.where(right, value, at_high), np.where(right, guess, high)
        at_low, low = np.where(right, at_low, value), np.where(right, low, guess)
        if (good | endless | (np.abs(value) <= 1e-3 * np.abs(first)) | (high - low < 1e-15)).all():
            break
    return best, endless
