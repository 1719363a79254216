"""Slender beams and columns, and bending together with tension."""

from __future__ import annotations

import math
from typing import TypeVar

from rafterstay.core.quantities import parse
from rafterstay.roof.frame import Floats

__all__ = [
    "beam_buckling_stress",
    "beam_effective_length",
    "beam_slenderness",
    "beam_stability_factor",
    "bending_with_tension",
    "column_buckling_stress",
    "column_stability_factor",
    "net_area",
    "net_section_modulus",
]

Real = TypeVar("Real", float, Floats)


def beam_effective_length(unbraced: float, depth: float) -> float:
    """Effective length of a single-span beam under uniform load.

    Args:
        unbraced: Length between points that hold the compression edge sideways. [m]
        depth: [m]

    Returns:
        l_e. [m]

    Source: NDS 2018 Table 3.3.3

    >>> round(beam_effective_length(96.0, 11.25), 2)
    190.23
    """
    if unbraced < 7.0 * depth:
        return 2.06 * unbraced
    return 1.63 * unbraced + 3.0 * depth


def beam_slenderness(effective: float, depth: float, breadth: float) -> float:
    """Slenderness ratio of a beam; more than 50 is not allowed.

    Args:
        effective: l_e. [m]
        depth: [m]
        breadth: [m]

    Returns:
        R_B. [-]

    Source: NDS 2018 eq. 3.3-5

    >>> round(beam_slenderness(190.23, 11.25, 1.5), 2)
    30.84
    """
    return math.sqrt(effective * depth) / breadth


def beam_buckling_stress(e_min: float, slenderness: float) -> float:
    """Bending stress at which a beam would buckle sideways.

    Args:
        e_min: E_min'. [Pa]
        slenderness: R_B. [-]

    Returns:
        F_bE. [Pa]

    Source: NDS 2018 3.3.3.8

    >>> round(beam_buckling_stress(580e3, 30.84), 1)
    731.8
    """
    return 1.20 * e_min / slenderness**2


def beam_stability_factor(buckling: float, allowable: float) -> float:
    """C_L.

    Args:
        buckling: F_bE. [Pa]
        allowable: Fb* = Fb with every factor but C_L, C_V and C_fu. [Pa]

    Returns:
        C_L, 0 to 1. [-]

    Source: NDS 2018 eq. 3.3-6

    >>> round(beam_stability_factor(731.7, 1000.0), 4)
    0.6655
    """
    ratio = buckling / allowable
    half = (1.0 + ratio) / 1.9
    return half - math.sqrt(half**2 - ratio / 0.95)


def column_buckling_stress(e_min: float, effective: float, depth: float) -> float:
    """Stress at which a rectangular column would buckle in the plane of ``depth``.

    Args:
        e_min: E_min'. [Pa]
        effective: Effective length. [m]
        depth: [m]

    Returns:
        F_cE. [Pa]

    Source: NDS 2018 3.7.1.5

    >>> round(column_buckling_stress(580e3, 108.0, 5.5))
    1236
    """
    return 0.822 * e_min / (effective / depth) ** 2


def column_stability_factor(buckling: float, allowable: float, curve: float = 0.8) -> float:
    """C_P.

    Args:
        buckling: F_cE. [Pa]
        allowable: Fc* = Fc with every factor but C_P. [Pa]
        curve: c, 0.8 for sawn lumber. [-]

    Returns:
        C_P, 0 to 1. [-]

    Source: NDS 2018 eq. 3.7-1

    >>> round(column_stability_factor(1237.0, 1550.0 * 0.9), 3)
    0.648
    """
    ratio = buckling / allowable
    half = (1.0 + ratio) / (2.0 * curve)
    return half - math.sqrt(half**2 - ratio / curve)


def bending_with_tension(
    tension: Real,
    bending: Real,
    *,
    allowable_tension: Real,
    allowable_bending: Real,
    stable_bending: Real,
) -> tuple[Real, Real]:
    """Utilisation of both faces of a beam that is pulled along its axis.

    Args:
        tension: f_t. [Pa]
        bending: f_b. [Pa]
        allowable_tension: F_t'. [Pa]
        allowable_bending: Fb* = Fb with every factor but C_L. [Pa]
        stable_bending: Fb** = Fb with every factor but C_V. [Pa]

    Returns:
        Of the tension face and of the compression face. [-]

    Source: NDS 2018 eq. 3.9-1, 3.9-2

    >>> [round(x, 2) for x in bending_with_tension(130.6, 526.0, allowable_tension=567.0,
    ...     allowable_bending=918.0, stable_bending=618.6)]
    [0.8, 0.64]
    """
    tension_face = tension / allowable_tension + bending / allowable_bending
    return tension_face, (bending - tension) / stable_bending


def net_area(breadth: float, depth: float, bolt: float) -> float:
    """Cross-section left at a bolt, its hole 1/16 in over the bolt.

    Args:
        breadth: Thickness of the ply, along the bolt. [m]
        depth: [m]
        bolt: Diameter. [m]

    Returns:
        b (d - (D + 1/16 in)). [m2]

    Source: NDS 2018 3.1.2, 12.1.3.2

    >>> inch = 0.0254
    >>> round(net_area(1.5 * inch, 7.25 * inch, 0.625 * inch) / inch**2, 3)
    9.844
    """
    return breadth * (depth - bolt - parse("1/16 in", "length"))


def net_section_modulus(breadth: float, depth: float, bolt: float) -> float:
    """Section modulus left at a bolt at mid depth, its hole 1/16 in over the bolt.

    Args:
        breadth: Thickness of the ply, along the bolt. [m]
        depth: [m]
        bolt: Diameter. [m]

    Returns:
        b (d^3 - (D + 1/16 in)^3) / (6 d). [m3]

    Source: NDS 2018 3.1.2, 12.1.3.2; mechanics

    >>> inch = 0.0254
    >>> round(net_section_modulus(1.5 * inch, 7.25 * inch, 0.625 * inch) / inch**3, 3)
    13.129
    """
    hole = bolt + parse("1/16 in", "length")
    return breadth * (depth**3 - hole**3) / (6.0 * depth)
