"""Cutting patterns: which sets of pieces one reel can hold, and the best choice of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    import highspy

__all__ = ["Choice", "Column", "choose_columns"]

_BETTER: Final = 1e-7  # [-] a pattern must beat the prices by this to be worth adding
_MOST_ROOM: Final = 400_000  # widest knapsack searched, in steps


@dataclass(frozen=True)
class Column:
    """One pattern: which length of rope, and how many pieces of each length are cut from it."""

    stock: int
    lengths: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Choice:
    """Patterns chosen.

    Attributes:
        columns: One a reel; empty where none were found.
        bound: No choice can need less rope than this, in steps.
        told: What stopped the search; empty where it ended by itself.
    """

    columns: tuple[Column, ...]
    bound: float
    told: str


def choose_columns(
    pieces: Sequence[int],
    stocks: Sequence[tuple[int, int, int]],
    *,
    start: Sequence[Column],
    seconds: float,
) -> Choice:
    """Search for patterns that need the least rope.

    Prices of the pieces come from a linear programme over the patterns known; the pattern
    worth most at those prices comes from a knapsack; at the end whole reels are chosen among
    all patterns found. Every round of prices gives a bound by itself.

    Args:
        pieces: Lengths, in steps.
        stocks: Length, room and loss at each cut of every rope sold, in steps.
        start: Patterns that together hold every piece.
        seconds: Time for the whole search. [s]

    Returns:
        The choice.
    """
    end = monotonic() + seconds
    counts = dict(sorted(Counter(pieces).items()))
    columns = list(dict.fromkeys([*start, *_singles(counts, stocks)]))
    if max(room for _, room, _ in stocks) > _MOST_ROOM:
        return Choice((), 0.0, "the rope is too long beside its step to search for patterns")
    bound, told = _grow(columns, counts, stocks, until=end - 0.4 * seconds)
    chosen = _whole(columns, counts, stocks, seconds=max(0.2, end - monotonic()))
    if not chosen and not told:
        told = "no whole number of patterns was found in the time"
    return Choice(chosen, bound, told or "no better plan was found in the time")


def _grow(
    columns: list[Column],
    counts: dict[int, int],
    stocks: Sequence[tuple[int, int, int]],
    *,
    until: float,
) -> tuple[float, str]:
    """Add the patterns worth more than their rope until there are none, or time is up."""
    solver = _programme(columns, counts, stocks)
    known = set(columns)
    bound = 0.0
    while monotonic() < until:
        solver.run()
        dual = np.array(solver.getSolution().row_dual, dtype=np.float64)
        prices = np.maximum(dual, 0.0)
        fresh, rated = [], 0.0
        for index, (length, room, loss) in enumerate(stocks):
            worth, column = _best_pattern(counts, prices, index=index, room=room, loss=loss)
            rated = max(rated, worth / length)
            if worth > length * (1 + _BETTER) and column not in known:
                fresh.append(column)
        # Prices scaled down until no pattern is worth more than its rope are a sound bound.
        total = float(prices @ np.array([*counts.values()], dtype=np.float64))
        bound = max(bound, total / max(rated, 1.0))
        if not fresh:
            return bound, ""
        for column in fresh:
            _add(solver, column, counts, stocks)
        columns += fresh
        known.update(fresh)
    return bound, "the search for patterns met its time limit"


def _singles(counts: dict[int, int], stocks: Sequence[tuple[int, int, int]]) -> list[Column]:
    found = []
    for length in counts:
        fits = [k for k, (_, room, loss) in enumerate(stocks) if length + loss <= room]
        found.append(Column(min(fits, key=lambda k: stocks[k][0]), ((length, 1),)))
    return found


def _programme(
    columns: Sequence[Column], counts: dict[int, int], stocks: Sequence[tuple[int, int, int]]
) -> highspy.Highs:
    """Least rope over the columns, every piece cut at least as often as wanted."""
    import highspy

    # The class's own constructor greets on standard output, where a document may be due; the
    # one it is derived from, which does all the work here, is quiet.
    quiet: Any = highspy.Highs.__base__
    solver: highspy.Highs = quiet()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    for count in counts.values():
        solver.addRow(float(count), highspy.kHighsInf, 0, [], [])
    for column in columns:
        _add(solver, column, counts, stocks)
    return solver


def _add(
    solver: highspy.Highs,
    column: Column,
    counts: dict[int, int],
    stocks: Sequence[tuple[int, int, int]],
) -> None:
    rows = {length: row for row, length in enumerate(counts)}
    index = np.array([rows[length] for length, _ in column.lengths], dtype=np.int32)
    value = np.array([count for _, count in column.lengths], dtype=np.float64)
    cost = float(stocks[column.stock][0])
    solver.addCol(cost, 0.0, float("inf"), len(index), index, value)


def _best_pattern(
    counts: dict[int, int], prices: np.ndarray, *, index: int, room: int, loss: int
) -> tuple[float, Column]:
    """The pattern worth most: a knapsack with a limited number of each length."""
    worth = np.zeros(room + 1)
    items = _doubled(counts, prices, loss=loss, room=room)
    taken = np.zeros((len(items), room + 1), dtype=bool)
    for k, (size, value, _, _) in enumerate(items):
        new = worth[:-size] + value
        better = new > worth[size:] + 1e-12
        taken[k, size:] = better
        worth[size:][better] = new[better]
    lengths: Counter[int] = Counter()
    at = room
    for k in range(len(items) - 1, -1, -1):
        if taken[k, at]:
            size, _, length, count = items[k]
            lengths[length] += count
            at -= size
    return float(worth[room]), Column(index, tuple(sorted(lengths.items())))


def _doubled(
    counts: dict[int, int], prices: np.ndarray, *, loss: int, room: int
) -> list[tuple[int, float, int, int]]:
    """Items (size, value, length, count) in ones, twos, fours: any number up to the count."""
    items = []
    for price, (length, count) in zip(prices, counts.items(), strict=True):
        if price <= 0:
            continue
        left, many = count, 1
        while left > 0:
            take = min(many, left)
            size = take * (length + loss)
            if size <= room:
                items.append((size, take * float(price), length, take))
            left, many = left - take, 2 * many
    return items


def _whole(
    columns: Sequence[Column],
    counts: dict[int, int],
    stocks: Sequence[tuple[int, int, int]],
    *,
    seconds: float,
) -> tuple[Column, ...]:
    """Whole numbers of patterns; none where the time was too short."""
    import highspy

    solver = _programme(columns, counts, stocks)
    for k in range(len(columns)):
        solver.changeColIntegrality(k, highspy.HighsVarType.kInteger)
    solver.setOptionValue("time_limit", seconds)
    solver.run()
    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return ()
    values = solver.getSolution().col_value
    return tuple(
        column for column, value in zip(columns, values, strict=True) for _ in range(round(value))
    )
