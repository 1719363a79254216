"""What do two or more readings of one pull say together?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.gauge.arguments import require_between
from rafterstay.gauge.nouns import Gauged

__all__ = ["combine"]

# 95 % points of chi-square with 1 to 8 degrees of freedom.
_DISAGREE: Final = (3.841, 5.991, 7.815, 9.488, 11.070, 12.592, 14.067, 15.507)


def combine(readings: Sequence[tuple[float, float]]) -> Gauged:
    """Weigh readings of one pull by their ±, and tell whether they agree.

    Args:
        readings: Pull and standard deviation of each, 2 to 9 of them. [N]

    Returns:
        The weighted mean. Where they disagree, its ± is widened by the misfit.

    Raises:
        InputError: GA-010, GA-011 fewer than two or more than nine.

    Source: weighted mean; the chi-square test at 95 %

    >>> done = combine([(1000.0, 30.0), (1050.0, 40.0)])
    >>> round(done.pull or 0.0), round(done.sigma or 0.0), done.disagree
    (1018, 24, False)
    """
    if not 2 <= len(readings) <= len(_DISAGREE) + 1:
        raise InputError(
            Finding(
                "GA-011",
                key="readings",
                value=str(len(readings)),
                bound=f"2 to {len(_DISAGREE) + 1}",
                remedy="Give each with --reading PULL SIGMA.",
            )
        )
    for pull, sigma in readings:
        require_between("pull", pull, (0.0, 1e6), "N")
        require_between("sigma", sigma, (1e-3, 1e6), "N")
    pulls, sigmas = np.array(readings).T
    weight = sigmas**-2.0
    mean = float((weight * pulls).sum() / weight.sum())
    misfit = float((weight * (pulls - mean) ** 2).sum())
    sigma = float(weight.sum() ** -0.5)
    disagree = misfit > _DISAGREE[len(readings) - 2]
    if not disagree:
        return Gauged("combined", mean, sigma)
    told = (
        "The readings do not agree: one of them is wrong, or its ± too small. "
        "Take both again before any turnbuckle is turned."
    )
    wide = sigma * math.sqrt(misfit / (len(readings) - 1))
    return Gauged("combined", mean, wide, told=(told,), disagree=True)
