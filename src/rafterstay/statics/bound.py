"""How far any force can be from the exact one: a bound that asks nothing of the solver.

From balanced dual forces the energy gap is a sum of terms none of which can be negative
(docs/theory/error-bound.md); every pull is then within sqrt(2 k gap).
"""

from __future__ import annotations

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.statics.network import Pose, Pulls
from rafterstay.statics.newton import Problem, prop_push

__all__ = ["LOOSE", "energy_gap", "force_error"]

LOOSE = 1e-10  # an eigenvalue this small beside the largest resists nothing


def force_error(problem: Problem, pose: Pose, held: Pulls) -> Floats:
    """Bound on the error of every leg's pull; a ring side's has its own, larger stiffness.

    Args:
        problem: The states; no prop.
        pose: Any pose, best the pose of rest.
        held: Tensions in it.

    Returns:
        Bound; infinite where load lies on a movement that no link can balance. [N] (n_batch,)

    Source: docs/theory/error-bound.md eq. 5
    """
    stiffest = problem.links.leg_rate[:, [0, 2]].max()
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
    values, modes = np.linalg.eigh(problem.frame.stiffness[0])
    loose = modes[:, values <= LOOSE * values[-1]]
    firm, firm_values = modes[:, loose.shape[1] :], values[loose.shape[1] :]
    balance = _balance_rows(problem, loose)
    n_batch, n = held.leg_pull.shape[:2]
    along = np.concatenate(
        [
            (held.leg * (held.leg_pull / held.leg_long)[..., None]).reshape(n_batch, -1),
            (held.ring * (held.ring_pull / held.ring_long)[..., None]).reshape(n_batch, -1),
        ],
        axis=1,
    )
    external = np.zeros((n_batch, n, 3, 3))
    external[..., 2] = -problem.weight[:, None, None] * problem.links.node_weight
    push = problem.frame.push + prop_push(problem, pose.kept)[:, None] * problem.bones.prop
    wanted = np.concatenate([external.reshape(n_batch, -1), push @ loose], axis=1)
    inverse = np.linalg.pinv(balance @ balance.T, rcond=1e-12, hermitian=True)
    for _ in range(2):  # the second pass removes the rounding of the first
        along = along + (wanted - along @ balance.T) @ inverse @ balance
    left = wanted - along @ balance.T
    size = np.abs(wanted).max(axis=1) + np.abs(along).max(axis=1)
    unbalanced = np.abs(left).max(axis=1) > 1e-9 * size + 1e-9
    on_kept = _on_kept(problem, along[:, : 9 * n].reshape(n_batch, n, 3, 3)[:, :, 0])
    short = (push - on_kept - (problem.frame.stiffness @ pose.kept[..., None])[..., 0]) @ firm
    gap = 0.5 * (short**2 / firm_values).sum(axis=1)
    gap = gap + _link_gap(problem, held, along)
    return np.where(unbalanced, np.inf, gap)


def _on_kept(problem: Problem, first: Floats) -> Floats:
    """Pull of the outer ropes on the kept movements, as a load they balance. [N]"""
    return -np.asarray(np.einsum("nij,bni->bj", problem.bones.bolts, first))


def _balance_rows(problem: Problem, loose: Floats) -> Floats:
    """Rows C' with C' t = load at every rope node, and on every loose movement of the frame."""
    n, n_loose = len(problem.links.ring_rate), loose.shape[1]
    legs = np.zeros((n, 3, 3, n, 3, 3))
    rings = np.zeros((n, 3, 3, n, 3))
    frame_legs = np.zeros((n_loose, n, 3, 3))
    for k in range(n):
        for axis in range(3):
            for node in range(3):
                legs[k, node, axis, k, node, axis] = 1.0
                if node < 2:
                    legs[k, node, axis, k, node + 1, axis] = -1.0
            rings[k, 2, axis, k, axis] = -1.0
            rings[k, 2, axis, (k - 1) % n, axis] = 1.0
    frame_legs[:, :, 0, :] = -np.einsum("nij,jl->lni", problem.bones.bolts, loose)
    on_nodes = np.concatenate([legs.reshape(9 * n, 9 * n), rings.reshape(9 * n, 3 * n)], axis=1)
    on_frame = np.concatenate(
        [frame_legs.reshape(n_loose, 9 * n), np.zeros((n_loose, 3 * n))], axis=1
    )
    return np.concatenate([on_nodes, on_frame])


def _link_gap(problem: Problem, held: Pulls, dual: Floats) -> Floats:
    n_batch, n = held.leg_pull.shape[:2]
    forces = [dual[:, : 9 * n].reshape(n_batch, n, 3, 3), dual[:, 9 * n :].reshape(n_batch, n, 3)]
    links = [
        (held.leg, held.leg_long, held.leg_pull, problem.links.leg_rate, problem.links.leg_length),
        (
            held.ring,
            held.ring_long,
            held.ring_pull,
            problem.links.ring_rate,
            problem.links.ring_length,
        ),
    ]
    gap = np.zeros(n_batch)
    for force, (vector, long, pull, rate, length) in zip(forces, links, strict=True):
        size = np.linalg.norm(force, axis=-1)
        taut = (size - pull) ** 2 / (2 * rate)
        slack = size**2 / (2 * rate) + size * np.maximum(length - long, 0.0)
        # |t| L - t.d without cancellation: half of |t| L times |unit t - unit d| squared.
        unit = force / np.where(size > 0, size, 1.0)[..., None] - vector / long[..., None]
        askew = 0.5 * size * long * (unit**2).sum(axis=-1)
        gap += (np.where(pull > 0, taut, slack) + askew).reshape(n_batch, -1).sum(axis=1)
    return gap
