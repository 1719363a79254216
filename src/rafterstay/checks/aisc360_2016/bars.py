"""Strength of a round bar, allowable stress design: pull, bending, shear, twist, and together."""

from __future__ import annotations

from math import pi, sqrt
from typing import Final

import numpy as np

from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = [
    "OMEGA",
    "SOURCE",
    "WELD_SOURCE",
    "allowable_bending",
    "allowable_shear",
    "allowable_tension",
    "allowable_twist",
    "curved",
    "together",
]

OMEGA: Final = 1.67
"""Safety factor of yielding. [-]"""

SOURCE: Final = Source("AISC 360", "2016", "D2, F11 (rounds), H1.2, H3; omega 1.67", "memory", 92)
WELD_SOURCE: Final = Source(
    "AISC 360",
    "2016",
    "Table J2.5: complete-joint-penetration groove weld in tension",
    "memory",
    95,
)


def allowable_tension(yield_strength: float, diameter: float) -> float:
    """Allowable pull of a bar, yielding of the whole section.

    Args:
        yield_strength: Fy. [Pa]
        diameter: Of the bar. [m]

    Returns:
        Fy A / 1.67. [N]

    Source: AISC 360-16 eq. D2-1

    >>> round(allowable_tension(36000.0, 0.625))
    6614
    """
    return yield_strength * pi / 4.0 * diameter**2 / OMEGA


def allowable_bending(yield_strength: float, diameter: float) -> float:
    """Allowable bending moment of a straight round bar.

    Args:
        yield_strength: Fy. [Pa]
        diameter: Of the bar. [m]

    Returns:
        Fy Z / 1.67, at most 1.6 Fy S / 1.67. [N m]

    Source: AISC 360-16 eq. F11-1

    >>> round(allowable_bending(36000.0, 0.625))
    827
    """
    plastic, elastic = diameter**3 / 6.0, pi * diameter**3 / 32.0
    return yield_strength * min(plastic, 1.6 * elastic) / OMEGA


def allowable_shear(yield_strength: float, diameter: float) -> float:
    """Allowable shear of a round bar, first yield at its middle.

    Args:
        yield_strength: Fy. [Pa]
        diameter: Of the bar. [m]

    Returns:
        0.6 Fy (3/4 A) / 1.67. [N]

    Limits: shear stress at the middle of a solid round is 4/3 of the mean.
    Source: AISC 360-16 G1, 0.6 Fy; the share of the area is strength of materials

    >>> round(allowable_shear(36000.0, 0.625))
    2976
    """
    return 0.6 * yield_strength * 0.75 * pi / 4.0 * diameter**2 / OMEGA


def allowable_twist(yield_strength: float, diameter: float) -> float:
    """Allowable twisting moment of a round bar, first yield at its skin.

    Args:
        yield_strength: Fy. [Pa]
        diameter: Of the bar. [m]

    Returns:
        0.6 Fy pi d^3 / 16 / 1.67. [N m]

    Source: AISC 360-16 H3.3, 0.6 Fy

    >>> round(allowable_twist(36000.0, 0.625))
    620
    """
    return 0.6 * yield_strength * pi * diameter**3 / 16.0 / OMEGA


def curved(radius: float, diameter: float) -> float:
    """How much more a bend stresses the inner side of a curved round bar than of a straight one.

    Args:
        radius: Of the bar's axis, > half the diameter. [m]
        diameter: Of the bar. [m]

    Returns:
        Factor on the stress, above 1. [-]

    Source: Winkler's theory of curved bars, solid round section; docs/theory/welded-ring.md eq. 8

    >>> round(curved(6.0, 2.0), 3)
    1.142
    """
    half = diameter / 2.0
    off = (radius - sqrt(radius**2 - half**2)) / 2.0
    return half * (half - off) / (4.0 * off * (radius - half))


def together(pull: Floats | float, bending: Floats | float) -> Floats:
    """Pull and bending at once, each over what is allowed alone.

    Args:
        pull: Share used by pull. [-]
        bending: Share used by bending. [-]

    Returns:
        Utilisation. [-]

    Source: AISC 360-16 H1.2, eq. H1-1a and H1-1b

    >>> float(together(0.5, 0.45).round(9)), float(together(0.1, 0.5))
    (0.9, 0.55)
    """
    pull, bending = np.asarray(pull), np.asarray(bending)
    much = pull + 8.0 / 9.0 * bending
    return np.where(pull >= 0.2, much, pull / 2.0 + bending)
