"""A frame in pieces: what each hip keeps to itself, and what hips share.

Movements that only one hip's beams feel are eliminated hip by hip, all hips at once; what is
left is small. docs/theory/condensation.md, section 5.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.freedoms import Freedoms

__all__ = ["Blocks", "Bucket", "blocks_of"]

Indices = NDArray[np.intp]


@dataclass(frozen=True)
class Adding:
    """How the entries of many small arrays are added into one large one.

    Attributes:
        places: Where every entry goes, flat. (n_entries,)
    """

    places: Indices

    @cached_property
    def layers(self) -> tuple[tuple[Indices, Indices], ...]:
        """Where entries go and which these are; no place twice in a layer."""
        order = np.argsort(self.places, kind="stable")
        place, first, count = np.unique(self.places[order], return_index=True, return_counts=True)
        deepest = int(count.max(initial=0))
        return tuple((place[count > k], order[first[count > k] + k]) for k in range(deepest))

    def add(self, entries: Floats, into: Floats) -> None:
        """Add few entries (n_entries, n_batch) into flat arrays (n_flat, n_batch), in place."""
        for place, source in self.layers:
            into[place] += entries[source]

    def add_each(self, entries: Floats, into: Floats) -> None:
        """Add many entries (n_batch, n_entries) into flat arrays (n_batch, n_flat), in place."""
        for row, weights in zip(into, entries, strict=True):
            row += np.bincount(self.places, weights, minlength=len(row))


@dataclass(frozen=True)
class Bucket:
    """Groups of beams of the same shape.

    Attributes:
        members: Beams of each group. (g, m)
        local: Free movements that only the group's beams feel. (g, n_local)
        outer: Other free movements its beams feel, as numbered in ``Blocks.outer``; the first,
            with maps of nil, fills the rows of groups that feel fewer. (g, n_outer)
        maps: Movement of the beams' ends by local and outer ones. (g, m, 12, n_local + n_outer)
        stiffness: How the outer stiffness of the groups adds up.
        push: How their outer push adds up.
    """

    members: Indices
    local: Indices
    outer: Indices
    maps: Floats
    stiffness: Adding
    push: Adding


@dataclass(frozen=True)
class Blocks:
    """The whole frame in buckets.

    Attributes:
        buckets: Each holds groups of one shape.
        outer: Free movements that are kept, then those shared between groups.
        n_kept: How many of them are kept.
        home: Beam and side whose end stands for each node's load. (n_nodes, 2); -1 for none
        nodes: How forces on the ends of beams add up at nodes.
    """

    buckets: tuple[Bucket, ...]
    outer: Indices
    n_kept: int
    home: Indices
    nodes: Adding

    @cached_property
    def loaded(self) -> Indices:
        """Nodes that have a beam end to stand for them."""
        return np.flatnonzero(self.home[:, 0] >= 0)


def blocks_of(frame: Frame, free: Freedoms, kept: Indices) -> Blocks:
    """Sort beams into groups and movements into local, kept and shared.

    Args:
        frame: The roof; pieces of one hip carry one name.
        free: Its independent movements.
        kept: Movements that ropes or prop feel.

    Returns:
        The pieces.
    """
    ends = np.array([(m.start, m.end) for m in frame.members], dtype=np.intp)
    maps = np.concatenate([free.nodes[ends[:, 0]], free.nodes[ends[:, 1]]], axis=1)
    felt = np.abs(maps).max(axis=1) > 0
    names: dict[str, list[int]] = {}
    for index, member in enumerate(frame.members):
        names.setdefault(member.name, []).append(index)
    groups = [np.array(group, dtype=np.intp) for group in names.values()]
    touched = np.array([felt[group].any(axis=0) for group in groups])
    alone = (touched.sum(axis=0) == 1) & ~(np.abs(free.outward).max(axis=0) > 0)
    alone[kept] = False
    shared = ~alone
    shared[kept] = False
    outer = np.concatenate([kept, np.flatnonzero(shared)])
    number = np.zeros(len(alone), dtype=np.intp)
    number[outer] = np.arange(len(outer))
    shapes: dict[tuple[int, int], list[tuple[Indices, Indices, Indices]]] = {}
    for group, touch in zip(groups, touched, strict=True):
        local, beyond = np.flatnonzero(touch & alone), np.flatnonzero(touch & ~alone)
        shapes.setdefault((len(group), len(local)), []).append((group, local, beyond))
    return Blocks(
        buckets=tuple(_bucket(parts, maps, number, len(outer)) for parts in shapes.values()),
        outer=outer,
        n_kept=len(kept),
        home=_homes(ends, len(frame.nodes)),
        nodes=Adding((3 * ends.reshape(-1, 1) + np.arange(3)).ravel()),
    )


def _bucket(
    parts: list[tuple[Indices, Indices, Indices]], maps: Floats, number: Indices, n_outer: int
) -> Bucket:
    members = np.array([part[0] for part in parts], dtype=np.intp)
    local = np.array([part[1] for part in parts], dtype=np.intp)
    n_local, widest = local.shape[1], max(len(part[2]) for part in parts)
    outer = np.zeros((len(parts), widest), dtype=np.intp)
    felt = np.zeros((*members.shape, maps.shape[1], n_local + widest))
    for row, (group, own, beyond) in enumerate(parts):
        columns = np.concatenate([own, beyond])
        outer[row, : len(beyond)] = number[beyond]
        felt[row, :, :, : len(columns)] = maps[group][:, :, columns]
    return Bucket(
        members=members,
        local=local,
        outer=outer,
        maps=felt,
        stiffness=Adding((outer[:, :, None] * n_outer + outer[:, None, :]).ravel()),
        push=Adding(outer.ravel()),
    )


def _homes(ends: Indices, n_nodes: int) -> Indices:
    """The first beam end at every node."""
    home = np.full((n_nodes, 2), -1, dtype=np.intp)
    for beam in range(len(ends) - 1, -1, -1):
        for side in (1, 0):
            home[ends[beam, side]] = beam, side
    return home
