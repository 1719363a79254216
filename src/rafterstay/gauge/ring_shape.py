"""What do the inside corners of a rope ring say of its legs?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.gauge.arguments import require_between
from rafterstay.gauge.nouns import Shares

__all__ = ["by_corners"]

FRICTION: Final = 0.15  # steel on steel at an eye, 0.1 to 0.2 in handbooks [-]
PROTRACTOR: Final = math.radians(1.0)  # common practice, no source [rad]
CLOSING: Final = math.radians(6.0)  # misfit of the corners' sum beyond which one is wrong [rad]


def by_corners(
    corners: Sequence[float], *, sigma: float = PROTRACTOR, friction: float = FRICTION
) -> Shares:
    """Pull of every leg over the mean, from the corners of a rope that slides through its eyes.

    Each leg halves its corner, so that T = 2 T_ring cos(corner/2). Friction lets the rope's pull
    differ from side to side; that is in the ±.

    Args:
        corners: Inside angle at every eye, in order, 3 or more. [rad]
        sigma: Of each reading. [rad]
        friction: Coefficient at an eye. [-]

    Returns:
        Shares of the legs.

    Raises:
        InputError: GA-010, GA-012 the corners do not close, or there are too few.

    Limits: a ring that slides; where eyes are seized the legs' own directions matter and this
        does not hold.

    Source: docs/theory/gauge.md eq. 3 and 4

    >>> from math import radians
    >>> by_corners([radians(120.0), radians(130.0), radians(110.0)] * 2).share.round(3).tolist()
    [1.003, 0.847, 1.15, 1.003, 0.847, 1.15]
    """
    n = len(corners)
    for corner in corners:
        require_between("corner", math.degrees(corner), (30.0, 179.0), "deg")
    off = sum(corners) - (n - 2) * math.pi
    if n < 3 or abs(off) > max(CLOSING, 4.0 * sigma * math.sqrt(max(n, 1))):
        raise InputError(
            Finding(
                "GA-012",
                key="corners",
                value=f"{n} with the sum {math.degrees(sum(corners)):.1f} deg",
                bound=f"3 or more with the sum {max(n - 2, 1) * 180} deg",
                remedy="Take every inside corner again, once round.",
            )
        )
    # What the sum is off is shared out evenly.
    settled = np.asarray(corners) - off / n
    half = np.cos(settled / 2.0)
    share = half / half.mean()
    read = sigma * math.sqrt(1.0 - 1.0 / n) * np.sin(settled / 2.0) / 2.0 / half.mean()
    turned = math.pi - settled
    # The pull steps by up to mu phi at every eye, either way, and comes back to itself.
    step = friction * float(turned.mean()) / math.sqrt(3.0)
    rope = step * math.sqrt((n * n - 1.0) / (12.0 * n))
    return Shares(share, np.asarray(np.hypot(read, share * rope)))
