"""In which order are the bodies turned, so that no leg and no wall is ever asked too much?

docs/theory/tuning.md section 6.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.tuning.nouns import Step
from rafterstay.tuning.seen import ring_centre

if TYPE_CHECKING:
    from rafterstay.tuning.aim import Aim, Reached
    from rafterstay.tuning.model import Stand

__all__ = ["Ordered", "in_order"]

MOST_PARTS: Final = 3  # visits a leg is shared out over where one would be too much

EVEN: Final = 0.5  # how much unevenness on the way counts beside a share of a limit [-]


@dataclass(frozen=True)
class Ordered:
    """Visits in order.

    Attributes:
        steps: With what each leads to.
        safe: None exceeds a limit.
        last: The tie at rest after them.
    """

    steps: tuple[Step, ...]
    safe: bool
    last: Stand


def in_order(aim: Aim, now: Stand, reached: Reached, turns: Floats) -> Ordered:
    """Opposite legs together, the pair that asks least first.

    A visit that would pass a limit is shared out over two or three rounds.

    Args:
        aim: State as it stands, at the temperature it is turned at.
        now: Its rest.
        reached: Slopes by turns.
        turns: To be made. [-] (n,)

    Returns:
        The visits.

    Raises:
        NotConverged: TU-030.
    """
    found = _tried(aim, now, reached, turns, 1)
    for parts in range(2, MOST_PARTS + 1):
        if found.safe:
            return found
        again = _tried(aim, now, reached, turns, parts)
        if again.safe:
            return again
    return found


def _tried(aim: Aim, now: Stand, reached: Reached, turns: Floats, parts: int) -> Ordered:
    visits = _visits(aim, now, reached, turns, parts)
    made = np.zeros(aim.n)
    stand, steps = now, []
    safe = True
    for leg, by in visits:
        made[leg] += by
        stand = aim.model.stand(aim.turned(made), stand)
        step = Step(
            leg=leg + 1,
            turns=by,
            pull=stand.pull,
            shift=(stand.eyes.mean(axis=0) - ring_centre(aim.model))[:2],
            inward=_inward(aim, stand.outward),
        )
        steps.append(step)
        safe &= _within(aim, now, step)
    return Ordered(tuple(steps), safe, stand)


def _within(aim: Aim, now: Stand, step: Step) -> bool:
    """No leg above its limit and no wall past plumb, or no worse than they stand already."""
    most = max(aim.goal.most, float(now.pull.max()) * (1 + 1e-6))
    lean = max(aim.goal.leaning, _inward(aim, now.outward) + 1e-5)
    return float(step.pull.max()) <= most and step.inward <= lean


def _inward(aim: Aim, outward: Floats) -> float:
    """How far the worst foot is drawn in past plumb. [m]"""
    return -float((aim.goal.standing + outward).min())


def _visits(
    aim: Aim, now: Stand, reached: Reached, turns: Floats, parts: int
) -> list[tuple[int, float]]:
    """Legs and turns in order; the law at the end stands in for the way there."""
    n, goal = aim.n, aim.goal
    visits: list[tuple[int, float]] = []
    pull, outward = now.pull.copy(), now.outward + goal.standing
    by_pull, by_foot = reached.slopes[:n], reached.slopes[4 * n :]
    for part in range(parts):
        left = _pairs(turns)
        while left:
            best, found = np.inf, left[0]
            for pair in left:
                for way in (pair, pair[::-1]):
                    worst = _worst(aim, (pull, outward), (by_pull, by_foot), turns / parts, way)
                    if worst < best - 1e-12:
                        best, found = worst, way
            left = [pair for pair in left if set(pair) != set(found)]
            for leg in found:
                by = _shared(turns[leg], part, parts)
                if by:
                    visits.append((leg, by))
                    pull, outward = pull + by_pull[:, leg] * by, outward + by_foot[:, leg] * by
    return visits


def _shared(turns: float, part: int, parts: int) -> float:
    """A part of a leg's turns, in twenty-fourths of a turn. [-]"""
    whole = round(turns * 24)
    done = round(whole * part / parts)
    return (round(whole * (part + 1) / parts) - done) / 24


def _pairs(turns: Floats) -> list[tuple[int, ...]]:
    """Legs to be turned, opposite ones together."""
    n = len(turns)
    pairs: list[tuple[int, ...]] = []
    for k in range(n):
        other = (k + n // 2) % n
        if not turns[k]:
            continue
        if n % 2 or not turns[other]:
            pairs.append((k,))
        elif k < other:
            pairs.append((k, other))
    return pairs


def _worst(
    aim: Aim,
    here: tuple[Floats, Floats],
    slopes: tuple[Floats, Floats],
    turns: Floats,
    way: tuple[int, ...],
) -> float:
    """Largest share of a limit on the way through a pair; far below it, how uneven the legs get."""
    pull, outward = here
    worst = 0.0
    for leg in way:
        pull = pull + slopes[0][:, leg] * turns[leg]
        outward = outward + slopes[1][:, leg] * turns[leg]
        lean = -float(outward.min()) / max(aim.goal.leaning, 1e-6)
        uneven = float(np.abs(pull / aim.goal.pull - 1.0).max())
        worst = max(worst, float(pull.max()) / aim.goal.most, lean, EVEN * uneven)
    return worst
