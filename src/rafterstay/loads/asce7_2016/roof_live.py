"""Roof live load: people and stacks of shingles, less likely all over a large or steep roof."""

from __future__ import annotations

from typing import Final

from rafterstay.core.sources import Source
from rafterstay.loads.asce7_2016.printed_in import FOOT, PSF

__all__ = ["ROOF_LIVE", "area_factor", "reduced_roof_live", "rise_factor"]

ROOF_LIVE: Final = Source("ASCE/SEI 7", "2016", "4.8.2, reduction of roof live load", "read", 98)
LEAST, MOST = 12.0, 20.0  # [psf]


def area_factor(tributary: float) -> float:
    """Reduction for the plan area a member carries.

    Args:
        tributary: Plan area, >= 0. [m2]

    Returns:
        R_1, 1 up to 200 ft2 and 0.6 from 600 ft2. [-]

    Source: ASCE 7-16 4.8.2

    >>> round(area_factor(318 * 0.09290304), 3)
    0.882
    """
    return min(1.0, max(0.6, 1.2 - 0.001 * tributary / FOOT**2))


def rise_factor(slope: float) -> float:
    """Reduction for the slope of the roof plane.

    Args:
        slope: Rise over run, >= 0. [-]

    Returns:
        R_2, 1 up to 4 on 12 and 0.6 from 12 on 12. [-]

    Source: ASCE 7-16 4.8.2

    >>> rise_factor(1.0)
    0.6
    """
    return min(1.0, max(0.6, 1.2 - 0.05 * 12.0 * slope))


def reduced_roof_live(stated: float, *, tributary: float, slope: float) -> float:
    """Roof live load a member is checked for.

    Args:
        stated: Unreduced, on plan, >= 0. [Pa]
        tributary: Plan area the member carries. [m2]
        slope: Rise over run of the roof plane. [-]

    Returns:
        The reduced load, never under 12 psf where as much was stated. A load above 20 psf is of
        another use than an ordinary roof: taken as stated. [Pa]

    Source: ASCE 7-16 4.8.2, L_r = L_o R_1 R_2 between 12 and 20 psf

    >>> round(reduced_roof_live(20 * 47.880259, tributary=318 * 0.09290304, slope=0) / 47.880259, 1)
    17.6
    """
    if stated > MOST * PSF * (1 + 1e-9):
        return stated
    reduced = stated * area_factor(tributary) * rise_factor(slope)
    return min(stated, max(LEAST * PSF, reduced))
