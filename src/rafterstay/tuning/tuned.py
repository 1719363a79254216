"""Many builds at once: exact turns of each, and what it pulls before any body is turned.

docs/theory/tuning.md section 12.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.network import Pulls
from rafterstay.tuning.aim import FIRM, SHAPE, Aim
from rafterstay.tuning.settling import (
    Law,
    Rates,
    Span,
    law_of,
    left_over,
    lengthened,
    let_out,
    rates,
    step_of,
    stepped,
    turning,
)

__all__ = ["Slopes", "Tuned", "Wish", "is_at_rest", "rest_after", "slopes_of", "tuned", "wish_of"]

MOST_STEPS: Final = 30
EVEN: Final = 1e-7  # of a turn: no exact turn changes by more in the last step [-]
SETTLED: Final = 1e-6  # left out of balance, of the largest pull [-]
CLOSE: Final = 1e-6  # by which a link misses its ends at most before a last step [m]
MOVING: Final = 1e3  # times that, a build is not settled [-]
FARTHEST: Final = 1.0  # turn of any leg in one step [-]
SHARED: Final = 2  # steps by the drawing's slopes, at most
OLD: Final = 0.005  # of a turn: slopes taken further off than that are taken anew [-]


@dataclass(frozen=True)
class Wish:
    """What every build is tuned to, as rows on pulls and eyes.

    Attributes:
        rows: Pulls, centre, levels and, weighted, the shape. [1/N, 1/m] (n_rows, 4 n)
        wanted: What they are to be. [-] (n_rows,)
        judged: How many of the rows say whether the goal is kept.
        travel: What one turn takes off a leg. [m]
        pull: Goal of every leg. [N]
    """

    rows: Floats
    wanted: Floats
    judged: int
    travel: float
    pull: float

    def off(self, pull: Floats, eyes: Floats) -> Floats:
        """How far pulls and eyes are off.

        Args:
            pull: [N] (b, n)
            eyes: [m] (b, n, 3)

        Returns:
            In tolerances. [-] (b, n_rows)
        """
        n = pull.shape[1]
        return np.asarray(
            pull @ self.rows[:, :n].T
            + eyes.reshape(len(eyes), -1) @ self.rows[:, n:].T
            - self.wanted
        )

    def table(self, by: Rates) -> Floats:
        """Change of what is off by each turn. [-] (b, n_rows, n)"""
        n = by.pull.shape[1]
        eyes = by.eyes.reshape(len(by.eyes), 3 * n, n)
        return np.asarray(-self.travel * (self.rows[:, :n] @ by.pull + self.rows[:, n:] @ eyes))


def wish_of(aim: Aim) -> Wish:
    """The goal of an aim, weighed as ``aim_at`` weighs it.

    Args:
        aim: Any state of the tie and its goal.

    Returns:
        The rows.

    Source: docs/theory/tuning.md eq. 7
    """
    rows, wanted = aim.rows(4 * aim.n)
    judged = len(rows)
    if aim.has_shape:
        more, drawn = aim.shape_rows(4 * aim.n)
        rows = np.concatenate([rows, SHAPE * more])
        wanted = np.concatenate([wanted, SHAPE * drawn])
    return Wish(rows, wanted, judged, aim.travel, aim.goal.pull)


@dataclass(frozen=True)
class Tuned:
    """Builds brought to the goal.

    Attributes:
        turns: Exact, counted from what the bodies were set to. [-] (b, n)
        span: Where they came to rest.
        held: Their links there.
        slopes: How they answer a turn there.
        settled: Whether they are at rest and no turn betters them. (b,)
    """

    turns: Floats
    span: Span
    held: Pulls
    slopes: Slopes
    settled: NDArray[np.bool_]


@dataclass(frozen=True)
class Slopes:
    """How builds answer a turn.

    Attributes:
        law: Stiffnesses.
        by: Change by each turnbuckle.
        table: Of what is off, by each turn. [-] (b, n_rows, n)
        normal: Inverse of the normal matrix of eq. 7. [-] (b, n, n)
    """

    law: Law
    by: Rates
    table: Floats
    normal: Floats

    def put(self, rows: NDArray[np.intp], other: Slopes) -> None:
        """Take others for some of the builds, in place.

        Args:
            rows: Which. (n_rows,)
            other: Of those.
        """
        self.table[rows], self.normal[rows] = other.table, other.normal
        self.law.put(rows, other.law)
        self.by.put(rows, other.by)


def tuned(start: Span, wish: Wish, turns: Floats, first: Slopes) -> Tuned:
    """Find exact turns and rest together.

    Args:
        start: Builds near the goal once turned by ``turns``, which they are not yet.
        wish: The goal.
        turns: To begin with. [-] (b, n)
        first: Slopes to begin with, one for all.

    Returns:
        Builds tuned, with slopes of their own.

    Source: docs/theory/tuning.md eq. 7 and 12
    """
    span, turns = lengthened(start, -wish.travel * turns), turns.copy()
    now, own, aged, last = first, False, np.zeros(len(turns)), np.inf
    for count in range(MOST_STEPS):
        span, held = _looked(span)
        if not own and (count >= SHARED or last < OLD):
            now, own, aged = slopes_of(span, wish), True, 0.0 * aged
        elif own and (aged > OLD).any():
            rows = np.flatnonzero(aged > OLD)
            now.put(rows, slopes_of(span.only(rows), wish))
            aged[rows] = 0.0
        step = step_of(span, now.law, held)
        off = wish.off(step.pull(held), held.ends + step.ends)
        asked = np.swapaxes(now.table, 1, 2) @ off[..., None] + FIRM * turns[..., None]
        change = -(now.normal @ asked)[..., 0]
        change = np.where(np.isfinite(change), change, 0.0)
        change *= np.minimum(
            1.0, FARTHEST / np.abs(change).max(axis=1, keepdims=True, initial=EVEN)
        )
        turns += change
        longer = -wish.travel * change
        step = step.plus(let_out(span, now.law, held, moves=now.by.moves, longer=longer))
        span = stepped(lengthened(span, longer), step)
        by_build = np.abs(change).max(axis=1)
        last = float(by_build.max())
        aged = aged + by_build
        if own and last < EVEN and (aged <= OLD).all():
            break
    span, held = _looked(span)
    settled = is_at_rest(span, held) & (by_build < MOVING * EVEN)
    return Tuned(turns, span, held, now, settled)


def slopes_of(span: Span, wish: Wish) -> Slopes:
    """How builds answer a turn where they are.

    Args:
        span: The builds, about at rest.
        wish: The goal.

    Returns:
        Their slopes.
    """
    span, held = _looked(span)
    law = law_of(span, held)
    _ = law.inverse  # many steps will be taken by it
    by = rates(span, law, held)
    table = wish.table(by)
    normal = np.swapaxes(table, 1, 2) @ table + FIRM * np.eye(table.shape[2])
    normal[~np.isfinite(normal).all(axis=(1, 2))] = np.eye(table.shape[2])
    return Slopes(law, by, table, np.asarray(np.linalg.inv(normal)))


def _looked(span: Span) -> tuple[Span, Pulls]:
    held = span.held
    return turning(span, held), held


def is_at_rest(span: Span, held: Pulls) -> NDArray[np.bool_]:
    """Whether the statics itself finds builds in balance.

    Args:
        span: The builds.
        held: Their links.

    Returns:
        Whether what is left is a millionth of the largest pull. (b,)
    """
    most = np.maximum(held.leg_pull.max(axis=(1, 2)), 1.0)
    with np.errstate(invalid="ignore", over="ignore"):
        return np.asarray(left_over(span, held) <= SETTLED * most)


def rest_after(done: Tuned, wish: Wish, made: Floats) -> tuple[Span, Pulls, NDArray[np.bool_]]:
    """Bring builds to rest after other turns than the exact ones.

    Args:
        done: Builds tuned.
        wish: Their goal.
        made: Turns near the exact ones. [-] (b, n)

    Returns:
        Where they are, their links, and whether they are at rest. (b,)
    """
    longer, law, moves = wish.travel * (done.turns - made), done.slopes.law, done.slopes.by.moves
    first = let_out(done.span, law, done.held, moves=moves, longer=longer)
    span = stepped(lengthened(done.span, longer), first)
    for _ in range(MOST_STEPS):
        span, held = _looked(span)
        step = step_of(span, law_of(span, held), held)
        span = stepped(span, step)
        small = step.force <= SETTLED * held.leg_pull.max(axis=(1, 2))
        if (small & (step.gap <= CLOSE)).all():
            break
    span, held = _looked(span)
    return span, held, is_at_rest(span, held)
