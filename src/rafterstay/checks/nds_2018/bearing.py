"""How hard a dowel may press on wood, and what the yield loads are divided by."""

from __future__ import annotations

import math
from typing import Literal

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse

__all__ = [
    "STEEL_BEARING",
    "Mode",
    "angle_factor",
    "angled_bearing",
    "bolt_moment",
    "parallel_bearing",
    "perpendicular_bearing",
    "reduction_term",
    "small_dowel_bearing",
]

Mode = Literal["Im", "Is", "II", "IIIm", "IIIs", "IV"]

PSI = parse("1 psi", "stress")
INCH = parse("1 in", "length")

STEEL_BEARING = 87000.0 * PSI
"""Dowel bearing strength of hot-rolled steel, A36. [Pa] Source: NDS 2018 Tables 12B, 12G notes"""


def parallel_bearing(gravity: float) -> float:
    """Dowel bearing strength along the grain for dowels of 1/4 in and more.

    Args:
        gravity: Specific gravity, oven dry, > 0. [-]

    Returns:
        Fe parallel, not rounded; the printed table rounds to 50 psi. [Pa]

    Source: NDS 2018 Table 12.3.3, note 2

    >>> round(parallel_bearing(0.50) / 6894.757)
    5600
    """
    return 11200.0 * gravity * PSI


def perpendicular_bearing(gravity: float, diameter: float) -> float:
    """Dowel bearing strength across the grain for dowels of 1/4 in and more.

    Args:
        gravity: Specific gravity, oven dry, > 0. [-]
        diameter: Of the dowel. [m]

    Returns:
        Fe perpendicular, not rounded; the printed table rounds to 50 psi. [Pa]

    Source: NDS 2018 Table 12.3.3, note 2

    >>> round(perpendicular_bearing(0.50, 0.625 * 0.0254) / 6894.757)
    2824
    """
    return 6100.0 * math.pow(gravity, 1.45) / math.sqrt(diameter / INCH) * PSI


def small_dowel_bearing(gravity: float) -> float:
    """Dowel bearing strength in any direction for dowels under 1/4 in.

    Args:
        gravity: Specific gravity, oven dry, > 0. [-]

    Returns:
        Fe. [Pa]

    Source: NDS 2018 Table 12.3.3, note 2

    >>> round(small_dowel_bearing(0.50) / 6894.757)
    4637
    """
    return 16600.0 * math.pow(gravity, 1.84) * PSI


def angled_bearing(parallel: float, perpendicular: float, angle: float) -> float:
    """Dowel bearing strength at an angle to the grain (Hankinson).

    Args:
        parallel: Fe along the grain. [Pa]
        perpendicular: Fe across the grain. [Pa]
        angle: Between load and grain, 0 to pi/2. [rad]

    Returns:
        Fe at the angle. [Pa]

    Source: NDS 2018 eq. 12.3-11

    >>> round(angled_bearing(5600.0, 2800.0, 0.7853981634), 1)
    3733.3
    """
    across = math.sin(angle) ** 2
    along = math.cos(angle) ** 2
    return parallel * perpendicular / (parallel * across + perpendicular * along)


def bolt_moment(yield_bending: float, diameter: float) -> float:
    """Plastic moment of a round dowel.

    Args:
        yield_bending: Fyb. [Pa]
        diameter: [m]

    Returns:
        Fyb D^3 / 6. [N m]

    Source: AWC TR12 (2015) Table 1-1

    >>> round(bolt_moment(45000.0, 0.5), 1)
    937.5
    """
    return yield_bending * diameter**3 / 6.0


def angle_factor(angle: float) -> float:
    """K_theta, for the largest angle of load to grain in any member.

    Args:
        angle: 0 to pi/2. [rad]

    Returns:
        1 to 1.25. [-]

    Source: NDS 2018 Table 12.3.1B, note 1

    >>> angle_factor(0.0)
    1.0
    """
    return 1.0 + 0.25 * math.degrees(angle) / 90.0


def reduction_term(mode: Mode, diameter: float, angle: float) -> float:
    """What a yield load is divided by to become a reference design value.

    Args:
        mode: Yield mode.
        diameter: Of the dowel, at most 1 in. [m]
        angle: Largest angle of load to grain in any member. [rad]

    Returns:
        Rd. [-]

    Raises:
        InputError: IN-821. The dowel is thicker than 1 in, outside the table.

    Limits: under 1/4 in the term is K_D for every mode and angle.

    Source: NDS 2018 Table 12.3.1B

    >>> reduction_term("IIIs", 0.5 * 0.0254, 0.0)
    3.2
    """
    inches = diameter / INCH
    if inches > 1.0 + 1e-9:
        raise InputError(Finding("IN-821", "bolt diameter", f"{inches:g} in", "1 in or less"))
    if inches < 0.25:
        return 2.2 if inches <= 0.17 else 10.0 * inches + 0.5
    by_mode = {"Im": 4.0, "Is": 4.0, "II": 3.6, "IIIm": 3.2, "IIIs": 3.2, "IV": 3.2}
    return by_mode[mode] * angle_factor(angle)
