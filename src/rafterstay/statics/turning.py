"""A stiff ring or plate that turns: finite turns by steps that are each convex.

docs/theory/rigid-ring.md.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np

from rafterstay.core.errors import Finding, NotConverged
from rafterstay.roof.frame import Floats
from rafterstay.statics.network import Network, Pose, Pulls
from rafterstay.statics.newton import Rest, settle
from rafterstay.statics.problem import Problem, held_in, scale, slopes

__all__ = ["come_to_rest", "require_level", "rotation", "turn_rate"]

BALANCED = 1e-8  # force and moment left, beside the largest pull
MOST_TURN = radians(5)
LOST_TURN = radians(30)  # on the way: past this nothing is looked for
ROUNDING = 1e-11  # of the forces whose difference it is: where all legs hang nearly slack
MOST_PASSES = 40
FAR = 1 / 25  # of the span, as in docs/theory/sense.md


def come_to_rest(problem: Problem, start: Pose, names: list[str]) -> tuple[Problem, Rest]:
    """Settle a batch of states, turning a stiff ring as far as it wants to turn.

    Args:
        problem: The states.
        start: Any pose; a stiff ring is taken as it lies in ``problem``.
        names: Of the states.

    Returns:
        The problem counted from where the ring came to lie, and the rest.

    Raises:
        NotConverged: A stiff ring turns by more than 30 degrees or does not settle.

    Source: docs/theory/rigid-ring.md eq. 1-4
    """
    if not problem.links.web.turns:
        return problem, settle(problem, start)
    n_batch = len(start.kept)
    # Held against turning at first; what the pulls then give against turning is known.
    arm = np.linalg.norm(problem.links.ring_at - problem.links.centre[:, None], axis=-1).max()
    stiff = problem.firm * max(arm, 1e-3) ** 2 * np.eye(3)
    problem = replace(problem, links=replace(problem.links, turn_rate=stiff[None]))
    turned = np.broadcast_to(np.eye(3), (n_batch, 3, 3))
    rest = settle(problem, start)
    left, before = rest.residual, np.full(n_batch, np.inf)
    done = np.zeros(n_batch, dtype=bool)
    for _ in range(MOST_PASSES):
        if not rest.settled.all() or rest.endless.any():
            return problem, rest
        links, step = rebased(problem.links, rest.pose)
        turned = step @ turned
        pose = replace(rest.pose, ring=np.zeros_like(rest.pose.ring))
        problem = replace(problem, links=links)
        held = held_in(problem, pose)
        exact = turn_rate(links, held, problem.weight)
        problem = replace(problem, links=replace(links, turn_rate=exact))
        left = slopes(problem, pose, held).largest()
        angle = _turned_by(turned)
        row = int(angle.argmax())
        if angle[row] > LOST_TURN:
            if _bolts_far(problem, rest):
                return problem, rest  # the roof runs away; the ring only goes with it
            told = f"its ring turns by {np.degrees(angle[row]):.1f} degrees"
            raise _still_turning(names[row], told, rest, float(left[row]))
        share = left / np.maximum(held.leg_pull.max(axis=(1, 2)), 1.0)
        # As far as rounding lets it: a leg that hangs nearly slack asks for more than BALANCED.
        enough = (share <= BALANCED) | (left <= ROUNDING * scale(problem, pose, held))
        # Once it no longer falls it is at its rounding, whichever way that jumps while the other
        # states of the batch go on.
        done = (done & enough) | (share <= BALANCED * 1e-4) | (enough & (share > before / 2))
        before = share
        if done.all():
            return problem, replace(rest, pose=pose, pulls=held, residual=left)
        convex = replace(problem, links=replace(problem.links, turn_rate=_only_firm(exact)))
        rest = settle(convex, pose)
    row = int(left.argmax())
    raise _still_turning(names[row], f"{left[row]:.3g} N out of balance", rest, float(left[row]))


def require_level(drawn: Network, links: Network, rest: Rest, names: list[str]) -> None:
    """Refuse a stiff ring that has turned too far, once the roof is known to stand.

    Args:
        drawn: The tie before it moved.
        links: Where it came to lie.
        rest: The rest, for the report.
        names: Of the states.

    Raises:
        NotConverged: A stiff ring turns by more than 5 degrees.

    Source: docs/theory/rigid-ring.md eq. 1
    """
    if not drawn.web.turns:
        return
    before, after = (net.ring_at - net.centre[:, None] for net in (drawn, links))
    apart = np.linalg.norm(after - before, axis=-1) / np.linalg.norm(before, axis=-1)
    angle = 2 * np.arcsin(np.minimum(apart / 2, 1.0)).max(axis=1)
    row = int(angle.argmax())
    if angle[row] > MOST_TURN:
        told = f"its ring turns by {np.degrees(angle[row]):.1f} degrees"
        raise _still_turning(names[row], told, rest, float(rest.residual[row]))


def rotation(turn: Floats) -> Floats:
    """Rotation matrix of a rotation vector.

    Args:
        turn: Axis times angle. [rad] (..., 3)

    Returns:
        Matrices. [-] (..., 3, 3)

    Source: Rodrigues' formula

    >>> rotation(np.array([0.0, 0.0, np.pi / 2])).round(12)[0].tolist()
    [0.0, -1.0, 0.0]
    """
    angle = np.linalg.norm(turn, axis=-1)[..., None, None]
    x, y, z = turn[..., 0], turn[..., 1], turn[..., 2]
    nil = np.zeros_like(x)
    cross = np.stack(
        [
            np.stack([nil, -z, y], axis=-1),
            np.stack([z, nil, -x], axis=-1),
            np.stack([-y, x, nil], axis=-1),
        ],
        axis=-2,
    )
    half = np.sinc(angle / (2 * np.pi))
    return np.asarray(np.eye(3) + np.sinc(angle / np.pi) * cross + half**2 / 2 * cross @ cross)


def rebased(links: Network, pose: Pose) -> tuple[Network, Floats]:
    """Count a stiff ring's movements from where it lies now.

    Args:
        links: The tie.
        pose: Where its ring has moved.

    Returns:
        The tie with its ring turned and moved; the turn taken. (n_batch, 3, 3)
    """
    step = rotation(pose.ring[:, 3:])
    centre = links.centre + pose.ring[:, :3]
    arm = links.ring_at - links.centre[:, None]
    return (
        replace(links, ring_at=centre[:, None] + arm @ np.swapaxes(step, 1, 2), centre=centre),
        step,
    )


def turn_rate(links: Network, held: Pulls, weight: Floats) -> Floats:
    """Stiffness that pulls give a stiff ring against turning, because their arms turn with it.

    Args:
        links: The tie.
        held: Tensions.
        weight: Multiplies the weights of links. [-] (n_batch,)

    Returns:
        Stiffness. [N m] (n_batch, 3, 3)

    Source: docs/theory/rigid-ring.md eq. 3
    """
    arm = links.ring_at - links.centre[:, None]
    pull = held.leg[:, :, 2] * (held.leg_pull[:, :, 2] / held.leg_long[:, :, 2])[..., None]
    pull[..., 2] += weight[:, None] * links.end_weight
    both = np.swapaxes(pull, 1, 2) @ arm
    apart = (pull * arm).sum(axis=(1, 2))
    return np.asarray((both + np.swapaxes(both, 1, 2)) / 2 - apart[:, None, None] * np.eye(3))


def _only_firm(rate: Floats) -> Floats:
    """The part of a stiffness that resists: keeps every step convex."""
    values, vectors = np.linalg.eigh(rate)
    return np.asarray((vectors * np.maximum(values, 0.0)[:, None]) @ np.swapaxes(vectors, 1, 2))


def _turned_by(turned: Floats) -> Floats:
    """Angle of rotations. [rad] (n_batch,)"""
    cosine = (np.trace(turned, axis1=1, axis2=2) - 1) / 2
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


def _bolts_far(problem: Problem, rest: Rest) -> bool:
    reach = problem.bones.reach
    moved = np.abs(rest.pose.kept @ reach.reshape(-1, reach.shape[2]).T)
    return bool(moved.max() > FAR * problem.bones.frame.span)


def _still_turning(name: str, told: str, rest: Rest, left: float) -> NotConverged:
    return NotConverged(
        Finding(
            code="ST-008",
            key=name,
            value=told,
            bound="at rest within 5 degrees of level",
            remedy="Draw the legs radially at one height, or take a rope ring.",
        ),
        iterations=int(rest.steps.max()),
        residual=left,
        worst_node="ring",
    )
