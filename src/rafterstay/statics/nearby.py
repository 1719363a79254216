"""Many states that differ little: all of them by the stiffness of their mean.

One state under the mean load is brought to rest; its tangent stiffness, inverted once, then
serves every state. What is out of balance is each state's own, so where they end is not
altered; docs/theory/elimination.md, section 4.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Condensed, Followers
from rafterstay.statics.network import Network, Pose
from rafterstay.statics.order import side_by_side, states_first, states_last
from rafterstay.statics.problem import Problem, Slopes, held_in, scale, slopes
from rafterstay.statics.tangent import Tangent, at_leg_ends, leg_ends_moved, tangent

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
    law = _Law.of(stiff)
    found = rest.rows(np.zeros(n_batch, dtype=np.intp))
    rows, part = np.arange(n_batch), _laid(problem)
    here = best = found.side_by_side()
    going, least = np.ones(n_batch, dtype=bool), np.full(n_batch, np.inf)
    slow, small = np.zeros(n_batch, dtype=np.intp), np.zeros(n_batch)
    for turn in range(MOST_STEPS):
        held = held_in(part, here)
        out = slopes(part, here, held)
        if turn % 4 == 1:
            # The size of the forces changes little after the first step.
            small = ENOUGH * scale(part, here, held)
        left = out.largest()
        better = going & (left < least)
        best = here if better.all() else here.where(better, best)
        # What is largest out of balance may rest for a step while the rest of it falls.
        slow = np.where(left <= SLOW * least, 0, slow + 1)
        going &= (slow < PATIENCE) & (left > small)
        least = np.where(better, left, least)
        if not going.any():
            break
        if 2 * going.sum() < len(rows):
            found.put(rows, best)
            keep = np.flatnonzero(going)
            rows, part = rows[keep], _laid(part.only(keep))
            here, best = here.rows(keep).side_by_side(), best.rows(keep).side_by_side()
            out = Slopes(*(side_by_side(one[keep]) for one in (out.kept, out.ring, out.joints)))
            going, slow, least, small = going[keep], slow[keep], least[keep], small[keep]
        here = here.moved(law.step(part, out), np.ones(len(rows)))
    found.put(rows, best)
    return found


def _laid(problem: Problem) -> Problem:
    """The same states, their push side by side as everything is that they are added to."""
    frame = problem.frame
    return replace(problem, frame=replace(frame, push=side_by_side(frame.push)))


@dataclass(frozen=True)
class _Law:
    """The step that the mean's stiffness takes, as products with matrices made once.

    Attributes:
        inverse: Of the stiffness on kept movements and the ring's.
        felt: What the legs' starts and ends feel by the joints' imbalance, p then q. (n, 6, 6)
        after: Movement of p and q less start by the joints' imbalance and the movement of end
            less start. (n, 6, 9)
    """

    inverse: Floats
    felt: Floats
    after: Floats

    @classmethod
    def of(cls, stiff: Tangent) -> _Law:
        """Prepare from a tangent stiffness, a batch of one."""
        give = stiff.give[0, ..., None, None] * np.eye(3)
        unit = stiff.unit[0]
        give = give + stiff.stretch[0, ..., None, None] * unit[..., :, None] * unit[..., None, :]
        outer, middle, inner = give[:, 0], give[:, 1], give[:, 2]
        leg = stiff.legs[0]
        carried = np.concatenate([leg @ (middle + inner), leg @ inner], axis=2)
        both = np.tile(np.eye(3), (len(leg), 1, 2))
        felt = np.concatenate([-carried, both - carried], axis=1)
        change = np.concatenate([-carried, leg], axis=2)
        alone = np.zeros_like(change)
        alone[:, :, :3] = middle
        first = outer @ change
        after = np.concatenate([first, first + middle @ change + alone], axis=1)
        return cls(np.linalg.inv(stiff.reduced[0]), felt, after)

    def step(self, problem: Problem, out: Slopes) -> Pose:
        """The step of every state. Source: docs/theory/elimination.md eq. 4-7"""
        n_batch, n_kept = out.kept.shape
        legs = states_last(out.joints).reshape(-1, 6, n_batch)
        felt = states_first(self.felt @ legs)
        kept, ring = at_leg_ends(problem, felt[..., :3], felt[..., 3:])
        right = np.concatenate([(out.kept + kept).T, (out.ring + ring).T])
        move = -(self.inverse @ right).T
        starts, ends = leg_ends_moved(problem, move[:, :n_kept], move[:, n_kept:])
        apart = states_last(ends - starts)
        joints = self.after @ np.concatenate([legs, apart], axis=1)
        joints = states_first(joints.reshape(len(legs), 2, 3, n_batch))
        return Pose(move[:, :n_kept], move[:, n_kept:], joints + starts[:, :, None])
