"""The frame seen from the tie bolts: its stiffness there, and its push, exactly.

docs/theory/condensation.md, section 4.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, Mechanism
from rafterstay.loads.nouns import Case
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.beams import Beams, deform_map, deformation, line_load
from rafterstay.statics.freedoms import Freedoms, freedoms

__all__ = ["Condensed", "Skeleton", "condense", "loads_on", "out_of_balance", "skeleton"]


@dataclass(frozen=True)
class Skeleton:
    """What stays the same for every load: members, freedoms, and which of them ropes feel.

    Attributes:
        frame: The roof.
        beams: Its members.
        free: Its independent movements.
        kept: Movements that move a tie bolt or the hub up and down. (n_kept,)
        inner: The rest. (n_inner,)
        attach: Nodes the tie is fixed to. (n_attach,)
        reach: Their displacement by the kept movements. (n_attach, 3, n_kept)
        prop: Rise of the hub by the kept movements. (n_kept,)
    """

    frame: Frame
    beams: Beams
    free: Freedoms
    kept: NDArray[np.intp]
    inner: NDArray[np.intp]
    attach: NDArray[np.intp]
    reach: Floats
    prop: Floats


@dataclass(frozen=True)
class Condensed:
    """The frame on its kept movements, for a batch of states or one for all.

    Attributes:
        stiffness: [N/m] (n_batch or 1, n_kept, n_kept)
        push: Load on the kept movements. [N] (n_batch, n_kept)
        inner_push: Movement of the inner freedoms by load alone. [m] (n_batch, n_inner)
        inner_follow: Movement of the inner freedoms by the kept. (n_batch or 1, n_inner, n_kept)
    """

    stiffness: Floats
    push: Floats
    inner_push: Floats
    inner_follow: Floats

    def all_movements(self, bones: Skeleton, kept: Floats) -> Floats:
        """Every independent movement from the kept ones.

        Args:
            bones: The frame.
            kept: Kept movements. [m] (n_batch, n_kept)

        Returns:
            Independent movements, rotations among them. [m, rad] (n_batch, n_free)

        Source: docs/theory/condensation.md eq. 7
        """
        every = np.empty((*kept.shape[:-1], len(bones.kept) + len(bones.inner)))
        every[..., bones.kept] = kept
        every[..., bones.inner] = self.inner_push + (self.inner_follow @ kept[..., None])[..., 0]
        return every


def skeleton(frame: Frame) -> Skeleton:
    """Prepare a frame for any number of loads.

    Args:
        frame: The roof.

    Returns:
        Its skeleton.

    Source: docs/theory/condensation.md section 4
    """
    free = freedoms(frame)
    reach = free.nodes[frame.bolts, :3]
    felt = (np.abs(reach).max(axis=(0, 1)) > 0) | (np.abs(free.hub) > 0)
    kept, inner = np.flatnonzero(felt), np.flatnonzero(~felt)
    return Skeleton(
        frame=frame,
        beams=Beams.of(frame),
        free=free,
        kept=kept,
        inner=inner,
        attach=frame.bolts,
        reach=reach[:, :, kept],
        prop=free.hub[kept],
    )


def loads_on(bones: Skeleton, cases: list[Case]) -> tuple[Floats, Floats]:
    """Nodal forces and beam work of a list of cases.

    Args:
        bones: The frame.
        cases: The loads.

    Returns:
        Vertical force on every node, upward [N] (n_cases, n_nodes); work on the six
        deformations of each member [N, N m] (n_cases, n_members, 6).

    Source: docs/theory/condensation.md eq. 3
    """
    frame, beams = bones.frame, bones.beams
    n_hips = len(frame.members) - (frame.n if frame.hub == "ring" else 0)
    per_hip = n_hips // frame.n
    foot_z = frame.nodes[frame.feet, 2][:, None]
    tall = (frame.nodes[frame.heads, 2] - frame.nodes[frame.feet, 2])[:, None]
    ends_z = frame.nodes[beams.ends[:n_hips], 2].reshape(frame.n, -1)
    share = ((ends_z - foot_z) / tall).reshape(frame.n, per_hip, 2)
    line = np.array([case.hip_load for case in cases])[:, :, None, None, :]
    along = line[..., 0] * (1 - share) + line[..., 1] * share
    downward = np.zeros((len(cases), len(frame.members), 2))
    downward[:, :n_hips] = along.reshape(len(cases), n_hips, 2)
    ends, work = line_load(beams, frame.nodes, downward)
    forces = np.zeros((len(cases), len(frame.nodes)))
    for side in (0, 1):
        np.subtract.at(forces.T, beams.ends[:, side], ends[..., side].T)
    forces[:, frame.heads] -= np.array([case.head_load for case in cases])
    return forces, work


def condense(
    bones: Skeleton,
    movement: Floats,
    *,
    forces: Floats,
    work: Floats,
    wall_stiffness: float,
) -> Condensed:
    """Condense the frame, displaced by ``movement``, onto the movements the ropes feel.

    Args:
        bones: The frame.
        movement: Displacement and rotation of every node so far. [m, rad]
            (n_batch or 1, n_nodes, 6)
        forces: Upward nodal forces. [N] (n_batch, n_nodes)
        work: Loads on the members' deformations. [N, N m] (n_batch, n_members, 6)
        wall_stiffness: Spring at each foot, outward. [N/m]

    Returns:
        Stiffness and out-of-balance push for the next, small movement.

    Raises:
        Mechanism: A part of the frame moves without moving bolt or hub and nothing holds it.

    Source: docs/theory/condensation.md eq. 6 and 7
    """
    frame, beams, free = bones.frame, bones.beams, bones.free
    shape = deform_map(beams, frame.nodes + movement[..., :3])
    on_free = _on_free(beams, free, shape)
    n_free = on_free.shape[-1]
    flat = on_free.reshape(len(on_free), -1, n_free)
    stressed = (beams.stiffness @ on_free).reshape(len(on_free), -1, n_free)
    stiffness = np.swapaxes(flat, 1, 2) @ stressed
    walls = free.outward.T @ free.outward * wall_stiffness
    stiffness = (stiffness + np.swapaxes(stiffness, 1, 2)) / 2 + walls
    push = out_of_balance(
        bones, movement, forces=forces, work=work, wall_stiffness=wall_stiffness, on_free=on_free
    )
    kept, inner = bones.kept, bones.inner
    inside = stiffness[:, inner[:, None], inner]
    across = stiffness[:, inner[:, None], kept]
    _require_held(bones, inside)
    follow = -np.linalg.solve(inside, across)
    alone = np.linalg.solve(inside, push[:, inner, None])[..., 0]
    on_kept = stiffness[:, kept[:, None], kept] + np.swapaxes(across, 1, 2) @ follow
    return Condensed(
        stiffness=(on_kept + np.swapaxes(on_kept, 1, 2)) / 2,
        push=push[:, kept] - (np.swapaxes(across, 1, 2) @ alone[..., None])[..., 0],
        inner_push=np.asarray(alone),
        inner_follow=np.asarray(follow),
    )


def out_of_balance(
    bones: Skeleton,
    movement: Floats,
    *,
    forces: Floats,
    work: Floats,
    wall_stiffness: float,
    on_free: Floats | None = None,
) -> Floats:
    """Load less what the displaced members already give, on the independent movements.

    Args:
        bones: The frame.
        movement: Displacement and rotation of every node so far. [m, rad]
        forces: Upward nodal forces. [N] (n_batch, n_nodes)
        work: Loads on the members' deformations. [N, N m] (n_batch, n_members, 6)
        wall_stiffness: Spring at each foot, outward. [N/m]
        on_free: Deformations by the independent movements, if known already. [-, 1/m, m]
            (n_batch or 1, n_members, 6, n_free)

    Returns:
        Push on the independent movements. [N] (n_batch, n_free)

    Source: docs/theory/second-order.md eq. 1; without movement condensation.md eq. 6
    """
    beams, free = bones.beams, bones.free
    if on_free is None:
        on_free = _on_free(beams, free, deform_map(beams, bones.frame.nodes + movement[..., :3]))
    inner = member_forces(bones, movement, work)
    outward = (movement[..., bones.frame.feet, :3] * bones.frame.outward).sum(-1)
    return np.asarray(
        forces @ free.nodes[:, 2]
        - np.einsum(
            "bmdq,bmd->bq", np.broadcast_to(on_free, (len(inner), *on_free.shape[1:])), inner
        )
        - wall_stiffness * outward @ free.outward
    )


def member_forces(bones: Skeleton, movement: Floats, work: Floats) -> Floats:
    """Forces with which the members answer their six deformations.

    Args:
        bones: The frame.
        movement: Displacement and rotation of every node. [m, rad] (n_batch or 1, n_nodes, 6)
        work: Loads on the members' deformations. [N, N m] (n_batch, n_members, 6)

    Returns:
        Stretch force, end moments, twist. [N, N m] (n_batch, n_members, 6)

    Source: docs/theory/condensation.md eq. 2 and 3; docs/theory/second-order.md eq. 2
    """
    bent = deformation(bones.beams, bones.frame.nodes, movement)
    return np.asarray(np.einsum("mde,bme->bmd", bones.beams.stiffness, bent) - work)


def _on_free(beams: Beams, free: Freedoms, shape: Floats) -> Floats:
    """Deformations of each member by each independent movement. (n_batch, n_members, 6, n_free)"""
    start = free.nodes[beams.ends[:, 0]]
    end = free.nodes[beams.ends[:, 1]]
    return np.asarray(shape @ np.concatenate([start, end], axis=1))


def _require_held(bones: Skeleton, inside: Floats) -> None:
    values, vectors = np.linalg.eigh(inside[0])
    if len(values) and values[0] <= 1e-10 * values[-1]:
        pattern = np.abs(bones.free.nodes[:, :, bones.inner] @ vectors[:, 0]).sum(axis=1)
        loose = bones.frame.names[int(pattern.argmax())]
        raise Mechanism(
            Finding(
                code="ST-001",
                key=loose,
                bound="held: it can move or turn with nothing to stop it",
                remedy="Brace the hips sideways (roof.bracing = 'deck') or take another hub.",
            ),
            loose=loose,
        )
