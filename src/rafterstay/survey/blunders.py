"""Which reading is wrong, which cannot be told apart, and what could stay hidden?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, InputError, NotConverged
from rafterstay.survey.least_squares import CHECKED_LEAST, Solution, solve
from rafterstay.survey.network import Network, design, predicted
from rafterstay.survey.nouns import (
    BLUNDER_LIMIT,
    POWER_QUANTILE,
    Blunder,
    Floats,
    Reading,
)
from rafterstay.survey.slips import likely_slip

__all__ = [
    "Checks",
    "Search",
    "correlations",
    "hidden_mistake",
    "inseparable_groups",
    "judge",
    "name_blunders",
    "search",
]

_GROSS: Final = 12.0  # [-] a residual so large that the linear picture may mislead
_TRIED: Final = 12  # readings left out in turn where the misfit is gross
_STEPS: Final = 25  # allowed each of these
_FEW: Final = 400  # readings up to which that is done: among more, one bends the shape little
_MOST_FOUND: Final = 40
_BLOCK: Final = 64  # rows of correlations held at a time
_APART: Final = 2.33  # [-] 99 in 100
_SAME: Final = 0.99  # [-] correlation of residuals from which two readings hide each other


@dataclass(frozen=True)
class Checks:
    """How every reading stands in an adjustment.

    Attributes:
        checked: Share of a mistake that shows in the reading's own residual, 0 to 1; for a
            reading left out, as if it were taken in. [-] (n_readings,)
        spread: Standard deviation of the reading less what the others say. [m] (n_readings,)
        apart: The reading less what all the others say. [m] (n_readings,)
        standardised: Residual over its own sigma; NaN where nothing checks it. (n_readings,)
    """

    checked: Floats
    spread: Floats
    apart: Floats
    standardised: Floats


@dataclass(frozen=True)
class Search:
    """What a search for blunders ended with.

    Attributes:
        solution: The last adjustment.
        used: Readings left in. (n_readings,)
        found: Readings left out, in the order found.
        suspects: For each of them, readings that would explain the misfit as well.
    """

    solution: Solution
    used: NDArray[np.bool_]
    found: tuple[int, ...]
    suspects: dict[int, tuple[int, ...]]


def hidden_mistake(sigma: float, checked: float) -> float:
    """Smallest mistake in a reading that is found four times in five.

    Args:
        sigma: Standard deviation of the reading. [m]
        checked: Share of a mistake that shows in the reading's residual, 0 to 1. [-]

    Returns:
        (3.29 + 0.84) sigma / sqrt(checked). [m]

    Limits: one mistake at a time.

    Source: W. Baarda, A testing procedure for use in geodetic networks (1968);
        docs/theory/survey.md eq. 8

    >>> round(hidden_mistake(0.0625, 0.35), 3)
    0.436
    """
    return (BLUNDER_LIMIT + POWER_QUANTILE) * sigma / float(np.sqrt(checked))


def judge(solution: Solution, sigmas: Floats, used: NDArray[np.bool_]) -> Checks:
    """Shares, spreads and standardised residuals of an adjustment.

    Args:
        solution: The adjustment.
        sigmas: [m] (n_readings,)
        used: Readings that counted. (n_readings,)

    Source: docs/theory/survey.md eq. 6 and 7
    """
    adjusted = solution.adjusted_variance()
    # Residual variance: what is used shares its error with the result, what is left out not.
    variance = np.where(used, sigmas**2 - adjusted, sigmas**2 + adjusted)
    checked = np.where(used, variance / sigmas**2, sigmas**2 / (sigmas**2 + adjusted))
    good = checked > CHECKED_LEAST
    share = np.where(good, checked, 1.0)
    root = np.sqrt(np.where(good, np.maximum(variance, 0.0), 1.0))
    standardised = np.where(good, solution.residuals / root, np.nan)
    spread = np.where(good, sigmas / np.sqrt(share), np.inf)
    apart = np.where(used, solution.residuals / share, solution.residuals)
    apart = np.where(good, apart, np.nan)
    return Checks(np.clip(checked, 0.0, 1.0), spread, apart, standardised)


def correlations(
    solution: Solution, sigmas: Floats, used: NDArray[np.bool_], rows: NDArray[np.intp]
) -> Floats:
    """Correlation of the residuals of some readings with those of all.

    Args:
        solution: The adjustment.
        sigmas: [m] (n_readings,)
        used: Readings that counted. (n_readings,)
        rows: The readings asked for.

    Returns:
        0 with readings left out or unchecked. [-] (n_rows, n_readings)

    Source: docs/theory/survey.md eq. 6
    """
    shared = -(solution.matrix[rows] @ solution.covariance) @ solution.matrix.T
    shared[np.arange(len(rows)), rows] += sigmas[rows] ** 2
    variance = sigmas**2 - solution.adjusted_variance()
    good = used & (variance > CHECKED_LEAST * sigmas**2)
    root = np.sqrt(np.where(good, variance, 1.0))
    return np.where(np.outer(good[rows], good), shared / np.outer(root[rows], root), 0.0)


def search(
    network: Network,
    values: Floats,
    sigmas: Floats,
    *,
    start: Floats,
    over: NDArray[np.intp],
    redundancy: int,
) -> Search:
    """Leave blunders out one at a time, adjusting anew after each.

    Every round leaves out the reading of the largest standardised residual over 3.29. In the
    end a reading left out comes back if the others no longer speak against it.

    Args:
        network: Readings as arrays.
        values: [m] (n_readings,)
        sigmas: [m] (n_readings,)
        start: First guess. [m] (n_points, 3)
        over: Rows of the points that hold the frame as a whole.
        redundancy: Readings beyond those that just hold the shape.

    Returns:
        The last adjustment and the readings left out.

    Raises:
        InputError: SV-034 where more than half the spare readings (but one), or more than 40,
            would have to be left out.
        NotConverged: SV-030.

    Source: data snooping, W. Baarda (1968); docs/theory/survey.md eq. 7
    """
    used = np.ones(len(values), dtype=bool)
    found: list[int] = []
    suspects: dict[int, tuple[int, ...]] = {}
    trial = _Trial(network, values, sigmas, over)
    first, solution = trial.first(start)
    if first is not None:
        used[first] = False
        found.append(first)
        suspects[first] = ()
    while True:
        checks = judge(solution, sigmas, used)
        worst = trial.worst(solution, used, checks)
        if worst is None:
            break
        if len(found) >= max(1, min(redundancy // 2, _MOST_FOUND)):
            raise InputError(_too_many(network, [*found, worst]))
        alike = correlations(solution, sigmas, used, np.array([worst]))[0]
        suspects[worst] = _suspects(worst, checks, alike, used)
        used[worst] = False
        found.append(worst)
        solution = trial.adjust(solution.xyz, used)
    for k in list(found) if len(found) > 1 else ():
        checks = judge(solution, sigmas, used)
        if abs(checks.standardised[k]) <= BLUNDER_LIMIT:
            used[k] = True
            again = trial.adjust(solution.xyz, used)
            if _largest(judge(again, sigmas, used), used) > BLUNDER_LIMIT:
                used[k] = False
                continue
            found.remove(k)
            solution = again
    return Search(solution, used, tuple(found), suspects)


def _too_many(network: Network, found: Sequence[int]) -> Finding:
    names = [f"{network.names[network.start[k]]} to {network.names[network.end[k]]}" for k in found]
    return Finding(
        "SV-034",
        "readings",
        f"{len(found)} or more that disagree with the rest ({', '.join(names[:8])})",
        "at most half as many as there are spare ones",
        "Look for a mark that was moved, feet numbered the wrong way or a wrong unit; read again.",
    )


@dataclass(frozen=True)
class _Trial:
    """One survey, adjusted with one set of readings or another."""

    network: Network
    values: Floats
    sigmas: Floats
    over: NDArray[np.intp]

    def adjust(self, start: Floats, used: NDArray[np.bool_], most_steps: int = 60) -> Solution:
        return solve(
            self.network,
            self.values,
            self.sigmas,
            start=start,
            over=self.over,
            used=used,
            most_steps=most_steps,
        )

    def first(self, start: Floats) -> tuple[int | None, Solution]:
        """Everything adjusted; where that leads nowhere, all but the reading that hinders it."""
        used = np.ones(len(self.values), dtype=bool)
        try:
            return None, self.adjust(start, used)
        except NotConverged as fault:
            if len(used) > _FEW:
                raise
            off = np.abs(self.values - predicted(self.network, start)) / self.sigmas
            tried = np.argsort(-off, kind="stable")[:_TRIED].tolist()
            rank = np.linalg.matrix_rank(design(self.network, start))
            costs = [
                self._cost_without(k, start, used)
                if self._rank_without(k, start) == rank
                else float("inf")
                for k in tried
            ]
            best = int(np.argmin(costs))
            if not np.isfinite(costs[best]):
                raise fault from None
            used[tried[best]] = False
            return tried[best], self.adjust(start, used)

    def _rank_without(self, k: int, start: Floats) -> int:
        return int(np.linalg.matrix_rank(np.delete(design(self.network, start), k, axis=0)))

    def worst(self, solution: Solution, used: NDArray[np.bool_], checks: Checks) -> int | None:
        """The reading to leave out next; None where none is over the limit."""
        size = np.where(used, np.nan_to_num(np.abs(checks.standardised)), 0.0)
        order = np.argsort(-size, kind="stable")
        if size[order[0]] <= BLUNDER_LIMIT:
            return None
        if size[order[0]] < _GROSS or len(order) > _FEW:
            return int(order[0])
        # A gross mistake bends the shape so far that residuals mislead: leave each of the
        # likeliest out in turn and see which misfit goes away.
        tried = [int(k) for k in order[:_TRIED] if size[k] > BLUNDER_LIMIT]
        costs = [self._cost_without(k, solution.xyz, used) for k in tried]
        return tried[int(np.argmin(costs))]

    def _cost_without(self, k: int, start: Floats, used: NDArray[np.bool_]) -> float:
        fewer = used.copy()
        fewer[k] = False
        try:
            return self.adjust(start, fewer, _STEPS).cost(self.sigmas, fewer)
        except NotConverged:
            return float("inf")


def _largest(checks: Checks, used: NDArray[np.bool_]) -> float:
    return float(np.max(np.where(used, np.nan_to_num(np.abs(checks.standardised)), 0.0)))


def _suspects(
    worst: int, checks: Checks, alike: Floats, used: NDArray[np.bool_]
) -> tuple[int, ...]:
    """Readings over the limit that may have been the wrong one.

    Were it the rival, the worst would on average stand lower by (1 - correlation) of its size.

    Source: docs/theory/survey.md eq. 8a
    """
    size = np.nan_to_num(np.abs(checks.standardised))
    apart = np.clip(1.0 - np.abs(alike), 0.0, None)
    against = size[worst] - size + size * apart
    close = against <= _APART * np.sqrt(2.0 * apart) + 1e-6
    rivals = np.flatnonzero(close & used & (size > BLUNDER_LIMIT))
    return tuple(int(k) for k in rivals if k != worst)


def name_blunders(
    ended: Search, network: Network, readings: Sequence[Reading], sigmas: Floats
) -> tuple[Blunder, ...]:
    """The readings left out, each with what the others say and the slip that explains it.

    Args:
        ended: What the search ended with.
        network: Readings as arrays.
        readings: As taken.
        sigmas: [m] (n_readings,)
    """
    checks = judge(ended.solution, sigmas, ended.used)
    named = []
    for k in ended.found:
        reading = readings[k]
        apart, spread = float(checks.apart[k]), float(checks.spread[k])
        said = Blunder(
            k + 1,
            reading.start,
            reading.end,
            reading.kind,
            reading.line,
            apart,
            spread,
            apart / spread,
            suspects=tuple(j + 1 for j in ended.suspects[k]),
        )
        elsewhere = _elsewhere(reading, network, ended.solution.xyz)
        slip = likely_slip(reading, reading.value - apart, spread, elsewhere)
        if slip is not None:
            said = replace(said, likely_slip=slip.words, likely_value=slip.value)
        named.append(said)
    return tuple(named)


def _elsewhere(reading: Reading, network: Network, xyz: Floats) -> list[tuple[str, float]]:
    """What the reading would be to every other point from either of its ends."""
    row = {name: k for k, name in enumerate(network.names)}
    found = []
    for near, far in ((reading.start, reading.end), (reading.end, reading.start)):
        for other in network.names:
            if other in (near, far):
                continue
            step = xyz[row[other]] - xyz[row[near]]
            if reading.kind == "height":
                length = float(step[2]) * (1.0 if near == reading.start else -1.0)
            elif reading.kind == "level":
                length = float(np.hypot(step[0], step[1]))
            else:
                length = float(np.linalg.norm(step))
            found.append((f"{near} to {other}", length))
    return found


def inseparable_groups(
    solution: Solution, sigmas: Floats, used: NDArray[np.bool_]
) -> tuple[tuple[int, ...], ...]:
    """Groups of readings, from 1, whose residuals always move together.

    Args:
        solution: The adjustment.
        sigmas: [m] (n_readings,)
        used: Readings that counted. (n_readings,)

    Returns:
        Groups of two or more; a mistake shows in the group but not in which reading of it.
    """
    checked = judge(solution, sigmas, used).checked
    # By Cauchy and Schwarz one of two residuals so alike is of a reading checked to a half or
    # less, and of these there are at most twice as many as unknowns.
    low = np.flatnonzero(used & (checked > CHECKED_LEAST) & (checked <= 1.0 / (1.0 + _SAME)))
    groups: list[set[int]] = []
    for first in range(0, len(low), _BLOCK):
        rows = low[first : first + _BLOCK]
        alike = np.abs(correlations(solution, sigmas, used, rows)) > _SAME
        for k, row in zip(rows.tolist(), alike, strict=True):
            group = {k, *np.flatnonzero(row).tolist()}
            apart = [other for other in groups if not other & group]
            groups = [*apart, group.union(*(other for other in groups if other & group))]
    found = [tuple(k + 1 for k in sorted(group)) for group in groups if len(group) > 1]
    return tuple(sorted(found))
