"""Turns that a hand can make: jointly rounded to whole steps, few legs, the target still kept.

docs/theory/tuning.md section 5.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.tuning.lattice import Asked, chance, nearest
from rafterstay.tuning.nouns import STEPS

if TYPE_CHECKING:
    from rafterstay.tuning.aim import Aim, Reached
    from rafterstay.tuning.model import Stand

__all__ = ["Rounded", "round_jointly"]

KEEPS: Final = 0.05  # more chance of a miss than with unrounded turns: no more keeps it [-]
SLIGHT: Final = 0.05  # least standard deviation of anything, in tolerances [-]
TRIED: Final = 3  # legs: of so few, every set is tried
AGAIN: Final = 2
SPARE: Final = 2  # legs visited beyond those outside their tolerance
FIRM: Final = 1e-4  # what turns that change nothing cost, so that they are not made [-]


@dataclass(frozen=True)
class Rounded:
    """Turns in whole steps.

    Attributes:
        turns: [-] (n,)
        step: [-]
        added: Chance of missing a tolerance over what it is with unrounded turns. [-]
        kept: The target is kept as far as the model tells.
    """

    turns: Floats
    step: float
    added: float
    kept: bool

    @property
    def visits(self) -> int:
        """Legs to be turned."""
        return int((self.turns != 0).sum())


@dataclass(frozen=True)
class _Law:
    """What is off after turns: ``off + table (turns - exact)``, in tolerances."""

    off: Floats
    table: Floats
    exact: Floats
    sigma: Floats
    least: float

    @property
    def start(self) -> Floats:
        """What is off with no turn at all."""
        return self.after(np.zeros(len(self.exact)))

    def after(self, turns: Floats) -> Floats:
        return np.asarray(self.off + self.table @ (turns - self.exact))

    def added(self, turns: Floats) -> float:
        return float(chance(self.after(turns), self.sigma) - self.least)

    def rounded(self, turns: Floats, step: float) -> Rounded:
        kept = float(np.abs(self.after(turns)).max()) <= 1.0
        return Rounded(turns, step, self.added(turns), kept)


def round_jointly(
    aim: Aim, reached: Reached, *, sigma: Floats, outside: int, bounds: tuple[Floats, Floats]
) -> Rounded:
    """The coarsest step that keeps the target, and of its turns those that visit few legs.

    Args:
        aim: State and goal.
        reached: Exact turns and their rest.
        sigma: Of pulls [N] and centre [m] after them: what they may be off by besides. (n + 2,)
        outside: Legs outside their tolerance now; two more may be visited.
        bounds: Least and most turns of each body, by its thread. [-] (n,) each

    Returns:
        Turns; the best there are, not ``kept``, where no step keeps the target.

    Source: docs/theory/tuning.md eq. 9
    """
    law = _law(aim, reached.stand, reached.slopes, sigma)
    law = replace(law, exact=reached.turns)
    found = _fewest(law, outside + SPARE, bounds)
    for _ in range(AGAIN):
        # Few legs go far from where all together would have led: look again from there.
        near = aim.model.stand(aim.turned(found.turns), reached.stand)
        slopes = -aim.travel * aim.model.slopes(near)[:, : aim.n]
        there = _law(aim, near, slopes, sigma)
        law = replace(there, exact=found.turns, least=law.least)
        before, found = found, _fewest(law, outside + SPARE, bounds)
        if (before.turns == found.turns).all():
            break
    return found


def _fewest(law: _Law, most: int, bounds: tuple[Floats, Floats]) -> Rounded:
    """As few legs as keep the target, for those the coarsest step; more only where none do."""
    found = [law.rounded(np.zeros(len(law.exact)), STEPS[-1])]
    if found[0].added <= KEEPS:
        return found[0]
    for visits, turned in enumerate(_path(law), 1):
        if visits > most and any(one.kept for one in found):
            break
        exact = _best(law, turned)
        # Rounding cannot be counted on to mend what unrounded turns of so few legs leave.
        if law.added(exact) > KEEPS and visits < min(most, len(exact)):
            continue
        for step in STEPS:
            found.append(_searched(law, turned, exact, step, bounds))
            if found[-1].added <= KEEPS:
                return found[-1]
    return min(found, key=lambda one: (not one.kept, one.added))


def _law(aim: Aim, stand: Stand, slopes: Floats, sigma: Floats) -> _Law:
    """Pulls and centre in tolerances; levels counted from the best turns can do."""
    n = aim.n
    rows, wanted = aim.rows(len(stand.seen))
    off = rows @ stand.seen - wanted
    tolerance = np.full(n + 2, aim.goal.share * aim.goal.pull)
    tolerance[n:] = aim.goal.shift
    unsure = np.full(len(off), SLIGHT)
    unsure[: n + 2] = np.maximum(sigma / tolerance, SLIGHT)
    return _Law(off, rows @ slopes, np.zeros(n), unsure, float(chance(off, unsure)))


def _path(law: _Law) -> list[NDArray[np.bool_]]:
    """Which legs to turn, from few to all: of few the best of all, of many one less than before."""
    n = law.table.shape[1]
    path = [np.ones(n, dtype=bool)]
    while len(path) < n - TRIED:
        path.append(_best_of(law, path[-1] & ~np.eye(n, dtype=bool)[path[-1]]))
    few = range(min(TRIED, n - 1), 0, -1)
    return [*path, *(_best_of(law, _sets(n, size)) for size in few)][::-1]


def _sets(n: int, size: int) -> NDArray[np.bool_]:
    """All sets of so many legs. (n_sets, n)"""
    chosen = np.array(list(combinations(range(n), size)), dtype=int)
    return np.asarray((chosen[:, :, None] == np.arange(n)).any(axis=1))


def _best_of(law: _Law, sets: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The set of legs that may lead nearest, unrounded."""
    normal = law.table.T @ law.table + FIRM * np.eye(sets.shape[1])
    both = sets[:, :, None] & sets[:, None]
    held = np.where(both, normal, np.eye(sets.shape[1]))
    asked = np.where(sets, -(law.table.T @ law.start), 0.0)
    turns = np.linalg.solve(held, asked[..., None])[..., 0]
    best = int(chance(law.start + turns @ law.table.T, law.sigma).argmin())
    return np.asarray(sets[best])


def _best(law: _Law, turned: NDArray[np.bool_]) -> Floats:
    """Best turns of some legs, the others left alone."""
    turns = np.zeros(len(turned))
    if turned.any():
        table = law.table[:, turned]
        normal = table.T @ table + FIRM * np.eye(table.shape[1])
        turns[turned] = -np.linalg.solve(normal, table.T @ law.start)
    return turns


def _searched(
    law: _Law,
    turned: NDArray[np.bool_],
    exact: Floats,
    step: float,
    bounds: tuple[Floats, Floats],
) -> Rounded:
    """Whole steps of some legs near their best turns, the others left alone."""
    legs = np.flatnonzero(turned)
    turns = np.zeros(len(turned))
    asked = Asked(
        off=law.after(turns),
        table=law.table[:, legs] * step,
        sigma=law.sigma,
        exact=exact[legs] / step,
        low=np.ceil(bounds[0][legs] / step - 1e-9),
        high=np.floor(bounds[1][legs] / step + 1e-9),
    )
    turns[legs] = nearest(asked) * step
    return law.rounded(turns, step)
