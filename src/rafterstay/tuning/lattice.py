"""Which whole steps come nearest what is wanted, where some combinations of legs matter little?

docs/theory/tuning.md section 5.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = ["MANY", "Asked", "chance", "nearest"]

ROOM: Final = 0.6  # of a tolerance, that a combination is moved through at most [-]
FINE: Final = 0.5  # of a step of the leg that goes furthest, between two places looked at [-]
MOST: Final = 16  # places to either side of the exact turns
BEST: Final = 8  # of all places looked at, bettered leg by leg
MOST_MOVES: Final = 60
MANY: Final = 200  # places looked at together: a table that stays in the processor's own memory
BEND: Final = (0.717, 0.416)  # of the tail of the normal law, within 0.007


def chance(off: Floats, sigma: Floats) -> Floats:
    """Chance that something is out of its tolerance; outside it, how far as well.

    Args:
        off: What it is expected to be off by, in tolerances. [-] (..., n_rows)
        sigma: Standard deviation of that. [-] (n_rows,)

    Returns:
        Sum over the rows; each counts half at its tolerance. [-] (...,)

    Source: the tail of the normal law, exp(-0.717 x - 0.416 x^2)/2, beside the error function in
    tests/tuning/test_lattice.py

    >>> float(chance(np.array([0.0, 0.5]), np.array([0.5, 0.25])).round(3))
    0.045
    """
    # In place: a search asks this of millions.
    room = np.abs(off)
    np.subtract(1.0, room, out=room)
    room /= sigma
    past = np.minimum(room, 0.0)
    np.maximum(room, 0.0, out=room)
    tail = BEND[1] * room
    tail += BEND[0]
    tail *= room
    np.negative(tail, out=tail)
    np.exp(tail, out=tail)
    past *= BEND[0]
    tail -= past
    return np.asarray(0.5 * tail.sum(axis=-1))


@dataclass(frozen=True)
class Asked:
    """Legs that may be turned, in steps.

    Attributes:
        off: What is off with no turn at all, in tolerances. [-] (n_rows,)
        table: Change of it for each step of each leg. [-] (n_rows, n)
        sigma: Its standard deviation. [-] (n_rows,)
        exact: Turns that do best unrounded, in steps. [-] (n,)
        low, high: Least and most whole steps. (n,) each
    """

    off: Floats
    table: Floats
    sigma: Floats
    exact: Floats
    low: Floats
    high: Floats

    def costs(self, whole: Floats) -> Floats:
        """How likely it is that a tolerance is missed.

        Args:
            whole: Steps of every leg. [-] (n_places, n)

        Returns:
            [-] (n_places,)
        """
        off = self.off + whole @ self.table.T
        parts = [chance(off[k : k + MANY], self.sigma) for k in range(0, len(off), MANY)]
        return np.concatenate([np.zeros(0), *parts])


def nearest(asked: Asked) -> Floats:
    """Whole steps of every leg with the least chance that a tolerance is missed.

    The exact turns are moved along the two combinations of legs that change least of what is
    looked at: for a stiff ring those that carry it sideways. A whole step of one leg is coarse,
    but there are thousands of places for the ring within its tolerance, and at some of them all
    legs are close to whole steps at once. The best are then bettered by one or two legs at a time.

    Args:
        asked: What is wanted.

    Returns:
        Steps. [-] (n,)

    Limits: not proved to be the least of all; ``tests/tuning/test_lattice.py`` compares it with
    an exhaustive search.
    Source: docs/theory/tuning.md section 5
    """
    places = np.clip(np.round(_places(asked)), asked.low, asked.high)
    costs = asked.costs(places)
    near = np.argsort(costs)[: 8 * BEST]
    first = np.sort(np.unique(places[near], axis=0, return_index=True)[1])[:BEST]
    return _bettered(asked, places[near[first]], costs[near[first]])


def _places(asked: Asked) -> Floats:
    """The exact turns moved along the two softest combinations. [steps] (n_places, n)"""
    ways = np.linalg.svd(asked.table, full_matrices=True)[2]
    grids = []
    for k in range(max(0, len(ways) - 2), len(ways)):
        way = ways[k] / np.abs(ways[k]).max()
        used = float(np.abs(asked.table @ way).max())
        reach = min(MOST, int(ROOM / max(FINE * used, 1e-9)))
        grids.append(FINE * np.arange(-reach, reach + 1)[:, None] * way)
    moved = grids[0]
    if len(grids) > 1:
        moved = (grids[0][:, None] + grids[1][None]).reshape(-1, len(asked.exact))
    return np.asarray(asked.exact + moved)


def _bettered(asked: Asked, whole: Floats, costs: Floats) -> Floats:
    """The best place after changing one or two legs of each as long as that helps."""
    moves = _moves(whole.shape[1])
    change = moves @ asked.table.T
    going = np.arange(len(whole))
    for _ in range(MOST_MOVES):
        here = whole[going]
        off = asked.off + here @ asked.table.T
        # Place by place: a table that stays in the processor's own memory is thrice as quick.
        after = np.array([chance(one + change, asked.sigma) for one in off])
        if (here.min(axis=0) - 2 < asked.low).any() or (here.max(axis=0) + 2 > asked.high).any():
            there = here[:, None] + moves
            after[((there < asked.low) | (there > asked.high)).any(axis=2)] = np.inf
        k = after.argmin(axis=1)
        least = after[np.arange(len(here)), k]
        better = least < costs[going] * (1 - 1e-12)
        # A place that nothing betters stays so.
        going, k, least = going[better], k[better], least[better]
        if not len(going):
            break
        whole[going] += moves[k]
        costs[going] = least
    return np.asarray(whole[int(costs.argmin())])


@cache
def _moves(n: int) -> Floats:
    """One leg a step either way, or two legs at once. (n_moves, n)"""
    single = np.concatenate([np.eye(n), -np.eye(n)])
    first, second = np.triu_indices(len(single), 1)
    moves = np.concatenate([single, single[first] + single[second]])
    moves.flags.writeable = False
    return moves
