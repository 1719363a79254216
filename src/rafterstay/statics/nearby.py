"""Many states that differ little: all of them by the stiffness of their mean.

One state under the mean load is brought to rest; its tangent stiffness, inverted once, then
serves every state. What is out of balance is each state's own, so where they end is not
altered; docs/theory/elimination.md, section 4.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

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
ENOUGH = 1e-12  # rounding of forces, relative
SLOW = 0.6  # a step that leaves more than this of what was out of balance is too slow
PATIENCE = 2  # slow steps in a row
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
    pose = Pose(here.kept.copy(), here.ring.copy(), here.joints.copy())
    going, least = np.ones(n_batch, dtype=bool), np.full(n_batch, np.inf)
    slow = np.zeros(n_batch, dtype=np.intp)
    for _ in range(MOST_STEPS):
        held = held_in(part, here)
        out = slopes(part, here, held)
        left = out.largest()
        better = going & (left < least[rows])
        at = rows[better]
        pose.kept[at], pose.ring[at] = here.kept[better], here.ring[better]
        pose.joints[at] = here.joints[better]
        # What is largest out of balance may rest for a step while the rest of it falls.
        slow[rows] = np.where(left <= SLOW * least[rows], 0, slow[rows] + 1)
        going &= (slow[rows] < PATIENCE) & (left > ENOUGH * scale(part, here, held))
        least[at] = left[better]
        if not going.any():
            break
        if 2 * going.sum() < len(rows):
            keep = np.flatnonzero(going)
            rows, part, here, out = rows[keep], part.only(keep), here.rows(keep), out.rows(keep)
            going = going[keep]
        here = here.moved(_step(part, stiff, inverse, out), np.ones(len(rows)))
    return pose


def _step(problem: Problem, stiff: Tangent, inverse: Floats, out: Slopes) -> Pose:
    carried, gap, both = carry(stiff, out)
    right = reduced_slopes(problem, out, carried=carried, both=both)
    return expand_step(problem, stiff, out, move=-(right @ inverse), gap=gap)
