"""The frame seen from the tie bolts: its stiffness there, and its push, exactly.

docs/theory/condensation.md, section 4.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, Mechanism
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.beams import Beams, deform_map, deformation
from rafterstay.statics.blocks import Blocks, Bucket, blocks_of
from rafterstay.statics.freedoms import Freedoms, freedoms
from rafterstay.statics.order import product, states_first, states_last

__all__ = [
    "LOOSE",
    "PINNED_HEADS",
    "Condensed",
    "Skeleton",
    "condense",
    "skeleton",
]


LOOSE = 1e-10  # an eigenvalue this small beside the largest resists nothing


PINNED_HEADS = (
    "Heads pinned round a disc or ring pass no one-sided load: cut them to bear "
    "(roof.heads = 'bearing') or let them meet in one point."
)


@dataclass(frozen=True)
class Skeleton:
    """What stays the same for every load: members, freedoms, and which of them ropes feel.

    Attributes:
        frame: The roof.
        beams: Its members.
        free: Its independent movements.
        blocks: Its movements sorted into kept, shared and local ones.
        kept: Movements that move a tie bolt or, under a prop, the hub up and down. (n_kept,)
        attach: Nodes the tie is fixed to. (n_attach,)
        reach: Their displacement by the kept movements. (n_attach, 3, n_kept)
        prop: Rise of the hub by the kept movements; nil without a prop. (n_kept,)
    """

    frame: Frame
    beams: Beams
    free: Freedoms
    blocks: Blocks
    kept: NDArray[np.intp]
    attach: NDArray[np.intp]
    reach: Floats
    prop: Floats

    @cached_property
    def drawn(self) -> _Drawn:
        """The frame as drawn with each group's own movements eliminated, made when asked for."""
        return _drawn(self)


@dataclass(frozen=True)
class _Drawn:
    """The frame as drawn: what every load on it has in common.

    Attributes:
        stiffness: On the outer movements, flat, without walls. [N/m] (1, n_outer^2)
        groups: Of each bucket.
    """

    stiffness: Floats
    groups: tuple[_Groups, ...]


@dataclass(frozen=True)
class _Groups:
    """The groups of one bucket as drawn.

    Attributes:
        push: On outer movements by work on the six deformations and forces on the two ends of
            each of its beams, the local ones in balance. (g, n_outer, 12 m)
        alone: Local movements by the same. (g, n_local, 12 m)
        follow: Local movements by outer ones. (1, g, n_local, n_outer)
    """

    push: Floats
    alone: Floats
    follow: Floats


@dataclass(frozen=True)
class Followers:
    """Movements that follow others: u = alone + follow . others.

    Attributes:
        told: What they do by load alone, or how to work that out: it is asked for only where
            every movement of the frame is. [m] (n_batch, ..., n)
        follow: By the others. (n_batch or 1, ..., n, n_others)
    """

    told: Floats | Callable[[], Floats]
    follow: Floats

    @cached_property
    def alone(self) -> Floats:
        """By load alone. [m] (n_batch, ..., n)"""
        return self.told() if callable(self.told) else self.told

    def given(self, others: Floats) -> Floats:
        """The movements that go with ``others``. [m] (n_batch, ..., n)"""
        return np.asarray(self.alone + (self.follow @ others[..., None])[..., 0])

    def only(self, rows: NDArray[np.intp]) -> Followers:
        """The same for some of the batch."""
        return Followers(
            partial(_some_alone, self, rows),
            self.follow if len(self.follow) == 1 else self.follow[rows],
        )


def _some_alone(every: Followers, rows: NDArray[np.intp]) -> Floats:
    """By load alone, for some of the batch."""
    return np.asarray(every.alone[rows])


@dataclass(frozen=True)
class Condensed:
    """The frame on its kept movements, for a batch of states or one for all.

    Attributes:
        stiffness: [N/m] (n_batch or 1, n_kept, n_kept)
        push: Load on the kept movements. [N] (n_batch, n_kept)
        shared: Movements shared between hips, by the kept.
        local: Movements of each bucket's groups, by those the group shares.
    """

    stiffness: Floats
    push: Floats
    shared: Followers
    local: tuple[Followers, ...]

    @cached_property
    def spectrum(self) -> tuple[Floats, Floats]:
        """Eigenvalues, rising, and eigenvectors of the first state's stiffness. [N/m]"""
        values, modes = np.linalg.eigh(self.stiffness[0])
        return np.asarray(values), np.asarray(modes)

    def loosened(self) -> Condensed:
        """The same frame; what resists no more than rounding does resists nothing.

        A stiffness of some thousandths of a newton per metre, left of numbers of 1e10, would
        else carry load that ropes must carry.

        Source: docs/theory/error-bound.md section 5
        """
        values, modes = self.spectrum
        loose = values <= LOOSE * values[-1]
        if not loose.any():
            return self
        ways = modes[:, loose]
        stiffness = self.stiffness[0]
        for _ in range(2):  # the second pass removes the rounding of the first
            stiffness = stiffness - ways @ (ways.T @ stiffness)
            stiffness = stiffness - (stiffness @ ways) @ ways.T
        freed = replace(self, stiffness=((stiffness + stiffness.T) / 2)[None])
        vars(freed)["spectrum"] = np.where(loose, 0.0, values), modes
        return freed

    def all_movements(self, bones: Skeleton, kept: Floats) -> Floats:
        """Every independent movement from the kept ones.

        Args:
            bones: The frame.
            kept: Kept movements. [m] (n_batch, n_kept)

        Returns:
            Independent movements, rotations among them. [m, rad] (n_batch, n_free)

        Source: docs/theory/condensation.md eq. 7 and 8
        """
        blocks = bones.blocks
        outer = np.concatenate([kept, self.shared.given(kept)], axis=1)
        every = np.zeros((len(kept), bones.free.nodes.shape[2]))
        every[:, blocks.outer] = outer
        for bucket, local in zip(blocks.buckets, self.local, strict=True):
            every[:, bucket.local] = local.given(outer[:, bucket.outer])
        return every

    def only(self, rows: NDArray[np.intp]) -> Condensed:
        """The same for some of the batch."""
        return Condensed(
            stiffness=self.stiffness if len(self.stiffness) == 1 else self.stiffness[rows],
            push=self.push[rows],
            shared=self.shared.only(rows),
            local=tuple(part.only(rows) for part in self.local),
        )

    def unloaded(self) -> Condensed:
        """The frame without load, one state: how it follows its kept movements."""
        one = np.arange(1)
        quiet = self.only(one)
        return Condensed(
            stiffness=quiet.stiffness,
            push=0 * quiet.push,
            shared=Followers(0 * quiet.shared.alone, quiet.shared.follow),
            local=tuple(Followers(0 * part.alone, part.follow) for part in quiet.local),
        )


def skeleton(frame: Frame, free: Freedoms | None = None, *, propped: bool = False) -> Skeleton:
    """Prepare a frame for any number of loads.

    Args:
        frame: The roof.
        free: Its independent movements; those of a many-sided roof if left out.
        propped: Whether a prop may stand under the hub.

    Returns:
        Its skeleton.

    Source: docs/theory/condensation.md section 4
    """
    free = freedoms(frame) if free is None else free
    reach = free.nodes[frame.bolts, :3]
    felt = np.abs(reach).max(axis=(0, 1)) > 0
    if propped:
        felt |= np.abs(free.hub) > 0
    kept = np.flatnonzero(felt)
    return Skeleton(
        frame=frame,
        beams=Beams.of(frame),
        free=free,
        blocks=blocks_of(frame, free, kept),
        kept=kept,
        attach=frame.bolts,
        reach=np.ascontiguousarray(reach[:, :, kept]),
        prop=free.hub[kept] if propped else np.zeros(len(kept)),
    )


def condense(
    bones: Skeleton,
    movement: Floats,
    *,
    forces: Floats,
    work: Floats,
    wall_stiffness: float | Floats,
) -> Condensed:
    """Condense the frame, displaced by ``movement``, onto the movements the ropes feel.

    Args:
        bones: The frame.
        movement: Displacement and rotation of every node so far. [m, rad]
            (n_batch or 1, n_nodes, 6)
        forces: On every node. [N] (n_batch, n_nodes, 3)
        work: Loads on the members' deformations. [N, N m] (n_batch, n_members, 6)
        wall_stiffness: Spring at each foot, outward, or inward force on each foot by outward
            movement of each. [N/m] () or (n, n)

    Returns:
        Stiffness and out-of-balance push for the next, small movement.

    Raises:
        Mechanism: A part of the frame moves without moving bolt or hub and nothing holds it.

    Source: docs/theory/condensation.md eq. 6 and 7
    """
    blocks = bones.blocks
    n_outer, n_batch = len(blocks.outer), len(forces)
    push = np.zeros((n_outer, n_batch))
    if movement.any():
        shape = deform_map(bones.beams, bones.frame.nodes + movement[..., :3])
        at_ends = _end_push(bones, shape, member_forces(bones, movement, work), forces)
        stiffness = np.zeros((len(shape), n_outer * n_outer))
        local = []
        for bucket in blocks.buckets:
            followers, rest, load = _condense_groups(bones, bucket, shape, at_ends)
            bucket.stiffness.add_each(rest.reshape(len(rest), -1), stiffness)
            bucket.push.add(_states_on(load), push)
            local.append(followers)
    else:
        stiffness = bones.drawn.stiffness.copy()
        local = _load_groups(bones, forces, work, push)
    return _condense_shared(
        bones,
        stiffness.reshape(len(stiffness), n_outer, n_outer),
        push.T,
        movement=movement,
        wall_stiffness=wall_stiffness,
        local=tuple(local),
    )


def _states_on(values: Floats) -> Floats:
    """All entries of a state in a column. (n_batch, ...) to (n, n_batch)"""
    return states_last(values).reshape(-1, len(values))


def _condense_shared(
    bones: Skeleton,
    stiffness: Floats,
    push: Floats,
    *,
    movement: Floats,
    wall_stiffness: float | Floats,
    local: tuple[Followers, ...],
) -> Condensed:
    """Put the walls to the outer movements and eliminate those that are shared."""
    frame, blocks, n_kept = bones.frame, bones.blocks, bones.blocks.n_kept
    if np.any(wall_stiffness):
        firm = np.asarray(wall_stiffness)
        firm = firm if firm.ndim else firm * np.eye(frame.n)
        outward = bones.free.outward[:, blocks.outer]
        stiffness += outward.T @ firm @ outward
        moved = (movement[..., frame.feet, :3] * frame.outward).sum(-1)
        push = push - moved @ firm @ outward
    inside, across = stiffness[:, n_kept:, n_kept:], stiffness[:, n_kept:, :n_kept]
    _require_held(bones, inside[0][None], blocks.outer[None, n_kept:])
    asked = push[:, n_kept:]
    if len(across) == 1:
        follow = np.asarray(np.linalg.solve(inside, -across))
        shared = Followers(partial(_solved_alone, inside, asked), follow)
        on_kept_push = push[:, :n_kept] + product(asked, follow[0])
    else:
        shared = _follow(inside, across, asked)
        carried = np.swapaxes(across, 1, 2) @ shared.alone[..., None]
        on_kept_push = push[:, :n_kept] - carried[..., 0]
    on_kept = stiffness[:, :n_kept, :n_kept] + np.swapaxes(across, 1, 2) @ shared.follow
    return Condensed(
        stiffness=(on_kept + np.swapaxes(on_kept, 1, 2)) / 2,
        push=np.ascontiguousarray(on_kept_push),
        shared=shared,
        local=local,
    )


def _solved_alone(inside: Floats, asked: Floats) -> Floats:
    """Movements of one frame by many loads. (1, n, n), (n_batch, n) to (n_batch, n)"""
    return np.ascontiguousarray(np.linalg.solve(inside[0], asked.T).T)


def _drawn(bones: Skeleton) -> _Drawn:
    """Eliminate what each group of the frame as drawn keeps to itself."""
    blocks = bones.blocks
    shape = deform_map(bones.beams, bones.frame.nodes)[None]
    flat = np.zeros((1, len(blocks.outer) ** 2))
    groups = []
    for bucket in blocks.buckets:
        g, m, _, columns = bucket.maps.shape
        n_local = bucket.local.shape[1]
        bent, stiffness = _groups_stiffness(bones, bucket, shape)
        ends = bucket.maps.reshape(g, m, 2, 6, columns)[:, :, :, :3].reshape(g, m, 6, columns)
        loads = np.concatenate([bent[0], ends], axis=2).reshape(g, 12 * m, columns)
        inside, across = stiffness[0, :, :n_local, :n_local], stiffness[0, :, :n_local, n_local:]
        _require_held(bones, inside, bucket.local)
        ones = np.broadcast_to(np.eye(n_local), inside.shape)
        both = np.linalg.solve(inside, np.concatenate([-across, ones], axis=2))
        n_others = columns - n_local
        follow, give = both[None, :, :, :n_others], both[:, :, n_others:]
        rest = stiffness[:, :, n_local:, n_local:] + np.swapaxes(across, 1, 2) @ follow
        bucket.stiffness.add_each(rest.reshape(1, -1), flat)
        own, beyond = (
            np.swapaxes(loads[..., :n_local], 1, 2),
            np.swapaxes(loads[..., n_local:], 1, 2),
        )
        pushed = beyond + np.swapaxes(follow[0], 1, 2) @ own
        groups.append(_Groups(np.asarray(pushed), np.asarray(give @ own), np.asarray(follow)))
    return _Drawn(flat, tuple(groups))


def _load_groups(bones: Skeleton, forces: Floats, work: Floats, push: Floats) -> list[Followers]:
    """Local movements of every group of the frame as drawn; what they leave adds to ``push``.

    Source: docs/theory/condensation.md eq. 7
    """
    blocks, n_batch = bones.blocks, len(forces)
    at_ends = np.zeros((len(bones.beams.ends), 12, n_batch))
    at_ends[:, :6] = states_last(work)
    home, loaded = blocks.home, blocks.loaded
    halves = at_ends.reshape(-1, 4, 3, n_batch)
    halves[home[loaded, 0], 2 + home[loaded, 1]] = states_last(forces)[loaded]
    local = []
    for bucket, group in zip(blocks.buckets, bones.drawn.groups, strict=True):
        asked = at_ends[bucket.members].reshape(len(bucket.members), -1, n_batch)
        bucket.push.add((group.push @ asked).reshape(-1, n_batch), push)
        local.append(Followers(partial(_groups_alone, group.alone, asked), group.follow))
    return local


def _groups_alone(by_load: Floats, asked: Floats) -> Floats:
    """Local movements of every group. (g, n, k), (g, k, n_batch) to (n_batch, g, n)"""
    return np.ascontiguousarray(states_first(by_load @ asked))


def _end_push(bones: Skeleton, shape: Floats, inner: Floats, forces: Floats) -> Floats:
    """What pushes the beams' ends: loads less the members' answer. [N, N m] (n_batch, M, 2, 6)"""
    answer = (np.swapaxes(shape, -1, -2) @ inner[..., None])[..., 0]
    push = -np.broadcast_to(answer, (len(forces), *answer.shape[1:])).reshape(len(forces), -1, 2, 6)
    home, at = bones.blocks.home, bones.blocks.loaded
    push[:, home[at, 0], home[at, 1], :3] += forces[:, at]
    return push


def _groups_stiffness(bones: Skeleton, bucket: Bucket, shape: Floats) -> tuple[Floats, Floats]:
    """Deformations by local and outer movements of each group, and its stiffness on them.

    Returns:
        Deformations (b, g, m, 6, columns); stiffness (b, g, columns, columns).
    """
    g, m = bucket.members.shape
    flat = (len(shape), g, 6 * m, bucket.maps.shape[-1])
    bent = shape[:, bucket.members] @ bucket.maps
    firm = (bones.beams.stiffness[bucket.members] @ bent).reshape(flat)
    return bent, np.swapaxes(bent.reshape(flat), 2, 3) @ firm


def _condense_groups(
    bones: Skeleton, bucket: Bucket, shape: Floats, at_ends: Floats
) -> tuple[Followers, Floats, Floats]:
    """Eliminate what each group keeps to itself.

    Returns:
        The local movements; stiffness (b, g, n_outer, n_outer) and push (n_batch, g, n_outer)
        on the outer ones.
    """
    g, m = bucket.members.shape
    n_local, columns = bucket.local.shape[1], bucket.maps.shape[-1]
    _, stiffness = _groups_stiffness(bones, bucket, shape)
    ends = np.swapaxes(at_ends[:, bucket.members].reshape(len(at_ends), g, 12 * m), 0, 1)
    push = np.swapaxes(ends @ bucket.maps.reshape(g, 12 * m, columns), 0, 1)
    outer_push, rest = push[..., n_local:], stiffness[..., n_local:, n_local:]
    if not n_local:
        nothing = np.zeros((1, g, 0, columns))
        return Followers(np.zeros((len(push), g, 0)), nothing), rest, outer_push
    inside, across = stiffness[..., :n_local, :n_local], stiffness[..., :n_local, n_local:]
    _require_held(bones, inside[0], bucket.local)
    local = _follow(inside, across, push[..., :n_local])
    back = np.swapaxes(across, -1, -2)
    rest = rest + back @ local.follow
    return local, rest, outer_push - (back @ local.alone[..., None])[..., 0]


def _follow(inside: Floats, across: Floats, push: Floats) -> Followers:
    """Movements in balance under a push, whatever the others do.

    Args:
        inside: Stiffness. (b, ..., n, n)
        across: Coupling to the others. (b, ..., n, n_others)
        push: Load. [N] (n_batch, ..., n)

    Returns:
        How they follow.
    """
    if len(inside) == len(push):
        both = np.linalg.solve(inside, np.concatenate([-across, push[..., None]], axis=-1))
        return Followers(np.asarray(both[..., -1]), np.asarray(both[..., :-1]))
    loads = np.moveaxis(push, 0, -1)[None]
    both = np.linalg.solve(inside, np.concatenate([-across, loads], axis=-1))
    n_others = across.shape[-1]
    return Followers(
        np.ascontiguousarray(np.moveaxis(both[0, ..., n_others:], -1, 0)),
        np.asarray(both[..., :n_others]),
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


def _require_held(bones: Skeleton, inside: Floats, columns: NDArray[np.intp]) -> None:
    """Refuse movements that nothing resists while bolts and hub stay.

    Args:
        bones: The frame.
        inside: Stiffness of each group on its own movements. (g, n, n)
        columns: Which they are. (g, n)
    """
    if not inside.size:
        return
    largest = np.abs(inside).sum(axis=1).max(axis=1)
    shifted = inside - (1e-10 * largest)[:, None, None] * np.eye(inside.shape[1])
    try:
        np.linalg.cholesky(shifted)
    except np.linalg.LinAlgError:
        for group, free in zip(inside, columns, strict=True):
            _require_one_held(bones, group, free)


def _require_one_held(bones: Skeleton, inside: Floats, columns: NDArray[np.intp]) -> None:
    """The same of one group; what is loose gets a name."""
    largest = np.abs(inside).sum(axis=1).max()
    try:
        np.linalg.cholesky(inside - 1e-10 * largest * np.eye(len(inside)))
    except np.linalg.LinAlgError:
        raise _loose(bones, inside, columns) from None


def _loose(bones: Skeleton, inside: Floats, columns: NDArray[np.intp]) -> Mechanism:
    _, vectors = np.linalg.eigh(inside)
    pattern = np.abs(bones.free.nodes[:, :, columns] @ vectors[:, 0]).sum(axis=1)
    loose = bones.frame.names[int(pattern.argmax())]
    remedy = "Brace the hips sideways (roof.bracing = 'deck') or take another hub."
    if bones.frame.deck and bones.frame.hub != "point" and not bones.frame.heads_bear:
        remedy = PINNED_HEADS
    return Mechanism(
        Finding(
            code="ST-001",
            key=loose,
            bound="held: it can move or turn with nothing to stop it",
            remedy=remedy,
        ),
        loose=loose,
    )
