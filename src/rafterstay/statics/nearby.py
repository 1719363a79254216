"""Many states that differ little: all of them by the stiffness of their mean.

One state under the mean load is brought to rest; its tangent stiffness, inverted once, then
serves every state. What is out of balance is each state's own, so where they end is not
altered; docs/theory/elimination.md, section 4.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Condensed, Followers
from rafterstay.statics.network import Network, Pose
from rafterstay.statics.problem import Problem, Slopes, held_in, scale, slopes
from rafterstay.statics.tangent import (
    Tangent,
    carry,
    expand_step,
    reduced_slopes,
    tangent,
)

__all__ = ["FEWEST", "approach", "mean_of"]

FEWEST = 8  # states that make it worth while
ENOUGH = 1e-13  # rounding of forces, relative
SLOW = 0.6  # a step that leaves more than this of what was out of balance is too slow
MOST_STEPS = 25


def mean_of(problem: Problem) -> Problem:
    """The mean of a batch: its loads and lengths.

    Args:
        problem: The states.

    Returns:
        One state.
    """

    def mean(values: Floats) -> Floats:
        return values if len(values) == 1 else values.mean(axis=0, keepdims=True)

    links = problem.links
    fields = {name: mean(value) for name, value in vars(links).items() if name != "web"}
    return replace(
        problem,
        frame=Condensed(
            stiffness=mean(problem.frame.stiffness),
            push=mean(problem.frame.push),
            shared=Followers(np.zeros((1, 0)), np.zeros((1, 0, 0))),
            local=(),
        ),
        links=Network(web=links.web, **fields),
        weight=mean(problem.weight),
        points=mean(problem.points),
    )


def approach(problem: Problem, middle: Problem, rest: Pose) -> Pose:
    """Bring every state near its rest from the rest of the mean.

    Args:
        problem: The states.
        middle: Their mean.
        rest: Where it came to rest.

    Returns:
        Poses, near rest where the states are near the mean.

    Source: docs/theory/elimination.md eq. 7
    """
    n_batch = len(problem.weight)
    stiff = tangent(middle, held_in(middle, rest), pose=rest, damping=np.zeros(1))
    inverse = np.linalg.inv(stiff.reduced[0])
    every = np.zeros(n_batch, dtype=np.intp)
    here = rest.rows(every)
    rows, part = np.arange(n_batch), problem
    best, before = here, np.full(n_batch, np.inf)
    pose = Pose(here.kept.copy(), here.ring.copy(), here.joints.copy())
    for _ in range(MOST_STEPS):
        held = held_in(part, here)
        out = slopes(part, here, held)
        left = out.largest()
        worse = ~(left <= SLOW * before)
        done = left <= ENOUGH * scale(part, here, held)
        best = here if not worse.any() else _better(left < before, here, best)
        if (worse | done).any():
            stop = worse | done
            pose.kept[rows[stop]], pose.ring[rows[stop]] = best.kept[stop], best.ring[stop]
            pose.joints[rows[stop]] = best.joints[stop]
            keep = np.flatnonzero(~stop)
            if not len(keep):
                return pose
            rows, part, here = rows[keep], part.only(keep), here.rows(keep)
            out, left, best = out.rows(keep), left[keep], best.rows(keep)
        before = left
        here = here.moved(_step(part, stiff, inverse, out), np.ones(len(rows)))
    pose.kept[rows], pose.ring[rows], pose.joints[rows] = best.kept, best.ring, best.joints
    return pose


def _step(problem: Problem, stiff: Tangent, inverse: Floats, out: Slopes) -> Pose:
    carried, gap, both = carry(stiff, out)
    right = reduced_slopes(problem, out, carried=carried, both=both)
    return expand_step(problem, stiff, out, move=-(right @ inverse), gap=gap)


def _better(chosen: NDArray[np.bool_], here: Pose, before: Pose) -> Pose:
    return Pose(
        np.where(chosen[:, None], here.kept, before.kept),
        np.where(chosen[:, None], here.ring, before.ring),
        np.where(chosen[:, None, None, None], here.joints, before.joints),
    )
