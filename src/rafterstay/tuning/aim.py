"""Which turns equalise the legs and centre the ring, and what must one give up for the other?

docs/theory/tuning.md section 4.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from rafterstay.core.errors import Mechanism, NotConverged
from rafterstay.roof.frame import Floats
from rafterstay.tuning.model import Model, Stand
from rafterstay.tuning.nouns import Goal, Trade
from rafterstay.tuning.seen import level_rows, ring_centre, shift_rows

__all__ = ["Aim", "Reached", "aim_at", "moving", "trades"]

MOST_STEPS: Final = 12
LEAST_SHARE: Final = 1e-3  # of a step that is tried [-]
SHAPE: Final = 0.2  # how much a crooked ring counts beside pulls and centre [-]
FIRM: Final = 1e-4  # what turns that change nothing cost, so that they are not made [-]
WORTH: Final = 0.5  # of a tolerance: less than that is no trade [-]


@dataclass(frozen=True)
class Aim:
    """What is aimed at from a state, with turns as the unknowns.

    Attributes:
        model: The tie.
        causes: Of the state. (size,)
        goal: Pull, tolerances and limits.
        travel: What one turn takes off a leg. [m]
    """

    model: Model
    causes: Floats
    goal: Goal
    travel: float

    @property
    def n(self) -> int:
        """Number of legs."""
        return self.model.tie.n

    def turned(self, turns: Floats) -> Floats:
        """Causes after turns.

        Args:
            turns: [-] (n,)

        Returns:
            As the model's layout tells. [m, -, K] (size,)
        """
        causes = self.causes.copy()
        causes[: self.n] -= self.travel * turns
        return causes

    def cold(self) -> Aim:
        """The same at the temperature the legs were set at: there the pull is to be right."""
        causes = self.causes.copy()
        causes[self.model.layout.warmth] = 0.0
        return replace(self, causes=causes)

    def rows(self, width: int) -> tuple[Floats, Floats]:
        """What must be nil, in tolerances: rows on everything seen, and what they are to be.

        Args:
            width: Length of everything seen.

        Returns:
            Pulls, then the centre, then the eyes' levels. [1/N, 1/m] (n + 2 + n, width), and
            what they are to be. [-] (n + 2 + n,)
        """
        n, goal = self.n, self.goal
        rows = np.zeros((2 * n + 2, width))
        rows[:n, :n] = np.eye(n) / (goal.share * goal.pull)
        rows[n : n + 2] = shift_rows(self.model, width) / goal.shift
        rows[n + 2 :] = level_rows(self.model, width) / goal.level
        wanted = np.zeros(2 * n + 2)
        wanted[:n] = 1.0 / goal.share
        wanted[n : n + 2] = ring_centre(self.model)[:2] / goal.shift
        return rows, wanted

    def shape_rows(self, width: int) -> tuple[Floats, Floats]:
        """Eyes off their places in a regular ring about its own centre, on plan.

        Args:
            width: Length of everything seen.

        Returns:
            Rows [1/m] (2 n, width), and what they are to be. [-] (2 n,)
        """
        n = self.n
        rows = np.zeros((2 * n, width))
        for way in range(2):
            block = (np.eye(n) - 1.0 / n) / self.goal.shift
            rows[way * n : (way + 1) * n, n + way : 4 * n : 3] = block
        drawn = self.model.tie.ring_points
        off = (drawn - drawn.mean(axis=0))[:, :2] / self.goal.shift
        return rows, off.T.ravel()

    @property
    def has_shape(self) -> bool:
        """The ring is of rope: it takes the shape its legs give it."""
        return self.model.layout.sides > 0


@dataclass(frozen=True)
class Reached:
    """Where turns lead.

    Attributes:
        turns: [-] (n,)
        stand: The tie at rest there.
        slopes: Of everything seen by the turns. [N, m] (n_seen, n)
        whole: Of everything seen by the causes. (n_seen, size)
    """

    turns: Floats
    stand: Stand
    slopes: Floats
    whole: Floats


def aim_at(aim: Aim, *, pull: float = 1.0, shape: float = SHAPE, near: Stand) -> Reached:
    """Turns that come as near the goal as can be.

    Args:
        aim: State and goal.
        pull: How much an unequal leg counts beside an off-centre ring. [-]
        shape: How much a crooked ring counts. [-]
        near: A rest to start from.

    Returns:
        The turns and their rest.

    Raises:
        NotConverged: TU-030.

    Source: docs/theory/tuning.md eq. 7
    """
    turns, n = np.zeros(aim.n), aim.n
    weight = np.concatenate([np.full(n, pull), np.ones(2), np.ones(n)])

    def look(turns: Floats, near: Stand) -> tuple[Stand, Floats, float]:
        stand = aim.model.stand(aim.turned(turns), near)
        rows, wanted = aim.rows(len(stand.seen))
        off = (rows @ stand.seen - wanted) * weight
        if aim.has_shape:
            more, drawn = aim.shape_rows(len(stand.seen))
            off = np.concatenate([off, (more @ stand.seen - drawn) * shape])
        return stand, off, float(off @ off + FIRM * turns @ turns)

    stand, off, cost = look(turns, near)
    for _ in range(MOST_STEPS):
        whole = aim.model.slopes(stand)
        slopes = -aim.travel * whole[:, :n]
        rows, _ = aim.rows(len(stand.seen))
        table = (rows @ slopes) * weight[:, None]
        if aim.has_shape:
            more, _ = aim.shape_rows(len(stand.seen))
            table = np.concatenate([table, more @ slopes * shape])
        normal = table.T @ table + FIRM * np.eye(n)
        step = -np.linalg.solve(normal, table.T @ off + FIRM * turns)
        share, ahead = 1.0, None
        while ahead is None and share > LEAST_SHARE:
            try:
                ahead = look(turns + share * step, stand)
            except (Mechanism, NotConverged):
                ahead = None  # nothing holds the tie so far on
            if ahead is not None and ahead[2] > cost * (1 + 1e-9) + 1e-12:
                ahead = None
            share = share if ahead is not None else share / 3.0
        if ahead is None:
            break
        turns = turns + share * step
        stand, off, cost = ahead
        if np.abs(share * step).max() < 2e-4:
            break
    whole = aim.model.slopes(stand)
    return Reached(turns, stand, -aim.travel * whole[:, :n], whole)


def moving(aim: Aim, reached: Reached, shift: Floats) -> Floats:
    """Turns that move the ring and change no pull, by the law of the ring in hand.

    Args:
        aim: Goal, for scale.
        reached: A rest with its slopes.
        shift: How far the ring is to go, east and north. [m] (2,)

    Returns:
        Turns. [-] (n,)

    Source: docs/theory/tuning.md eq. 8
    """
    rows, _ = aim.rows(len(reached.stand.seen))
    n = aim.n
    table = rows[: n + 2] @ reached.slopes
    wanted = np.concatenate([np.zeros(n), shift / aim.goal.shift])
    if aim.has_shape:
        more, _ = aim.shape_rows(len(reached.stand.seen))
        table = np.concatenate([table, SHAPE * more @ reached.slopes])
        wanted = np.concatenate([wanted, np.zeros(len(more))])
    normal = table.T @ table + FIRM**2 * np.eye(n)
    return np.asarray(np.linalg.solve(normal, table.T @ wanted))


def trades(aim: Aim, reached: Reached) -> tuple[Trade, ...]:
    """What equal pull and a regular ring cost one another; none where both can be had.

    Args:
        aim: State and goal.
        reached: The best compromise.

    Returns:
        The two ends of the trade.
    """
    if not aim.has_shape:
        return ()
    pull, shape = _off(aim, reached.stand)
    if pull < WORTH * aim.goal.share and shape < WORTH * aim.goal.shift:
        return ()
    ends = (("equal pull", 1.0, 0.0), ("regular ring", 0.05, 4.0))
    found = []
    for wish, by_pull, by_shape in ends:
        there = aim_at(aim, pull=by_pull, shape=by_shape, near=reached.stand)
        found.append(Trade(wish, *_off(aim, there.stand), there.turns))
    return tuple(found)


def _off(aim: Aim, stand: Stand) -> tuple[float, float]:
    """Worst leg off its target; eyes off their places in a regular ring, root mean square."""
    rows, drawn = aim.shape_rows(len(stand.seen))
    off = ((rows @ stand.seen - drawn) * aim.goal.shift).reshape(2, -1)
    mean = float(np.sqrt((off**2).sum(axis=0).mean()))
    return float(np.abs(stand.pull / aim.goal.pull - 1.0).max()), mean
