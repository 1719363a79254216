"""What is still known poorly, and which reading would tell most?

docs/theory/tuning.md section 7.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.tuning.friction import is_held
from rafterstay.tuning.nouns import SIGMA, Reading
from rafterstay.tuning.seen import seen, shift_rows

if TYPE_CHECKING:
    from rafterstay.tuning.aim import Aim, Reached
    from rafterstay.tuning.estimate import Known

__all__ = ["Doubt", "doubts", "sigmas"]

POOR: Final = 0.5  # of a tolerance: a standard deviation beyond it is poor [-]
WORTH: Final = 0.02  # a reading that takes less off the worst doubt is not worth a climb [-]
TURN: Final = 1 / 4  # a test turn [-]
UNCERTAIN: Final = 0.3  # of the logarithm of a stiffness: more is poorly known [-]


@dataclass(frozen=True)
class Doubt:
    """What is known poorly.

    Attributes:
        unsure_of: In words, the worst first.
        read_next: In words; empty where no reading is worth it.
        gain: How much of the worst doubt it takes. [-]
    """

    unsure_of: tuple[str, ...]
    read_next: str
    gain: float


def sigmas(aim: Aim, slopes: Floats, spread: Floats) -> Floats:
    """Standard deviation of every pull, then of the ring's centre.

    Args:
        aim: The tie.
        slopes: Of everything seen by the causes. [N/m and so on] (n_seen, size)
        spread: Covariance of the causes. [m2 and so on] (size, size)

    Returns:
        [N] for n pulls, [m] for the centre. (n + 2,)
    """
    rows = _wanted(aim, slopes)
    return np.asarray(np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", rows, spread, rows), 0.0)))


def _wanted(aim: Aim, slopes: Floats) -> Floats:
    centre = shift_rows(aim.model, len(slopes)) @ slopes
    return np.concatenate([slopes[: aim.n], centre])


def doubts(aim: Aim, known: Known, reached: Reached) -> Doubt:
    """What is known poorly of the tie after the turns, and what to read.

    Args:
        aim: State and goal.
        known: What the readings say.
        reached: Where the turns lead.

    Returns:
        The doubts.

    Source: docs/theory/tuning.md eq. 10
    """
    n = aim.n
    scale = np.array([aim.goal.share * aim.goal.pull] * n + [aim.goal.shift] * 2)
    rows = _wanted(aim, reached.whole) / scale[:, None]
    spread = known.spread
    share = np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", rows, spread, rows), 0.0))
    names = [f"pull of leg {k + 1}" for k in range(n)]
    names += ["the ring's centre, east and west", "the ring's centre, north and south"]
    poor = [k for k in np.argsort(-share) if share[k] > POOR]
    unsure = [names[k] for k in poor]
    frame = aim.model.layout.frame
    if np.sqrt(spread[frame, frame]) > UNCERTAIN:
        unsure.append("how far the frame gives")
    worst = int(share.argmax())
    if share[worst] > POOR and _by_eyes(aim, rows[worst], spread) > share[worst] ** 2 / 2.0:
        unsure.append("where friction holds the eyes along the ring rope")
    if share[worst] <= POOR:
        return Doubt(tuple(unsure), "", 0.0)
    best, gain = "", WORTH
    for name, row, sigma in _candidates(aim, known):
        along = spread @ row
        through = float(row @ along) + sigma**2
        left = share**2 - (rows @ along) ** 2 / through
        told = 1.0 - _worst(np.sqrt(np.maximum(left, 0.0))) / _worst(share)
        if told > gain:
            best, gain = name, told
    return Doubt(tuple(unsure), best, gain if best else 0.0)


def _by_eyes(aim: Aim, row: Floats, spread: Floats) -> float:
    """Variance that comes of sides held by friction, for all else as known. [-]"""
    lay = aim.model.layout
    if not is_held(aim.model):
        return 0.0
    sides = slice(lay.n, lay.rope)
    return float(row[sides] @ spread[sides, sides] @ row[sides])


def _worst(shares: Floats) -> float:
    """The worst doubt; of several as bad, taking one away counts too."""
    return float((shares**8).sum() ** (1 / 8))


def _candidates(aim: Aim, known: Known) -> list[tuple[str, Floats, float]]:
    """Readings that could be taken: name, slope by the causes, standard deviation."""
    n = aim.n
    pull = SIGMA["pull"] * aim.goal.pull
    asked = [Reading("pull", k, 0.0, pull) for k in range(1, n + 1)]
    across = 1 + max(1, round(n / 4))
    asked += [Reading("offset", k, 0.0, SIGMA["offset"]) for k in (1, across)]
    if aim.has_shape:
        asked += [Reading("corner", k, 0.0, SIGMA["corner"]) for k in range(1, n + 1)]
        asked += [Reading("side", k, 0.0, SIGMA["side"], k % n + 1) for k in range(1, n + 1)]
    taken = {(one.what, one.where, one.to) for one in known.used}
    found = []
    for one in asked:
        _, slope = seen(aim.model, known.stand, one)
        again = " once more" if (one.what, one.where, one.to) in taken else ""
        found.append((one.named + again, slope @ known.slopes, one.sigma))
    found.append(_test_turn(aim, known))
    return found


def _test_turn(aim: Aim, known: Known) -> tuple[str, Floats, float]:
    """A quarter turn of one leg, its pull read before and after: it tells how far the frame gives.

    The change of pull depends on the causes by the change of the slopes between the two.
    """
    leg = int(known.stand.pull.argmin())
    turns = np.zeros(aim.n)
    turns[leg] = TURN
    after = aim.model.stand(aim.turned(turns), known.stand)
    row = aim.model.slopes(after)[leg] - known.slopes[leg]
    sigma = np.sqrt(2.0) * SIGMA["pull"] * float(known.stand.pull[leg] + after.pull[leg]) / 2.0
    name = f"a test turn: tighten leg {leg + 1} by 1/4 turn and read its pull again"
    return name, row, max(float(sigma), 1.0)
