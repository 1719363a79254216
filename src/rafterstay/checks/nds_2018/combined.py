"""Bending together with compression, about one axis or both."""

from __future__ import annotations

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = ["bending_with_compression", "stability_under_both", "strength_at_net_section"]


def bending_with_compression(
    compression: Floats | float,
    strong: Floats | float,
    weak: Floats | float = 0.0,
    *,
    allowable_compression: Floats | float,
    allowable_strong: Floats | float,
    allowable_weak: Floats | float,
    buckling_strong: float,
    buckling_weak: float,
    buckling_beam: Floats | float,
) -> Floats:
    """Utilisation of a beam-column.

    Args:
        compression: f_c. [Pa]
        strong: f_b1, bending about the strong axis. [Pa]
        weak: f_b2, bending about the weak axis. [Pa]
        allowable_compression: F_c', C_P included. [Pa]
        allowable_strong: F_b1', C_L included. [Pa]
        allowable_weak: F_b2'. [Pa]
        buckling_strong: F_cE1, buckling in the plane of strong bending. [Pa]
        buckling_weak: F_cE2, buckling sideways. [Pa]
        buckling_beam: F_bE. [Pa]

    Returns:
        Left side of the equation, infinite where a stress reaches a buckling stress and the
        equation does not hold; as many as its arguments are. [-]

    Limits: tested on both axes at once, and on either alone.

    Source: NDS 2018 eq. 3.9-3

    >>> round(float(bending_with_compression(100.0, 600.0, allowable_compression=400.0,
    ...     allowable_strong=1000.0, allowable_weak=1000.0, buckling_strong=1000.0,
    ...     buckling_weak=800.0, buckling_beam=2000.0)), 4)
    0.7292
    """
    left_strong = np.asarray(1.0 - compression / buckling_strong)
    left_weak = np.asarray(1.0 - compression / buckling_weak - (strong / buckling_beam) ** 2)
    holds = (left_strong > 0.0) & (left_weak > 0.0)
    left_strong, left_weak = np.where(holds, left_strong, 1.0), np.where(holds, left_weak, 1.0)
    side = (
        (compression / allowable_compression) ** 2
        + strong / (allowable_strong * left_strong)
        + weak / (allowable_weak * left_weak)
    )
    return np.where(holds, side, np.inf)


def stability_under_both(
    compression: Floats | float,
    strong: Floats | float,
    *,
    buckling_weak: float,
    buckling_beam: Floats | float,
) -> Floats:
    """How near a beam-column is to buckling sideways; must stay under 1.

    Args:
        compression: f_c. [Pa]
        strong: f_b1. [Pa]
        buckling_weak: F_cE2. [Pa]
        buckling_beam: F_bE. [Pa]

    Returns:
        f_c/F_cE2 + (f_b1/F_bE)^2. [-]

    Source: NDS 2018 eq. 3.9-4

    >>> round(float(stability_under_both(100.0, 600.0, buckling_weak=800.0,
    ...     buckling_beam=2000.0)), 3)
    0.215
    """
    return np.asarray(compression / buckling_weak + (strong / buckling_beam) ** 2)


def strength_at_net_section(
    axial: Floats | float,
    bending: Floats | float,
    *,
    allowable_axial: Floats | float,
    allowable_bending: Floats | float,
) -> Floats:
    """Utilisation of a section weakened by a hole, where nothing buckles.

    Args:
        axial: f_c, or f_t where the section is pulled, on the net area, >= 0. [Pa]
        bending: f_b on the net section, >= 0. [Pa]
        allowable_axial: F_c*, or F_t' where pulled. [Pa]
        allowable_bending: F_b*. [Pa]

    Returns:
        f/F + f_b/F_b*. [-]

    Limits: linear for compression too, which is never less than the square of NDS eq. 3.9-3.

    Source: NDS 2018 3.1.2, 3.6.3, 3.9.1

    >>> round(float(strength_at_net_section(100.0, 600.0, allowable_axial=1000.0,
    ...     allowable_bending=1000.0)), 3)
    0.7
    """
    return np.asarray(axial / allowable_axial + bending / allowable_bending)
