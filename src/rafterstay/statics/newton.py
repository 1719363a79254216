"""Where everything comes to rest: Newton steps with an exact line search.

The energy of a linear frame and links that only pull is convex, so every stationary point is
the minimum and its forces are unique (docs/theory/convexity.md).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.nearby import FEWEST, approach, mean_of
from rafterstay.statics.network import Pose, Pulls
from rafterstay.statics.problem import Problem, Slopes, held_in, scale, slopes
from rafterstay.statics.tangent import newton_step

__all__ = ["Rest", "settle"]

FIRST_STEPS = 20
MOST_STEPS = 80
SOFTENED = (1e-3, 1e-2, 1e-1, 1.0)  # link stiffness on the way to a far rest
FAR = 1e3  # a step this many spans long means nothing stops the movement
ACCEPTED = 0.2  # of the slope along a step may be left at its end
CLOSE = 0.05  # of it where the end was no good and a fraction is looked for
TINY = 1e-12  # rounding of forces, relative
NEAR = 1e-7  # of forces, where only the stiffness of a pose is wanted


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


def settle(problem: Problem, start: Pose) -> Rest:
    """Minimise the energy of every state from a starting pose.

    Args:
        problem: The states.
        start: Any pose.

    Returns:
        The pose of rest with its tensions; ``settled`` false where it was not reached.

    Source: docs/theory/convexity.md eq. 1-4
    """
    if len(start.kept) >= FEWEST and len(problem.frame.stiffness) == 1:
        middle = mean_of(problem)
        first = _descend(middle, start.rows(np.arange(1)), FIRST_STEPS, enough=NEAR)
        if first.settled[0]:
            start = approach(problem, middle, first.pose)
    rest = _descend(problem, start, FIRST_STEPS)
    hard = np.flatnonzero(~rest.settled & ~rest.endless)
    if not len(hard):
        return rest
    # Far from rest, stiff links make a narrow curved valley; softened ones a wide one. Come
    # near with soft links, then stiffen them.
    part = problem.only(hard)
    pose = start.rows(hard)
    for soft in SOFTENED:
        links = replace(
            part.links, leg_rate=soft * part.links.leg_rate, side_rate=soft * part.links.side_rate
        )
        near = _descend(replace(part, links=links), pose, MOST_STEPS)
        pose = near.pose
    return _joined(problem, rest, hard, near)


def _joined(problem: Problem, rest: Rest, rows: NDArray[np.intp], late: Rest) -> Rest:
    """The states that settled at once, and those that took longer."""
    pose = rest.pose
    for name in ("kept", "ring", "joints"):
        getattr(pose, name)[rows] = getattr(late.pose, name)
    for name in ("residual", "steps", "settled", "endless"):
        getattr(rest, name)[rows] = getattr(late, name)
    return replace(rest, pulls=held_in(problem, pose))


def _descend(problem: Problem, start: Pose, most_steps: int, *, enough: float = TINY) -> Rest:
    """Newton steps until every state is at rest, runs away, or has had its share."""
    n_batch = len(start.kept)
    pose = Pose(start.kept.copy(), start.ring.copy(), start.joints.copy())
    steps = np.zeros(n_batch, dtype=np.intp)
    settled = np.zeros(n_batch, dtype=bool)
    endless = np.zeros(n_batch, dtype=bool)
    residual = np.full(n_batch, np.inf)
    best = np.full(n_batch, np.inf)
    since = np.zeros(n_batch, dtype=np.intp)
    rows = np.arange(n_batch)
    part, here = problem, pose
    held = held_in(part, here)
    out = slopes(part, here, held)
    for step in range(most_steps):
        left = out.largest()
        floor = enough * scale(part, here, held) + 1e-10
        residual[rows] = left
        since[rows] = np.where(left < 0.5 * best[rows], 0, since[rows] + 1)
        best[rows] = np.minimum(best[rows], left)
        # At rest when down to rounding, or within a hundred and not halved in three steps.
        done = (left <= floor) | ((left <= 1e2 * floor) & (since[rows] >= 3))
        settled[rows] = done
        if done.any():
            keep = np.flatnonzero(~done)
            if not len(keep):
                break
            rows, part, here = rows[keep], part.only(keep), here.rows(keep)
            held, out = held.rows(keep), out.rows(keep)
        move = newton_step(part, here, held, slopes=out, bars=step == 0)
        lost = ~np.isfinite(move.kept).all(axis=1)
        if lost.any():
            # A stiffness that is singular even when damped: a shape far past any roof.
            endless[rows[lost]] = True
            keep = np.flatnonzero(~lost)
            if not len(keep):
                break
            rows, part, here = rows[keep], part.only(keep), here.rows(keep)
            out, move = out.rows(keep), move.rows(keep)
        there, runs_away = _search(part, here, move, out)
        here, held, out = there.pose, there.held, there.out
        pose.kept[rows], pose.ring[rows], pose.joints[rows] = here.kept, here.ring, here.joints
        endless[rows] = runs_away
        steps[rows] += 1
        if runs_away.any():
            keep = np.flatnonzero(~runs_away)
            if not len(keep):
                break
            rows, part, here = rows[keep], part.only(keep), here.rows(keep)
            held, out = held.rows(keep), out.rows(keep)
    if len(rows) < n_batch:
        held = held_in(problem, pose)
    return Rest(pose, held, residual, steps, settled, endless)


@dataclass(frozen=True)
class _There:
    """A pose with the tensions in it and what is out of balance."""

    pose: Pose
    held: Pulls
    out: Slopes

    @classmethod
    def of(cls, problem: Problem, pose: Pose) -> _There:
        held = held_in(problem, pose)
        return cls(pose, held, slopes(problem, pose, held))


def _search(
    problem: Problem, pose: Pose, move: Pose, out: Slopes
) -> tuple[_There, NDArray[np.bool_]]:
    """Where along a step the energy is least, and the states in which it has no least."""
    n_batch = len(pose.kept)
    low, high = np.zeros(n_batch), np.ones(n_batch)
    first = out.along(move)
    whole = _There.of(problem, pose.moved(move, high))
    at_low, at_high = first.copy(), whole.out.along(move)
    good = np.abs(at_high) <= ACCEPTED * np.abs(first)
    if good.all():
        return whole, np.zeros(n_batch, dtype=bool)
    unit = problem.bones.frame.span
    reach = np.abs(move.joints).reshape(n_batch, -1).max(axis=1)
    reach = np.maximum(reach, np.abs(move.kept).max(axis=1))
    farthest = np.maximum(FAR * unit / np.maximum(reach, 1e-300), 1.0)

    def slope(fraction: Floats) -> Floats:
        return _There.of(problem, pose.moved(move, fraction)).out.along(move)

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
        if (good | endless | (np.abs(value) <= CLOSE * np.abs(first)) | (high - low < 1e-15)).all():
            break
    return _There.of(problem, pose.moved(move, best)), endless
