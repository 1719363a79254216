"""Shear of a bolt's own steel, allowable stress design."""

from __future__ import annotations

import math

from rafterstay.core.quantities import parse
from rafterstay.core.sources import Source

__all__ = ["GRIP_SOURCE", "OMEGA", "SOURCE", "allowable_shear", "allowable_tension", "grip_factor"]

OMEGA = 2.0
"""Safety factor of bolts. [-]"""

SOURCE = Source("AISC 360", "2016", "J3.6, eq. J3-1, omega 2.00", "memory", 95)
GRIP_SOURCE = Source(
    "AISC 360",
    "2016",
    "Table J3.2, note on A307 in a long grip (read in the 2010 edition)",
    "read",
    92,
)

INCH = parse("1 in", "length")


def grip_factor(grip: float, diameter: float) -> float:
    """Reduction of an A307 bolt in a long grip: 1 % for each 1/16 in over five diameters.

    Args:
        grip: Length of bolt between head and nut. [m]
        diameter: Of the bolt. [m]

    Returns:
        Factor on the nominal stresses, at most 1; part of a sixteenth counts in part. [-]

    Source: AISC 360-16 Table J3.2, note on A307

    >>> round(grip_factor(4.5 * 0.0254, 0.625 * 0.0254), 3)
    0.78
    """
    sixteenths = max(0.0, grip - 5.0 * diameter) / (INCH / 16.0)
    return max(0.0, 1.0 - 0.01 * sixteenths)


def allowable_shear(nominal: float, diameter: float, planes: int = 2) -> float:
    """Allowable shear of a bolt.

    Args:
        nominal: Fnv. [Pa]
        diameter: Of the unthreaded body. [m]
        planes: Number of shear planes.

    Returns:
        Fnv A n / omega. [N]

    Source: AISC 360-16 eq. J3-1

    >>> round(allowable_shear(27000.0, 0.625))
    8283
    """
    return nominal * math.pi / 4.0 * diameter**2 * planes / OMEGA


def allowable_tension(ultimate: float, diameter: float) -> float:
    """Allowable pull of a threaded rod.

    Args:
        ultimate: Fu. [Pa]
        diameter: Of the unthreaded body. [m]

    Returns:
        0.75 Fu A / omega. [N]

    Source: AISC 360-16 Table J3.2, eq. J3-1

    >>> round(allowable_tension(58000.0, 0.625))
    6673
    """
    return 0.75 * ultimate * math.pi / 4.0 * diameter**2 / OMEGA
