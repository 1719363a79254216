"""How every pull and place changes with a turn, a length, heat or the place of a bolt.

All from one stiffness, that at rest. docs/theory/derivatives.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Condensed
from rafterstay.statics.network import Pose, Pulls
from rafterstay.statics.newton import Rest
from rafterstay.statics.problem import Problem, Slopes, on_frame
from rafterstay.statics.tangent import Tangent, carry, expand_step, reduced_slopes, tangent

__all__ = ["Changes", "Derivatives", "derivatives"]


@dataclass(frozen=True)
class Changes:
    """What follows from one unit of a cause, for each state and cause.

    Attributes:
        leg_pull: At the bolt. [N] (n_batch, n_causes, n)
        side_pull: [N] (n_batch, n_causes, m)
        ends: Of the ring's eyes or of the legs' far ends. [m] (n_batch, n_causes, n, 3)
        outward: Of the feet. [m] (n_batch, n_causes, n_feet)
    """

    leg_pull: Floats
    side_pull: Floats
    ends: Floats
    outward: Floats

    def some(self, causes: slice) -> Changes:
        """The changes by some of the causes."""
        return Changes(*(values[:, causes] for values in vars(self).values()))


@dataclass(frozen=True)
class Derivatives:
    """Changes by every cause; a cause is one unit of what is named.

    Attributes:
        turnbuckle: A turnbuckle let out. [1/m] n causes
        rope: A leg's rope longer, half in each piece. [1/m] n causes
        side: A side of the ring longer; of a sliding rope the whole. [1/m] m or 1 causes
        heat: Every rope grows by its own length. [-] 1 cause; times expansion it is per kelvin
        place: An attachment moved, the frame as it is. [1/m] 3 n_attach causes
        push: The frame pushed otherwise, one cause for each push given.
    """

    turnbuckle: Changes
    rope: Changes
    side: Changes
    heat: Changes
    place: Changes
    push: Changes


@dataclass(frozen=True)
class _Cause:
    """What a cause does while nothing moves: forces in links, and of them the tensions.

    Attributes:
        leg: Change of each leg link's pull, a vector. [N] (n_batch, n_causes, n, 3, 3)
        side: Of each side's. [N] (n_batch, n_causes, m, 3)
        leg_pull: Change of the outer rope's tension. [N] (n_batch, n_causes, n)
        side_pull: [N] (n_batch, n_causes, m)
        ends: Of the legs' far ends, where those are bolts that are moved. [m] (n_causes, n, 3)
        push: Of the load on the frame. [N] (n_batch, n_causes, n_kept)
    """

    leg: Floats
    side: Floats
    leg_pull: Floats
    side_pull: Floats
    ends: Floats | None = None
    push: Floats | None = None


def derivatives(problem: Problem, rest: Rest, pushed: Sequence[Condensed] = ()) -> Derivatives:
    """Derivatives of pulls, ring and walls at a rest.

    Args:
        problem: The states; no prop.
        rest: Where they came to rest.
        pushed: Frames condensed under one unit of some load alone, for ``push``.

    Returns:
        All of them.

    Limits: of the frame as it stands in ``problem``, linear; a leg that is just at the edge of
        slackness has a derivative on one side only.
    Source: docs/theory/derivatives.md eq. 1-5
    """
    held = rest.pulls
    n_batch, n = held.leg_pull.shape[:2]
    stiff = tangent(problem, held, pose=rest.pose, damping=np.zeros(n_batch))
    lengths = _by_link(problem, held)
    sides = _by_side(problem, held)
    here = np.arange(n)
    turnbuckle = _picked(lengths, here, np.array([0.0, 1.0, 0.0]))
    rope = _picked(lengths, here, np.array([0.5, 0.0, 0.5]))
    grown = np.broadcast_to(problem.links.leg_length, held.leg_pull.shape)
    heat = _summed(lengths, grown, sides, np.broadcast_to(
        problem.links.side_length, (n_batch, problem.links.side_length.shape[1])
    ))  # fmt: skip
    causes = [turnbuckle, rope, sides, heat, _by_place(problem, held), _by_push(rest, pushed)]
    found = _follow(problem, rest, stiff, _together(causes, held.side_long.shape[1]))
    ends = np.cumsum([0, *(cause.leg.shape[1] for cause in causes)])
    kinds = [found.some(slice(*pair)) for pair in pairwise(ends.tolist())]
    # A push moves the feet by itself too.
    alone = [load.all_movements(problem.bones, np.zeros_like(load.push[:1]))[0] for load in pushed]
    if alone:
        own = np.array(alone) @ problem.bones.free.outward.T
        kinds[-1] = replace(kinds[-1], outward=kinds[-1].outward + own)
    return Derivatives(*kinds)


def _together(causes: list[_Cause], n_sides: int) -> _Cause:
    """All causes as one list, so that one factorisation serves them all."""
    n_kept = next((each.push.shape[2] for each in causes if each.push is not None), 0)

    def wide(values: Floats) -> Floats:
        if values.shape[2] == n_sides:
            return values
        return np.zeros((*values.shape[:2], n_sides, *values.shape[3:]))

    def moved(cause: _Cause) -> Floats:
        return np.zeros((*cause.leg.shape[1:3], 3)) if cause.ends is None else cause.ends

    def pushed(cause: _Cause) -> Floats:
        return np.zeros((*cause.leg.shape[:2], n_kept)) if cause.push is None else cause.push

    return _Cause(
        leg=np.concatenate([each.leg for each in causes], axis=1),
        side=np.concatenate([wide(each.side) for each in causes], axis=1),
        leg_pull=np.concatenate([each.leg_pull for each in causes], axis=1),
        side_pull=np.concatenate([wide(each.side_pull) for each in causes], axis=1),
        ends=np.concatenate([moved(each) for each in causes]),
        push=np.concatenate([pushed(each) for each in causes], axis=1),
    )


def _by_push(rest: Rest, pushed: Sequence[Condensed]) -> _Cause:
    """One cause for each load on the frame."""
    n_batch, n = rest.pulls.leg_pull.shape[:2]
    causes, n_kept = len(pushed), rest.pose.kept.shape[1]
    loads = np.array([load.push[0] for load in pushed]).reshape(causes, n_kept)
    return _Cause(
        np.zeros((n_batch, causes, n, 3, 3)),
        np.zeros((n_batch, causes, 0, 3)),
        np.zeros((n_batch, causes, n)),
        np.zeros((n_batch, causes, 0)),
        push=np.array(np.broadcast_to(loads, (n_batch, causes, n_kept))),
    )


def _by_link(problem: Problem, held: Pulls) -> tuple[Floats, Floats]:
    """Pull lost by each leg link for each unit of its own length: a vector, and its size."""
    links = problem.links
    size = np.where(held.leg_pull > 0, -links.leg_rate * held.leg_long / links.leg_length, 0.0)
    return held.leg / held.leg_long[..., None] * size[..., None], size


def _picked(lengths: tuple[Floats, Floats], legs: NDArray[np.intp], share: Floats) -> _Cause:
    """One cause for each leg, its links longer by given shares."""
    vector, size = lengths
    n_batch, n = size.shape[:2]
    leg = np.zeros((n_batch, n, n, 3, 3))
    leg[:, legs, legs] = vector * share[:, None]
    pull = np.zeros((n_batch, n, n))
    pull[:, legs, legs] = size[..., 0] * share[0]
    return _Cause(leg, np.zeros((n_batch, n, 0, 3)), pull, np.zeros((n_batch, n, 0)))


def _by_side(problem: Problem, held: Pulls) -> _Cause:
    links, web = problem.links, problem.links.web
    n_batch, n = held.leg_pull.shape[:2]
    m = len(web.sides)
    total = held.side_long.sum(axis=1, keepdims=True) if web.sliding else held.side_long
    lost = np.where(held.side_pull > 0, -links.side_rate * total / links.side_length, 0.0)
    causes = min(m, 1) if web.sliding else m
    pull = np.zeros((n_batch, causes, m))
    if web.sliding:
        pull[:] = lost[:, None]
    else:
        here = np.arange(m)
        pull[:, here, here] = lost
    unit = held.side / held.side_long[..., None]
    return _Cause(
        leg=np.zeros((n_batch, causes, n, 3, 3)),
        side=pull[..., None] * unit[:, None],
        leg_pull=np.zeros((n_batch, causes, n)),
        side_pull=pull,
    )


def _summed(lengths: tuple[Floats, Floats], leg: Floats, sides: _Cause, side: Floats) -> _Cause:
    """One cause: every link and side longer by the lengths given."""
    vector, size = lengths
    return _Cause(
        leg=(vector * leg[..., None])[:, None],
        side=(sides.side * side[:, : sides.side.shape[1], None, None]).sum(axis=1)[:, None],
        leg_pull=(size[..., 0] * leg[..., 0])[:, None],
        side_pull=(sides.side_pull * side[:, : sides.side.shape[1], None]).sum(axis=1)[:, None],
    )


def _by_place(problem: Problem, held: Pulls) -> _Cause:
    """A cause for each direction of each attachment: the first link's start moved."""
    web = problem.links.web
    n_batch, n = held.leg_pull.shape[:2]
    n_attach = len(problem.bones.attach)
    leg = np.zeros((n_batch, n_attach, 3, n, 3, 3))
    pull = np.zeros((n_batch, n_attach, 3, n))
    moved = np.zeros((n_attach, 3, n, 3))
    for link, sign, at in ((0, -1.0, web.starts), (2, 1.0, web.stops)):
        if (at < 0).all():
            continue
        unit = held.leg[:, :, link] / held.leg_long[:, :, link, None]
        across = held.leg_pull[:, :, link] / held.leg_long[:, :, link]
        taut = held.leg_pull[:, :, link] > 0
        along = np.where(taut, problem.links.leg_rate[..., link], 0.0)
        firm = (along - across)[..., None, None] * unit[..., :, None] * unit[..., None, :]
        firm = firm + across[..., None, None] * np.eye(3)
        for k in range(n):
            leg[:, at[k], :, k, link] += sign * firm[:, k]
            if link == 0:
                pull[:, at[k], :, k] += sign * along[:, k, None] * unit[:, k]
            else:
                moved[at[k], :, k] += np.eye(3)
    causes = 3 * n_attach
    return _Cause(
        leg=leg.reshape(n_batch, causes, n, 3, 3),
        side=np.zeros((n_batch, causes, 0, 3)),
        leg_pull=pull.reshape(n_batch, causes, n),
        side_pull=np.zeros((n_batch, causes, 0)),
        ends=moved.reshape(causes, n, 3),
    )


def _follow(problem: Problem, rest: Rest, stiff: Tangent, cause: _Cause) -> Changes:
    """Let everything move to balance again: one solve for all causes of a state."""
    n_batch, causes = cause.leg.shape[:2]
    rows = np.repeat(np.arange(n_batch), causes)
    many = problem.only(rows)
    out = _slopes(many, cause)
    # The reduced matrices stay one for each state, factorised once for all its causes.
    small = Tangent(
        stiff.reduced[:0], stiff.legs[rows], stiff.unit[rows], stiff.give[rows], stiff.stretch[rows]
    )
    carried, gap, both = carry(small, out)
    right = reduced_slopes(many, out, carried=carried, both=both)
    right = right.reshape(n_batch, causes, right.shape[1])
    move = np.asarray(-np.linalg.solve(stiff.reduced, np.swapaxes(right, 1, 2)))
    move = np.swapaxes(move, 1, 2).reshape(n_batch * causes, -1)
    step = expand_step(many, small, out, move=move, gap=gap)
    found = _changes(many, rest, rows, cause, step)
    return found if cause.ends is None else replace(found, ends=found.ends + cause.ends)


def _slopes(many: Problem, cause: _Cause) -> Slopes:
    """What a cause puts out of balance. Rows are states times causes."""
    links, web = many.links, many.links.web
    leg = cause.leg.reshape(-1, *cause.leg.shape[2:])
    kept = on_frame(many, leg[:, :, 0], leg[:, :, 2])
    if cause.push is not None:
        kept = kept - cause.push.reshape(len(kept), -1)
    joints = leg[:, :, :2] - leg[:, :, 1:]
    if web.ring == "none":
        return Slopes(kept, np.zeros((len(leg), 0)), joints)
    ends = leg[:, :, 2]
    if len(web.sides) and cause.side.shape[2]:
        ends = ends + web.incidence.T @ cause.side.reshape(len(leg), -1, 3)
    if web.ring == "eyes":
        return Slopes(kept, ends.reshape(len(leg), -1), joints)
    ring = (np.swapaxes(links.ring_ends(), 2, 3) @ ends[..., None])[..., 0].sum(axis=1)
    return Slopes(kept, ring, joints)


def _changes(
    many: Problem, rest: Rest, rows: NDArray[np.intp], cause: _Cause, step: Pose
) -> Changes:
    web, bones, held = many.links.web, many.bones, rest.pulls
    n_batch, causes = cause.leg.shape[:2]
    n = len(web.starts)
    reach = bones.reach.reshape(-1, bones.reach.shape[2])
    at = (step.kept @ reach.T).reshape(len(rows), -1, 3)
    if web.ring == "eyes":
        ends = step.ring.reshape(len(rows), n, 3)
    elif web.ring == "body":
        ends = (many.links.ring_ends() @ step.ring[:, None, :, None])[..., 0]
    else:
        ends = at[:, web.stops]
    unit = (held.leg[:, :, 0] / held.leg_long[:, :, 0, None])[rows]
    longer = (unit * (step.joints[:, :, 0] - at[:, web.starts])).sum(axis=-1)
    taut = (held.leg_pull[:, :, 0] > 0)[rows]
    leg = np.where(taut, many.links.leg_rate[..., 0] * longer, 0.0)
    m = len(web.sides)
    side = np.zeros((len(rows), m))
    if m:
        along = (held.side / held.side_long[..., None])[rows]
        grown = (along * (web.incidence @ ends)).sum(axis=-1)
        grown = grown.sum(axis=1, keepdims=True) if web.sliding else grown
        side = np.where((held.side_pull > 0)[rows], many.links.side_rate * grown, 0.0)
    every = many.frame.unloaded().all_movements(bones, np.eye(len(bones.kept)))
    outward = step.kept @ (every @ bones.free.outward.T)
    own = cause.side_pull if cause.side_pull.shape[2] else 0.0
    return Changes(
        leg_pull=leg.reshape(n_batch, causes, n) + cause.leg_pull,
        side_pull=side.reshape(n_batch, causes, m) + own,
        ends=ends.reshape(n_batch, causes, n, 3),
        outward=outward.reshape(n_batch, causes, -1),
    )
