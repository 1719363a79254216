"""Turns that a hand can make: jointly rounded to whole steps, few legs, the target still kept.

docs/theory/tuning.md section 5.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.tuning.nouns import STEPS

if TYPE_CHECKING:
    from rafterstay.tuning.aim import Aim, Reached

__all__ = ["Rounded", "round_jointly"]

EASY: Final = 0.35  # of what is allowed: legs are left alone as long as no more is used up [-]
LEAST: Final = 0.25  # of a tolerance that is always left to rounding, however unsure [-]
SURE: Final = 2.0  # standard deviations that are kept free of rounding [-]
SPARE: Final = 2  # legs visited beyond those outside their tolerance
MOST_MOVES: Final = 60


@dataclass(frozen=True)
class Rounded:
    """Turns in whole steps.

    Attributes:
        turns: [-] (n,)
        step: [-]
        worst: The largest share used of what is allowed; above 1 the target is not kept with
            room for what is not known. [-]
        kept: The target is kept as far as the model tells.
    """

    turns: Floats
    step: float
    worst: float
    kept: bool = False

    @property
    def visits(self) -> int:
        """Legs to be turned."""
        return int((self.turns != 0).sum())


@dataclass(frozen=True)
class _Law:
    """What is off after turns: ``off + table (turns - exact)``, in shares of what is allowed."""

    off: Floats
    table: Floats
    exact: Floats

    def after(self, turns: Floats) -> Floats:
        return np.asarray(self.off + self.table @ (turns - self.exact))

    def worst(self, turns: Floats) -> float:
        return float(np.abs(self.after(turns)).max())


def round_jointly(
    aim: Aim, reached: Reached, *, sigma: Floats, outside: int, bounds: tuple[Floats, Floats]
) -> Rounded:
    """The coarsest step that keeps the target, and of its turns those that visit few legs.

    Args:
        aim: State and goal.
        reached: Exact turns and their rest.
        sigma: Of pulls [N] and centre [m] after them: what they may be off by is less. (n + 2,)
        outside: Legs outside their tolerance now; two more may be visited.
        bounds: Least and most turns of each body, by its thread. [-] (n,) each

    Returns:
        Turns; the best there are, not ``kept``, where no step keeps the target.

    Source: docs/theory/tuning.md eq. 9
    """
    law, plain = _law(aim, reached, sigma), _law(aim, reached, 0.0 * sigma)
    path = _path(law, FIRM_PATH)
    tried: list[Rounded] = []
    for most in sorted({min(outside + SPARE, aim.n), aim.n}):
        for step in STEPS:
            found = _at_step(law, path, step, most, bounds)
            tried.append(replace(found, kept=plain.worst(found.turns) <= 1.0))
            if found.worst <= 1.0:
                return tried[-1]
        # None keeps it with room for what is not known: the best of those that keep it at all.
        if any(one.kept for one in tried):
            break
    return min(tried, key=lambda one: (not one.kept, one.worst))


FIRM_PATH: Final = 1e-4


def _law(aim: Aim, reached: Reached, sigma: Floats) -> _Law:
    """Pulls and centre against what is allowed; levels against the best turns can do."""
    n, stand = aim.n, reached.stand
    rows, wanted = aim.rows(len(stand.seen))
    off = rows @ stand.seen - wanted
    off[n + 2 :] = 0.0
    allowed = np.ones(len(off))
    tolerance = np.full(n + 2, aim.goal.share * aim.goal.pull)
    tolerance[n:] = aim.goal.shift
    allowed[: n + 2] = np.maximum(1.0 - SURE * sigma / tolerance, LEAST)
    # What even the exact turns leave cannot be asked of rounded ones.
    allowed = np.maximum(allowed, np.abs(off) + LEAST)
    table = (rows @ reached.slopes) / allowed[:, None]
    return _Law(off / allowed, table, reached.turns)


def _path(law: _Law, firm: float) -> list[NDArray[np.bool_]]:
    """Which legs to turn, from all down to none: each time the one missed least is left alone."""
    n = law.table.shape[1]
    turned = np.ones(n, dtype=bool)
    path = [turned.copy()]
    while turned.any():
        costs = np.full(n, np.inf)
        for k in np.flatnonzero(turned):
            turned[k] = False
            off = law.after(_kept(law, turned, firm))
            costs[k] = float((off**4).sum())
            turned[k] = True
        turned[int(costs.argmin())] = False
        path.append(turned.copy())
    return path[::-1]


def _kept(law: _Law, turned: NDArray[np.bool_], firm: float = FIRM_PATH) -> Floats:
    """Best turns of some legs, the others left alone."""
    turns = np.zeros(len(turned))
    if turned.any():
        off = law.off - law.table @ law.exact
        table = law.table[:, turned]
        normal = table.T @ table + firm * np.eye(table.shape[1])
        turns[turned] = -np.linalg.solve(normal, table.T @ off)
    return turns


def _at_step(
    law: _Law,
    path: list[NDArray[np.bool_]],
    step: float,
    most: int,
    bounds: tuple[Floats, Floats],
) -> Rounded:
    """Fewest legs first; more as long as that leaves the target easier kept."""
    none = np.zeros(len(law.exact))
    best = Rounded(none, step, law.worst(none))
    for turned in path[1 : most + 1]:
        if best.worst <= EASY:
            break
        exact = _kept(law, turned)
        if law.worst(exact) >= best.worst:
            continue
        found = _searched(law, turned, exact, step, bounds)
        if found.worst < best.worst:
            best = found
    return best


def _searched(
    law: _Law,
    turned: NDArray[np.bool_],
    exact: Floats,
    step: float,
    bounds: tuple[Floats, Floats],
) -> Rounded:
    """Whole steps near the best turns, bettered by changing one or two legs at a time."""
    legs = np.flatnonzero(turned)
    low, high = np.ceil(bounds[0] / step - 1e-9), np.floor(bounds[1] / step + 1e-9)
    whole = np.clip(np.round(exact / step), low, high)
    if not len(legs):
        return Rounded(whole * step, step, law.worst(whole * step))
    table = law.table[:, legs] * step
    off = law.after(whole * step)
    moves = _moves(len(legs))
    change = moves @ table.T
    cost = float((off**4).sum())
    for _ in range(MOST_MOVES):
        there = whole[legs] + moves
        open_ = ((there >= low[legs]) & (there <= high[legs])).all(axis=1)
        costs = np.where(open_, ((off + change) ** 4).sum(axis=1), np.inf)
        k = int(costs.argmin())
        if costs[k] >= cost * (1 - 1e-12):
            break
        whole[legs] += moves[k]
        off, cost = off + change[k], float(costs[k])
    return Rounded(whole * step, step, law.worst(whole * step))


def _moves(n: int) -> Floats:
    """One leg a step either way, or two legs at once. (n_moves, n)"""
    single = np.concatenate([np.eye(n), -np.eye(n)])
    first, second = np.triu_indices(len(single), 1)
    return np.concatenate([single, single[first] + single[second]])
