"""Where do the eyes hold a ring rope that could slide through them, and what if it does slide?

docs/theory/sliding-ring.md section 5.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.tuning.model import Model, Stand

__all__ = [
    "COEFFICIENT",
    "EYES",
    "USUAL",
    "grips",
    "held_share",
    "is_held",
    "slid",
    "stuck",
    "told",
    "turns_at_eyes",
]

# Steel rope over a steel thimble, greased to dry: common practice, no source.
COEFFICIENT: Final = (0.1, 0.2)
# A coefficient anywhere in its range, and of what it can hold any part, either way.
USUAL: Final = sqrt(sum(COEFFICIENT[0] ** k * COEFFICIENT[1] ** (2 - k) for k in range(3))) / 3.0
EYES: Final = 0.0254 / 2  # of a side: eyes set along the rope by eye, common practice [m]
LEAST: Final = 1e-3  # of the mean pull, that stands for a slack side [-]


def stuck(model: Model) -> Model:
    """The same tie with its ring rope held where it is by the eyes it could slide through.

    Args:
        model: A tie whose ring rope slides without friction.

    Returns:
        It hangs alike as drawn; each side is a cause of its own.

    Source: docs/theory/sliding-ring.md section 5
    """
    links = model.links
    long = model.stand(np.zeros(model.layout.size)).rest.pulls.side_long
    length = links.side_length * long / long.sum()
    rate = links.side_rate * links.side_length / length
    web = replace(links.web, sliding=False)
    return replace(model, links=replace(links, web=web, side_length=length, side_rate=rate))


def is_held(model: Model) -> bool:
    """The ring rope could slide, and its eyes are what holds it."""
    return model.tie.ring == "rope-sliding" and not model.links.web.sliding


def turns_at_eyes(at: Stand) -> Floats:
    """Angle the ring rope turns by at every eye, eye k between sides k - 1 and k.

    Args:
        at: A rest.

    Returns:
        [rad] (n,)
    """
    unit = _units(at)
    bent = (np.roll(unit, 1, axis=0) * unit).sum(axis=1)
    return np.asarray(np.arccos(np.clip(bent, -1.0, 1.0)))


def grips(model: Model, at: Stand, slopes: Floats) -> tuple[Floats, Floats]:
    """Coefficient of friction that each eye needs to hold the rope, with its slope by the causes.

    Args:
        model: A tie.
        at: Its rest.
        slopes: Of everything seen by the causes. [N/m and so on] (n_seen, size)

    Returns:
        Above 0 where the side after the eye pulls more [-] (n,), and slopes [1/m] (n, size); none
        where nothing can slide.

    Source: docs/theory/sliding-ring.md eq. 5

    Limits: the slope leaves out that the angle changes.
    """
    if not is_held(model):
        return np.zeros(0), np.zeros((0, slopes.shape[1]))
    lay, held, links = model.layout, at.rest.pulls, at.problem.links
    n, long, rate = lay.n, held.side_long[0], links.side_rate[0]
    pull = held.side_pull[0]
    eyes = slopes[n : 4 * n].reshape(n, 3, -1)
    longer = np.einsum("mk,mn,nkc->mc", _units(at), links.web.incidence, eyes)
    more = np.where(pull > 0, rate, 0.0)[:, None] * longer
    own = np.where(pull > 0, rate * long / links.side_length[0], 0.0)
    more[np.arange(n), lay.n + np.arange(n)] -= own
    taut = np.maximum(pull, LEAST * max(float(pull.mean()), 1.0))
    turn = np.maximum(turns_at_eyes(at), LEAST)
    share = more / taut[:, None]
    needs = (np.log(taut) - np.roll(np.log(taut), 1)) / turn
    return needs, np.asarray((share - np.roll(share, 1, axis=0)) / turn[:, None])


def held_share(model: Model, at: Stand) -> Floats:
    """Share that every eye holds back of the least it can.

    Args:
        model: A tie.
        at: Its rest.

    Returns:
        Above 1 the rope may slide there. [-] (n,); none where nothing can slide.
    """
    needs, _ = grips(model, at, np.zeros((len(at.seen), model.layout.size)))
    return np.asarray(np.abs(needs) / COEFFICIENT[0])


def slid(model: Model, at: Stand, slopes: Floats) -> Floats:
    """Change of everything seen where the rope slides through every eye that cannot hold it.

    Args:
        model: A tie.
        at: Its rest, the rope held.
        slopes: Of everything seen by the causes. [N/m and so on] (n_seen, size)

    Returns:
        With the least coefficient of friction; nil where every eye holds. [N, m] (n_seen,)

    Limits: first order; eyes that held may be asked for more by it, and are held to their own
        limit alike.
    Source: docs/theory/sliding-ring.md eq. 6
    """
    needs, by_causes = grips(model, at, slopes)
    loose = np.abs(needs) > COEFFICIENT[0]
    if not loose.any():
        return np.zeros(len(slopes))
    lay = model.layout
    n, sides = lay.n, slice(lay.n, lay.rope)
    by_slip = _by_slip(by_causes[:, sides])
    for _ in range(n):
        slips = np.zeros(n)
        wanted = np.clip(needs, -COEFFICIENT[0], COEFFICIENT[0]) - needs
        table = by_slip[np.ix_(loose, loose)]
        slips[loose] = np.linalg.lstsq(table, wanted[loose], rcond=None)[0]
        more: NDArray[np.bool_] = np.abs(needs + by_slip @ slips) > COEFFICIENT[0] * (1 + 1e-9)
        if not (more & ~loose).any():
            break
        loose |= more
    return np.asarray(slopes[:, sides] @ (slips - np.roll(slips, -1)))


def told(turn: float) -> tuple[float, float]:
    """Least and most by which pulls on the two sides of an eye may differ.

    Args:
        turn: Of the rope at the eye. [rad]

    Returns:
        Of the lesser. [-]

    Source: docs/theory/sliding-ring.md eq. 5, the capstan law

    >>> tuple(round(one, 3) for one in told(0.7853981633974483))
    (0.082, 0.17)
    """
    return exp(COEFFICIENT[0] * turn) - 1.0, exp(COEFFICIENT[1] * turn) - 1.0


def _by_slip(by_sides: Floats) -> Floats:
    """By rope that passes each eye, from the side before it to the side after."""
    return np.asarray(by_sides - np.roll(by_sides, 1, axis=1))


def _units(at: Stand) -> Floats:
    """Direction of every side, from its first eye to its second. [-] (n, 3)"""
    held = at.rest.pulls
    return np.asarray(held.side[0] / held.side_long[0][:, None])
