"""Strength of a plate at a pin through it, allowable stress design."""

from __future__ import annotations

from typing import Final

from rafterstay.core.quantities import parse
from rafterstay.core.sources import Source

__all__ = [
    "ADDED",
    "BEARING_SOURCE",
    "OMEGA",
    "SOURCE",
    "YIELD",
    "allowable_bearing",
    "allowable_net",
    "allowable_tearout",
    "effective_edge",
]

OMEGA: Final = 2.0
"""Safety factor of rupture, and of bearing. [-]"""

YIELD: Final = 1.67
"""Safety factor of yielding. [-]"""

ADDED: Final = parse("0.63 in", "length")
"""What D5.1 adds to twice the thickness (16 mm in the metric edition). [m]"""

SOURCE: Final = Source(
    "AISC 360", "2016", "D2, D5.1, D5.2, eq. D5-1 and D5-2 (read in the 2010 edition)", "read", 92
)
BEARING_SOURCE: Final = Source(
    "AISC 360", "2016", "J7, eq. J7-1 (read in the 2010 edition)", "read", 92
)


def effective_edge(thickness: float, beside: float, beyond: float) -> float:
    """Width of plate on each side of a hole that counts.

    Args:
        thickness: Of the plate. [m]
        beside: From the hole's edge to the next edge, square to the pull. [m]
        beyond: From the hole's edge to the plate's edge along the pull. [m]

    Returns:
        be: 2 t + 0.63 in, never more than there is, nor than keeps a >= 1.33 be. [m]

    Source: AISC 360-16 D5.1 and D5.2

    >>> round(effective_edge(0.5 * 0.0254, 1.61 * 0.0254, 2.25 * 0.0254) / 0.0254, 3)
    1.61
    """
    return min(2.0 * thickness + ADDED, beside, beyond / 1.33)


def allowable_net(tensile: float, thickness: float, edge: float) -> float:
    """Allowable pull on the net section at a pin.

    Args:
        tensile: Fu. [Pa]
        thickness: Of the plate. [m]
        edge: be. [m]

    Returns:
        Fu 2 t be / 2.00. [N]

    Source: AISC 360-16 eq. D5-1

    >>> round(allowable_net(58.0, 0.5, 1.61), 1)
    46.7
    """
    return tensile * 2.0 * thickness * edge / OMEGA


def allowable_tearout(tensile: float, thickness: float, beyond: float, pin: float) -> float:
    """Allowable pull of a pin that would tear out through the edge.

    Args:
        tensile: Fu. [Pa]
        thickness: Of the plate. [m]
        beyond: a, from the hole's edge to the plate's edge along the pull. [m]
        pin: Diameter of the pin. [m]

    Returns:
        0.6 Fu 2 t (a + d/2) / 2.00. [N]

    Source: AISC 360-16 eq. D5-2

    >>> round(allowable_tearout(58.0, 0.5, 2.25, 1.0), 2)
    47.85
    """
    return 0.6 * tensile * 2.0 * thickness * (beyond + pin / 2.0) / OMEGA


def allowable_bearing(yield_strength: float, thickness: float, pin: float) -> float:
    """Allowable pressure of a pin in its hole.

    Args:
        yield_strength: Fy. [Pa]
        thickness: Of the plate. [m]
        pin: Diameter of the pin. [m]

    Returns:
        1.8 Fy t d / 2.00. [N]

    Source: AISC 360-16 eq. J7-1

    >>> round(allowable_bearing(36.0, 0.5, 1.0), 1)
    16.2
    """
    return 1.8 * yield_strength * thickness * pin / OMEGA
