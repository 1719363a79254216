"""Shear along the grain, in the whole section and beside a bolt."""

from __future__ import annotations

__all__ = ["NEAR_END", "allowable_shear", "allowable_shear_at_bolt"]

NEAR_END = 5.0
"""A connection within this many depths of a member's end is near it. NDS 2018 3.4.3.3"""


def allowable_shear(stress: float, breadth: float, depth: float) -> float:
    """Shear a rectangular section may carry.

    Args:
        stress: F_v'. [Pa]
        breadth: [m]
        depth: [m]

    Returns:
        2/3 F_v' b d. [N]

    Source: NDS 2018 eq. 3.4-2

    >>> round(allowable_shear(180.0, 1.5, 9.25))
    1665
    """
    return 2.0 / 3.0 * stress * breadth * depth


def allowable_shear_at_bolt(
    stress: float, breadth: float, depth: float, *, effective: float, near_end: bool
) -> float:
    """Shear a beam may carry where a bolt pulls across its grain.

    Args:
        stress: F_v'. [Pa]
        breadth: [m]
        depth: [m]
        effective: d_e, from the bolt's centre to the edge it pulls towards. [m]
        near_end: The bolt stands within five depths of the beam's end.

    Returns:
        2/3 F_v' b d_e, times (d_e/d)^2 near an end. [N]

    Source: NDS 2018 eq. 3.4-6, 3.4-7 (from memory, 90 %)

    >>> round(allowable_shear_at_bolt(180.0, 1.5, 9.25, effective=4.625, near_end=False), 1)
    832.5
    """
    allowable = allowable_shear(stress, breadth, effective)
    return allowable * (effective / depth) ** 2 if near_end else allowable
