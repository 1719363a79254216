"""How far any force can be from the exact one: a bound that asks nothing of the solver.

From balanced dual forces the energy gap is a sum of terms none of which can be negative
(docs/theory/error-bound.md); every pull is then within sqrt(2 k gap).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import LOOSE
from rafterstay.statics.network import Pose, Pulls
from rafterstay.statics.problem import Problem, on_frame, prop_push

__all__ = ["energy_gap", "force_error"]

ROUNDING = 1e-14  # of the largest force
SPARED = 1e-8  # share of a slack link in the repair of balance


def force_error(problem: Problem, pose: Pose, held: Pulls) -> Floats:
    """Bound on the error of every leg's pull; a ring side's has its own, larger stiffness.

    Args:
        problem: The states; no prop.
        pose: Any pose, best the pose of rest.
        held: Tensions in it.

    Returns:
        Bound; infinite where load lies on a movement that no link can balance. [N] (n_batch,)

    Limits: the frame's stiffness is the first state's for all; a ring that turns is taken as
        linearised about its pose.
    Source: docs/theory/error-bound.md eq. 5
    """
    stiffest = problem.links.leg_rate[..., [0, 2]].max()
    return np.asarray(np.sqrt(2 * stiffest * energy_gap(problem, pose, held)))


def energy_gap(problem: Problem, pose: Pose, held: Pulls) -> Floats:
    """Energy above the minimum, at most.

    Args:
        problem: The states; no prop.
        pose: Any pose.
        held: Tensions in it.

    Returns:
        Gap, never negative; infinite where load lies on a movement that no link can balance.
        [J] (n_batch,)

    Limits: exact for a frame whose loose movements resist nothing at all, and for loads that
        differ by the rounding the repair of balance leaves.
    Source: docs/theory/error-bound.md eq. 4
    """
    values, modes = problem.frame.spectrum
    # A frame may have nothing but loose movements; then a leg is what is firm.
    loose = modes[:, values <= LOOSE * max(values[-1], problem.firm)]
    firm, firm_values = modes[:, loose.shape[1] :], values[loose.shape[1] :]
    push = problem.frame.push + prop_push(problem, pose.kept)[:, None] * problem.bones.prop
    wanted = np.concatenate([_hung(problem, pose), push @ loose], axis=1)
    legs, sides, over, unbalanced = _repaired(problem, held, _balance_rows(problem, loose), wanted)
    on_kept = on_frame(problem, legs[:, :, 0], legs[:, :, 2])
    short = (push - on_kept - (problem.frame.stiffness @ pose.kept[..., None])[..., 0]) @ firm
    gap = 0.5 * (short**2 / firm_values).sum(axis=1)
    gap = gap + _link_gap(problem, held, legs, sides, over=over)
    return np.where(unbalanced, np.inf, gap)


def _repaired(
    problem: Problem, held: Pulls, balance: Floats, wanted: Floats
) -> tuple[Floats, Floats, Floats, NDArray[np.bool_]]:
    """Link forces near the tensions that balance every joint exactly.

    Returns:
        Forces of legs (n_batch, n, 3, 3) and sides (n_batch, m, 3) [N]; by how much each side
        of a sliding rope is above their common tension (n_batch, m) [N]; whether a state could
        not be balanced (n_batch,).
    """
    n_batch, n = held.leg_pull.shape[:2]
    dual = (held.leg * (held.leg_pull / held.leg_long)[..., None]).reshape(n_batch, -1)
    if problem.links.web.sliding:
        ways = _one_tension(held)
        start = np.zeros((n_batch, ways.shape[2]))
        start[:, 0] = held.side_pull[:, 0]
        legs_part = np.broadcast_to(balance[..., : 9 * n], (n_batch, balance.shape[1], 9 * n))
        balance = np.concatenate([legs_part, balance[..., 9 * n :] @ ways], axis=2)
    else:
        start = (held.side * (held.side_pull / held.side_long)[..., None]).reshape(n_batch, -1)
    dual = np.concatenate([dual, start], axis=1)
    across = _spared(held, dual.shape[1]) * np.swapaxes(balance, 1, 2)
    inverse = np.asarray(np.linalg.pinv(balance @ across, rcond=1e-12, hermitian=True))
    for _ in range(2):  # the second pass removes the rounding of the first
        left = wanted - _times(balance, dual)
        dual = dual + _times(across, _times(inverse, left))
    left = wanted - _times(balance, dual)
    size = np.abs(wanted).max(axis=1) + np.abs(dual).max(axis=1)
    sides = dual[:, 9 * n :]
    over = np.zeros_like(held.side_long)
    if problem.links.web.sliding:
        # Written so that nothing cancels: |t| - T = (what is turned)^2 / (|t| + T).
        common, turned = sides[:, :1], (sides[:, 1:].reshape(*over.shape, 2) ** 2).sum(axis=-1)
        over = turned / np.maximum(np.sqrt(common**2 + turned) + np.abs(common), 1e-300)
        sides = _times(ways, sides)
    legs = _without_rounding(dual[:, : 9 * n].reshape(n_batch, n, 3, 3), held.leg_pull, size)
    sides = sides.reshape(n_batch, -1, 3)
    if not problem.links.web.sliding:
        sides = _without_rounding(sides, held.side_pull, size)
    return (
        legs,
        sides,
        over,
        np.abs(left).max(axis=1) > 1e-9 * size + 1e-9,
    )


def _without_rounding(force: Floats, pull: Floats, size: Floats) -> Floats:
    """The same forces; in a slack link, what is no more than rounding of the largest is nil.

    Over the length missing from a leg that is gone even 1e-16 N would count.
    """
    small = np.linalg.norm(force, axis=-1).reshape(len(size), -1) <= ROUNDING * size[:, None]
    return np.where(((pull <= 0) & small.reshape(pull.shape))[..., None], 0.0, force)


def _spared(held: Pulls, columns: int) -> Floats:
    """Share each dual force takes in the repair; slack links next to none. (1 or n_batch, c, 1)

    A force in a slack link wastes itself over the whole length that is missing.
    """
    n_batch, m = held.side_pull.shape
    legs = np.where(held.leg_pull > 0, 1.0, SPARED).reshape(n_batch, -1)
    sides = np.where(held.side_pull > 0, 1.0, SPARED)
    if legs.min(initial=1.0) == 1.0 and sides.min(initial=1.0) == 1.0:
        return np.ones((1, 1, 1))
    share = np.ones((n_batch, columns))
    share[:, : 3 * legs.shape[1]] = np.repeat(legs, 3, axis=1)
    if columns == 3 * (legs.shape[1] + m):
        share[:, 3 * legs.shape[1] :] = np.repeat(sides, 3, axis=1)
    return share[..., None]


def _one_tension(held: Pulls) -> Floats:
    """Side forces of one tension: all longer together, or each turned. (n_batch, 3m, 1 + 2m)

    To first order none of these ways makes one side's force larger than another's.
    """
    n_batch, m = held.side_long.shape
    unit = held.side / held.side_long[..., None]
    least = np.eye(3)[np.abs(unit).argmin(axis=-1)]
    first = np.cross(unit, least)
    first = first / np.linalg.norm(first, axis=-1)[..., None]
    turned = np.zeros((n_batch, m, 3, m, 2))
    here = np.arange(m)
    turned[:, here, :, here, 0] = np.moveaxis(first, 1, 0)
    turned[:, here, :, here, 1] = np.moveaxis(np.cross(unit, first), 1, 0)
    return np.concatenate(
        [unit.reshape(n_batch, 3 * m, 1), turned.reshape(n_batch, 3 * m, 2 * m)], axis=2
    )


def _times(matrix: Floats, vector: Floats) -> Floats:
    return np.asarray((matrix @ vector[..., None])[..., 0])


def _hung(problem: Problem, pose: Pose) -> Floats:
    """Loads on joints and ring, the links' own weight and the turning stiffness's pull."""
    links, web = problem.links, problem.links.web
    n_batch, n = len(problem.weight), len(web.starts)
    joints = np.zeros((n_batch, n, 2, 3))
    joints[..., 2] = -problem.weight[:, None, None] * links.joint_weight
    ends = np.zeros((n_batch, n, 3))
    ends[..., 2] = -problem.weight[:, None] * links.end_weight
    if web.ring == "none":
        return joints.reshape(n_batch, -1)
    ring = ends.reshape(n_batch, -1)
    if web.ring == "body":
        ring = (np.swapaxes(links.ring_ends(), 2, 3) @ ends[..., None])[..., 0].sum(axis=1)
        ring[:, 2] -= problem.weight * links.ring_weight
        if web.turns:
            ring[:, 3:] -= (links.turn_rate @ pose.ring[:, 3:, None])[..., 0]
    return np.concatenate([joints.reshape(n_batch, -1), ring], axis=1)


def _balance_rows(problem: Problem, loose: Floats) -> Floats:
    """Rows C' with C' t = load at every joint, on the ring and on loose movements of the frame.

    Returns:
        Rows. (1 or n_batch, n_rows, 9n + 3m)
    """
    links, web = problem.links, problem.links.web
    n, m, n_loose = len(web.starts), len(web.sides), loose.shape[1]
    joints = np.zeros((n, 2, 3, n, 3, 3))
    here = np.arange(n)
    for axis in range(3):
        for node in range(2):
            joints[here, node, axis, here, node, axis] = 1.0
            joints[here, node, axis, here, node + 1, axis] = -1.0
    starts = problem.bones.reach[web.starts]
    frame = np.zeros((n_loose, n, 3, 3))
    frame[:, :, 0] = np.einsum("nij,jl->lni", -starts, loose)
    if web.ring == "none":
        frame[:, :, 2] = np.einsum("nij,jl->lni", problem.bones.reach[web.stops], loose)
    ends = links.ring_ends() if web.ring != "none" else np.zeros((1, n, 3, 0))
    b, n_ring = len(ends), web.n_ring
    ring = np.zeros((b, n_ring, n, 3, 3))
    ring[:, :, :, 2] = np.moveaxis(ends, 3, 1)
    sides = np.einsum("mn,bnir->brmi", web.incidence, ends).reshape(b, n_ring, 3 * m)
    rows = np.zeros((b, 6 * n + n_ring + n_loose, 9 * n + 3 * m))
    rows[:, : 6 * n, : 9 * n] = joints.reshape(6 * n, 9 * n)
    rows[:, 6 * n : 6 * n + n_ring, : 9 * n] = ring.reshape(b, n_ring, 9 * n)
    rows[:, 6 * n : 6 * n + n_ring, 9 * n :] = sides
    rows[:, 6 * n + n_ring :, : 9 * n] = frame.reshape(n_loose, 9 * n)
    return rows


def _link_gap(
    problem: Problem, held: Pulls, legs: Floats, sides: Floats, *, over: Floats
) -> Floats:
    links, n_batch = problem.links, len(legs)
    gap = _springs_gap(
        legs, held.leg, held.leg_long, held.leg_pull, links.leg_rate, links.leg_length
    )
    gap = gap.reshape(n_batch, -1).sum(axis=1)
    if not links.web.sliding:
        side = _springs_gap(
            sides, held.side, held.side_long, held.side_pull, links.side_rate, links.side_length
        )
        return np.asarray(gap + side.sum(axis=1))
    # One tension all round: the largest side decides the rope's own energy, and each side that
    # carries less wastes the difference over its length. docs/theory/sliding-ring.md eq. 4
    size = np.linalg.norm(sides, axis=-1)
    most, total = size.max(axis=1), held.side_long.sum(axis=1)
    rate, length, pull = links.side_rate[:, 0], links.side_length[:, 0], held.side_pull[:, 0]
    taut = (most - pull) ** 2 / (2 * rate)
    slack = most**2 / (2 * rate) + most * np.maximum(length - total, 0.0)
    wasted = (over.max(axis=1, keepdims=True) - over) * held.side_long
    wasted = wasted + _askew(sides, held.side, held.side_long)
    return np.asarray(gap + np.where(pull > 0, taut, slack) + wasted.sum(axis=1))


def _springs_gap(
    force: Floats, vector: Floats, long: Floats, pull: Floats, rate: Floats, length: Floats
) -> Floats:
    """Gap of every link between its dual force and its tension. [J]"""
    size = np.linalg.norm(force, axis=-1)
    taut = (size - pull) ** 2 / (2 * rate)
    slack = size**2 / (2 * rate) + size * np.maximum(length - long, 0.0)
    return np.asarray(np.where(pull > 0, taut, slack) + _askew(force, vector, long))


def _askew(force: Floats, vector: Floats, long: Floats) -> Floats:
    """|t| L - t.d without cancellation: half of |t| L times |unit t - unit d| squared."""
    size = np.linalg.norm(force, axis=-1)
    unit = force / np.where(size > 0, size, 1.0)[..., None] - vector / long[..., None]
    return np.asarray(0.5 * size * long * (unit**2).sum(axis=-1))
